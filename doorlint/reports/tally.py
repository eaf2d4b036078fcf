"""The result of a run over many specs: the specs on hold, worst first, and one line that counts everything."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from doorlint.findings import Relaxed, Review, Run, SpecReview
from doorlint.named_tuple import NamedTuple
from doorlint.reports.style import Style
from doorlint.reports.words import count, gap_text, made_by, plain, signed_text
from doorlint.rulebook.rule import SEVERITIES

__all__ = ["Held", "Tally"]

_GRAVEST = ("unreadable", "hold")


class Held(NamedTuple):
    """A spec that is not clear, and the first reason for that."""

    file: str
    verdict: str
    found: tuple[int, ...]
    """findings by severity, the most severe first"""
    reason: str


class Tally:
    """Counts over the specs of a run; of a spec that is clear nothing else is kept."""

    __slots__ = (
        "failed",
        "found",
        "held",
        "not_checked",
        "not_shown",
        "past",
        "relaxed",
        "signed",
        "signed_off",
        "since",
        "verdicts",
    )

    def __init__(self) -> None:
        self.verdicts: Counter[str] = Counter()
        self.found: Counter[str] = Counter()
        self.not_checked = self.signed_off = self.not_shown = self.failed = 0
        self.held: list[Held] = []
        self.signed: list[str] = []
        """what is signed off, a line each"""
        self.since: Counter[str] = Counter()
        self.past: list[str] = []
        """what is better or gone since the revision that the run is compared with, a line each"""
        self.relaxed: dict[Relaxed, None] = {}
        """what differs from the library, each once"""

    def add(self, spec: SpecReview) -> None:
        """Count one spec."""
        found = Counter(finding.severity for finding in spec.findings)
        self.verdicts[spec.verdict] += 1
        self.found.update(found)
        self.not_checked += len(spec.not_checked)
        self.signed_off += len(spec.approved)
        self.signed += [
            f"  {plain(spec.file)}: {plain(one.finding.message)}: {signed_text(one)} [{one.finding.rule}]"
            for one in spec.signed_off
        ]
        self.not_shown += spec.not_shown
        self.failed += spec.failed
        self.relaxed.update(dict.fromkeys(spec.relaxed))
        if spec.since is not None:
            self.since.update(
                {"new": len(spec.since.new), "worse": len(spec.since.worse), "better": len(spec.since.better),
                 "gone": len(spec.since.gone), "as before": spec.since.as_before}
            )  # fmt: skip
            for word, findings in (("better", spec.since.better), ("gone", spec.since.gone)):
                self.past += [f"  {word}  {plain(spec.file)}: {plain(f.message)} [{f.rule}]" for f in findings]
        if spec.verdict != "clear" and (spec.since is None or spec.since.held):
            by_severity = tuple(found[severity] for severity in SEVERITIES)
            self.held.append(Held(plain(spec.file), spec.verdict, by_severity, _reason(spec)))

    def table(self, style: Style) -> Iterator[str]:
        """The specs that are not clear, worst first, each with the first reason."""
        held = sorted(self.held, key=lambda one: (_GRAVEST.index(one.verdict), [-n for n in one.found], one.file))
        if held:
            yield f"NOT CLEAR - {len(held)} of {count(self.verdicts.total(), 'spec')}, worst first"
        for one in held:
            found = ", ".join(
                count(number, severity) for severity, number in zip(SEVERITIES, one.found, strict=True) if number
            )
            yield f"  {style.paint(one.verdict, one.verdict)}  {one.file}  {found or 'not checked'}: {one.reason}"

    def signed_table(self) -> Iterator[str]:
        """What is signed off: still there, outside the verdict."""
        if self.signed:
            yield "SIGNED OFF - still there, outside the verdict"
            yield from self.signed

    def past_table(self, run: Review | Run) -> Iterator[str]:
        """What is better or gone since a revision, and the specs that are no longer there."""
        lines = [*self.past, *(f"  removed  {plain(name)}" for name in run.removed)]
        if lines:
            yield f"BETTER OR GONE SINCE {plain(run.against)}"
            yield from lines

    def closing(self, run: Review | Run) -> str:
        """Everything that was counted, in one line."""
        verdicts = (
            f"{self.verdicts['clear']} clear", f"{self.verdicts['hold']} on hold",
            f"{self.verdicts['unreadable']} unreadable",
        )  # fmt: skip
        found = [count(self.found[severity], severity) for severity in SEVERITIES]
        found += [f"{self.not_checked} not checked", f"{self.signed_off} signed off"]
        if run.against:
            counts = ", ".join(f"{self.since[word]} {word}" for word in ("new", "worse", "better", "gone", "as before"))
            found.append(f"since {plain(run.against)}: {counts}, {count(len(run.removed), 'spec')} removed")
        if self.failed:
            found.append(f"a rule failed on {count(self.failed, 'spec')}")
        if self.not_shown:
            found.append(f"{count(self.not_shown, 'finding')} not shown")
        return (
            f"{count(self.verdicts.total(), 'spec')}: {', '.join(verdicts)}; {', '.join(found)}; "
            f"{count(run.passed_over, 'file')} passed over; reviewed for {run.reviewed_on}, {made_by(run)}"
        )


def _reason(spec: SpecReview) -> str:
    """The first finding of the highest severity; where there is none, the first check that could not be made."""
    listed = [finding for _, finding in spec._replace(only="").numbered]
    if listed:
        first = listed[0]
        return f"{plain(first.message)} [{first.rule}]"
    gap = spec._replace(only="").gaps[0]
    return plain(f"{gap.title}: {gap_text(gap)} [{gap.rule}]")

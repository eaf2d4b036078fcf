"""A review as text for a terminal of 80 columns: what to do first, then what is wrong, then what is not known."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from doorlint.findings import Finding, NotChecked, Review, Run, SpecReview, Verdict
from doorlint.reports.cautions import cautions
from doorlint.reports.words import (
    SIGN_OFF,
    VERDICTS,
    count,
    counterbalance,
    counts,
    first_steps,
    gap_text,
    plain,
    source_text,
)
from doorlint.rulebook.rule import SEVERITIES

WIDTH = 78
HEADS = {
    "error": "ERRORS - not to be built so",
    "warning": "WARNINGS - will give trouble",
    "advisory": "ADVISORIES - look again",
}


def render(review: Review) -> str:
    """The whole review."""
    return "".join(stream(review))


def stream(run: Review | Run) -> Iterator[str]:
    """The whole run, spec by spec."""
    verdicts: list[tuple[Verdict, str]] = []
    kinds = set()
    for spec in run.specs:
        yield _text([*_spec(spec), ""])
        verdicts.append((spec.verdict, spec.file))
        kinds.add(counterbalance(spec))
    if len(verdicts) > 1:
        yield _text([*_table(verdicts), ""])
    said = cautions(kinds.pop() if len(kinds) == 1 else None)
    yield _text(["CAUTIONS", *(line for caution in said for line in wrap(caution, "  - ")), ""])
    yield f"doorlint {run.version}, rules {run.library.digest}, reviewed for {run.reviewed_on}\n"


def _text(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


def _spec(spec: SpecReview) -> Iterator[str]:
    file = plain(spec.file)
    yield file
    named = ", ".join(plain(value) for value in spec.facts.values())
    yield from wrap(f"{named}; stage {spec.stage or 'not known'}; spec {spec.spec_digest}".lstrip("; "), "  ", "  ")
    yield from wrap(f"{VERDICTS[spec.verdict]}.", "  ", "  ")
    yield from wrap(counts(spec), "  ", "  ")
    steps = list(first_steps(spec)) if spec.verdict != "clear" else []
    if steps:
        yield ""
        yield "DO FIRST"
        for number, step in enumerate(steps, 1):
            about = f" [{', '.join(map(str, step.findings))}]" if step.findings else ""
            yield from wrap(f"{step.text}{about}", f"  {number}. ")
    numbered = list(enumerate(spec.findings, 1))
    for severity in SEVERITIES:
        found = [(number, finding) for number, finding in numbered if finding.severity == severity]
        if found:
            yield ""
            yield HEADS[severity]
            for number, finding in found:
                yield from _finding(file, number, finding)
    if spec.not_checked:
        yield ""
        yield "NOT CHECKED - a missing answer is never a pass"
        yield from _gaps(spec.not_checked)
    if spec.approved:
        yield ""
        yield "SIGNED OFF - still there, outside the verdict"
        for approved in spec.approved:
            finding, said = approved.finding, approved.approval
            yield from wrap(f"{finding.rule} at {plain(finding.pointer)}: {plain(finding.message)}", "  ", "    ")
            yield from wrap(plain(f"by {said['by']} on {said['on']} until {said['until']}: {said['reason']}"), "    ")
    yield ""
    yield f"VERDICT  {spec.verdict}  {file}"


def _finding(file: str, number: int, finding: Finding) -> Iterator[str]:
    yield f"  [{number}] {finding.rule}  {file}:{finding.line}:{finding.column}"
    yield from wrap(plain(finding.message), "      ", "      ")
    if finding.measured is not None and finding.limit is not None:
        short = f", short by {finding.short_by}" if finding.short_by else ""
        yield from wrap(f"measured {finding.measured.text}, limit {finding.limit.text}{short}", "      ", "      ")
    if finding.marginal:
        yield "      marginal: within what the tape or an estimate can tell"
    for label, text in (
        ("at", finding.pointer or "the file"),
        ("why", finding.why),
        ("safety", finding.safety),
        ("try", finding.remedy or ""),
        ("source", source_text(finding.source)),
        ("sign-off", SIGN_OFF[finding.sign_off] if finding.severity != "advisory" else ""),
    ):
        if text:
            yield from wrap(f"{label}: {plain(text)}", "      ", "        ")


def _gaps(gaps: Iterable[NotChecked]) -> Iterator[str]:
    """Grouped by what would have to be given."""
    groups: dict[str, dict[str, None]] = {}
    for gap in gaps:
        rule = f"{gap.rule} (error)" if gap.severity == "error" else gap.rule
        groups.setdefault(gap_text(gap), {})[rule] = None
    for need, rules in groups.items():
        yield from wrap(plain(need), "  ", "    ")
        yield from wrap(f"for {', '.join(rules)}", "    ")


def _table(verdicts: Sequence[tuple[Verdict, str]]) -> Iterator[str]:
    held, unreadable = (sum(verdict == kind for verdict, _ in verdicts) for kind in ("hold", "unreadable"))
    yield f"ALL {count(len(verdicts), 'spec').upper()} - {held} on hold, {unreadable} unreadable"
    for verdict, file in verdicts:
        yield f"  {verdict:<10}  {plain(file)}"


def wrap(text: str, first: str, rest: str | None = None) -> list[str]:
    """Text in lines of at most 78 columns; a long word (a pointer, a path) keeps its own line whole."""
    if len(first) + len(text) <= WIDTH and text.split(" ") == text.split():
        return [first + text]  # as it would come out, a good deal sooner
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    )

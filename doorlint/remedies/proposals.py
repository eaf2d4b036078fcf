"""Remedies: the smallest changes, one or two, that clear a finding and bring no new one.

A finding counts as cleared only when the same check, made again at the same thing, is met, or is asked no more since
what its rule says to try was set otherwise. A change that takes a value out or makes a check not answerable clears
nothing, and one that brings or worsens any other error or warning, or leaves an error unanswered that was answered, is
no remedy. What is worked out from the change and must be set again with
it (plates, links, cut lengths) is set again, and counts as a change.

Candidates are found by :mod:`doorlint.remedies.search`; here they are written into the spec, read and reviewed again.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, NamedTuple

from doorlint.changes.edits import Edit, edits
from doorlint.errors import WrongCall
from doorlint.evaluation import Evaluated, job_of, within_bounds
from doorlint.figures.graph import Job, Unknown
from doorlint.findings import Finding, LikelySlip, NotChecked, SpecReview
from doorlint.quantities import System
from doorlint.remedies.baseline import Baseline
from doorlint.remedies.patches import patch_of, written
from doorlint.remedies.ranges import Range, ranges
from doorlint.remedies.search import Applied, Candidate, Search
from doorlint.remedies.slip_search import with_slips
from doorlint.rulebook.adjustments import KINDS, NEVER, Adjustment, Kind
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import PLACE, FindingKey
from doorlint.spec import Patch, Spec
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy, measure, present

MOST_SHOWN = 3
"""remedies shown for one finding"""


MOST_MORE = 3
"""values that a further remedy may change beside as many as the first one does"""


class Proposal(NamedTuple):
    """A set of changes that clears findings and brings none."""

    kind: Kind | Literal["correction"]
    changes: tuple[str, ...]
    """each change in words"""
    patch: Patch
    """the same as a partial spec"""
    edits: tuple[Edit, ...]
    job: Job
    """the job with the changes made"""
    clears: tuple[FindingKey, ...]
    confirm: tuple[str, ...]
    """pointers of what is taken unchanged and has to be confirmed"""


@dataclass(frozen=True, slots=True)
class Answer:
    """One finding and what would clear it, the least first."""

    finding: Finding
    proposals: tuple[Proposal, ...]
    measure: str = ""
    """what to measure first: the reading behind it was likely taken down wrong, or was not taken"""

    @property
    def in_stock(self) -> bool:
        """Whether something clears it without work on the building."""
        return any(proposal.kind != "building work" for proposal in self.proposals)


@dataclass(frozen=True, slots=True)
class Remedies:
    """All findings of a spec that ask for something, with what would clear them."""

    review: SpecReview
    answers: tuple[Answer, ...]
    lacking: tuple[NotChecked, ...]
    """errors that could not be checked: these ask for answers, not for changes"""
    job: Job
    candidates: int
    complete: bool
    """whether the search went to its end"""
    ranges: tuple[Range, ...] = ()
    """how far its measured values may move, where that was asked"""

    @property
    def numbered(self) -> dict[str, tuple[int, Proposal]]:
        """Every remedy once, with its number from 1 in the order of the report, by its patch."""
        found: dict[str, tuple[int, Proposal]] = {}
        for proposal in (proposal for answer in self.answers for proposal in answer.proposals):
            found.setdefault(repr(proposal.patch), (len(found) + 1, proposal))
        return found

    def number(self, proposal: Proposal) -> int:
        """The number of a remedy."""
        return self.numbered[repr(proposal.patch)][0]

    @property
    def widest(self) -> Proposal | None:
        """The remedy that clears most findings, where one clears more than one."""
        every = [proposal for answer in self.answers for proposal in answer.proposals]
        best = max(every, key=lambda proposal: len(proposal.clears), default=None)
        return best if best is not None and len(best.clears) > 1 else None


def remedies(
    checked: Evaluated,
    library: Library,
    policy: Policy,
    file: str,
    stop: Callable[[], bool] = lambda: False,
    only: Collection[FindingKey] | None = None,
) -> Remedies:
    """What would clear every error and warning of a spec, or those of them in ``only``.

    ``stop`` is asked now and then; once it says yes the search ends with what it has. Raises :class:`WrongCall` for a
    spec that cannot be read.
    """
    record, spec, job = checked
    if job is None or record.stage is None:
        first = record.problems[0]
        raise WrongCall(f"{file}:{first.line}:{first.column}: {first.message}")
    review = with_slips(present(record, library, policy, file, spec, job), library, policy)
    wanted = [
        finding
        for finding in review.findings
        if finding.severity != "advisory" and (only is None or finding.place in only)
    ]
    baseline = Baseline(library, job, record.stage, policy)
    search = Search(baseline, job, library, review.system, stop)
    found = search.run([finding.place for finding in wanted if _is_checked(finding, library)])
    writer = _Writer(spec, search)
    slips = [slip for slip in review.likely_slips if all(severity == "advisory" for _, severity, _ in slip.brings)]
    corrections = [writer.corrected(slip) for slip in slips if _is_written(slip.pointer, job)]
    answers = []
    for finding in wanted:
        corrected = tuple(one for one in corrections if one is not None and finding.place in one.clears)
        shown = writer.shown(finding.place, found.get(finding.place, ()))
        others = tuple(one for one in shown if one.patch not in [other.patch for other in corrected])
        some = _sensible((*corrected, *others))
        answers.append(Answer(finding, some[:MOST_SHOWN], _measure(finding, slips, job, search)))
    lacking = tuple(gap for gap in review.not_checked if gap.severity == "error")
    return Remedies(review, tuple(answers), lacking, job, search.trials.made, search.trials.complete)


def _sensible(proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
    """The remedies that do not change far more than the first one does."""
    return tuple(one for one in proposals if len(one.edits) <= len(proposals[0].edits) + MOST_MORE)


def names_of(patch: Patch, above: str = "") -> Iterator[str]:
    """The names of the spec values that a patch sets.

    >>> list(names_of({"tower": {"boxes": {"b2": {"plates": "27"}}}, "room": {"headroom": "26 in"}}))
    ['box.plates', 'room.headroom']
    """
    if not isinstance(patch, Mapping):
        yield _value_at(above)[0]
        return
    for key, value in patch.items():
        yield from names_of(value, f"{above}/{key}")


def _is_read(pointer: str, job: Job) -> bool:
    """Whether a value was measured or weighed: then it is measured again, not changed."""
    name, key = _value_at(pointer)
    known = VOCABULARY.leaves[name].known
    by_scale = known is not None and "weight_from" in known
    return known in ("measured", "weighed") or (by_scale and job.at("section.weight_from", key) == "weighed")


def _is_written(pointer: str, job: Job) -> bool:
    """Whether a value was chosen and written down, so that it may be corrected: neither read nor recorded."""
    return _value_at(pointer)[0].partition(".")[0] not in NEVER and not _is_read(pointer, job)


def _value_at(pointer: str) -> tuple[str, str | None]:
    """Name and key of the value that a pointer names; ``("", None)`` for one that names none."""
    parts = steps(pointer)
    for term in VOCABULARY.leaves.values():
        wanted = steps(term.pointer)
        if len(wanted) == len(parts) and all(one in ("{}", other) for one, other in zip(wanted, parts, strict=True)):
            return term.name, parts[wanted.index("{}")] if "{}" in wanted else None
    return "", None


def _measure(finding: Finding, slips: Sequence[LikelySlip], job: Job, search: Search) -> str:
    """What to measure before anything is changed, or how a missing value comes to be known."""
    for slip in slips:
        if finding.place in slip.clears and _is_read(slip.pointer, job):
            return f"{slip.measure}: {slip.would_be} instead of {slip.given} would clear it"
    name, key = _value_at(finding.pointer) if not _is_checked(finding, search.library) else ("", None)
    if not name or finding.rule not in search.library.rules:
        return ""
    term = VOCABULARY.leaves[name]
    for adjustment in search.adjustments:
        if adjustment.sets == name and adjustment.formula is not None and adjustment.dimension is not None:
            value = adjustment.formula.of(job, key)
            if isinstance(value, int | float):
                return f"not given; doorlint works it out: {_rounded(adjustment, value, search.system)}"
    return f"not given; {'measure it' if term.known else 'give it'}: {term.description}"


def _rounded(adjustment: Adjustment, value: float, system: System) -> str:
    if adjustment.multiple is not None:
        value = round(value / adjustment.multiple[system]) * adjustment.multiple[system]
    return written(adjustment.sets, round(value) if adjustment.dimension == "count" else value, system)


def with_ranges(
    found: Remedies, library: Library, policy: Policy, stop: Callable[[], bool] = lambda: False
) -> Remedies:
    """The same, with how far the measured values of the spec may move."""
    review = found.review
    assert review.stage is not None
    moved = ranges(found.job, review.stage, library, policy, review.system, stop)
    return replace(found, ranges=moved, complete=found.complete and not stop())


def _is_checked(finding: Finding, library: Library) -> bool:
    """Whether a rule compared a value: a missing value is given, not changed."""
    return finding.rule in library.rules and library.rules[finding.rule].kind.compares


class _Writer:
    """Candidates written into a spec, each reviewed as somebody would who had made the change."""

    def __init__(self, spec: Spec, search: Search) -> None:
        self.spec, self.search, self.system = spec, search, search.system
        self.proposed: dict[str, Proposal | None] = {}

    def shown(self, finding: FindingKey, candidates: Sequence[Candidate]) -> tuple[Proposal, ...]:
        """The first that hold of some candidates, each of other adjustments than those before it."""
        shown: list[Proposal] = []
        tried: set[tuple[Any, ...]] = set()
        for candidate in candidates:
            adjustments = tuple(sorted(candidate.adjustments, key=repr))
            if adjustments not in tried:
                proposal = self._proposal(candidate)
                if proposal is not None and finding in proposal.clears and proposal not in shown:
                    tried.add(adjustments)
                    shown.append(proposal)
                if len(shown) == MOST_SHOWN:
                    break
        return tuple(shown)

    def corrected(self, slip: LikelySlip) -> Proposal | None:
        """The remedy that writes a value as it was likely meant; ``None`` where it does not read or clears nothing."""
        changed = within_bounds(self.spec.patched(slip.patch), self.search.library)
        if changed.problems:
            return None
        after = job_of(changed, self.search.library, self.search.start.job)
        short = [place for place, before in self.search.baseline.open_before.items() if before.state == "short"]
        clears = tuple(place for place in short if place in slip.clears)
        if not clears or self.search.baseline.worsened(after, names_of(slip.patch)):
            return None
        said = f"{slip.pointer[1:].replace('/', '.')} {slip.would_be} instead of {slip.given} ({slip.says})"
        return Proposal(
            "correction", (said,), slip.patch, tuple(edits(self.spec, changed)), after, clears, (slip.pointer,)
        )

    def _proposal(self, candidate: Candidate) -> Proposal | None:
        patch = patch_of((applied.changes for applied in candidate.applied), self.system)
        name = repr(patch)
        if name not in self.proposed:
            self.proposed[name] = self._reviewed(candidate, patch)
        return self.proposed[name]

    def _reviewed(self, candidate: Candidate, patch: Patch) -> Proposal | None:
        """The proposal, once the spec with its changes written in has been read and checked."""
        changed = within_bounds(self.spec.patched(patch), self.search.library)
        if changed.problems:
            return None
        after = job_of(changed, self.search.library, self.search.start.job)
        if self.search.baseline.worsened(after, candidate.names):
            return None
        clears = [finding for finding, before in self.search.baseline.open_before.items() if before.state == "short"]
        return Proposal(
            KINDS[candidate.kind],
            tuple(self._said(applied, after) for applied in candidate.applied),
            patch,
            tuple(edits(self.spec, changed)),
            after,
            tuple(finding for finding in clears if self.search.settled(candidate, finding, after)),
            tuple(dict.fromkeys(pointer for applied in candidate.applied for pointer in _to_confirm(applied, after))),
        )

    def _said(self, applied: Applied, after: Job) -> str:
        """A change as a fitter would say it."""
        said = (self._words(applied.adjustment, thing, was, now, after) for thing, was, now in applied.moved)
        return "; ".join(dict.fromkeys(said))

    def _words(self, adjustment: Adjustment, thing: str | None, was: Any, now: Any, after: Job) -> str:
        more = abs(now - was) if isinstance(now, float) and isinstance(was, float) else None
        texts = {
            "thing": thing or "",
            "before": "none" if was is None else written(adjustment.sets, was, self.system),
            "after": written(adjustment.sets, now, self.system),
            "more": "" if more is None else written(adjustment.sets, more, self.system),
        }
        return PLACE.sub(
            lambda place: texts[place[1]] if place[1] in texts else self._text(place[1], thing, after), adjustment.say
        )

    def _text(self, name: str, thing: str | None, job: Job) -> str:
        """A value or figure of a job, as a spec or a report would write it."""
        value = job.at(name, thing if self.search.library.graph.nodes[name].axis is not None else None)
        if value is None or isinstance(value, Unknown):
            return "not known"
        if name in VOCABULARY.leaves:
            return written(name, value, self.system)
        return measure(value, self.search.library.graph.nodes[name].dimension, self.system).text


def _to_confirm(applied: Applied, job: Job) -> Iterator[str]:
    keys = [key for key, _, _ in applied.moved]
    for name in applied.adjustment.confirm:
        held = job.values.get(name)
        if not isinstance(held, dict):
            yield from [VOCABULARY.pointer_of(name)] if held is not None else []
        else:
            own = VOCABULARY.leaves[name].axis == applied.adjustment.axis
            yield from (VOCABULARY.pointer_of(name, key) for key in held if not own or key in keys)

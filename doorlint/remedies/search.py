"""The search for what clears a finding: one or two adjustments applied to a job, and what else has to follow.

A finding counts as cleared only when the same check, made again at the same thing, is met - or no longer applies
because what its rule says to try was set differently - and no new problem came (:mod:`doorlint.remedies.baseline`).
What a candidate is called, and whether it holds once it is written into the spec, is for
:mod:`doorlint.remedies.proposals` to say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import inf
from typing import Any, NamedTuple

from doorlint.figures.graph import Job
from doorlint.quantities import System
from doorlint.remedies.baseline import Baseline
from doorlint.remedies.options import Changes, Option, adjustments_of, alike, apply, options, same, size
from doorlint.remedies.peak_search import Sample, find_peak
from doorlint.remedies.trials import Trials
from doorlint.rulebook.adjustments import KINDS, Adjustment
from doorlint.rulebook.library import RULE, Library, outcome_at
from doorlint.rulebook.rule import FindingKey, Rule
from doorlint.spec.vocabulary import VOCABULARY

MOST_CANDIDATES = 20_000
MOST_FOLLOWING = 5
"""values set again with a change"""
FIRST_TO_PAIR = 10
"""half remedies of a finding that are tried together with others"""
MOST_APPLIED, MOST_PARTS = 3, 2
"""adjustments of one remedy, and parts that it takes in place of others; what takes more is another job"""
BUILDING = KINDS.index("building work")
MARGIN = 0.03
"""share of the limit by which a setting is to clear it"""
TOGETHER = 2.0
"""times what it adds alone, an adjustment may add to a margin together with another one; else they are not paired"""
MOST_FURTHER = 8
"""settings that are tried for that"""


class Applied(NamedTuple):
    """One adjustment applied."""

    adjustment: Adjustment
    before: Job
    changes: Changes

    @property
    def moved(self) -> list[tuple[str | None, Any, Any]]:
        """Each thing that is set to another value, with before and after."""
        after, now = self.changes[self.adjustment.sets], self.before.values.get(self.adjustment.sets)
        if not isinstance(after, dict):
            return [(None, now, after)]
        column = now or {}
        pairs = [(key, column.get(key), value) for key, value in after.items()]
        return [pair for pair in pairs if not alike(pair[1], pair[2])]

    @property
    def size(self) -> float:
        """How much it changes, as a share of the larger of before and after; 1 for a choice or something new."""
        return sum(size(was, now) for _, was, now in self.moved)


class Candidate:
    """A job with adjustments applied, and what has been tried from it."""

    __slots__ = ("applied", "job", "names", "next", "worsened")

    def __init__(self, job: Job, applied: tuple[Applied, ...] = (), names: frozenset[str] = frozenset()) -> None:
        self.job, self.applied, self.names = job, applied, names
        self.worsened: frozenset[FindingKey] | None = None
        self.next: dict[tuple[Any, ...], Candidate | None] = {}

    @property
    def kind(self) -> int:
        """The place in ``KINDS`` of its costliest change."""
        return max(KINDS.index(applied.adjustment.kind) for applied in self.applied)

    @property
    def parts(self) -> int:
        """How many parts take the place of others."""
        return sum(len(applied.moved) for applied in self.applied if applied.adjustment.kind == "part")

    @property
    def adjustments(self) -> tuple[tuple[str, tuple[str | None, ...]], ...]:
        """Which adjustments are applied, and at what."""
        return tuple((applied.adjustment.name, tuple(key for key, _, _ in applied.moved)) for applied in self.applied)

    @property
    def rank(self) -> tuple[Any, ...]:
        """Sort key that puts the least first, of those that clear as much."""
        size = sum(applied.size for applied in self.applied)
        return self.kind, len(self.applied), round(size, 9), repr(self.adjustments)


class Tried(NamedTuple):
    """A candidate that is worth keeping."""

    candidate: Candidate
    clears: bool
    """whether it clears the finding and brings nothing; else it is half a remedy"""


class Search:
    """One search over all adjustments, for every finding of a job."""

    def __init__(
        self, baseline: Baseline, job: Job, library: Library, system: System, stop: Callable[[], bool]
    ) -> None:
        """``baseline`` is what changed jobs are compared with, ``job`` the one that is changed; once ``stop`` is true,
        nothing new is tried."""
        self.baseline, self.library, self.system = baseline, library, system
        self.start = Candidate(job)
        self.adjustments = adjustments_of(library)
        self.order = {adjustment.name: number for number, adjustment in enumerate(self.adjustments)}
        self.options = [option for adjustment in self.adjustments for option in options(adjustment, job, system)]
        self.reach = {adjustment.name: library.graph.downstream(adjustment.names) for adjustment in self.adjustments}
        self.trials = Trials(MOST_CANDIDATES, stop)
        self._cleared: dict[int, int] = {}
        self._most: dict[tuple[Any, ...], float] = {}
        """by finding and option: the most that the option alone adds to the margin, where it does not clear it"""

    def run(self, findings: Sequence[FindingKey]) -> dict[FindingKey, list[Candidate]]:
        """The candidates that clear each finding, the least first."""
        tried = {finding: self._singles(finding) for finding in findings}
        found = {finding: [one.candidate for one in some if one.clears] for finding, some in tried.items()}
        for finding, some in tried.items():
            if all(candidate.kind == BUILDING for candidate in found[finding]):
                found[finding] += self._pairs(finding, [one.candidate for one in some if not one.clears])
        return {finding: sorted(some, key=self._order) for finding, some in found.items()}

    def _order(self, candidate: Candidate) -> tuple[Any, ...]:
        """What needs no work on the building first, then what clears most, then the least."""
        if id(candidate) not in self._cleared:
            short = [place for place, before in self.baseline.open_before.items() if before.state == "short"]
            below = self.library.graph.downstream(candidate.names)
            reached = [place for place in short if RULE + place[0] in below]
            self._cleared[id(candidate)] = sum(self.settled(candidate, place) for place in reached)
        return candidate.kind == BUILDING, -self._cleared[id(candidate)], candidate.rank

    def _likely(self, finding: FindingKey) -> list[Option]:
        """Options that reach a check, those that its rule names first and building work last."""
        rule: Rule = self.library.rules[finding[0]]
        reach = [
            option
            for option in self.options
            if self._reaches(option.adjustment, rule.id) and rule.id not in option.adjustment.not_for
        ]
        return sorted(
            reach,
            key=lambda option: (option.adjustment.kind == "building work", option.adjustment.sets not in rule.tries),
        )

    def _reaches(self, adjustment: Adjustment, rule: str) -> bool:
        return RULE + rule in self.reach[adjustment.name]

    # one adjustment

    def _singles(self, finding: FindingKey) -> list[Tried]:
        """What one adjustment does for a finding."""
        tried: list[Tried] = []
        for option in self._likely(finding):
            if not self.trials.over:
                tried += self._try(option, finding, finding, self.start)
        return tried

    def _try(self, option: Option, aim: FindingKey, finding: FindingKey, base: Candidate) -> Iterator[Tried]:
        """Look along an option for the least setting that meets the check at ``aim``, and take it for ``finding``."""
        if not option.ordered:
            for index in range(len(option.settings)):
                yield from self._take(self._apply(option, index, base), finding, base)
            return
        seen = find_peak(
            lambda index: self._reading(option, index, base, aim), len(option.settings), _margin(base.job, aim)
        )
        if base is self.start and seen.least is None:
            self._most[(aim, *option.name)] = self._added(option, seen.best, aim)
        if seen.least is not None:
            clean = self._clean_from(option, seen.least, base, aim)
            least = seen.least if clean is None else clean
            yield from self._take(self._apply(option, self._further(option, least, base, aim), base), finding, base)
        elif seen.best is not None:
            yield from self._take(self._apply(option, seen.best, base), finding, base)

    def _apply(self, option: Option, index: int, base: Candidate) -> Candidate | None:
        """One more adjustment applied; ``None`` where that cannot be done. Earlier trials are remembered."""
        name = (*option.name, index)
        if name not in base.next:
            changes = apply(option, option.settings[index], base.job, self.system)
            allowed = changes is not None and (option.adjustment.kind == "building work" or is_free(changes, base.job))
            base.next[name] = self._changed(base, option.adjustment, changes) if changes and allowed else None
        return base.next[name]

    def _changed(self, base: Candidate, adjustment: Adjustment, changes: Changes) -> Candidate:
        applied = (*base.applied, Applied(adjustment, base.job, changes))
        return Candidate(self.trials.changed(base.job, changes), applied, base.names.union(changes))

    def _reading(self, option: Option, index: int, base: Candidate, aim: FindingKey) -> Sample:
        candidate = self._apply(option, index, base)
        outcome = None if candidate is None else outcome_at(candidate.job, aim)
        return Sample(False, None) if outcome is None else Sample(outcome.state == "met", outcome.margin)

    def _added(self, option: Option, best: int | None, aim: FindingKey) -> float:
        """What an option alone adds to a margin at its best setting.

        Infinity where that says nothing of what it does together with another: one that does not move the margin may
        be the next to decide.
        """
        was = _margin(self.start.job, aim)
        places = (0, len(option.settings) - 1) if best is None else (best,)
        found = [self._reading(option, place, self.start, aim).margin for place in places]
        known = [] if was is None else [now - was for now in found if now is not None and not same(now, was)]
        return max(0.0, *known) if known else inf

    def _further(self, option: Option, index: int, base: Candidate, aim: FindingKey) -> int:
        """The setting with some margin beyond the limit: further as long as that grows and brings nothing."""
        candidate = self._apply(option, index, base)
        outcome = None if candidate is None else outcome_at(candidate.job, aim)
        if candidate is None or outcome is None or not isinstance(outcome.limit, int | float):
            return index
        wanted, brought = MARGIN * abs(outcome.limit), self._worsened(candidate)
        for further in range(index + 1, min(index + MOST_FURTHER, len(option.settings))):
            margin = self._reading(option, further - 1, base, aim).margin
            reading, candidate = self._reading(option, further, base, aim), self._apply(option, further, base)
            if margin is None or reading.margin is None or margin >= wanted or candidate is None:
                return further - 1
            if not reading.met or reading.margin <= margin or not self._worsened(candidate) <= brought:
                return further - 1
        return min(index + MOST_FURTHER, len(option.settings)) - 1

    def _clean_from(self, option: Option, index: int, base: Candidate, aim: FindingKey) -> int | None:
        """From the first setting that meets the check on, the first that brings nothing else, where going on helps."""
        under, stride, last = index - 1, 1, frozenset[FindingKey]()
        while index < len(option.settings) and self._reading(option, index, base, aim).met:
            candidate = self._apply(option, index, base)
            if candidate is None or (last and self.baseline.still_worsened(candidate.job, last)):
                return None
            last = self._worsened(candidate)
            if not last:
                return self._first_clean(option, under, index, base, aim)
            under, index, stride = index, index + stride, 2 * stride
        return None

    def _first_clean(self, option: Option, under: int, over: int, base: Candidate, aim: FindingKey) -> int:
        while over - under > 1:
            middle = (under + over) // 2
            candidate = self._apply(option, middle, base)
            if candidate is not None and self._reading(option, middle, base, aim).met and not self._worsened(candidate):
                over = middle
            else:
                under = middle
        return over

    def _take(self, candidate: Candidate | None, finding: FindingKey, base: Candidate) -> Iterator[Tried]:
        """A candidate that clears the finding; as half a remedy, one that brings another or makes it less bad."""
        outcome = None if candidate is None else outcome_at(candidate.job, finding)
        if candidate is None or candidate.parts > MOST_PARTS:
            return
        if self.settled(candidate, finding):
            whole = self._followed(candidate, finding)
            yield Tried(candidate, False) if whole is None else Tried(whole, True)
        elif outcome is not None and outcome.state == "short":
            was = _margin(base.job, finding)
            now = outcome.margin
            if was is not None and now is not None and now > was and not same(now, was):
                yield Tried(candidate, False)

    def settled(self, candidate: Candidate, finding: FindingKey, job: Job | None = None) -> bool:
        """Whether a check is met, or does not apply any more since what its rule says to try was set otherwise; in
        the candidate's job, or in one that came of it."""
        outcome = outcome_at(job or candidate.job, finding)
        if outcome is not None:
            return outcome.state == "met"
        tries = self.library.rules[finding[0]].tries
        return any(
            applied.adjustment.sets in tries and None not in applied.changes.values() for applied in candidate.applied
        )

    def _worsened(self, candidate: Candidate) -> frozenset[FindingKey]:
        if candidate.worsened is None:
            candidate.worsened = self.baseline.worsened(candidate.job, candidate.names)
        return candidate.worsened

    # what follows from a change

    def _followed(self, candidate: Candidate, finding: FindingKey) -> Candidate | None:
        """The candidate with all values set again that follow from it; ``None`` where it still brings a finding."""
        taken = {applied.adjustment.sets for applied in candidate.applied}
        following = [
            adjustment
            for adjustment in self.adjustments
            if adjustment.formula is not None and adjustment.sets not in taken and _may_follow(adjustment)
        ]
        for _ in range(MOST_FOLLOWING + 1):
            worsened = self._worsened(candidate)
            if not worsened:
                return candidate if self.settled(candidate, finding) else None
            if not all(any(self._reaches(adjustment, rule) for adjustment in following) for rule, _, _ in worsened):
                return None
            better = self._set_again(candidate, following)
            if better is None or len(better.applied) > MOST_APPLIED or better.parts > MOST_PARTS:
                return None
            following = [
                adjustment for adjustment in following if adjustment.sets != better.applied[-1].adjustment.sets
            ]
            candidate = better
        return None

    def _set_again(self, candidate: Candidate, following: Sequence[Adjustment]) -> Candidate | None:
        """One more value set to what is worked out, so that less is wrong than before."""
        worsened = self._worsened(candidate)
        for adjustment in following:
            if any(self._reaches(adjustment, rule) for rule, _, _ in worsened):
                for option in self._narrow(adjustment, candidate, worsened):
                    applied = self._apply(option, 0, candidate)
                    if applied is not None and len(self._worsened(applied)) < len(worsened):
                        return applied
        return None

    def _narrow(
        self, adjustment: Adjustment, candidate: Candidate, worsened: frozenset[FindingKey]
    ) -> Iterator[Option]:
        """The setting worked out: first only at the things where something is wrong, then at all of them."""
        for option in options(adjustment, candidate.job, self.system):
            things = {
                key for rule, _, key in worsened if self.library.rules[rule].axis == adjustment.axis and key is not None
            }
            if option.key is None and things:
                yield option._replace(things=tuple(sorted(things)))
            yield option

    # two adjustments

    def _pairs(self, finding: FindingKey, half: Sequence[Candidate]) -> Iterator[Candidate]:
        """Two changes together: what the first brings the second fixes, or each goes part of the way."""
        best = sorted(half, key=lambda candidate: (candidate.kind, len(self._worsened(candidate)), candidate.rank))
        for first in best[:FIRST_TO_PAIR]:
            outcome = outcome_at(first.job, finding)
            met = outcome is not None and outcome.state == "met"
            aim = min(self._worsened(first), key=repr, default=finding) if met else finding
            margin = None if outcome is None or met else outcome.margin
            short = 0.0 if margin is None else abs(margin)
            used = {applied.adjustment.sets for applied in first.applied}
            for option in self._likely(aim):
                if (
                    option.adjustment.sets not in used
                    and TOGETHER * self._most.get((aim, *option.name), inf) >= short
                    and (option.adjustment.kind == "adjustment" or first.kind == 0)
                    and option.adjustment.kind != "building work"
                    and not self.trials.over
                ):
                    yield from (one.candidate for one in self._try(option, aim, finding, first) if one.clears)


def _may_follow(adjustment: Adjustment) -> bool:
    """Whether a value may be set again because of another change: what is set on site or cut to length, not a part."""
    return adjustment.kind == "adjustment" or adjustment.dimension == "length"


def is_free(changes: Changes, job: Job) -> bool:
    """Whether changes leave all that was measured or weighed as it is."""
    for name, change in changes.items():
        term = VOCABULARY.leaves.get(name)
        if term is None or term.known in (None, "seen"):
            continue
        if term.known in ("measured", "weighed"):
            return False
        said = job.values.get("section.weight_from", {})
        if any(said.get(key) == "weighed" for key in change):
            return False
    return True


def _margin(job: Job, finding: FindingKey) -> float | None:
    outcome = outcome_at(job, finding)
    return None if outcome is None else outcome.margin

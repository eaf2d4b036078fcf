"""The search for likely slips: each way to get a number wrong, tried on the values that the findings depend on.

First only the findings are asked again, then, of the slips that clear one, every rule that the edit can reach. The
number of trials is fixed. What is shown was written into the spec, read and reviewed again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from doorlint.causes import sort_by_cause
from doorlint.evaluation import job_of, within_bounds
from doorlint.figures.graph import Job
from doorlint.findings import Finding, LikelySlip, SpecReview
from doorlint.remedies.baseline import Baseline
from doorlint.remedies.options import alike, size
from doorlint.remedies.patches import patch_of, text_of
from doorlint.remedies.slip_edits import Edit, dotted, edits, value_at, words
from doorlint.remedies.trials import Trials
from doorlint.rulebook.library import RULE, Library, outcome_at
from doorlint.rulebook.per_library import per_library
from doorlint.rulebook.practice import check_figures
from doorlint.rulebook.rule import PLACE, FindingKey, Outcome, Severity
from doorlint.rulebook.slips import Slip, slips
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy

MOST_TRIALS = 500
"""edits that are tried on the findings"""
MOST_SLOW = 60
"""where nothing but slow rules has findings"""
MOST_WHOLE = 20
"""of those that clear a finding, the ones of which everything is asked"""
MOST_CHECKS = 60_000
"""trials times findings, which bounds the work on a spec with hundreds of findings"""
SLOW = ("setting.of_any",)
"""figures that take longer than all others together: rules that depend on them are asked last"""
MOST_SHOWN = 3
ENOUGH = 0.5
"""share of the best one's worth from which on another is shown"""

WEIGHT: Mapping[str, float] = {"error": 5.0, "warning": 2.0, "advisory": 0.5}
"""how much a finding counts by its severity"""
BROUGHT = 1.5
"""how much more a finding counts that the edit brings"""
COMMON = 0.05
"""what one degree of how common a slip is adds, as a share"""
TURN = 0.02
"""what an amount loses for each that is commoner"""
SIZE, SIZE_OF_ALL = 0.05, 0.25
"""what an edit loses that changes a value altogether: of a slip that is meant for it, and of one for all of its kind"""
NAMED = 0.05
"""what is added where a finding points at the value"""
FITS = 0.12
"""what is added where the value comes to be like one beside it, or like what its thing is called; taken off where it
is so already"""


class Tried(NamedTuple):
    """An edit with what it clears and brings."""

    edit: Edit
    clears: tuple[FindingKey, ...]
    worth: float
    """share of the findings that it clears, less what it brings, weighted by how likely it is"""


@per_library
def slips_of(library: Library) -> tuple[Slip, ...]:
    """The slips of a library, with those of house-rule folders over its own; raises :class:`BrokenRules`."""
    return slips([(pack.place, pack.slips) for _, pack in library.packs], library.graph)


def likely_slips(review: SpecReview, library: Library, policy: Policy) -> tuple[LikelySlip, ...]:
    """The likeliest slips behind the findings of a spec, the likeliest first; none for a spec without findings.

    Advisories and what was signed off start no search.
    """
    if review.spec is None or review.job is None or review.stage is None or not _calls(review):
        return ()
    search = _Search(review, review.stage, library, policy)
    shown: list[LikelySlip] = []
    best = 0.0
    later: list[LikelySlip] = []
    for tried in search.ranked():
        if len(shown) == MOST_SHOWN:
            break
        covered = {place for slip in shown for place in slip.clears}
        of_its_own = covered.isdisjoint(tried.clears)
        if not of_its_own and (tried.worth < ENOUGH * best or len(later) == MOST_SHOWN):
            continue
        slip = _reviewed(tried, search, review.stage, review)
        if slip is None or slip.pointer in {one.pointer for one in (*shown, *later)}:
            continue
        best = best or tried.worth
        if not shown or covered.isdisjoint(slip.clears):
            shown.append(slip)
        elif not slip.brings:
            later.append(slip)
    return (*shown, *later)[:MOST_SHOWN]


def _calls(review: SpecReview) -> list[tuple[FindingKey, Severity]]:
    """The findings to search for: errors and warnings, and errors that a wrong value keeps from being checked."""
    loud = [(finding.place, finding.severity) for finding in review.findings if finding.severity != "advisory"]
    stuck = [gap for gap in review.not_checked if gap.severity == "error" and gap.reason != "input missing"]
    return [*loud, *((gap.place, gap.severity) for gap in stuck)]


def _weights(review: SpecReview, baseline: Baseline, library: Library) -> Iterator[tuple[FindingKey, float]]:
    """How much each of them counts."""
    for place, severity in _calls(review):
        if place in baseline.open_before:
            yield place, WEIGHT[severity]
    for finding in review.findings:
        if finding.severity == "advisory" and review.job and _is_short(review.job, finding.place, library):
            yield finding.place, WEIGHT["advisory"]


def with_slips(review: SpecReview, library: Library, policy: Policy) -> SpecReview:
    """A review with its likely slips; what the likeliest would clear follows from the finding that is nearest to it."""
    review = review._replace(likely_slips=likely_slips(review, library, policy))
    for slip in review.separate_slips:
        if len(slip.clears) > 1 and not any(severity == "error" for _, severity, _ in slip.brings):
            review = _led(review, slip)
    return review


def _led(review: SpecReview, slip: LikelySlip) -> SpecReview:
    together = [finding for finding in review.findings if finding.place in slip.clears]
    led = {cause for finding in review.findings for cause in finding.causes}
    root = min(together, key=lambda finding: (_apart(finding, slip.pointer), finding.place not in led)).place
    inside = {finding.place for finding in together}

    def caused(finding: Finding) -> Finding:
        if finding.place == root:
            return finding._replace(causes=())
        follows = finding.place in inside or not inside.isdisjoint(finding.causes)
        return finding._replace(causes=(root,)) if follows else finding

    return review._replace(findings=tuple(map(caused, review.findings)))


def _apart(finding: Finding, pointer: str) -> int:
    """How far a finding points from a value: at it, at the group that it is in, elsewhere."""
    if finding.pointer == pointer:
        return 0
    return 1 if pointer.startswith(f"{finding.pointer}/") else 2


class _Search:
    """One search over all slips."""

    def __init__(self, review: SpecReview, stage: str, library: Library, policy: Policy) -> None:
        assert review.job is not None
        assert review.spec is not None
        self.library, self.policy, self.job, self.spec = library, policy, review.job, review.spec
        self.baseline = Baseline(library, self.job, stage, policy)
        self.weights = dict(_weights(review, self.baseline, library))
        self.all = sum(self.weights.values())

    def ranked(self) -> list[Tried]:
        """The edits that clear something, the worthiest first; none where only doorlint's own rules find anything."""
        if not self.weights:
            return []
        slow = _slow(self.library)
        quick = [place for place in self.weights if place[0] not in slow]
        most = MOST_TRIALS if quick else MOST_SLOW
        self.trials = Trials(min(most, max(MOST_WHOLE, MOST_CHECKS // len(self.weights))))
        found: dict[str, tuple[float, Edit, Job]] = {}
        known: dict[str, tuple[Job, tuple[FindingKey, ...]]] = {}
        for edit in self._in_turn(quick or list(self.weights)):
            name = repr(edit.changes)
            if name not in known:
                if self.trials.over:
                    break
                changed = self.trials.changed(self.job, edit.changes)
                known[name] = changed, self._cleared(quick or self.weights, edit, changed)
            changed, clears = known[name]
            worth = self._worth(edit, clears, ()) if clears else 0.0
            if worth > 0.0 and (name not in found or worth > found[name][0]):
                found[name] = worth, edit, changed
        best = sorted(found.values(), key=lambda one: (-one[0], _name(one[1])))[:MOST_WHOLE]
        whole = [self._whole(edit, changed) for _, edit, changed in best]
        return sorted((one for one in whole if one.worth > 0), key=lambda one: (-one.worth, _name(one.edit)))

    def _whole(self, edit: Edit, changed: Job) -> Tried:
        clears = self._cleared(self.weights, edit, changed)
        return Tried(edit, clears, self._worth(edit, clears, self.baseline.worsened(changed, edit.changes)))

    def _cleared(self, places: Iterable[FindingKey], edit: Edit, changed: Job) -> tuple[FindingKey, ...]:
        below = self.library.graph.downstream(name for name, _ in edit.places)
        reached = [place for place in places if RULE + place[0] in below]
        return tuple(place for place in reached if self.is_cleared(place, edit, changed))

    def _in_turn(self, places: Iterable[FindingKey]) -> Iterator[Edit]:
        """All edits of the values that these depend on; first those that can clear most and are most common."""
        hangs: dict[str, float] = {}
        for place in places:
            rule = self.library.rules[place[0]]
            for name in _leaves(self.library, rule.id):
                if name in self.job.values:
                    near = 2 if name == rule.at or name in rule.tries else 1
                    hangs[name] = hangs.get(name, 0.0) + near * self.weights[place]
        able = [slip for slip in slips_of(self.library) if any(name in hangs for name in slip.sets)]
        able.sort(
            key=lambda slip: -max(hangs.get(name, 0.0) for name in slip.sets) * (2 + slip.common + 3 * slip.named)
        )
        for slip in able:
            yield from edits(slip, self.job, self.spec)

    def is_cleared(self, place: FindingKey, edit: Edit, changed: Job) -> bool:
        """Whether a check is met, or is not made any more: of another number, or of a word that it points at or says to
        try."""
        outcome: Outcome | None = outcome_at(changed, place)
        if outcome is not None:
            return outcome.state == "met"
        rule = self.library.rules[place[0]]
        numbers = all(isinstance(value, int | float) and not isinstance(value, bool) for value in edit.values)
        return numbers or any(name == rule.at or name in rule.tries for name, _ in edit.places)

    def severity(self, rule: str) -> Severity:
        """The severity of a rule here."""
        return self.policy.severities.get(rule, self.library.all_rules[rule]).severity

    def _worth(self, edit: Edit, clears: tuple[FindingKey, ...], brings: frozenset[FindingKey] | tuple[()]) -> float:
        cleared = sum(self.weights[place] for place in clears)
        brought = sum(WEIGHT["error" if self.baseline.rules[RULE + rule] else "warning"] for rule, _, _ in brings)
        net = (cleared - BROUGHT * brought) / self.all
        if net <= 0:
            return net
        pointers = {VOCABULARY.pointer_of(*place) for place in edit.places}
        named = any(pointer in pointers for _, pointer, _ in self.weights)
        liked = COMMON * edit.slip.common - TURN * edit.turn + NAMED * named + FITS * _fits_in(edit, self.job)
        heavy = SIZE if edit.slip.named else SIZE_OF_ALL
        return net * (1 + liked - heavy * _size(edit, self.job))


def _size(edit: Edit, job: Job) -> float:
    """How much an edit changes: for each value up to 1."""
    return sum(size(value_at(place, job), value) for place, value in zip(edit.places, edit.values, strict=True))


def _fits_in(edit: Edit, job: Job) -> int:
    """Whether the value comes to be like another of its list or group, or like what its thing is called; -1 where it
    is so now."""
    name, key = edit.places[0]
    held, now = job.values[name], edit.values[0]
    if not isinstance(held, dict):
        group = name.rpartition(".")[0]
        others = [job.values[other] for other in _siblings(group) if other != name and other in job.values]
        return int(any(alike(now, other) for other in others))
    if isinstance(now, str) and str(held[key]) in str(key):
        return -1
    return int(any(alike(now, value) for other, value in held.items() if other != key) or str(now) in str(key))


def _siblings(group: str) -> list[str]:
    return [name for name in VOCABULARY.leaves if name.rpartition(".")[0] == group]


def _name(edit: Edit) -> tuple[int, str, str]:
    return -edit.slip.common, dotted(edit.places[0]), repr(edit.values)


@per_library
def _slow(library: Library) -> frozenset[str]:
    """The rules that depend on a slow figure."""
    return frozenset(cell.removeprefix(RULE) for cell in library.graph.downstream(SLOW) if cell.startswith(RULE))


@per_library
def _leaves(library: Library, rule: str) -> tuple[str, ...]:
    """The spec values that a rule depends on."""
    return tuple(name for name in library.graph.upstream(RULE + rule) if name in VOCABULARY.leaves)


def _reviewed(tried: Tried, search: _Search, stage: str, review: SpecReview) -> LikelySlip | None:
    """A slip as it is shown, once the spec without it has been read and checked."""
    edit, spec, job, library = tried.edit, search.spec, search.job, search.library
    texts = {place: text for place, text in zip(edit.places, edit.texts, strict=True) if text is not None}
    patch = patch_of([edit.changes], spec.system, texts)
    changed = within_bounds(spec.patched(patch), library)
    if changed.problems:
        return None
    after = job_of(changed, library, job)
    asked = [finding.place for finding in review.findings if _is_short(job, finding.place, library)]
    clears = tuple(place for place in asked if search.is_cleared(place, edit, after))
    before = {finding.place for finding in review.findings} | {approved.finding.place for approved in review.approved}
    now = sort_by_cause(library, after, stage)
    still_open = (*now.outcomes.open, *now.impossible, *now.stopped, *check_figures(library, changed.values))
    brought = [outcome for outcome in still_open if outcome.state == "short"]
    brings = [(one.rule, search.severity(one.rule), one.pointer) for one in brought if one.place not in before]
    name, key = edit.places[0]
    pointer, said = VOCABULARY.pointer_of(name, key), words(edit, job, review.system)
    given = spec.text(pointer)
    return LikelySlip(
        slip=edit.slip.name,
        pointer=pointer,
        line=spec.position(pointer)[0],
        given=given if given is not None else text_of(name, value_at(edit.places[0], job), spec.system),
        would_be=edit.texts[0] or text_of(name, edit.values[0], spec.system),
        says=PLACE.sub(lambda place: said[place[1]], edit.slip.say),
        clears=clears,
        brings=tuple(sorted(brings)),
        why=edit.slip.why,
        measure=PLACE.sub(lambda place: said[place[1]], edit.slip.measure),
        patch=patch,
    )


def _is_short(job: Job, place: FindingKey, library: Library) -> bool:
    outcome = outcome_at(job, place) if place[0] in library.rules else None
    return outcome is not None and outcome.state == "short"

"""What would clear it: the smallest changes, one or two, that clear a finding and bring no new one.

A finding counts as cleared only when the same check, made again at the same thing, is met. A change that makes a
check not apply or not answerable clears nothing, and one that brings or worsens any other error or warning, or leaves
an error unanswered that was answered, is no remedy. Whatever is worked out from the change and must be set anew with
it (plates, links, cut lengths) is set anew, and counts as a change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.approvals import Place, exact
from doorlint.errors import WrongCall
from doorlint.figures.graph import Job
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.quantities import System
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.rule import Rule
from doorlint.rulebook.stock import KINDS, Dial, Kind
from doorlint.spec import Patch, Spec
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Checked, Policy, check_spec, judge
from doorlint.whatif.bench import Bench, outcome_at
from doorlint.whatif.change import Edit, edits
from doorlint.whatif.dials import Changes, Ray, rays, same, stock, turn
from doorlint.whatif.ranges import Range, ranges
from doorlint.whatif.walk import Reading, walk

MOST_CANDIDATES = 20_000
MOST_SHOWN = 3
"""remedies shown for one finding"""
MOST_FOLLOWING = 5
"""values set anew with a change"""
FIRST_TO_PAIR = 10
"""half remedies of a finding that are tried together with others"""
BUILDING = KINDS.index("building work")


class Proposal(NamedTuple):
    """A set of changes that clears findings and brings none."""

    kind: Kind
    changes: tuple[str, ...]
    """each change in words"""
    patch: Patch
    """the same as a partial spec"""
    edits: tuple[Edit, ...]
    job: Job
    """the job with the changes made"""
    clears: tuple[Place, ...]
    confirm: tuple[str, ...]
    """pointers of what is taken as it stands and must be known anew"""


@dataclass(frozen=True, slots=True)
class Answer:
    """One finding and what would clear it, the least first."""

    finding: Finding
    proposals: tuple[Proposal, ...]

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
    def widest(self) -> Proposal | None:
        """The remedy that clears most findings, where one clears more than one."""
        every = [proposal for answer in self.answers for proposal in answer.proposals]
        best = max(every, key=lambda proposal: len(proposal.clears), default=None)
        return best if best is not None and len(best.clears) > 1 else None


def remedies(
    checked: Checked, library: Library, policy: Policy, file: str, stop: Callable[[], bool] = lambda: False
) -> Remedies:
    """What would clear every error and warning of a spec.

    ``stop`` is asked now and then; once it says yes the search ends with what it has. Raises :class:`WrongCall` for a
    spec that cannot be read.
    """
    record, spec, job = checked
    if job is None or record.stage is None:
        _, _, line, column, message = record.problems[0]
        raise WrongCall(f"{file}:{line}:{column}: {message}")
    review = judge(record, library, policy, file, spec, job)
    wanted = [finding for finding in review.findings if finding.severity != "advisory"]
    search = _Search(spec, job, library, policy, record.stage, review.system, stop)
    found = search.run([place(finding) for finding in wanted if _is_checked(finding, library)])
    answers = tuple(Answer(finding, found.get(place(finding), ())) for finding in wanted)
    lacking = tuple(gap for gap in review.not_checked if gap.severity == "error")
    return Remedies(review, answers, lacking, job, search.candidates, search.complete)


def with_ranges(
    found: Remedies, library: Library, policy: Policy, stop: Callable[[], bool] = lambda: False
) -> Remedies:
    """The same, with how far the measured values of the spec may move."""
    review = found.review
    assert review.stage is not None
    moved = ranges(found.job, review.stage, library, policy, review.system, stop)
    return replace(found, ranges=moved, complete=found.complete and not stop())


def place(finding: Finding) -> Place:
    """What a finding is about."""
    return finding.rule, finding.pointer, finding.thing


def _is_checked(finding: Finding, library: Library) -> bool:
    """Whether a rule was held against a value: what is missing is given, not changed."""
    return finding.rule in library.rules and library.rules[finding.rule].check != "present"


class _Turned(NamedTuple):
    """One dial turned."""

    dial: Dial
    before: Job
    changes: Changes

    @property
    def moved(self) -> list[tuple[str | None, Any, Any]]:
        """Each thing that is set otherwise, with before and after."""
        after, now = self.changes[self.dial.sets], self.before.values.get(self.dial.sets)
        if not isinstance(after, dict):
            return [(None, now, after)]
        column = now or {}
        pairs = [(key, column.get(key), value) for key, value in after.items()]
        return [pair for pair in pairs if not _alike(pair[1], pair[2])]

    @property
    def size(self) -> float:
        """How much it changes, as a share of the larger of before and after; 1 for a choice or something new."""
        return sum(_size(was, now) for _, was, now in self.moved)

    def words(self, system: System) -> str:
        """The change as a fitter would say it."""
        said = (_words(self.dial, thing, was, now, system) for thing, was, now in self.moved)
        return "; ".join(dict.fromkeys(said))


class _Candidate:
    """A job with dials turned, and what has been tried from it."""

    __slots__ = ("amiss", "job", "names", "next", "turned")

    def __init__(self, job: Job, turned: tuple[_Turned, ...] = (), names: frozenset[str] = frozenset()) -> None:
        self.job, self.turned, self.names = job, turned, names
        self.amiss: frozenset[Place] | None = None
        self.next: dict[tuple[Any, ...], _Candidate | None] = {}

    @property
    def kind(self) -> int:
        return max(KINDS.index(turned.dial.kind) for turned in self.turned)

    @property
    def dials(self) -> tuple[tuple[str, tuple[str | None, ...]], ...]:
        """Which dials are turned, and at what."""
        return tuple((turned.dial.name, tuple(key for key, _, _ in turned.moved)) for turned in self.turned)


class _Search:
    """One search over the stock, for every finding of a job."""

    def __init__(
        self,
        spec: Spec,
        job: Job,
        library: Library,
        policy: Policy,
        stage: str,
        system: System,
        stop: Callable[[], bool],
    ) -> None:
        self.spec, self.library, self.stage, self.system, self.stop = spec, library, stage, system, stop
        self.bench = Bench(library, job, stage, policy)
        self.start = _Candidate(job)
        self.dials = stock(library)
        self.order = {dial.name: number for number, dial in enumerate(self.dials)}
        self.rays = [ray for dial in self.dials for ray in rays(dial, job, system)]
        self.reach = {dial.name: library.graph.downstream(dial.names) for dial in self.dials}
        self.candidates = 0
        self.complete = True
        self.proposed: dict[tuple[str, ...], Proposal | None] = {}

    def run(self, findings: Sequence[Place]) -> dict[Place, tuple[Proposal, ...]]:
        """The remedies of each finding, the least first."""
        found: dict[Place, list[_Candidate]] = {finding: [] for finding in findings}
        half: dict[Place, list[_Candidate]] = {finding: [] for finding in findings}
        for finding in findings:
            for ray in self._likely(finding):
                if not self._over():
                    self._try(ray, finding, finding, self.start, found[finding], half[finding])
        for finding in findings:
            if all(candidate.kind == BUILDING for candidate in found[finding]):
                self._pairs(finding, half[finding], found[finding])
        return {finding: self._shown(finding, found[finding]) for finding in findings}

    def _over(self) -> bool:
        if self.complete and (self.candidates >= MOST_CANDIDATES or self.stop()):
            self.complete = False
        return not self.complete

    def _likely(self, finding: Place) -> list[Ray]:
        """Rays that reach a check, those that its rule names first and building work last."""
        rule: Rule = self.library.rules[finding[0]]
        reach = [ray for ray in self.rays if self._reaches(ray.dial, rule.id)]
        return sorted(reach, key=lambda ray: (ray.dial.kind == "building work", ray.dial.sets not in rule.tries))

    def _reaches(self, dial: Dial, rule: str) -> bool:
        return RULE + rule in self.reach[dial.name]

    # one dial

    def _try(
        self, ray: Ray, aim: Place, finding: Place, base: _Candidate, found: list[_Candidate], half: list[_Candidate]
    ) -> None:
        """Look along a ray for the least setting that meets the check at ``aim``, and take it for ``finding``."""
        if not ray.ordered:
            for index in range(len(ray.settings)):
                self._take(self._turn(ray, index, base), finding, base, found, half)
            return
        seen = walk(lambda index: self._reading(ray, index, base, aim), len(ray.settings), _margin(base.job, aim))
        if seen.least is not None:
            clean = self._clean_from(ray, seen.least, base, aim)
            self._take(self._turn(ray, seen.least if clean is None else clean, base), finding, base, found, half)
        elif seen.best is not None:
            self._take(self._turn(ray, seen.best, base), finding, base, found, half)

    def _turn(self, ray: Ray, index: int, base: _Candidate) -> _Candidate | None:
        """One more dial turned; ``None`` where that cannot be done. What was tried once is known."""
        name = (*ray.name, index)
        if name not in base.next:
            self.candidates += 1
            changes = turn(ray, ray.settings[index], base.job, self.system)
            base.next[name] = None if changes is None else self._changed(base, ray.dial, changes)
        return base.next[name]

    def _changed(self, base: _Candidate, dial: Dial, changes: Changes) -> _Candidate:
        turned = (*base.turned, _Turned(dial, base.job, changes))
        return _Candidate(base.job.but(changes), turned, base.names.union(changes))

    def _reading(self, ray: Ray, index: int, base: _Candidate, aim: Place) -> Reading:
        candidate = self._turn(ray, index, base)
        outcome = None if candidate is None else outcome_at(candidate.job, aim)
        return Reading(False, None) if outcome is None else Reading(outcome.state == "met", outcome.margin)

    def _clean_from(self, ray: Ray, index: int, base: _Candidate, aim: Place) -> int | None:
        """From the first setting that meets the check on, the first that brings nothing else, where going on helps."""
        under, stride, last = index - 1, 1, frozenset[Place]()
        while index < len(ray.settings) and self._reading(ray, index, base, aim).met:
            candidate = self._turn(ray, index, base)
            if candidate is None or (last and self.bench.still_amiss(candidate.job, last)):
                return None
            last = self._amiss(candidate)
            if not last:
                return self._first_clean(ray, under, index, base, aim)
            under, index, stride = index, index + stride, 2 * stride
        return None

    def _first_clean(self, ray: Ray, under: int, over: int, base: _Candidate, aim: Place) -> int:
        while over - under > 1:
            middle = (under + over) // 2
            candidate = self._turn(ray, middle, base)
            if candidate is not None and self._reading(ray, middle, base, aim).met and not self._amiss(candidate):
                over = middle
            else:
                under = middle
        return over

    def _take(
        self,
        candidate: _Candidate | None,
        finding: Place,
        base: _Candidate,
        found: list[_Candidate],
        half: list[_Candidate],
    ) -> None:
        """Keep a candidate that clears the finding; as half a remedy, one that brings another or makes it less bad."""
        outcome = None if candidate is None else outcome_at(candidate.job, finding)
        if candidate is None or outcome is None:
            return
        if outcome.state == "met":
            whole = self._followed(candidate, finding)
            (half if whole is None else found).append(whole or candidate)
        elif outcome.state == "short":
            was = _margin(base.job, finding)
            now = outcome.margin
            if was is not None and now is not None and now > was and not same(now, was):
                half.append(candidate)

    def _amiss(self, candidate: _Candidate) -> frozenset[Place]:
        if candidate.amiss is None:
            candidate.amiss = self.bench.amiss(candidate.job, candidate.names)
        return candidate.amiss

    # what follows from a change

    def _followed(self, candidate: _Candidate, finding: Place) -> _Candidate | None:
        """The candidate with all set anew that follows from it; ``None`` when it brings something even so."""
        taken = {turned.dial.sets for turned in candidate.turned}
        following = [dial for dial in self.dials if dial.formula is not None and dial.sets not in taken]
        for _ in range(MOST_FOLLOWING + 1):
            amiss = self._amiss(candidate)
            if not amiss:
                outcome = outcome_at(candidate.job, finding)
                return candidate if outcome is not None and outcome.state == "met" else None
            if not all(any(self._reaches(dial, rule) for dial in following) for rule, _, _ in amiss):
                return None
            better = self._set_anew(candidate, following)
            if better is None:
                return None
            following = [dial for dial in following if dial.sets != better.turned[-1].dial.sets]
            candidate = better
        return None

    def _set_anew(self, candidate: _Candidate, following: Sequence[Dial]) -> _Candidate | None:
        """One more value set to what is worked out, so that less is amiss than before."""
        amiss = self._amiss(candidate)
        for dial in following:
            if any(self._reaches(dial, rule) for rule, _, _ in amiss):
                for ray in self._narrow(dial, candidate, amiss):
                    turned = self._turn(ray, 0, candidate)
                    if turned is not None and len(self._amiss(turned)) < len(amiss):
                        return turned
        return None

    def _narrow(self, dial: Dial, candidate: _Candidate, amiss: frozenset[Place]) -> Iterator[Ray]:
        """The setting worked out: first at those things alone where something is amiss, then at all of them."""
        for ray in rays(dial, candidate.job, self.system):
            things = {key for rule, _, key in amiss if self.library.rules[rule].axis == dial.axis and key is not None}
            if ray.key is None and things:
                yield ray._replace(things=tuple(sorted(things)))
            yield ray

    # two dials

    def _pairs(self, finding: Place, half: list[_Candidate], found: list[_Candidate]) -> None:
        """Two changes together: what the first brings the second mends, or each goes part of the way."""
        half.sort(key=lambda candidate: (candidate.kind, len(self._amiss(candidate)), self._rank(candidate)))
        for first in half[:FIRST_TO_PAIR]:
            outcome = outcome_at(first.job, finding)
            met = outcome is not None and outcome.state == "met"
            aim = min(self._amiss(first), key=repr, default=finding) if met else finding
            used = {turned.dial.sets for turned in first.turned}
            for ray in self._likely(aim):
                if ray.dial.sets not in used and ray.dial.kind != "building work" and not self._over():
                    self._try(ray, aim, finding, first, found, [])

    # what is shown

    def _shown(self, finding: Place, candidates: list[_Candidate]) -> tuple[Proposal, ...]:
        """The least remedies, each of other dials than those before it, each found again by a review of the spec."""
        shown: list[Proposal] = []
        tried: set[tuple[Any, ...]] = set()
        for candidate in sorted(candidates, key=self._rank):
            dials = tuple(sorted(candidate.dials, key=repr))
            if dials not in tried:
                proposal = self._proposal(candidate)
                if proposal is not None and finding in proposal.clears:
                    tried.add(dials)
                    shown.append(proposal)
                if len(shown) == MOST_SHOWN:
                    break
        return tuple(shown)

    def _rank(self, candidate: _Candidate) -> tuple[Any, ...]:
        size = sum(turned.size for turned in candidate.turned)
        return candidate.kind, len(candidate.turned), round(size, 9), repr(candidate.dials)

    def _proposal(self, candidate: _Candidate) -> Proposal | None:
        said = tuple(turned.words(self.system) for turned in candidate.turned)
        if said not in self.proposed:
            self.proposed[said] = self._reviewed(candidate, said)
        return self.proposed[said]

    def _reviewed(self, candidate: _Candidate, said: tuple[str, ...]) -> Proposal | None:
        """The proposal, once the spec with its changes written in has been read and held against the rules."""
        patch = _patch(candidate, self.system)
        changed = self.spec.patched(patch)
        if changed.problems:
            return None
        after = check_spec(changed, "", self.library, self.stage, self.start.job).job
        assert after is not None
        if self.bench.amiss(after, candidate.names):
            return None
        clears = [finding for finding, stood in self.bench.standing.items() if stood.state == "short"]
        outcomes = {finding: outcome_at(after, finding) for finding in clears}
        return Proposal(
            KINDS[candidate.kind],
            said,
            patch,
            tuple(edits(self.spec, changed)),
            after,
            tuple(finding for finding, outcome in outcomes.items() if outcome is not None and outcome.state == "met"),
            tuple(dict.fromkeys(pointer for turned in candidate.turned for pointer in _to_confirm(turned, after))),
        )


def _margin(job: Job, finding: Place) -> float | None:
    outcome = outcome_at(job, finding)
    return None if outcome is None else outcome.margin


def _to_confirm(turned: _Turned, job: Job) -> Iterator[str]:
    keys = [key for key, _, _ in turned.moved]
    for name in turned.dial.confirm:
        held = job.values.get(name)
        if not isinstance(held, dict):
            yield from [VOCABULARY.pointer_of(name)] if held is not None else []
        else:
            own = VOCABULARY.leaves[name].axis == turned.dial.axis
            yield from (VOCABULARY.pointer_of(name, key) for key in held if not own or key in keys)


# words and texts


def _alike(one: Any, other: Any) -> bool:
    return same(one, other) if isinstance(one, float) and isinstance(other, float) else bool(one == other)


def _size(was: Any, now: Any) -> float:
    if not all(isinstance(side, int | float) and not isinstance(side, bool) for side in (was, now)):
        return 1.0
    largest = max(abs(was), abs(now))
    return abs(now - was) / largest if largest else 0.0


def _words(dial: Dial, thing: str | None, was: Any, now: Any, system: System) -> str:
    more = abs(now - was) if isinstance(now, float) and isinstance(was, float) else None
    places = {
        "{thing}": thing or "",
        "{before}": "none" if was is None else written(dial.sets, was, system),
        "{after}": written(dial.sets, now, system),
        "{more}": "" if more is None else written(dial.sets, more, system),
    }
    said = dial.say
    for name, text in places.items():
        said = said.replace(name, text)
    return said


def written(name: str, value: Any, system: System) -> str:
    """A spec value as a spec would have it: a trade's fraction where that reads back the same, else all its digits."""
    dimension = VOCABULARY.leaves[name].reckoned
    if isinstance(value, bool) or dimension is None:
        return exact(value, None)
    if dimension in ("count", "ratio"):
        return str(int(value)) if value == int(value) else repr(value)
    for text in (
        quantities.write(value, dimension, system),
        quantities.write(value, dimension, system, denominator=64),
        quantities.write(value, dimension, system, places=2),
    ):
        if same(quantities.read(text, dimension, signed=True), value):
            return text
    return quantities.write_exact(value, dimension, system)


def _patch(candidate: _Candidate, system: System) -> dict[str, Any]:
    """The changes as a partial spec of texts."""
    patch: dict[str, Any] = {}
    for turned in candidate.turned:
        for name, change in turned.changes.items():
            term = VOCABULARY.leaves.get(name)
            if term is None:
                continue  # a group is there as soon as something in it is
            for key, value in change.items() if isinstance(change, dict) else [(None, change)]:
                *groups, last = steps(VOCABULARY.pointer_of(name, key))
                inside = patch
                for group in groups:
                    inside = inside.setdefault(group, {})
                inside[last] = _node(name, value, system)
    return patch


def _node(name: str, value: Any, system: System) -> Any:
    if value is None:
        return None
    if isinstance(value, tuple):
        return [item if isinstance(item, str) else written(name, item, system) for item in value]
    return written(name, value, system)

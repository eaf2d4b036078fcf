"""What would clear it: the smallest changes, one or two, that clear a finding and bring no new one.

A finding counts as cleared only when the same check, made again at the same thing, is met. A change that makes a
check not apply or not answerable clears nothing, and one that brings or worsens any other error or warning, or leaves
an error unanswered that was answered, is no remedy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.approvals import Place, exact, place_of
from doorlint.errors import WrongCall
from doorlint.figures.graph import Job
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.quantities import System
from doorlint.review import Checked, Policy, check_spec, judge
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.rule import Outcome, Rule
from doorlint.rulebook.stock import KINDS, Dial, Kind, dimension_of
from doorlint.spec import Patch, Spec
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.whatif.change import Edit, Move, edits, moves
from doorlint.whatif.dials import Changes, Ray, before, rays, same, stock, turn

MOST_CANDIDATES = 20_000
MOST_SHOWN = 3
"""remedies shown for one finding"""
MOST_FOLLOWING = 5
"""values set anew with a change"""
FIRST_TO_PAIR = 10
"""how many half remedies of a finding are tried together with others"""


class Turned(NamedTuple):
    """One dial turned."""

    dial: Dial
    key: str | None
    changes: Changes
    size: float
    """by how much, as a share of the larger of before and after; 1 for a choice"""
    say: str


class Proposal(NamedTuple):
    """A set of changes that clears findings and brings none."""

    kind: Kind
    changes: tuple[str, ...]
    """each change in words"""
    patch: Patch
    """the same as a partial spec"""
    edits: tuple[Edit, ...]
    moves: tuple[Move, ...]
    clears: tuple[Place, ...]
    confirm: tuple[str, ...]
    """pointers of what is taken as it stands and must be known anew"""


@dataclass(frozen=True, slots=True)
class Answer:
    """One finding and what would clear it, the least first; only building work where nothing in stock does."""

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
    """error rules that could not be checked: these ask for answers, not for changes"""
    candidates: int
    complete: bool
    """whether the search went to its end"""


def remedies(
    checked: Checked, library: Library, policy: Policy, file: str, stop: Callable[[], bool] = lambda: False
) -> Remedies:
    """What would clear every error and warning of a spec.

    ``stop`` is asked now and then; once it says yes the search ends with what it has. Raises :class:`WrongCall` for a
    spec that cannot be read.
    """
    record, spec, job = checked
    if job is None or record.stage is None:
        raise WrongCall(f"{file} cannot be read: {record.problems[0][4]}")
    review = judge(record, library, policy, file, spec, job)
    search = _Search(spec, job, library, policy, record.stage, review, stop)
    wanted = [finding for finding in review.findings if finding.severity != "advisory"]
    found = search.run([finding for finding in wanted if _has_outcome(finding, library)])
    answers = tuple(Answer(finding, found.get(_place(finding), ())) for finding in wanted)
    lacking = tuple(gap for gap in review.not_checked if gap.severity == "error")
    return Remedies(review, answers, lacking, search.candidates, search.complete)


def _has_outcome(finding: Finding, library: Library) -> bool:
    """Whether a rule of the book was held against a value; what is missing is given, not changed."""
    return finding.rule in library.rules and library.rules[finding.rule].check != "present"


def _place(finding: Finding) -> Place:
    return finding.rule, finding.pointer, finding.thing


class _Candidate(NamedTuple):
    """A job with one or more dials turned."""

    job: Job
    turned: tuple[Turned, ...]
    names: frozenset[str]

    @property
    def rank(self) -> tuple[int, int, float]:
        kind = max((KINDS.index(turned.dial.kind) for turned in self.turned), default=0)
        return kind, len(self.turned), sum(turned.size for turned in self.turned)


class _Bench:
    """What a changed job is held against: the findings that stand, and every check that a change can reach."""

    def __init__(self, library: Library, job: Job, stage: str, policy: Policy) -> None:
        self.job, self.graph = job, library.graph
        self.rules: dict[str, tuple[Rule, bool]] = {}
        for rule in library.in_force(stage):
            severity = policy.severities.get(rule.id, rule.severity)
            if severity != "advisory":
                self.rules[RULE + rule.id] = rule, severity == "error"
        self.standing: dict[Place, Outcome] = {
            place_of(outcome): outcome
            for cell in self.rules
            for outcome in job.cell(cell)
            if outcome.state != "met"
        }
        self._reached: dict[frozenset[str], list[str]] = {}

    def reached(self, names: frozenset[str]) -> list[str]:
        """The cells of errors and warnings that read any of these names; kept, and kept sorted by use."""
        if names not in self._reached:
            below = self.graph.downstream(names)
            self._reached[names] = [cell for cell in self.rules if cell in below]
        return self._reached[names]

    def amiss(self, candidate: _Candidate) -> frozenset[Place]:
        """Where a changed job has an error or warning that it did not have, or a worse one."""
        found = set()
        for cell in self.reached(candidate.names):
            is_error = self.rules[cell][1]
            for outcome in candidate.job.cell(cell):
                if outcome.state != "met" and self._is_new(outcome, is_error):
                    found.add(place_of(outcome))
        return frozenset(found)

    def _is_new(self, outcome: Outcome, is_error: bool) -> bool:
        stood = self.standing.get(place_of(outcome))
        if outcome.state == "unknown":
            return is_error and (stood is None or stood.state != "unknown")
        if stood is None or stood.state == "unknown":
            return True
        if outcome.margin is None or stood.margin is None:
            return False
        return outcome.margin < stood.margin and not same(outcome.margin, stood.margin)


def _outcome(job: Job, place: Place) -> Outcome | None:
    rule, pointer, key = place
    outcomes: Sequence[Outcome] = job.cell(RULE + rule)
    return next((found for found in outcomes if found.pointer == pointer and found.key == key), None)


class _Search:
    def __init__(
        self,
        spec: Spec,
        job: Job,
        library: Library,
        policy: Policy,
        stage: str,
        review: SpecReview,
        stop: Callable[[], bool],
    ) -> None:
        self.spec, self.job, self.library, self.policy, self.stage = spec, job, library, policy, stage
        self.system: System = review.system
        self.stop = stop
        self.bench = _Bench(library, job, stage, policy)
        self.start = _Candidate(job, (), frozenset())
        dials = stock(library)
        self.order = {dial.name: place for place, dial in enumerate(dials)}
        self.following = [dial for dial in dials if dial.formula is not None]
        self.rays = [ray for dial in dials for ray in rays(dial, job, self.system)]
        self.candidates = 0
        self.complete = True
        self._turned: dict[tuple[int, int, int], _Candidate | None] = {}
        self._amiss: dict[int, frozenset[Place]] = {}
        self._verified: dict[tuple[Any, ...], Proposal | None] = {}
        self._kept: list[_Candidate] = []

    # over all findings

    def run(self, findings: Sequence[Finding]) -> dict[Place, tuple[Proposal, ...]]:
        found: dict[Place, list[_Candidate]] = {_place(finding): [] for finding in findings}
        half: dict[Place, list[_Candidate]] = {place: [] for place in found}
        for place in found:
            rule = self.library.rules[place[0]]
            for ray in self._likely(rule):
                if self._over():
                    break
                self._along(ray, place, self.start, found[place], half[place])
        for place, candidates in found.items():
            if not self._over() and not any(candidate.rank[0] < len(KINDS) - 1 for candidate in candidates):
                self._pairs(place, half[place], candidates)
        return {place: self._best(candidates, place) for place, candidates in found.items()}

    def _over(self) -> bool:
        if self.complete and (self.candidates >= MOST_CANDIDATES or self.stop()):
            self.complete = False
        return not self.complete

    def _likely(self, rule: Rule, than: Iterable[str] = ()) -> list[Ray]:
        """Rays that can reach a rule, those it names itself first; building work last."""
        cell = RULE + rule.id
        reach = [ray for ray in self.rays if cell in self.bench.graph.downstream(ray.dial.names)]
        return sorted(
            (ray for ray in reach if ray.dial.name not in than),
            key=lambda ray: (KINDS.index(ray.dial.kind) == len(KINDS) - 1, ray.dial.sets not in rule.tries),
        )

    # along one ray

    def _turn(self, ray: Ray, index: int, base: _Candidate) -> _Candidate | None:
        """One more dial turned; ``None`` where that cannot be done. What was tried is kept."""
        place = (id(base), id(ray), index)
        if place in self._turned:
            return self._turned[place]
        self.candidates += 1
        setting = ray.settings[index]
        changes = turn(ray, setting, base.job, self.system)
        made = None
        if changes is not None:
            turned = self._said(ray, changes, base.job)
            made = _Candidate(base.job.but(changes), (*base.turned, turned), base.names | changes.keys())
        self._turned[place] = made
        self._kept.append(base)  # an id is good as long as its thing is kept
        return made

    def _said(self, ray: Ray, changes: Changes, job: Job) -> Turned:
        dial = ray.dial
        after = changes[dial.sets]
        thing = ray.key
        now = before(dial, job, ray.key)
        if isinstance(after, dict):
            thing = ", ".join(after)
            if dial.adds:
                now = None
            elif ray.key is None:
                return Turned(dial, None, changes, *self._together(dial, job, after))
            after = next(iter(after.values()))
        size = _size(now, after)
        return Turned(dial, ray.key, changes, size, _say(dial, thing, now, after, self.system))

    def _together(self, dial: Dial, job: Job, after: Mapping[str, Any]) -> tuple[float, str]:
        """The size and the words of things turned together: in one phrase where they come out alike."""
        column = job.values.get(dial.sets, {})
        moved = {key: value for key, value in after.items() if not _alike(column.get(key), value)}
        said = dict.fromkeys(_say(dial, key, column.get(key), value, self.system) for key, value in moved.items())
        return sum(_size(column.get(key), value) for key, value in moved.items()), "; ".join(said)

    def _along(
        self, ray: Ray, place: Place, base: _Candidate, found: list[_Candidate], half: list[_Candidate]
    ) -> None:
        """Find the least setting that clears a finding; what clears it and brings another is half a remedy, and so is
        what makes it less bad."""
        stood = _outcome(base.job, place)
        if not ray.ordered:
            for index in range(len(ray.settings)):
                self._take(self._turn(ray, index, base), place, stood, found, half)
            return
        walk = _Walk(lambda index: self._reading(ray, index, base, place), len(ray.settings), _margin(stood))
        index = walk.least()
        if index is None:
            best = walk.best()
            if best is not None:
                self._take(self._turn(ray, best, base), place, stood, found, half)
            return
        clean = self._clean_from(ray, index, base, place)
        self._take(self._turn(ray, index if clean is None else clean, base), place, stood, found, half)

    def _reading(self, ray: Ray, index: int, base: _Candidate, place: Place) -> tuple[bool, float | None]:
        candidate = self._turn(ray, index, base)
        outcome = None if candidate is None else _outcome(candidate.job, place)
        return outcome is not None and outcome.state == "met", _margin(outcome)

    def _clean_from(self, ray: Ray, index: int, base: _Candidate, place: Place) -> int | None:
        """The first setting from one that clears the finding on that brings no other, where going on helps."""
        last: frozenset[Place] | None = None
        under, reach = index - 1, 0
        while index < len(ray.settings) and self._reading(ray, index, base, place)[0]:
            candidate = self._turn(ray, index, base)
            assert candidate is not None
            amiss = self._amiss_of(candidate)
            if not amiss:
                return self._first_clean(ray, under, index, base, place)
            if last is not None and amiss >= last:
                return None
            last, under = amiss, index
            reach = 2 * reach or 1
            index += reach
        return None

    def _first_clean(self, ray: Ray, under: int, over: int, base: _Candidate, place: Place) -> int:
        while over - under > 1:
            middle = (under + over) // 2
            candidate = self._turn(ray, middle, base)
            clean = candidate is not None and self._reading(ray, middle, base, place)[0]
            if clean and candidate is not None and not self._amiss_of(candidate):
                over = middle
            else:
                under = middle
        return over

    def _take(
        self,
        candidate: _Candidate | None,
        place: Place,
        stood: Outcome | None,
        found: list[_Candidate],
        half: list[_Candidate],
    ) -> None:
        if candidate is None:
            return
        outcome = _outcome(candidate.job, place)
        if outcome is not None and outcome.state == "met":
            whole = self._followed(candidate, place)
            if whole is None:
                half.append(candidate)
            else:
                found.append(whole)
        elif outcome is not None and outcome.state == "short":
            margin, was = _margin(outcome), _margin(stood)
            if margin is not None and was is not None and margin > was and not same(margin, was):
                half.append(candidate)

    def _amiss_of(self, candidate: _Candidate) -> frozenset[Place]:
        place = id(candidate)
        if place not in self._amiss:
            self._amiss[place] = self.bench.amiss(candidate)
            self._kept.append(candidate)
        return self._amiss[place]

    def _followed(self, candidate: _Candidate, place: Place) -> _Candidate | None:
        """The candidate with everything set anew that follows from it, when it then brings nothing new."""
        amiss = self._amiss_of(candidate)
        taken = {turned.dial.sets for turned in candidate.turned}
        useful = [dial for dial in self.following if dial.sets not in taken]
        for _ in range(MOST_FOLLOWING):
            if not amiss:
                outcome = _outcome(candidate.job, place)
                return candidate if outcome is not None and outcome.state == "met" else None
            if not all(any(self._reaches(dial, rule) for dial in useful) for rule, _, _ in amiss):
                return None
            candidate, less = self._follow(candidate, amiss, useful)
            if less == amiss:
                return None
            amiss = less
        return None

    def _follow(
        self, candidate: _Candidate, amiss: frozenset[Place], useful: list[Dial]
    ) -> tuple[_Candidate, frozenset[Place]]:
        for dial in list(useful):
            if not any(self._reaches(dial, rule) for rule, _, _ in amiss):
                continue
            for ray in rays(dial, candidate.job, self.system):
                self._kept.append(candidate)
                self._rays_kept.append(ray)
                turned = self._turn(ray, 0, candidate)
                left = amiss if turned is None else self._amiss_of(turned)
                if turned is not None and len(left) < len(amiss):
                    useful.remove(dial)
                    return turned, left
        return candidate, amiss

    def _reaches(self, dial: Dial, rule: str) -> bool:
        return RULE + rule in self.bench.graph.downstream([dial.sets])

    # two changes

    def _pairs(self, place: Place, half: list[_Candidate], found: list[_Candidate]) -> None:
        """Two changes together: what the first brings the second mends, or each goes part of the way."""
        half.sort(key=lambda candidate: (candidate.rank[0], len(self._amiss_of(candidate)), candidate.rank[2]))
        for first in half[:FIRST_TO_PAIR]:
            if self._over():
                return
            outcome = _outcome(first.job, place)
            met = outcome is not None and outcome.state == "met"
            wanted = min(self._amiss_of(first), default=place) if met else place
            used = {turned.dial.name for turned in first.turned}
            for ray in self._likely(self.library.rules[wanted[0]], used):
                if self._over():
                    return
                if ray.dial.kind == "building work":
                    break
                self._second(ray, wanted, place, first, found)

    def _second(self, ray: Ray, wanted: Place, place: Place, first: _Candidate, found: list[_Candidate]) -> None:
        whole: list[_Candidate] = []
        self._along(ray, wanted, first, whole, [])
        for candidate in whole:
            outcome = _outcome(candidate.job, place)
            if outcome is not None and outcome.state == "met":
                found.append(candidate)

    # what is shown

    def _best(self, candidates: list[_Candidate], place: Place) -> tuple[Proposal, ...]:
        """The least remedies, each of other dials than those before it, each found again by a review of the spec."""
        shown: list[Proposal] = []
        tried: set[tuple[Any, ...]] = set()
        for candidate in sorted(candidates, key=self._rank):
            dials = tuple(sorted((turned.dial.name, turned.key or "") for turned in candidate.turned))
            if dials in tried:
                continue
            proposal = self._proposal(candidate)
            if proposal is not None and place in proposal.clears:
                tried.add(dials)
                shown.append(proposal)
            if len(shown) == MOST_SHOWN:
                break
        return tuple(shown)

    def _rank(self, candidate: _Candidate) -> tuple[Any, ...]:
        kind, number, size = candidate.rank
        return kind, number, round(size, 9), [(self.order[t.dial.name], t.key or "") for t in candidate.turned]

    def _proposal(self, candidate: _Candidate) -> Proposal | None:
        patch = patch_of(self.spec, candidate, self.system)
        said = tuple(turned.say for turned in candidate.turned)
        if said not in self._verified:
            self._verified[said] = self._checked(candidate, patch, said)
        return self._verified[said]

    def _checked(self, candidate: _Candidate, patch: Patch, said: tuple[str, ...]) -> Proposal | None:
        """The proposal, once the spec with the patch in it has been read and reviewed like any other."""
        changed = self.spec.patched(patch)
        if changed.problems:
            return None
        after = check_spec(changed, "", self.library, self.stage, self.job)
        assert after.job is not None
        if self.bench.amiss(_Candidate(after.job, (), candidate.names)):
            return None
        clears = []
        for place, stood in self.bench.standing.items():
            outcome = _outcome(after.job, place) if stood.state == "short" else None
            if outcome is not None and outcome.state == "met":
                clears.append(place)
        kind = KINDS[candidate.rank[0]]
        return Proposal(
            kind, said, patch, tuple(edits(self.spec, changed)), tuple(moves(self.job, after.job)),
            tuple(clears), tuple(dict.fromkeys(self._to_confirm(candidate, changed))),
        )  # fmt: skip

    def _to_confirm(self, candidate: _Candidate, changed: Spec) -> Iterator[str]:
        for turned in candidate.turned:
            own = turned.changes[turned.dial.sets]
            for name in turned.dial.confirm:
                held = changed.values.get(name)
                if not isinstance(held, dict):
                    if held is not None:
                        yield VOCABULARY.pointer_of(name)
                    continue
                alike = VOCABULARY.leaves[name].axis == turned.dial.axis and isinstance(own, dict)
                for key in held:
                    if not alike or key in own:
                        yield VOCABULARY.pointer_of(name, key)

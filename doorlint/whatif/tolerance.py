"""How sure the tape is: which verdicts a reading within its own accuracy, or an estimated weight, could turn round.

One cause at a time: each measured length up and down by what its tool reads to, each estimated weight up and down by
its band. A verdict is in doubt when the same check, made again at the same thing, then says the other. Counts are left
out: a tape does not miscount.

Trying every cause on every job would cost more than the review itself. So each rule is first given the most that a
tape could move its margin by, from how much each figure makes of an error in what it reads, and only a verdict that
lies closer to its limit than that is tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from math import inf, isinf
from typing import Any, NamedTuple

from doorlint.figures.graph import Job
from doorlint.rulebook.formula import Tree
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.plan import Plan
from doorlint.rulebook.rule import Outcome
from doorlint.spec.vocabulary import VOCABULARY

LENGTHS = ("length", "position")
TAPED = tuple(term.name for term in VOCABULARY.leaves.values() if term.known == "measured" and term.dimension in LENGTHS)
"""What is read off a tape."""
RECORD = "as_built."
"""What is measured on the finished door, by tape whatever the opening was measured with."""

MAGNIFIED: Mapping[tuple[str, str | None], float] = {
    ("opening.finished_width", "opening.jamb_growth"): 2.0,
    ("obstruction.door_clearance", None): 40.0,
    ("sweep.kick_room", None): 0.1,
}
"""How much a figure can make of an error in what it reads (in one of its inputs, or in any), where that is not up to
as much again: both jambs grow; the door's envelope is steep where it turns; the jamb clearance changes by fractions of
an inch over the whole height."""

TURNING = ("door.open_travel", "door.opened", "door.marks", "section.mark_travel", "sweep.shape")
"""Where the door stands on its track: a joint that only just reaches the end of the curve, or a bottom corner far up
in the curve, makes anything of a small error. Where no bound holds everything is tried."""

STEADY: Mapping[str, float] = {
    **dict.fromkeys(
        (
            "section.mark_pull", "box.mark_pull", "box.stretch_wanted", "door.pull_open", "door.track_run",
            "overhead.tracks", "sweep.kick", "sweep.height", "sweep.reach", "track.back_end", "tower.always_hanging",
        ),
        0.0,
    ),
    **dict.fromkeys(TURNING, 1.0),
}  # fmt: skip
"""Likewise where the curve starts at its usual height and every mark is well within the door's travel: then header and
curve move together, and what lies between curve and door stays as it is."""

PULL = 1.25
"""per metre: by which share of the door's weight a pull may change for a length"""
TURNS = 10.0
"""per metre: turns of a shaft for a length; a drum of 16 mm radius, smaller than any made"""
SHARE = 2.0
"""per metre: by which share of itself any other figure may change for a length"""
BAND = 12.0
"""how many times over a weight may count in a margin: a chain is asked five times what hangs on it"""


class Cause(NamedTuple):
    """One value that may be off."""

    name: str
    key: str | None
    by: float
    """how far, up or down (SI)"""
    is_weight: bool

    @property
    def pointer(self) -> str:
        """Where it stands in the spec."""
        return VOCABULARY.pointer_of(self.name, self.key)


class Doubt(NamedTuple):
    """Why a verdict is in doubt."""

    cause: Cause
    closely: float
    """how closely the value must be known for the verdict to stand (SI)"""


class Spare(NamedTuple):
    """What a margin must be at least so that no cause can turn the verdict round: ``fixed + share * |value|``."""

    fixed: float
    share: float


# Named by place: (rule cell) -> the spare it needs. Worked out anew for each job, from what does not change.


class _Reach(NamedTuple):
    """What a rule makes of what is measured."""

    survey: float
    """the most that its margin moves for an error of the survey's, when its margin is a length"""
    record: float
    """likewise for an error in the record of the finished door"""
    dimension: str | None
    weighed: bool
    """whether it reads the weight of a section"""


def spares(library: Library, job: Job, stage: str) -> dict[str, Spare]:
    """The spare that each rule of a stage needs before its verdicts need not be tried, by the name of its cell."""
    survey, record = reading(job)
    load = job.cell("door.load")
    load = load if isinstance(load, float) else 0.0
    band = max((cause.by for cause in estimated(job)), default=0.0)
    needed = {}
    growing = "opening.jambs_to_come" in job.values or "opening.floor_to_come" in job.values
    for cell, reach in _reaches(library, stage, _steady(job, survey), growing).items():
        length = max(reach.survey * survey, reach.record * record)
        weight = band if reach.weighed else 0.0
        error = length if isinf(length) else min(length, survey)
        if reach.dimension in LENGTHS:
            spare = Spare(length, 1.0 if weight else 0.0)
        elif length == 0.0 and weight == 0.0:
            continue
        elif reach.dimension in ("weight", "pull"):
            spare = Spare(load * PULL * error + BAND * weight, SHARE * error)
        elif reach.dimension == "turns":
            spare = Spare(TURNS * length, 0.0)
        elif reach.dimension == "count":
            spare = Spare(inf if weight else 0.0, 0.0)
        else:
            spare = Spare(0.0, SHARE * error + (1.0 if weight else 0.0))
        needed[cell] = spare
    return needed


def reading(job: Job) -> tuple[float, float]:
    """What the survey's tool and the tape read to (m)."""
    tool = job.values.get("opening.measured.tool", "tape")
    tape = job.values["practice.tape"]
    return job.values.get(f"practice.{tool}", tape), tape


def _steady(job: Job, survey: float) -> bool:
    if "track.vertical_length" in job.values or job.values.get("track.lift") not in ("standard", "high"):
        return False
    marks, travel = job.cell("section.mark_travel"), job.cell("door.open_travel")
    if not isinstance(marks, dict) or not isinstance(travel, float):
        return True  # then nothing that lies between them is known either
    return all(isinstance(mark, float) and 2 * survey < mark < travel - 2 * survey for mark in marks.values())


def estimated(job: Job) -> Iterator[Cause]:
    """The sections whose weight is an estimate, each with its band."""
    said = job.values.get("section.weight_from", {})
    given = job.values.get("section.weight", {})
    if all(key in given and said.get(key) != "estimated" for key in job.keys.get("section", ())):
        return
    bands = job.cell("section.load_band")
    for key in job.keys.get("section", ()):
        band = bands.get(key) if isinstance(bands, dict) else None
        if (key not in given or said.get(key) == "estimated") and isinstance(band, float) and band > 0.0:
            yield Cause("section.weight", key, band, is_weight=True)


def taped(job: Job) -> Iterator[Cause]:
    """The lengths that were read off, each with what its tool reads to."""
    survey, record = reading(job)
    for name in TAPED:
        held = job.values.get(name)
        by = record if name.startswith(RECORD) else survey
        if isinstance(held, dict):
            yield from (Cause(name, key, by, is_weight=False) for key in held)
        elif held is not None:
            yield Cause(name, None, by, is_weight=False)


def doubts(library: Library, job: Job, outcomes: Iterable[Outcome]) -> dict[Outcome, tuple[Doubt, ...]]:
    """Which of these verdicts could be turned round, and by what. Those that cannot are left out."""
    found: dict[Outcome, list[Doubt]] = {}
    numbered = [outcome for outcome in outcomes if outcome.margin is not None]
    if not numbered:
        return {}
    for cause in (*taped(job), *estimated(job)):
        below = library.graph.downstream([cause.name])
        mine = [o for o in numbered if RULE + o.rule in below and _may_turn(library, o, cause)]
        for off in (cause.by, -cause.by) if mine else ():
            changed = _off(job, cause, off)
            for outcome in mine if changed is not None else ():
                other = _again(changed, outcome)
                if other is not None and {outcome.state, other.state} == {"met", "short"}:
                    found.setdefault(outcome, []).append(Doubt(cause, _closely(cause.by, outcome, other)))
    return {outcome: tuple(_least_of_each(said)) for outcome, said in found.items()}


def _may_turn(library: Library, outcome: Outcome, cause: Cause) -> bool:
    """A tape does not miscount; and of named things' own values only those of the thing itself come into question."""
    rule = library.rules[outcome.rule]
    if rule.dimension == "count" and not cause.is_weight:
        return False
    own = rule.axis is not None and rule.axis == VOCABULARY.leaves[cause.name].axis
    return not own or cause.is_weight or cause.key == outcome.key


def _off(job: Job, cause: Cause, off: float) -> Job | None:
    """The job with a value off by so much; ``None`` where a length would be less than nothing."""
    if cause.is_weight:
        loads = job.cell("section.load")
        return job.but({cause.name: {cause.key: loads[cause.key] + off}, "section": {cause.key: True}})
    held = job.values[cause.name]
    value = (held if cause.key is None else held[cause.key]) + off
    if value < 0.0 and VOCABULARY.leaves[cause.name].dimension == "length":
        value = 0.0
    return job.but({cause.name: value if cause.key is None else {cause.key: value}})


def _again(job: Job | None, outcome: Outcome) -> Outcome | None:
    if job is None:
        return None
    outcomes: tuple[Outcome, ...] = job.cell(RULE + outcome.rule)
    return next((o for o in outcomes if o.pointer == outcome.pointer and o.key == outcome.key), None)


def _closely(by: float, outcome: Outcome, other: Outcome) -> float:
    """Where between the two the verdict turns, the margin taken as a straight line."""
    here, there = abs(outcome.margin or 0.0), abs(other.margin or 0.0)
    return by * here / (here + there) if here + there else 0.0


def _least_of_each(said: list[Doubt]) -> Iterator[Doubt]:
    by_cause: dict[tuple[str, str | None], Doubt] = {}
    for doubt in said:
        place = (doubt.cause.name, doubt.cause.key)
        if place not in by_cause or doubt.closely < by_cause[place].closely:
            by_cause[place] = doubt
    yield from by_cause.values()


# how much each rule makes of an error


APART = ("opening.jambs_to_come", "opening.floor_to_come")
"""Measured only where the building is not finished."""
ALIKE = ("opening.height", "opening.width", "opening.diagonal", "opening.jamb_plumb", "opening.jamb_face")
"""Groups of readings that count in the same figures."""


@cache
def _reaches(library: Library, stage: str, steady: bool, growing: bool) -> dict[str, _Reach]:
    graph = library.graph
    gains: dict[str, Mapping[str, float]] = {}
    weighed = graph.downstream(["section.load"])

    def gain(name: str) -> Mapping[str, float]:
        """By group of measured values: how much of an error in one of them a cell may show."""
        if name not in gains:
            node = graph.nodes[name]
            if name in TAPED:
                group = name.rpartition(".")[0]
                gains[name] = {} if name in APART and not growing else {group if group in ALIKE else name: 1.0}
            elif node.function is None or node.dimension == "count":
                gains[name] = {}
            else:
                gains[name] = _most(_scaled(gain(read), _magnified(name, read, steady)) for read in node.reads)
        return gains[name]

    reaches = {}
    for rule in library.in_force(stage):
        plan = library.plans[rule.id]
        if plan.kind in ("present", "one_of", "rising"):
            continue
        total = _summed(_of_tree(side, plan, gain) for side in plan.sides)
        survey = max((most for group, most in total.items() if not group.startswith(RECORD)), default=0.0)
        record = max((most for group, most in total.items() if group.startswith(RECORD)), default=0.0)
        reach = _Reach(survey, record, rule.dimension, RULE + rule.id in weighed)
        if survey or record or reach.weighed:
            reaches[RULE + rule.id] = reach
    return reaches


def _magnified(name: str, read: str, steady: bool) -> float:
    if name in STEADY and (steady or name in TURNING):
        return STEADY[name] if steady else inf
    return MAGNIFIED.get((name, read), MAGNIFIED.get((name, None), 1.0))


def _scaled(gains: Mapping[str, float], factor: float) -> Mapping[str, float]:
    return {group: factor * gain for group, gain in gains.items()} if factor else {}


def _most(several: Iterable[Mapping[str, float]]) -> dict[str, float]:
    most: dict[str, float] = {}
    for gains in several:
        for group, gain in gains.items():
            most[group] = max(gain, most.get(group, 0.0))
    return most


def _summed(several: Iterable[Mapping[str, float]]) -> dict[str, float]:
    total: dict[str, float] = {}
    for gains in several:
        for group, gain in gains.items():
            total[group] = gain + total.get(group, 0.0)
    return total


def _of_tree(tree: Tree, plan: Plan, gain: Any) -> Mapping[str, float]:
    """The gains of a formula: a sum adds them, the larger of two has the larger, a factor scales them."""
    if isinstance(tree, float):
        return {}
    if isinstance(tree, int):
        return gain(plan.arguments[tree].name)  # type: ignore[no-any-return]
    word, *parts = tree
    if word == "look":
        return _summed(_of_tree(part, plan, gain) for part in parts[2].values())
    inner = [_of_tree(part, plan, gain) for part in parts]
    if word in ("max", "min", "most", "least", "abs", "count"):
        return _most(inner)
    if word in ("*", "/"):
        plain = [abs(part) for part in parts if isinstance(part, float)]
        factor = plain[0] if plain and word == "*" else 1 / plain[0] if plain and parts[1] == plain[0] else 2.0
        return _scaled(_summed(inner), factor)
    return _summed(inner)

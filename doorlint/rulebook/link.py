"""From a checked rule to the function that holds it against a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import chain, compress, pairwise, starmap
from math import inf
from operator import le
from typing import Any

from doorlint.figures.cells import Unknown, along, merged, once
from doorlint.figures.graph import Job
from doorlint.rulebook import checks
from doorlint.rulebook.formula import function_of
from doorlint.rulebook.plan import Condition, Place, Plan
from doorlint.rulebook.rule import Outcome

Outcomes = tuple[Outcome, ...]
Keys = Sequence["str | None"]
"""Of the things that a rule is held against; of the job as a whole None alone."""
Sides = Callable[[Job, Keys], "list[Any]"]
"""For each key what the check is of: a tuple, an Unknown, or None where the rule does not apply."""
Judge = Callable[["str | None", Any], Outcomes]
"""From a key and what the check is of to what is said of it."""
Asked = Callable[[Job, "str | None"], "bool | Unknown"]
"""Of a job and a thing whether a rule is asked, or the Unknown that keeps it from being told."""
Met = Callable[[Job, "checks.Spare | None"], "int | None"]
JOB: Keys = (None,)


class Linked:
    """A rule that can be held against jobs; what that takes is made when a job first calls for it."""

    __slots__ = ("_asks", "_plan", "_rule", "_sides", "met", "outcomes")

    outcomes: Callable[[Job], Outcomes]
    """An outcome for every thing that it applies to."""
    met: Met
    """How many things meet it, with something to spare if asked, where nothing else is to be said of any; quicker than
    ``outcomes``."""

    def __init__(self, rule: str, plan: Plan) -> None:
        self._rule, self._plan = rule, plan
        self._asks: tuple[Asked, Asked] | None = None
        self._sides: Sides | None = None
        # Once made, what was made takes their place; who took hold of them before is still served.
        self.outcomes, self.met = self._first_outcomes, self._first_met

    def hold(self, job: Job) -> Outcomes:
        """``outcomes`` as it is by now."""
        return self.outcomes(job)

    def _first_outcomes(self, job: Job) -> Outcomes:
        if self.outcomes == self._first_outcomes:
            self.outcomes = _outcomes(self._rule, self._plan, self._ready(), self._asked())
        return self.outcomes(job)

    def _first_met(self, job: Job, spare: checks.Spare | None = None) -> int | None:
        if self._asked()[0](job, None) is False:
            return 0
        if self.met == self._first_met:
            self.met = _met(self._plan, self._ready(), self._asked())
        return self.met(job, spare)

    def _asked(self) -> tuple[Asked, Asked]:
        """Its conditions on the job, and those on each thing."""
        if self._asks is None:
            when = self._plan.when
            self._asks = asked_by([one for one in when if not one.own]), asked_by([one for one in when if one.own])
        return self._asks

    def _ready(self) -> Sides:
        if self._sides is None:
            self._sides = _sides(self._rule, self._plan)
        return self._sides


def _outcomes(rule: str, plan: Plan, sides: Sides, asked_for: tuple[Asked, Asked]) -> Callable[[Job], Outcomes]:
    axis, at, judge = plan.axis, plan.at, JUDGES[plan.kind](rule, plan)
    of_job, of_thing = asked_for

    def outcomes(job: Job) -> Outcomes:
        asked = of_job(job, None)
        if asked is False:
            return ()
        held = {key: _both(asked, of_thing(job, key)) for key in (JOB if axis is None else job.keys.get(axis, ()))}
        unknown = [_unknown(rule, at, key, why) for key, why in held.items() if isinstance(why, Unknown)]
        keys = [key for key, asked in held.items() if asked is True]
        found = [said(key, side) for key, side in zip(keys, sides(job, keys), strict=True)]
        return tuple(chain(unknown, *found))

    def said(key: str | None, side: Any) -> Outcomes:
        if side is None:
            return ()
        if side.__class__ is not Unknown:
            try:
                return judge(key, side)
            except Exception as crash:  # one broken rule must not stop the others
                side = Unknown("rule failed", (), f"rule {rule}: {type(crash).__name__}: {crash}")
        return (_unknown(rule, at, key, side),)

    return outcomes


def _met(plan: Plan, sides: Sides, asked_for: tuple[Asked, Asked]) -> Met:
    axis, accepts, margin = plan.axis, accepts_of(plan), MARGINS.get(plan.kind)
    of_job, of_thing = asked_for

    def by_job(job: Job, spare: checks.Spare | None = None) -> int | None:
        asked = of_job(job, None)
        if asked is not True:
            return None if asked else 0
        (side,) = sides(job, JOB)
        if side is None:
            return 0
        if side.__class__ is Unknown or not accepts(*side):
            return None
        if spare is not None and margin is not None and not margin(*side) > spare.fixed + spare.share * abs(side[0]):
            return None
        return 1

    def by_things(job: Job, spare: checks.Spare | None = None) -> int | None:
        keys: Keys = job.keys.get(axis or "", ())
        asked = of_job(job, None) if keys else False
        if asked is not True:
            return None if asked else 0
        if of_thing is not _always:
            held = [of_thing(job, key) for key in keys]
            if Unknown in map(type, held):
                return None
            keys = list(compress(keys, held))
        found = [side for side in sides(job, keys) if side is not None]
        if Unknown in map(type, found) or not all(starmap(accepts, found)):
            return None
        if spare is not None and margin is not None:
            for side in found:
                if not margin(*side) > spare.fixed + spare.share * abs(side[0]):
                    return None
        return len(found)

    return by_job if axis is None else by_things


def _unknown(rule: str, at: Place, key: str | None, why: Unknown) -> Outcome:
    return Outcome(rule, at.pointer(key), key, "unknown", reason=why.reason, missing=why.missing, note=why.note)


# --- when it is asked ----------------------------------------------------------------------------------------------


def _always(_job: Job, _key: str | None) -> bool | Unknown:
    return True


def asked_by(when: Sequence[Condition]) -> Asked:
    """Whether all conditions hold; one that does not settles it, whatever is unknown of the others."""
    if not when:
        return _always
    given = [(one.name, one.wanted) for one in when if isinstance(one.wanted, bool)]
    chosen = [(one.name, frozenset(one.wanted)) for one in when if not isinstance(one.wanted, bool)]

    def asked(job: Job, key: str | None) -> bool | Unknown:
        values = job.values
        for name, wanted in given:
            if (name in values if key is None else key in values.get(name, ())) is not wanted:
                return False
        if not chosen:
            return True
        unknown = []
        for name, choices in chosen:
            value = job.at(name, key)
            if value.__class__ is Unknown:
                unknown.append(value)
            elif value not in choices:
                return False
        return merged(unknown) if unknown else True

    return asked


def _both(one: bool | Unknown, other: bool | Unknown) -> bool | Unknown:
    if one is False or other is False:
        return False
    unknown = [asked for asked in (one, other) if isinstance(asked, Unknown)]
    return merged(unknown) if unknown else True


# --- what the check is of ------------------------------------------------------------------------------------------


def _sides(rule: str, plan: Plan) -> Sides:
    if plan.kind == "present":
        return _lacking(plan.wanted)
    label, function = f"rule {rule}", function_of(plan.sides, len(plan.arguments))
    if plan.axis is not None:
        return along(label, function, plan.arguments, plan.axis)  # type: ignore[return-value]
    worked_out = once(label, function, plan.arguments)
    return lambda job, keys: [worked_out(job) for _ in keys]


def _lacking(wanted: Sequence[Place]) -> Sides:
    """The pointers of what is not given."""
    of_job = [(place.name, place.pointer(None)) for place in wanted if not place.own]
    of_thing = [place for place in wanted if place.own]

    def sides(job: Job, keys: Keys) -> list[Any]:
        values = job.values
        lacking = tuple(pointer for name, pointer in of_job if name not in values)
        if not of_thing:
            return [lacking] * len(keys)
        return [
            lacking + tuple(place.pointer(key) for place in of_thing if key not in values.get(place.name, ()))
            for key in keys
        ]

    return sides


# --- what is said of it --------------------------------------------------------------------------------------------


def _comparing(compare: Callable[..., checks.Verdict]) -> Callable[[str, Plan], Judge]:
    def judge_of(rule: str, plan: Plan) -> Judge:
        at = plan.at

        def judge(key: str | None, sides: Any) -> Outcomes:
            met, value, limit, margin = compare(*sides)
            return (Outcome(rule, at.pointer(key), key, "met" if met else "short", value, limit, margin),)

        return judge

    return judge_of


def _one_of(rule: str, plan: Plan) -> Judge:
    choices = plan.choices
    return _comparing(lambda value: checks.one_of(value, choices))(rule, plan)


def _rising(rule: str, plan: Plan) -> Judge:
    at = plan.at

    def judge(_key: str | None, sides: Any) -> Outcomes:
        first, (met, value, limit, margin) = checks.rising(_applying(sides[0]))
        return (Outcome(rule, at.pointer(first), first, "met" if met else "short", value, limit, margin),)

    return judge


def _applying(column: Mapping[str, Any]) -> dict[str, Any]:
    return {key: entry for key, entry in column.items() if entry is not None}


def _present(rule: str, plan: Plan) -> Judge:
    at = plan.at

    def judge(key: str | None, lacking: Any) -> Outcomes:
        if not lacking:
            return (Outcome(rule, at.pointer(key), key, "met"),)
        return tuple(Outcome(rule, pointer, key, "short", missing=(pointer,)) for pointer in lacking)

    return judge


JUDGES: dict[str, Callable[[str, Plan], Judge]] = {
    "at_least": _comparing(checks.at_least),
    "at_most": _comparing(checks.at_most),
    "between": _comparing(checks.between),
    "near": _comparing(checks.near),
    "in_order": _comparing(lambda *values: checks.in_order(values)),
    "one_of": _one_of,
    "rising": _rising,
    "present": _present,
}
"""For each kind of check, what makes the function that says how a job stands to it."""


def accepts_of(plan: Plan) -> Callable[..., bool]:
    """What may say of the sides of a check that it is met."""
    return plan.choices.__contains__ if plan.kind == "one_of" else ACCEPTS[plan.kind]


ACCEPTS: dict[str, Callable[..., bool]] = {
    "at_least": lambda value, limit: -inf < limit <= value < inf,
    "at_most": lambda value, limit: -inf < value <= limit < inf,
    "between": lambda value, low, high: -inf < low <= value <= high < inf,
    "near": lambda value, target, band: -inf < target - band <= value <= target + band < inf,
    "in_order": lambda *values: -inf < values[0] and values[-1] < inf and all(map(le, values, values[1:])),
    "rising": lambda column: checks.rising(_applying(column))[1].met,
    "present": lambda *lacking: not lacking,
}
"""For each kind of check, what may say that it is met and no more: where it does not say so, the judge does."""

MARGINS: dict[str, Callable[..., float]] = {
    "at_least": lambda value, limit: value - limit,
    "at_most": lambda value, limit: limit - value,
    "between": lambda value, low, high: min(value - low, high - value),
    "near": lambda value, target, band: band - abs(value - target),
    "in_order": lambda *values: min(after - before for before, after in pairwise(values)),
}
"""For each kind of check that has one, how much there is to spare."""

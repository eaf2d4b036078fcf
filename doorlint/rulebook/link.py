"""From a checked rule to the function that holds it against a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import chain
from typing import Any

from doorlint.figures.cells import Unknown, along, merged, once
from doorlint.figures.graph import Job
from doorlint.rulebook import checks
from doorlint.rulebook.plan import Condition, Place, Plan
from doorlint.rulebook.rule import Outcome
from doorlint.rulebook.tree import function_of

Outcomes = tuple[Outcome, ...]
Keys = Sequence["str | None"]
"""Of the things that a rule is held against; of the job as a whole None alone."""
Sides = Callable[[Job, Keys], "list[Any]"]
"""For each key what the check is of: a tuple, an Unknown, or None where the rule does not apply."""
Judge = Callable[["str | None", Any], Outcomes]
"""From a key and what the check is of to what is said of it."""
Asked = Callable[[Job, "str | None"], "bool | Unknown"]
"""Of a job and a thing whether a rule is asked, or the Unknown that keeps it from being told."""
JOB: Keys = (None,)


class Linked:
    """A rule that can be held against jobs; what that takes is made when a job first calls for it."""

    __slots__ = ("_plan", "_rule", "outcomes")

    outcomes: Callable[[Job], Outcomes]
    """An outcome for every thing that it applies to."""

    def __init__(self, rule: str, plan: Plan) -> None:
        self._rule, self._plan = rule, plan
        self.outcomes = self._first

    def hold(self, job: Job) -> Outcomes:
        """``outcomes`` as it is by now."""
        return self.outcomes(job)

    def _first(self, job: Job) -> Outcomes:
        for one in self._plan.when:
            if not one.own and isinstance(one.wanted, bool) and (one.name in job.values) is not one.wanted:
                return ()  # as it is of most rules that a job has no part for: nothing is made for them
        self.outcomes = _outcomes(self._rule, self._plan)
        return self.outcomes(job)


def _outcomes(rule: str, plan: Plan) -> Callable[[Job], Outcomes]:
    axis, at, judge, sides = plan.axis, plan.at, JUDGES[plan.kind](rule, plan), _sides(rule, plan)
    of_job, of_thing = _asked([one for one in plan.when if not one.own]), _asked([one for one in plan.when if one.own])

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


def _unknown(rule: str, at: Place, key: str | None, why: Unknown) -> Outcome:
    return Outcome(rule, at.pointer(key), key, "unknown", reason=why.reason, missing=why.missing, note=why.note)


# --- when it is asked ----------------------------------------------------------------------------------------------


def _always(_job: Job, _key: str | None) -> bool | Unknown:
    return True


def _asked(when: Sequence[Condition]) -> Asked:
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
    label, function = f"rule {rule}", function_of(plan.sides)
    if plan.axis is not None:
        return along(label, function, plan.arguments)  # type: ignore[return-value]
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

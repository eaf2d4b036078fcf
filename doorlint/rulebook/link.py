"""From a checked rule to the function that holds it against a job."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from doorlint.figures.cells import Unknown, along, merged, once
from doorlint.figures.graph import Job
from doorlint.rulebook import checks
from doorlint.rulebook.formula import function_of
from doorlint.rulebook.plan import Condition, Place, Plan
from doorlint.rulebook.rule import Outcome

Outcomes = tuple[Outcome, ...]
Apply = Callable[[Job], Outcomes]
Sides = Callable[[Job, Sequence["str | None"]], "list[Any]"]
"""For each thing what the check is of: a tuple, an Unknown, or None where the rule does not apply."""
Judge = Callable[["str | None", Any], Outcomes]
"""From the key of a thing and what the check is of to what is said of it."""


def link(rule: str, plan: Plan) -> Apply:
    """The function that holds a rule against a job: an outcome for every thing that it applies to."""
    at, axis = plan.at, plan.axis
    of_job = _asked([condition for condition in plan.when if not condition.own])
    of_thing = _asked([condition for condition in plan.when if condition.own])
    sides, judge = _sides(rule, plan), JUDGES[plan.kind](rule, plan)

    def apply(job: Job) -> Outcomes:
        asked = of_job(job, None)
        keys: Sequence[str | None] = (None,) if axis is None else job.keys.get(axis, ())
        if asked is False or not keys:
            return ()
        outcomes: list[Outcome] = []
        if asked is not True or of_thing is not _always:
            held = {key: _both(asked, of_thing(job, key)) for key in keys}
            keys = [key for key, asked in held.items() if asked is True]
            outcomes += [_unknown(rule, at, key, asked) for key, asked in held.items() if asked.__class__ is Unknown]
        for key, found in zip(keys, sides(job, keys), strict=True):
            if found.__class__ is Unknown:
                outcomes.append(_unknown(rule, at, key, found))
            elif found is not None:
                try:
                    outcomes += judge(key, found)
                except Exception as crash:  # one broken rule must not stop the others
                    failed = Unknown("rule failed", (), f"rule {rule}: {type(crash).__name__}: {crash}")
                    outcomes.append(_unknown(rule, at, key, failed))
        return tuple(outcomes)

    return apply


def _unknown(rule: str, at: Place, key: str | None, why: Unknown) -> Outcome:
    return Outcome(rule, at.pointer(key), key, "unknown", reason=why.reason, missing=why.missing, note=why.note)


# --- when it is asked ----------------------------------------------------------------------------------------------


def _always(_job: Job, _key: str | None) -> bool | Unknown:
    return True


def _asked(when: Sequence[Condition]) -> Callable[[Job, str | None], bool | Unknown]:
    """Whether all conditions hold; one that does not settles it, whatever is unknown of the others."""
    if not when:
        return _always
    given = [(one.name, one.wanted) for one in when if isinstance(one.wanted, bool)]
    chosen = [(one.name, frozenset(one.wanted)) for one in when if not isinstance(one.wanted, bool)]

    def asked(job: Job, key: str | None) -> bool | Unknown:
        for name, wanted in given:
            held = job.values if key is None else job.values.get(name, ())
            if ((name if key is None else key) in held) is not wanted:
                return False
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
        return along(label, function, plan.arguments)  # type: ignore[return-value]
    worked_out = once(label, function, plan.arguments)
    return lambda job, _: [worked_out(job)]


def _lacking(wanted: Sequence[Place]) -> Sides:
    """The pointers of what is not given."""
    of_job = [(place.name, place.pointer(None)) for place in wanted if not place.own]
    of_thing = [place for place in wanted if place.own]

    def sides(job: Job, keys: Sequence[str | None]) -> list[Any]:
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
        column = {key: entry for key, entry in sides[0].items() if entry is not None}
        first, (met, value, limit, margin) = checks.rising(column)
        return (Outcome(rule, at.pointer(first), first, "met" if met else "short", value, limit, margin),)

    return judge


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

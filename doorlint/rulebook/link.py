"""From a checked rule to the function that holds it against a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from doorlint.errors import OutsideTable
from doorlint.figures.graph import FLAWED, Job, Unknown, merged
from doorlint.rulebook import checks
from doorlint.rulebook.formula import function_of
from doorlint.rulebook.plan import Condition, How, Plan, Side
from doorlint.rulebook.rule import Outcome

Outcomes = tuple[Outcome, ...]
Fetch = Callable[[Job, "str | None", Mapping[str, Any]], Any]
"""Of a job, the key of a thing and the rule's own `let` values: a value, an Unknown, or None."""
Apply = Callable[[Job], Outcomes]
Judge = Callable[[Job, "str | None", Mapping[str, Any]], Outcomes]


def link(rule: str, plan: Plan) -> Apply:
    """The function that holds a rule against a job: an outcome for every thing that it applies to."""
    conditions = [_condition(condition) for condition in plan.when]
    lets = [(name, _fetch(side)) for name, side in plan.let.items()]
    judge = JUDGES[plan.kind](rule, plan)
    at, axis = plan.at, plan.axis

    def one(job: Job, key: str | None) -> Outcomes:
        try:
            unknown: list[Unknown] = []
            for condition in conditions:
                holds = condition(job, key)
                if holds is False:
                    return ()
                if holds is not True:
                    unknown.append(holds)
            if unknown:
                return (_unknown(rule, at.pointer(key), key, merged(unknown)),)
            local: dict[str, Any] = {}
            for name, fetch in lets:
                local[name] = fetch(job, key, local)
            return judge(job, key, local)
        except Exception as crash:  # one broken rule must not stop the others
            failed = Unknown("rule failed", (), f"{type(crash).__name__}: {crash}")
            return (_unknown(rule, at.pointer(key), key, failed),)

    if axis is None:
        return lambda job: one(job, None)
    return lambda job: tuple(outcome for key in job.keys.get(axis, ()) for outcome in one(job, key))


# --- what a rule reads ---------------------------------------------------------------------------------------------


def _condition(condition: Condition) -> Callable[[Job, str | None], Any]:
    """True, False, or the Unknown that keeps it from being told."""
    name, own, wanted = condition
    if isinstance(wanted, bool):
        if own:
            return lambda job, key: (key in job.values.get(name, ())) is wanted
        return lambda job, key: (name in job.values) is wanted
    choices = frozenset(wanted)
    get = _getter(name, "one" if own else "whole")

    def holds(job: Job, key: str | None) -> Any:
        value = get(job, key, {})
        return value if value.__class__ is Unknown else value in choices

    return holds


def _getter(name: str, how: How) -> Fetch:
    if how == "let":
        return lambda job, key, lets: lets[name]
    if how == "one":

        def one(job: Job, key: str | None, _lets: Mapping[str, Any]) -> Any:
            memo = job.memo
            cells = memo[name] if name in memo else job.cell(name)
            return cells.get(key) if cells.__class__ is dict else cells

        return one

    def whole(job: Job, _key: str | None, _lets: Mapping[str, Any]) -> Any:
        memo = job.memo
        return memo[name] if name in memo else job.cell(name)

    return whole


def _fetch(side: Side) -> Fetch:
    """The value of a formula: Unknown where one of its arguments is, None where one of them does not apply."""
    tree, arguments, counts = side
    getters = [_getter(name, how) for name, how in arguments]
    if tree == 0 and isinstance(tree, int):
        return getters[0]
    evaluate = function_of(tree, len(arguments))
    if not arguments:
        constant = evaluate()
        return lambda job, key, lets: constant
    columns = [place for place, (_, how) in enumerate(arguments) if how == "entries"]

    def fetch(job: Job, key: str | None, lets: Mapping[str, Any]) -> Any:
        values = [get(job, key, lets) for get in getters]
        for place in columns:
            if values[place].__class__ is dict:
                values[place] = _entries(values[place], counts)
        if not FLAWED.isdisjoint(map(type, values)):
            return _flaw(values)
        try:
            return evaluate(*values)
        except OutsideTable as outside:
            return Unknown("outside table", (), str(outside))

    return fetch


def _entries(column: Mapping[str, Any], counts: bool) -> Any:
    """The entries that there are; one Unknown for them all where any is unknown."""
    unknown = [entry for entry in column.values() if entry.__class__ is Unknown]
    if unknown:
        return merged(unknown)
    entries = [entry for entry in column.values() if entry is not None]
    return entries if entries or counts else None


def _flaw(values: Sequence[Any]) -> Unknown | None:
    """What values come to when some of them are Unknown or None: what does not apply needs no input."""
    return None if None in values else merged(value for value in values if value.__class__ is Unknown)


# --- what a rule says ----------------------------------------------------------------------------------------------


def _unknown(rule: str, pointer: str, key: str | None, unknown: Unknown) -> Outcome:
    return Outcome(rule, pointer, key, "unknown", reason=unknown.reason, missing=unknown.missing, note=unknown.note)


def _comparing(compare: Callable[..., checks.Verdict]) -> Callable[[str, Plan], Judge]:
    def judge_of(rule: str, plan: Plan) -> Judge:
        fetches, at = [_fetch(side) for side in plan.sides], plan.at

        def judge(job: Job, key: str | None, lets: Mapping[str, Any]) -> Outcomes:
            values = [fetch(job, key, lets) for fetch in fetches]
            if FLAWED.isdisjoint(map(type, values)):
                met, value, limit, margin = compare(*values)
                return (Outcome(rule, at.pointer(key), key, "met" if met else "short", value, limit, margin),)
            unknown = [value for value in values if value.__class__ is Unknown]
            return (_unknown(rule, at.pointer(key), key, merged(unknown)),) if unknown else ()

        return judge

    return judge_of


def _one_of(rule: str, plan: Plan) -> Judge:
    choices = plan.choices
    return _comparing(lambda value: checks.one_of(value, choices))(rule, plan)


def _rising(rule: str, plan: Plan) -> Judge:
    fetch, at = _fetch(plan.sides[0]), plan.at

    def judge(job: Job, key: str | None, lets: Mapping[str, Any]) -> Outcomes:
        column = fetch(job, key, lets)
        if column is None:
            return ()
        if column.__class__ is not Unknown:
            column = _column(column)
        if column.__class__ is Unknown:
            return (_unknown(rule, at.pointer(key), key, column),)
        first, (met, value, limit, margin) = checks.rising(column)
        return (Outcome(rule, at.pointer(first), first, "met" if met else "short", value, limit, margin),)

    return judge


def _column(column: Mapping[str, Any]) -> Any:
    """The column without the things that it does not apply to; one Unknown where any is unknown."""
    unknown = [entry for entry in column.values() if entry.__class__ is Unknown]
    return merged(unknown) if unknown else {key: entry for key, entry in column.items() if entry is not None}


def _present(rule: str, plan: Plan) -> Judge:
    at, wanted = plan.at, [(place, place.name, place.own) for place in plan.wanted]

    def judge(job: Job, key: str | None, _lets: Mapping[str, Any]) -> Outcomes:
        values = job.values
        lacking = [
            place.pointer(key)
            for place, name, own in wanted
            if name not in values or (own and key not in values[name])
        ]
        if not lacking:
            return (Outcome(rule, at.pointer(key), key, "met"),)
        return tuple(Outcome(rule, pointer, key, "short", missing=(pointer,)) for pointer in lacking)

    return judge


JUDGES: Mapping[str, Callable[[str, Plan], Judge]] = {
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

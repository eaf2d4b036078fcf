"""From a checked rule to the function that holds it against a job."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain
from typing import Any

from doorlint.figures.cells import Cells, Unknown, along, merged, once
from doorlint.rulebook import checks
from doorlint.rulebook.compiled_rule import CompiledRule, Condition, SpecRef
from doorlint.rulebook.expression import function_of
from doorlint.rulebook.rule import Outcome

Outcomes = tuple[Outcome, ...]
Keys = Sequence[str]
Told = Callable[["str | None", Any], Outcomes]
"""From a key and the result of a check there to the outcomes."""


class Evaluator:
    """A rule that can be held against jobs; what that takes is made when a job first calls for it."""

    __slots__ = ("_plan", "_rule", "outcomes")

    outcomes: Callable[[Cells], Outcomes]
    """An outcome for every thing that it applies to."""

    def __init__(self, rule: str, plan: CompiledRule) -> None:
        self._rule, self._plan = rule, plan
        self.outcomes = self._first

    def hold(self, cells: Cells) -> Outcomes:
        """``outcomes`` as it is by now."""
        return self.outcomes(cells)

    def _first(self, cells: Cells) -> Outcomes:
        for one in self._plan.when:
            if not one.own and isinstance(one.wanted, bool) and (one.name in cells.given) is not one.wanted:
                return ()  # as it is of most rules that a job has no part for: nothing is made for them
        self.outcomes = (_of_job if self._plan.axis is None else _of_things)(self._rule, self._plan)
        return self.outcomes(cells)


def _of_job(rule: str, plan: CompiledRule) -> Callable[[Cells], Outcomes]:
    asked, result_of, told = _asked(plan.when), _result(rule, plan), TOLD.get(plan.kind, _told)(rule, plan)

    def outcomes(cells: Cells) -> Outcomes:
        settled = asked(cells)
        if settled is False:
            return ()
        return told(None, result_of(cells) if settled is True else settled)

    return outcomes


def _of_things(rule: str, plan: CompiledRule) -> Callable[[Cells], Outcomes]:
    axis, results_of, told = plan.axis or "", _results(rule, plan), TOLD.get(plan.kind, _told)(rule, plan)
    of_job = _asked([one for one in plan.when if not one.own])
    of_things = _asked_each([one for one in plan.when if one.own])

    def outcomes(cells: Cells) -> Outcomes:
        settled = of_job(cells)
        if settled is False:
            return ()
        keys, doubts = of_things(cells, cells.things.get(axis, ()))
        if settled is not True:
            doubts = {key: [settled] for key in keys} | {key: [settled, *why] for key, why in doubts.items()}
            keys = ()
        unknown = [told(key, merged(why)) for key, why in doubts.items()]
        return tuple(chain(*unknown, *map(told, keys, results_of(cells, keys) if keys else ())))

    return outcomes


# --- when it is asked ----------------------------------------------------------------------------------------------


def _asked(when: Sequence[Condition]) -> Callable[[Cells], bool | Unknown]:
    """Whether all conditions on the job hold, or why that is unknown; one that does not hold settles it in any case."""
    given, chosen = _parted(when)

    def asked(cells: Cells) -> bool | Unknown:
        for name, wanted in given:
            if (name in cells.given) is not wanted:
                return False
        unknown = []
        for name, choices in chosen:
            value = cells[name]
            if value.__class__ is Unknown:
                unknown.append(value)
            elif value not in choices:
                return False
        return merged(unknown) if unknown else True

    return asked


def _asked_each(when: Sequence[Condition]) -> Callable[[Cells, Keys], tuple[Keys, dict[str, list[Unknown]]]]:
    """Likewise of each thing: the keys of those for which all conditions hold, and of others why that is unknown."""
    given, chosen = _parted(when)

    def asked(cells: Cells, keys: Keys) -> tuple[Keys, dict[str, list[Unknown]]]:
        for name, wanted in given:
            column = cells.given.get(name, ())
            keys = [key for key in keys if (key in column) is wanted]
        doubts: dict[str, list[Unknown]] = {}
        for name, choices in chosen if keys else ():
            cell = cells[name]
            column = cell if isinstance(cell, dict) else dict.fromkeys(keys, cell)
            for key in keys:
                if column[key].__class__ is Unknown:
                    doubts.setdefault(key, []).append(column[key])
            keys = [key for key in keys if column[key].__class__ is Unknown or column[key] in choices]
        if not doubts:
            return keys, doubts
        return [key for key in keys if key not in doubts], {key: doubts[key] for key in keys if key in doubts}

    return asked


def _parted(when: Sequence[Condition]) -> tuple[list[tuple[str, bool]], list[tuple[str, frozenset[Any]]]]:
    """What must be given or not, and what must have one of some values."""
    given = [(one.name, one.wanted) for one in when if isinstance(one.wanted, bool)]
    return given, [(one.name, frozenset(one.wanted)) for one in when if not isinstance(one.wanted, bool)]


# --- what the check comes to: a result, an Unknown, or None where the rule does not apply ---------------------------


def _result(rule: str, plan: CompiledRule) -> Callable[[Cells], Any]:
    """Of the job as a whole."""
    if plan.kind == "present":
        lacking = _lacking(plan.wanted)
        return lambda cells: lacking(cells, (None,))[0]
    return once(f"rule {rule}", function_of(plan.sides, _check(plan)), plan.arguments)


def _results(rule: str, plan: CompiledRule) -> Callable[[Cells, Keys], Sequence[Any]]:
    """Of each of some things."""
    if plan.kind == "present":
        return _lacking(plan.wanted)
    each = along(f"rule {rule}", function_of(plan.sides, _check(plan)), plan.arguments)
    return lambda cells, keys: each(cells, keys)[0]


def _lacking(wanted: Sequence[SpecRef]) -> Callable[[Cells, Sequence[str | None]], Sequence[Any]]:
    """The pointers of what is not given."""
    of_job = [(place.name, place.pointer(None)) for place in wanted if not place.own]
    of_thing = [place for place in wanted if place.own]

    def lacking(cells: Cells, keys: Sequence[str | None]) -> Sequence[Any]:
        values = cells.given
        always = tuple([pointer for name, pointer in of_job if name not in values])
        return [
            always + tuple([place.pointer(key) for place in of_thing if key not in values.get(place.name, ())])
            for key in keys
        ]

    return lacking


def _check(plan: CompiledRule) -> Callable[..., Any]:
    if plan.kind == "one_of":
        choices = plan.choices
        return lambda value: checks.one_of(value, choices)
    return CHECKS[plan.kind]


CHECKS: dict[str, Callable[..., Any]] = {
    "at_least": checks.at_least,
    "at_most": checks.at_most,
    "between": checks.between,
    "near": checks.near,
    "in_order": lambda *values: checks.in_order(values),
    "rising": lambda column: checks.rising({key: entry for key, entry in column.items() if entry is not None}),
}
"""What compares the sides of a rule, by the kind of its check."""


# --- what is said of it --------------------------------------------------------------------------------------------


def _told(rule: str, plan: CompiledRule) -> Told:
    """Of a comparison; in it, as below, what is no result is told as that."""
    pointer_of, untold = _pointers(plan.at), _untold(rule, plan)

    def told(key: str | None, result: Any) -> Outcomes:
        if result.__class__ is not tuple:
            return untold(key, result)
        met, value, limit, margin = result
        return (Outcome(rule, pointer_of(key), key, "met" if met else "short", value, limit, margin),)

    return told


def _told_rising(rule: str, plan: CompiledRule) -> Told:
    told = _told(rule, plan)
    return lambda key, result: told(*result) if result.__class__ is tuple else told(key, result)


def _told_lacking(rule: str, plan: CompiledRule) -> Told:
    pointer_of, untold = _pointers(plan.at), _untold(rule, plan)

    def told(key: str | None, result: Any) -> Outcomes:
        if result.__class__ is not tuple:
            return untold(key, result)
        if not result:
            return (Outcome(rule, pointer_of(key), key, "met"),)
        return tuple(Outcome(rule, missing, key, "short", missing=(missing,)) for missing in result)

    return told


TOLD: dict[str, Callable[[str, CompiledRule], Told]] = {"rising": _told_rising, "present": _told_lacking}
"""What tells the result of a check that is no comparison."""


def _untold(rule: str, plan: CompiledRule) -> Told:
    """Of what is unknown or does not apply."""
    pointer_of = _pointers(plan.at)

    def told(key: str | None, lack: Unknown | None) -> Outcomes:
        if lack is None:
            return ()
        reason, missing, note = lack
        return (Outcome(rule, pointer_of(key), key, "unknown", reason=reason, missing=missing, note=note),)

    return told


def _pointers(at: SpecRef) -> Callable[[str | None], str]:
    """``at.pointer``, quicker for many things."""
    whole = at.pointer(None)
    if not at.own:
        return lambda _key: whole
    before, after = at.template.split("{}")
    return lambda key: whole if key is None else f"{before}{key}{after}"

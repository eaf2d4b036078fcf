"""The evaluator: a compiled rule evaluated for a job."""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from functools import cached_property
from itertools import chain
from typing import Any, Literal

from doorlint.figures.cells import Cells, Unknown, entries_of, merged
from doorlint.rulebook.compiled_rule import CompiledRule, Condition
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.kinds.kind import Keys, Outcomes


class Evaluator:
    """A rule that can be evaluated for jobs."""

    def __init__(self, rule: str, when: Sequence[Condition], compiled: Callable[[], CompiledRule]) -> None:
        """``when``: what must hold in the job as a whole; ``compiled`` gives the rule."""
        self._rule, self._when, self._compiled = rule, when, compiled
        self._given = [(one.name, one.wanted) for one in when if isinstance(one.wanted, bool)]

    def evaluate(self, cells: Cells) -> Outcomes:
        """An outcome for every thing that it applies to."""
        for name, wanted in self._given:
            if (name in cells.given) is not wanted:
                return ()  # most rules are about a part that the job has not: nothing is built for them
        settled = self._asked(cells)
        return () if settled is False else self._outcomes(cells, settled)

    @cached_property
    def _asked(self) -> Callable[[Cells], bool | Unknown]:
        return _chosen(self._when)

    @cached_property
    def _outcomes(self) -> Callable[[Cells, Literal[True] | Unknown], Outcomes]:
        """The outcomes of a job of which the rule is asked."""
        compiled = self._compiled()
        return (_of_job if compiled.axis is None else _of_things)(self._rule, compiled)


def _of_job(rule: str, compiled: CompiledRule) -> Callable[[Cells, Literal[True] | Unknown], Outcomes]:
    kind = KINDS[compiled.kind]
    result_of, explain = kind.of_job(f"rule {rule}", compiled), kind.explain(rule, compiled)

    def outcomes(cells: Cells, settled: Literal[True] | Unknown) -> Outcomes:
        return explain(None, result_of(cells) if settled is True else settled)

    return outcomes


def _of_things(rule: str, compiled: CompiledRule) -> Callable[[Cells, Literal[True] | Unknown], Outcomes]:
    kind, axis = KINDS[compiled.kind], compiled.axis or ""
    results_of, explain = kind.of_things(f"rule {rule}", compiled), kind.explain(rule, compiled)
    of_things = _asked_each([one for one in compiled.when if one.own])

    def outcomes(cells: Cells, settled: Literal[True] | Unknown) -> Outcomes:
        keys, doubts = of_things(cells, cells.things.get(axis, ()))
        if settled is not True:
            doubts = {key: [settled] for key in keys} | {key: [settled, *why] for key, why in doubts.items()}
            keys = ()
        unknown = [explain(key, merged(why)) for key, why in doubts.items()]
        return tuple(chain(*unknown, *map(explain, keys, results_of(cells, keys) if keys else ())))

    return outcomes


# --- when it is asked ----------------------------------------------------------------------------------------------


def _chosen(when: Sequence[Condition]) -> Callable[[Cells], bool | Unknown]:
    """Whether the job has one of the values that each condition lists, or why that is unknown; one that does not hold
    settles it in any case."""
    chosen = _choices(when)

    def asked(cells: Cells) -> bool | Unknown:
        unknown = []
        for name, choices in chosen:
            value = cells.value(name)
            if value.__class__ is Unknown:
                unknown.append(value)
            elif value not in choices:
                return False
        return merged(unknown) if unknown else True

    return asked


def _asked_each(when: Sequence[Condition]) -> Callable[[Cells, Keys], tuple[Keys, dict[str, list[Unknown]]]]:
    """The keys of the things for which all conditions hold, and of others why that is unknown."""
    given = [(one.name, one.wanted) for one in when if isinstance(one.wanted, bool)]
    chosen = _choices(when)

    def asked(cells: Cells, keys: Keys) -> tuple[Keys, dict[str, list[Unknown]]]:
        for name, wanted in given:
            column = cells.given.get(name, ())
            keys = [key for key in keys if (key in column) is wanted]
        doubts: dict[str, list[Unknown]] = {}
        for name, choices in chosen if keys else ():
            cell = entries_of(cells.value(name))
            column = cell if isinstance(cell, dict) else dict.fromkeys(keys, cell)
            for key in keys:
                if column[key].__class__ is Unknown:
                    doubts.setdefault(key, []).append(column[key])
            keys = [key for key in keys if column[key].__class__ is Unknown or column[key] in choices]
        if not doubts:
            return keys, doubts
        return [key for key in keys if key not in doubts], {key: doubts[key] for key in keys if key in doubts}

    return asked


def _choices(when: Sequence[Condition]) -> list[tuple[str, Container[Any]]]:
    """What must have one of some values."""
    return [(one.name, one.allowed) for one in when if not isinstance(one.wanted, bool)]

"""A column in which each value is more than the one before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.kind import NAME, Example, Explain, Kind, Sides, Terms, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule
    from doorlint.rulebook.scope import Scope


class Rising(Kind):
    """``{rising: section.weight}``; the outcome is that of the first thing that is out of order."""

    name = "rising"
    options = {"rising": NAME}
    example = Example(
        {"rising": "section.weight"},
        {"section.weight": {"s1": 100.0, "s2": 200.0}},
        {"section.weight": {"s1": 200.0, "s2": 200.0}},
    )
    names_things = True

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        column = scope.at(self.name).column(check[self.name])
        return Terms([column], column.dimension)

    def comparison(self, rule: CompiledRule) -> Callable[[Mapping[str, float | None]], tuple[str | None, Verdict]]:
        return first_out_of_order

    def explain(self, rule_id: str, rule: CompiledRule) -> Explain:
        explain = super().explain(rule_id, rule)
        return lambda key, result: explain(*result) if result.__class__ is tuple else explain(key, result)

    def can_raise(self, rule: CompiledRule) -> bool:
        return True  # it goes through a column, whatever that holds

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        return f"{constant(is_rising)}({sides.first[0]})"

    def is_low(self, value: float, limit: float) -> bool:
        return True


def first_out_of_order(column: Mapping[str, float | None]) -> tuple[str | None, Verdict]:
    """The key of the first value that is not more than the one before it, and the verdict there.

    >>> first_out_of_order({"s1": 1, "s2": 1})
    ('s2', (False, 1, 1, 0))
    >>> first_out_of_order({"s1": 1.0, "s2": None, "s3": 2.0})
    (None, (True, 2.0, None, None))
    """
    values = {key: entry for key, entry in column.items() if entry is not None}
    for (_, before), (key, value) in pairwise(values.items()):
        if not value > before:
            return key, (False, value, before, value - before)
    return None, (True, next(reversed(values.values()), None), None, None)


def is_rising(column: Mapping[str, float | None]) -> bool:
    """Whether every value of a column is more than the one before it.

    >>> is_rising({"s1": 1.0, "s2": None, "s3": 2.0}), is_rising({"s1": 1.0, "s2": 1.0})
    (True, False)
    """
    return first_out_of_order(column)[1][0]

"""Values none of which is more than the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from math import isfinite
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.comparison import ENDLESS, Comparison, not_more
from doorlint.rulebook.kinds.kind import DIMENSION, FORMULA, SHOWN_AS, Example, Sides, Terms, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule
    from doorlint.rulebook.scope import Part, Scope


class InOrder(Comparison):
    """``{in_order: [room.headroom, room.back]}``; value and limit shown are those of the worst step."""

    name = "in_order"
    options = {"in_order": {"type": "array", "minItems": 2, "maxItems": 20, "items": FORMULA}, "as": DIMENSION}
    example = Example(
        {"in_order": ["'10 in'", "room.headroom", "room.back"]},
        {"room.headroom": 0.3, "room.back": 0.3},
        {"room.headroom": 0.3, "room.back": 0.29},
    )

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        sides: list[Part] = []
        measure = None
        for number, text in enumerate(check[self.name]):
            here = scope.at(self.name, number)
            sides.append(here.formula(text, measure and measure.dimension))
            measure = here.measure(sides[-1], check.get(SHOWN_AS), measure)
        return Terms(sides, measure and measure.dimension)

    def comparison(self, rule: CompiledRule) -> Callable[..., Verdict]:
        return worst_step

    def is_low(self, value: float, limit: float) -> bool:
        return False

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        return f"-inf < {' <= '.join(sides.first)} < inf"

    def margin_source(self, sides: Sequence[str]) -> str:
        return f"min({', '.join(f'{after} - {before}' for before, after in pairwise(sides))}, inf)"


def worst_step(*values: float) -> Verdict:
    """
    >>> worst_step(1.0, 3.0, 2.0)
    (False, 3.0, 2.0, -1.0)
    """
    if not all(map(isfinite, values)):
        raise OverflowError(ENDLESS)
    worst = min(range(len(values) - 1), key=lambda i: values[i + 1] - values[i])
    return not_more(values[worst], values[worst + 1])

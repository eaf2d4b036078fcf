"""A value between two limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.comparison import LimitCheck, inside
from doorlint.rulebook.kinds.kind import DIMENSION, FORMULA, Example, Sides, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule


class Between(LimitCheck):
    """``{value: room.headroom, between: [10 in, 20 in]}``; the limit shown is the nearer end."""

    name = "between"
    options = {
        "value": FORMULA,
        "between": {"type": "array", "minItems": 2, "maxItems": 2, "items": FORMULA},
        "as": DIMENSION,
    }
    example = Example(
        {"value": "room.headroom", "between": ["10 in", "room.back"]},
        {"room.headroom": 0.3, "room.back": 0.4},
        {"room.headroom": 0.41, "room.back": 0.4},
    )

    def limits(self, check: Mapping[str, Any]) -> Sequence[tuple[tuple[str | int, ...], str]]:
        return [((self.name, number), text) for number, text in enumerate(check[self.name])]

    def comparison(self, rule: CompiledRule) -> Callable[..., Verdict]:
        return inside

    def is_low(self, value: float, limit: float) -> bool:
        return value < limit

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        return f"-inf < {sides.first[1]} <= {sides.first[0]} <= {sides.first[2]} < inf"

    def margin_source(self, sides: Sequence[str]) -> str:
        return f"min({sides[0]} - {sides[1]}, {sides[2]} - {sides[0]})"

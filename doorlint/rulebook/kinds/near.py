"""A value within a band on both sides of a target."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.comparison import LimitCheck, inside
from doorlint.rulebook.kinds.kind import DIMENSION, FORMULA, Example, Sides, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule


class Near(LimitCheck):
    """``{value: room.headroom, near: 10 in, within: 1 in}``; the limit shown is the nearer end of the band."""

    name = "near"
    options = {"value": FORMULA, "near": FORMULA, "within": FORMULA, "as": DIMENSION}
    example = Example(
        {"value": "room.headroom", "near": "10 in", "within": "1 in"},
        {"room.headroom": 0.2794},
        {"room.headroom": 0.2285},
    )

    def limits(self, check: Mapping[str, Any]) -> Sequence[tuple[tuple[str | int, ...], str]]:
        return [((key,), check[key]) for key in (self.name, "within")]

    def comparison(self, rule: CompiledRule) -> Callable[..., Verdict]:
        return in_band

    def is_low(self, value: float, limit: float) -> bool:
        return value < limit

    def goal(self, check: Mapping[str, Any], known: Container[str]) -> str | None:
        return f"to {{{check[self.name]}}}" if check[self.name] in known else None

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        low, high = f"{sides.first[1]} - {sides.first[2]}", f"{sides.again[1]} + {sides.again[2]}"
        return f"-inf < {low} <= {sides.first[0]} <= {high} < inf"

    def margin_source(self, sides: Sequence[str]) -> str:
        return f"{sides[2]} - abs({sides[0]} - {sides[1]})"


def in_band(value: float, target: float, band: float) -> Verdict:
    """
    >>> in_band(5.0, 4.0, 2.0)
    (True, 5.0, 6.0, 1.0)
    """
    return inside(value, target - band, target + band)

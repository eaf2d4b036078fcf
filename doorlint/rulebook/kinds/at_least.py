"""A value that is no less than a limit."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.comparison import LimitCheck, not_less
from doorlint.rulebook.kinds.kind import DIMENSION, FORMULA, Example, Sides, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule


class AtLeast(LimitCheck):
    """``{value: room.headroom, at_least: 10 in}``"""

    name = "at_least"
    shows_limit = True
    options = {"value": FORMULA, "at_least": FORMULA, "as": DIMENSION}
    example = Example(
        {"value": "room.headroom", "at_least": "10 in"}, {"room.headroom": 0.254}, {"room.headroom": 0.253}
    )

    def comparison(self, rule: CompiledRule) -> Callable[..., Verdict]:
        return not_less

    def is_low(self, value: float, limit: float) -> bool:
        return True

    def goal(self, check: Mapping[str, Any], known: Container[str]) -> str | None:
        return "to at least {limit}"

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        return f"inf > {sides.first[0]} >= {sides.first[1]} > -inf"

    def margin_source(self, sides: Sequence[str]) -> str:
        return f"{sides[0]} - {sides[1]}"

"""A value that is one of some choices."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.kind import NAME, Example, Kind, Sides, Terms, Verdict

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule
    from doorlint.rulebook.scope import Scope


class OneOf(Kind):
    """``{value: track.lift, one_of: [standard, high]}``"""

    name = "one_of"
    options = {"value": NAME, "one_of": {"type": "array", "minItems": 1, "items": {"type": "string"}}}
    example = Example(
        {"value": "track.lift", "one_of": ["standard", "high"]}, {"track.lift": "high"}, {"track.lift": "vertical"}
    )

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        value = scope.at("value").formula(check["value"])
        choices = [
            scope.at(self.name, number).choice(check["value"], item) for number, item in enumerate(check[self.name])
        ]
        return Terms([value], choices=choices)

    def comparison(self, rule: CompiledRule) -> Callable[[Any], Verdict]:
        choices = tuple(rule.choices)
        return lambda value: (value in choices, value, choices, None)

    def goal(self, check: Mapping[str, Any], known: Container[str]) -> str | None:
        return "to {limit}"

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        return f"{sides.first[0]} in {constant(rule.choices)}"

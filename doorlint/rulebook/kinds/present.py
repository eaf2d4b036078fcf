"""Spec values that must be given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.kind import NAME, Example, Explain, Kind, Outcomes, Sides, Terms, gaps, pointers
from doorlint.rulebook.rule import Outcome

if TYPE_CHECKING:
    from doorlint.figures.cells import Cells
    from doorlint.rulebook.compiled_rule import CompiledRule, SpecRef
    from doorlint.rulebook.scope import Scope


class Present(Kind):
    """``{present: [room.headroom, section.weight]}``; an outcome for each value that is not given."""

    name = "present"
    options = {
        "present": {
            "type": "array",
            "minItems": 1,
            "maxItems": 60,
            "items": NAME,
            "description": "What must be given",
        }
    }
    example = Example(
        {"present": ["section.weight", "room.headroom"]},
        {"section.weight": {"s1": 100.0, "s2": 200.0}, "room.headroom": 0.3},
        {"section.weight": {"s1": 100.0}, "section.height": {"s1": 0.5, "s2": 0.5}, "room.headroom": 0.3},
        each="section",
    )
    compares = False

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        return Terms(wanted=[scope.at(self.name, number).wanted(name) for number, name in enumerate(check[self.name])])

    def of_job(self, label: str, rule: CompiledRule) -> Callable[[Cells], Any]:
        missing = _missing(rule.wanted)
        return lambda cells: missing(cells, (None,))[0]

    def of_things(self, label: str, rule: CompiledRule) -> Callable[[Cells, Sequence[str]], Sequence[Any]]:
        return _missing(rule.wanted)

    def explain(self, rule_id: str, rule: CompiledRule) -> Explain:
        pointer_of, gap = pointers(rule.at), gaps(rule_id, rule)

        def explain(key: str | None, result: Any) -> Outcomes:
            if result.__class__ is not tuple:
                return gap(key, result)
            if not result:
                return (Outcome(rule_id, pointer_of(key), key, "met"),)
            return tuple(Outcome(rule_id, missing, key, "short", missing=(missing,)) for missing in result)

        return explain

    def counts_columns(self, rule: CompiledRule) -> bool:
        return not any(condition.own for condition in rule.when)

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        of_job = frozenset(ref.name for ref in rule.wanted if not ref.own)
        columns = [f"values.get({ref.name!r}, ())" for ref in rule.wanted if ref.own]
        tests = [f"key in {column}" if things is None else f"len({column}) == {things}" for column in columns]
        return " and ".join([f"{constant(of_job)} <= names", *tests] if of_job else tests)


def _missing(wanted: Sequence[SpecRef]) -> Callable[[Cells, Sequence[str | None]], Sequence[tuple[str, ...]]]:
    """The pointers of what is not given, for each of some things."""
    of_job = [(ref.name, ref.pointer(None)) for ref in wanted if not ref.own]
    of_thing = [ref for ref in wanted if ref.own]

    def missing(cells: Cells, keys: Sequence[str | None]) -> Sequence[tuple[str, ...]]:
        values = cells.given
        always = tuple([pointer for name, pointer in of_job if name not in values])
        return [
            always + tuple([ref.pointer(key) for ref in of_thing if key not in values.get(ref.name, ())])
            for key in keys
        ]

    return missing

"""From which stage a rule is checked: as soon as its inputs can be given."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from doorlint.figures.cells import Parameter
from doorlint.figures.graph import Graph
from doorlint.rulebook.compiled_rule import CompiledRule
from doorlint.rulebook.rule import STAGES, Stage


def earliest_stages(
    compiled_rules: Mapping[str, CompiledRule],
    early: Callable[[str], bool],
    graph: Graph,
    axis_of: Callable[[str], str | None],
) -> dict[str, Stage]:
    """The first stage at which each rule checks inputs that are given; before its own stage, missing ones are ignored.

    A rule that sums or counts the things of a map waits for the stage at which that map is asked to be complete, since
    half of a map gives half of a sum. One that is not ``early`` waits for its own stage.
    """
    asked = _asked_from(compiled_rules, axis_of)
    summed: dict[str, frozenset[str]] = {}

    def sums(name: str) -> frozenset[str]:
        if name not in summed:
            node = graph.nodes.get(name)
            summed[name] = frozenset() if node is None else _columns(node.parameters, graph).union(
                *map(sums, node.reads)
            )  # fmt: skip
        return summed[name]

    def first(rule: str, compiled: CompiledRule) -> Stage:
        if not early(rule):
            return compiled.stage
        axes = _columns(compiled.arguments, graph).union(*map(sums, compiled.inputs))
        waits = [asked.get(axis, STAGES.index(compiled.stage)) for axis in axes]
        return STAGES[min(max(waits, default=0), STAGES.index(compiled.stage))]

    return {rule: first(rule, compiled) for rule, compiled in compiled_rules.items()}


def _columns(parameters: Iterable[Parameter], graph: Graph) -> frozenset[str]:
    """The axes of which whole columns are taken."""
    axes = (graph.axis_of(one.name) for one in parameters if one.column)
    return frozenset(axis for axis in axes if axis is not None)


def _asked_from(compiled_rules: Mapping[str, CompiledRule], axis_of: Callable[[str], str | None]) -> dict[str, int]:
    """By axis, the number of the stage at which completeness first asks for a value of its things."""
    found: dict[str, int] = {}
    for compiled in compiled_rules.values():
        for ref in compiled.wanted:
            axis = axis_of(ref.name)
            if axis is not None:
                found[axis] = min(found.get(axis, len(STAGES)), STAGES.index(compiled.stage))
    return found

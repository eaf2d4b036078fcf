"""The generated program: all figures and rules as the source of one function, for a run over many jobs.

A cell that is asked for by name looks up its inputs, checks them and is stored: most of the time of a job. In the
generated source a figure is a call with local variables and a rule a comparison of them. It has one word for
unknown and no reasons: a rule that is neither clearly met nor clearly not applicable is left to the evaluator, which
finds the reason.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from itertools import repeat
from math import inf
from typing import Any

from doorlint.figures.cells import Parameter
from doorlint.figures.graph import Graph, Job, Node
from doorlint.rulebook import codegen_runtime
from doorlint.rulebook.compiled_rule import CompiledRule, Condition
from doorlint.rulebook.expression import FUNCTIONS, source_of
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.kinds.kind import Sides
from doorlint.rulebook.margin import ErrorBound
from doorlint.rulebook.rule import STAGES

__all__ = ["Program", "generate", "source"]

Bounds = Mapping[str, ErrorBound]
Program = Callable[[Job, int], "Generator[Any, Bounds, None]"]
"""Two steps over a job at the number of its stage. The first works out the figures; it is sent the error bounds by the
cell of a rule. The second gives how many checks are met beyond those bounds, and the cells of the rules that remain to
be asked by name."""

Rules = Sequence[tuple[str, CompiledRule]]
"""Each with its cell."""


def generate(graph: Graph, rules: Rules) -> Program:
    """The program for all figures that some rule reads, and for the rules."""
    text, names = source(graph, rules)
    exec(compile(text, "<figures and rules>", "exec"), names)
    program: Program = names["run"]
    return program


def source(graph: Graph, rules: Rules) -> tuple[str, dict[str, Any]]:
    """The source, and the names that it may use; everything that comes from a rule is reached by a numbered name."""
    writer = _Writer(graph)
    by_stage = [[(cell, compiled) for cell, compiled in rules if compiled.earliest == stage] for stage in STAGES]
    for number, some in enumerate(by_stage):
        with writer.under(f"if stage >= {number}"):
            writer.figures(name for _, compiled in some for name in _cells_of(compiled))
    writer.line("enough = (yield).get")
    for number, some in enumerate(by_stage):
        with writer.under(f"if stage >= {number}"):
            writer.rules(some)
    return writer.text(), writer.names


def _cells_of(compiled: CompiledRule) -> Iterator[str]:
    yield from (argument.name for argument in compiled.arguments)
    yield from (one.name for one in compiled.when if not isinstance(one.wanted, bool))


def _asked(compiled: CompiledRule) -> str:
    """The test that what a rule lacks is missing; empty where it always is."""
    return "" if compiled.earliest == compiled.stage else f"stage >= {STAGES.index(compiled.stage)}"


def _otherwise(compiled: CompiledRule, known: Sequence[str]) -> str:
    """The branch of a rule that is not plainly met: before its stage, only where all that it reads is known."""
    asked = _asked(compiled)
    return f"elif {asked} or ({' and '.join(known)})" if asked and known else "else"


class _Writer:
    """The lines of source so far and what they define. A cell is the variable ``v`` with its number."""

    def __init__(self, graph: Graph) -> None:
        self.graph = graph
        self.lines: list[str] = []
        self.depth = 1
        self.names: dict[str, Any] = {name: getattr(codegen_runtime, name) for name in codegen_runtime.__all__}
        self.names |= {"repeat": repeat, "inf": inf, **FUNCTIONS}
        self.places = {name: place for place, name in enumerate(graph.nodes)}
        self.axis_numbers = {axis: number for number, axis in enumerate(graph.axes)}
        self.written: set[str] = set()
        self.applying: set[str] = set()
        """cells that are never None"""
        self.axes: set[str] = set()

    def text(self) -> str:
        """All of it."""
        head = ["def run(job, stage):", "    values, memo = job.values, job.cells.known"]
        head += [f"    {self.keys(axis)} = job.keys.get({axis!r}, ())" for axis in sorted(self.axes)]
        head += ["    names, met, left = values.keys(), 0, []"]
        return "\n".join([*head, *self.lines, "    yield met, left\n"])

    def line(self, text: str) -> None:
        """One line more."""
        self.lines.append("    " * self.depth + text)

    @contextmanager
    def under(self, head: str | None) -> Iterator[None]:
        """Indent the lines written meanwhile below this head, if there is one."""
        if head is None:
            yield
            return
        self.line(head + ":")
        self.depth += 1
        start = len(self.lines)
        yield
        if len(self.lines) == start:
            self.line("pass")
        self.depth -= 1

    def constant(self, value: Any) -> str:
        """The name by which the source calls a value."""
        name = f"c{len(self.names)}"
        self.names[name] = value
        return name

    def cell(self, name: str) -> str:
        """The variable of a cell."""
        return f"v{self.places[name]}"

    def keys(self, axis: str) -> str:
        """The variable with the keys of an axis."""
        self.axes.add(axis)
        return f"k{self.axis_numbers[axis]}"

    def sure(self, name: str) -> bool:
        """Whether a cell always has a value: a shop figure or a table."""
        return name in self.graph.constants and self.graph.nodes[name].axis is None

    def argument(self, parameter: Parameter) -> str:
        """The variable that a parameter takes, written first where it takes a whole column."""
        variable = self.cell(parameter.name)
        if not parameter.column:
            return variable
        column = f"t{self.places[parameter.name]}"
        call = f"taken({variable}, {bool(parameter.gaps)}, {bool(parameter.optional)})"
        self.line(f"{column} = {variable} if {variable}.__class__ is dict else {call}")
        return column

    # figures

    def figures(self, names: Iterable[str]) -> None:
        """Everything that these names read and that has not been written yet."""
        fresh = self.ahead(names)
        self.given([node for node in fresh if node.function is None])
        for node in fresh:
            if node.function is not None and node.each:
                self.along(node, node.axis or "")
            elif node.function is not None:
                self.once(node)

    def ahead(self, names: Iterable[str]) -> list[Node]:
        """Each behind those that it reads itself."""
        fresh: list[Node] = []
        for name in names:
            waiting = [name]
            while waiting:
                node = self.graph.nodes[waiting[-1]]
                ahead = [] if node.name in self.written else [read for read in node.reads if read not in self.written]
                if ahead:
                    waiting += ahead
                    continue
                waiting.pop()
                if node.name not in self.written:
                    self.written.add(node.name)
                    fresh.append(node)
        return fresh

    def given(self, nodes: Sequence[Node]) -> None:
        """Values of the spec, shop figures and tables."""
        self.applying.update(node.name for node in nodes)
        for axis in dict.fromkeys(node.axis for node in nodes):
            some = [node.name for node in nodes if node.axis == axis]
            variables, names = "".join(f"{self.cell(name)}, " for name in some), self.constant(some)
            if axis is None:
                self.line(f"{variables}= [values.get(name, UNKNOWN) for name in {names}]")
                continue
            keys = self.keys(axis)
            self.line(f"nothing, many = blank({keys}), len({keys})")
            self.line(
                f"{variables}= [nothing if (column := values.get(name)) is None "
                f"else column if len(column) == many else given(column, {keys}) for name in {names}]"
            )

    def once(self, node: Node) -> None:
        """A figure of the job, or one that makes a column at once."""
        variable, arguments = self.cell(node.name), [self.argument(parameter) for parameter in node.parameters]
        needed = [
            (argument, parameter.name)
            for argument, parameter in zip(arguments, node.parameters, strict=True)
            if not parameter.optional and not self.sure(parameter.name)
        ]
        idle = [argument for argument, name in needed if name not in self.applying]
        if idle:
            self.line(f"if {_any(idle, 'is None')}: {variable} = memo[{node.name!r}] = None")
        if needed:
            unknown = _any([argument for argument, _ in needed], "is UNKNOWN")
            self.line(f"{'elif' if idle else 'if'} {unknown}: {variable} = UNKNOWN")
        if not idle and not node.may_idle:
            self.applying.add(node.name)
        passed = ", ".join(
            f"None if {argument} is UNKNOWN else {argument}" if parameter.optional and not parameter.column
            else argument
            for argument, parameter in zip(arguments, node.parameters, strict=True)
        )  # fmt: skip
        call = f"{self.constant(node.function)}({passed})"
        with self.under("else" if needed else None):
            if node.axis is None:
                self.line(f"try: {variable} = memo[{node.name!r}] = {call}")
            else:
                self.line(f"try: {variable} = filled({call}, {self.keys(node.axis)}, memo, {node.name!r})")
            self.line(f"except Exception: {variable} = UNKNOWN")

    def along(self, node: Node, axis: str) -> None:
        """A figure of each thing of an axis."""
        variable, keys, function = self.cell(node.name), self.keys(axis), self.constant(node.function)
        cells = [self.argument(parameter) for parameter in node.parameters]
        sound, rows = [keys], []
        for cell, parameter in zip(cells, node.parameters, strict=True):
            if not parameter.own:
                rows.append(f"repeat({cell})")
                if parameter.optional and not parameter.column:
                    rows[-1] = f"repeat(None if {cell} is UNKNOWN else {cell})"
                elif not parameter.optional and not self.sure(parameter.name):
                    sound += [f"{cell} is not UNKNOWN"]
                    sound += [] if parameter.name in self.applying else [f"{cell} is not None"]
            elif parameter.optional:
                rows.append(f"{cell}.values() if {cell}.__class__ is dict else gapped({cell})")
            else:
                rows.append(f"{cell}.values()")
                sound.append(f"{cell}.__class__ is dict")
        needed = self.constant([not parameter.optional for parameter in node.parameters])
        own = self.constant([parameter.own for parameter in node.parameters])
        everything = "".join(f"{cell}, " for cell in cells)
        slowly = f"{variable} = each({function}, {needed}, {own}, ({everything}), {keys}, memo, {node.name!r})"
        if not any(parameter.own for parameter in node.parameters):
            self.line(slowly)
            return
        with self.under(f"if {' and '.join(sound)}"):
            with self.under("try"):
                made = f"dict(zip({keys}, map({function}, {', '.join(rows)})))"
                self.line(f"{variable} = memo[{node.name!r}] = {f'as_column({made})' if node.may_idle else made}")
            self.line(f"except Exception: {slowly}")
        self.line(f"else: {slowly}")

    # rules

    def rules(self, rules: Rules) -> None:
        """The rules by their conditions on the job, those of a group in their order."""
        groups: dict[str, tuple[list[Condition], list[tuple[str, CompiledRule]]]] = {}
        for cell, compiled in rules:
            of_job = [one for one in compiled.when if not one.own]
            groups.setdefault(repr((of_job, compiled.stage)), (of_job, []))[1].append((cell, compiled))
        for of_job, group in groups.values():
            self.group(of_job, group)

    def group(self, of_job: Sequence[Condition], group: Rules) -> None:
        """Rules that are asked under the same conditions on the job."""
        tests, doubts = [], []
        for one in of_job:
            if isinstance(one.wanted, bool):
                tests.append(f"{one.name!r} {'in' if one.wanted else 'not in'} names")
            else:
                doubts.append(f"{self.cell(one.name)} is UNKNOWN")
                tests.append(f"({doubts[-1]} or {self.cell(one.name)} in {self.constant(one.allowed)})")
        with self.under(f"if {' and '.join(tests)}" if tests else None):
            if doubts:
                cells, asked = self.constant([cell for cell, _ in group]), _asked(group[0][1])
                self.line(f"if {' or '.join(doubts)}: left += {cells}{f' if {asked} else ()' if asked else ''}")
            with self.under("else" if doubts else None):
                for cell, compiled in group:
                    self.rule(cell, compiled)

    def rule(self, cell: str, compiled: CompiledRule) -> None:
        """One rule: count how often it is met, or leave it to the evaluator."""
        cell = self.constant(cell)
        kind = KINDS[compiled.kind]
        if compiled.axis is not None and not kind.counts_columns(compiled):
            self.rule_along(cell, compiled, compiled.axis)
            return
        number = "1" if compiled.axis is None else f"len({self.keys(compiled.axis)})"
        variables = [self.argument(argument) for argument in compiled.arguments]
        idle, known = self.flaws(compiled, variables)
        tests = [*known, self.met(cell, compiled, variables, number)]
        with self.under(f"if {' and '.join(f'{one} is not None' for one in idle)}" if idle else None):
            with self.under("try" if KINDS[compiled.kind].can_raise(compiled) else None):
                self.line(f"if {' and '.join(tests)}: met += {number}")
                self.line(f"{_otherwise(compiled, known)}: left.append({cell})")
            if KINDS[compiled.kind].can_raise(compiled):
                self.line(f"except Exception: left.append({cell})")

    def rule_along(self, cell: str, compiled: CompiledRule, axis: str) -> None:
        """One rule checked for each thing that it applies to; where one fails, the evaluator does all."""
        keys = self.keys(axis)
        entries, rows, variables = ["key"], [keys], []

        def entry(variable: str) -> str:
            entries.append(f"e{len(entries)}")
            rows.append(f"{variable}.values() if {variable}.__class__ is dict else row({variable}, len({keys}))")
            return entries[-1]

        with self.under(f"if {keys}"):
            for argument in compiled.arguments:
                variable = self.argument(argument)
                variables.append(entry(variable) if argument.own else variable)
            skips, doubts = [], []
            for one in (one for one in compiled.when if one.own):
                if isinstance(one.wanted, bool):
                    skips.append(f"key {'not in' if one.wanted else 'in'} values.get({one.name!r}, ())")
                    continue
                here = entry(self.cell(one.name))
                skips.append(f"{here} is not UNKNOWN and {here} not in {self.constant(one.allowed)}")
                doubts.append(f"{here} is UNKNOWN")
            idle, known = self.flaws(compiled, variables)
            tests = [*known, self.met(cell, compiled, variables)]
            self.line("number = 0")
            with self.under("try" if KINDS[compiled.kind].can_raise(compiled) else None):
                with self.under(f"for {', '.join(entries)}, in zip({', '.join(rows)})"):
                    if skips:
                        self.line(f"if {' or '.join(skips)}: continue")
                    if doubts and _asked(compiled):
                        self.line(f"if not {_asked(compiled)} and ({' or '.join(doubts)}): continue")
                    if doubts:
                        self.line(f"if {' or '.join(doubts)}: left.append({cell}); break")
                    if idle:
                        self.line(f"if {_any(idle, 'is None')}: continue")
                    self.line(f"if {' and '.join(tests)}: number += 1")
                    self.line(f"{_otherwise(compiled, known)}: left.append({cell}); break")
                self.line("else: met += number")
            if KINDS[compiled.kind].can_raise(compiled):
                self.line(f"except Exception: left.append({cell})")

    def flaws(self, compiled: CompiledRule, variables: Sequence[str]) -> tuple[list[str], list[str]]:
        """Which of a rule's variables may be None, and the tests that all are known."""
        pairs = list(zip(variables, (argument.name for argument in compiled.arguments), strict=True))
        return (
            [variable for variable, name in pairs if name not in self.applying],
            [f"{variable} is not UNKNOWN" for variable, name in pairs if not self.sure(name)],
        )

    def met(self, cell: str, compiled: CompiledRule, variables: Sequence[str], things: str | None = None) -> str:
        """The test that a check is met, with enough to spare."""
        kind, first = KINDS[compiled.kind], [source_of(side, variables) for side in compiled.sides]
        again = first
        if not all(map(str.isidentifier, first)):
            again = [f"s{n}" for n in range(len(first))]
            first = [f"({name} := {side})" for name, side in zip(again, first, strict=True)]
        test = kind.source(compiled, Sides(first, again), self.constant, things)
        if not kind.has_margin:
            return test
        bound = f"bound[0] + bound[1] * abs({again[0]})"
        return f"{test} and ((bound := enough({cell})) is None or {kind.margin_source(again)} > {bound})"


def _any(variables: Iterable[str], what: str) -> str:
    return " or ".join(f"{variable} {what}" for variable in dict.fromkeys(variables))

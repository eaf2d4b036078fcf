"""The names that a rule may use, and its formulas: names, dimensions and choices are checked as they are read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from keyword import iskeyword
from typing import Any

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.figures.cells import Parameter
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.compiled_rule import Condition, SpecRef
from doorlint.rulebook.expression import Expression, depth, numeric_arguments, placed, size
from doorlint.rulebook.formula import (
    MOST_DEEP,
    MOST_PARTS,
    Argument,
    Exponents,
    Named,
    compile_formula,
    compile_lookup,
    spoken,
)
from doorlint.rulebook.kinds.kind import SHOWN_AS
from doorlint.spec.problems import nearest
from doorlint.spec.typed_reader import DoubtError, decimal, whole

TRUTH = {"true": True, "false": False}
COUNTED = ("count", "number")
"""Kinds of spec values that are numbers without a dimension."""


@dataclass(frozen=True, slots=True)
class Names:
    """What rules may name."""

    cells: Mapping[str, Named]
    """cells of the graph"""
    pointers: Mapping[str, tuple[str, str | None]]
    """spec name to pointer template and axis, containers included"""
    kinds: Mapping[str, str]
    """spec name to its kind: quantity, flag, choice, count, container, ..."""
    tables: Mapping[str, tuple[tuple[str, ...], Mapping[str, str]]]
    """table name to its columns and their dimensions"""
    choices: Mapping[str, tuple[str, ...]]
    """spec name to the words it may be"""

    @property
    def axes(self) -> set[str]:
        """The axes of the spec."""
        return {axis for _, axis in self.pointers.values() if axis is not None}

    def ref(self, name: str) -> SpecRef:
        """Where a spec value is; raises :class:`KeyError` for a name that is none."""
        template, axis = self.pointers[name]
        return SpecRef(name, template, axis is not None)

    def meant(self, name: str) -> str:
        """The advice for a name that is no spec value."""
        return nearest(name, self.pointers, "`doorlint blank --schema` lists them all")


class Part(NamedTuple):
    """A formula of a rule with every ``let`` written out."""

    text: str
    arguments: tuple[Argument, ...]
    tree: Expression
    """of these arguments by number"""
    exponents: Exponents
    dimension: str | None
    """the named dimension, where it keeps one"""
    size: int
    """how many parts the tree has"""


class Measure(NamedTuple):
    """What the sides of a check have in common."""

    exponents: Exponents
    dimension: str


@dataclass(frozen=True, slots=True)
class Scope:
    """The names that one part of a rule may use, and the path at which its mistakes are reported."""

    names: Names
    axis: str | None
    """of the things that the rule is asked of"""
    known: Mapping[str, Named]
    """cells and ``let``"""
    lets: Mapping[str, Part]
    path: tuple[str | int, ...] = ()

    def at(self, *path: str | int) -> Scope:
        """The same scope, further down in the rule."""
        return replace(self, path=(*self.path, *path))

    def broken(self, message: str) -> BrokenRules:
        """The refusal of what is written here; it quotes the key."""
        key = self.path[1] if self.path[:1] == ("check",) and self.path[1:] else self.path[0]
        return BrokenRules(f"{key}: {message}", self.path)

    # formulas

    def formula(self, text: str, dimension: str | None = None) -> Part:
        """A formula, or a quantity of a dimension written without quotes."""
        try:
            formula = compile_formula(text, self.known, self.axis, dimension)
        except BrokenRules as broken:
            raise self.broken(str(broken)) from None
        part = self._written_out(text, formula.arguments, formula.tree, formula.exponents, formula.dimension)
        if not isinstance(part.tree, int):
            self._refuse_words(part)
        return part

    def measure(self, part: Part, shown_as: str | None, before: Measure | None = None) -> Measure:
        """The dimension of a side, which has to be that of the sides ``before``; ``shown_as``: the one to show."""
        if before is not None and part.exponents != before.exponents:
            raise self.broken(f"{part.text}: {spoken(part.exponents)} held against {spoken(before.exponents)}")
        self._refuse_words(part)
        if shown_as is not None and shown_as not in quantities.DIMENSIONS:
            fix = nearest(shown_as, quantities.DIMENSIONS, f"write one of {', '.join(quantities.DIMENSIONS)}")
            raise replace(self, path=(self.path[0], SHOWN_AS)).broken(f"there is no dimension {shown_as}; {fix}")
        kept = before and before.dimension
        dimension = shown_as or kept or part.dimension or dimension_like(part.exponents)
        if dimension is None or quantities.dimension_of(dimension) != part.exponents:
            raise self.broken(f"{part.text} is {spoken(part.exponents)}; add `as:` with a dimension it has")
        return Measure(part.exponents, dimension)

    def limit(self, text: str, measure: Measure) -> Part:
        """One limit, of the value's dimension."""
        part = self.formula(text, measure.dimension)
        if part.exponents != measure.exponents:
            bare = "" if any(part.exponents) else "; write a measure with its unit"
            raise self.broken(f"{text}: {spoken(part.exponents)} held against {spoken(measure.exponents)}{bare}")
        return part

    def column(self, name: str) -> Part:
        """A whole column of numbers."""
        known = self.known.get(name)
        if known is None or known.axis is None:
            raise self.broken(f"{name} is no column; write a value that every thing of an axis has")
        part = Part(name, (Argument(name, column=True),), 0, (), known.dimension, 1)
        self._refuse_words(part)
        return part

    def with_let(self, name: str, definition: str | Mapping[str, str]) -> Scope:
        """The scope with one more ``let``, a formula or a look-up in a table."""
        here = self.at("let", name)
        if "." in name or name in self.known:
            raise here.broken(f"{name} is taken; use one new word")
        part = here.formula(definition) if isinstance(definition, str) else here._lookup(definition)
        dimension = part.dimension or dimension_like(part.exponents)
        known, lets = {**self.known, name: Named(dimension, None)}, {**self.lets, name: part}
        return replace(self, known=known, lets=lets)

    def _lookup(self, definition: Mapping[str, str]) -> Part:
        table, wanted = definition["table"], definition["column"]
        keys = {key: text for key, text in definition.items() if key not in ("table", "column")}
        if table not in self.names.tables:
            fix = nearest(table, self.names.tables, f"write one of {', '.join(self.names.tables)}")
            raise self.at("table").broken(f"there is no table {table}; {fix}")
        columns, dimensions = self.names.tables[table]
        for key, column in [("column", wanted), *((key, key) for key in keys)]:
            if column not in columns:
                fix = f"write one of {', '.join(columns)}"
                raise self.at(key).broken(f"table {table} has no column {column}; {fix}")
            if iskeyword(column):
                fix = "give it another name"
                raise self.at(key).broken(f"a column cannot be called {column} in a formula; {fix}")
        if dimensions.get(wanted) == "text":
            raise self.at("column").broken(f"column {wanted} of table {table} is text; name a column of numbers")
        cell = f"table.{table.replace('-', '_')}"
        try:
            arguments, tree = compile_lookup(cell, wanted, keys, self.known, self.axis)
        except BrokenRules as broken:
            raise self.broken(str(broken)) from None
        dimension = dimensions.get(wanted)
        return self._written_out(table, arguments, tree, quantities.dimension_of(dimension or "ratio"), dimension)

    def _written_out(
        self,
        text: str,
        arguments: tuple[Argument, ...],
        tree: Expression,
        exponents: Exponents,
        dimension: str | None,
    ) -> Part:
        """A tree with that of each ``let`` in the place of its name."""
        inner = [self.lets.get(argument.name) for argument in arguments]
        parts = size(tree, [1 if let is None else let.size for let in inner])
        if parts > MOST_PARTS:
            raise self.broken("a formula grows too long once every `let` in it is written out; take a figure instead")
        pairs = list(zip(arguments, inner, strict=True))
        every = dict.fromkeys(one for own, let in pairs for one in ((own,) if let is None else let.arguments))
        number = {argument: place for place, argument in enumerate(every)}
        whole = placed(tree, [number[own] if let is None else renumbered(let, number) for own, let in pairs])
        if depth(whole) > MOST_DEEP:
            raise self.broken("a formula lies too deep once every `let` in it is written out; take a figure instead")
        return Part(text, tuple(every), whole, exponents, dimension, parts)

    def _refuse_words(self, part: Part) -> None:
        """Raises :class:`BrokenRules` where a formula computes with something that is not a number."""
        for place in sorted(numeric_arguments(part.tree)):
            name = part.arguments[place].name
            if self.names.cells[name].dimension is None and self.names.kinds.get(name) not in COUNTED:
                inside = "" if part.text == name else f"{part.text}: "
                raise self.broken(f"{inside}{name} is no number")

    # spec values

    def parameter(self, argument: Argument) -> Parameter:
        """How a rule takes an argument."""
        own = not argument.column and self.names.cells[argument.name].axis is not None
        return Parameter(argument.name, argument.column, own=own)

    def wanted(self, name: str) -> SpecRef:
        """A spec value or container that has to be given."""
        self._own(name, "spec value or part of the spec")
        return self.names.ref(name)

    def condition(self, name: str, allowed: str | list[str]) -> Condition:
        """One line of ``when``."""
        self._own(name, "spec value")
        own = self.names.pointers[name][1] is not None
        if allowed in ("given", "absent"):
            return Condition(name, own, allowed == "given")
        return Condition(
            name, own, [self.choice(name, item) for item in ([allowed] if isinstance(allowed, str) else allowed)]
        )

    def choice(self, name: str, text: str) -> Any:
        """One value that a spec value may have, in SI where it is a quantity."""
        kind, cell = self.names.kinds.get(name), self.known.get(name)
        if kind == "flag":
            if text not in TRUTH:
                raise self.broken(f"{name} is true or false, not {text}")
            return TRUTH[text]
        if kind in COUNTED:
            try:
                return decimal(text) if kind == "number" else whole(text)
            except DoubtError:
                raise self.broken(f"{name} is a {kind}, not {text}") from None
        if kind == "quantity" and cell is not None and cell.dimension is not None:
            try:
                return float(quantities.read(text, cell.dimension, signed=True))
            except quantities.QuantityError as error:
                raise self.broken(f"{name}: {error}") from None
        if kind in ("quantity", "group", "map"):
            raise self.broken(f"{name} has no single value; ask whether it is `given` or `absent`")
        known = self.names.choices.get(name, (text,))
        if text not in known:
            fix = nearest(text, known, f"write one of {', '.join(known)}")
            raise self.broken(f"{name} is never {text}; {fix}")
        return text

    def _own(self, name: str, what: str) -> None:
        """Raises :class:`BrokenRules` for what is no spec value, or is of things that the rule is not asked of."""
        if name not in self.names.pointers:
            raise self.broken(f"{name} is no {what}; {self.names.meant(name)}")
        axis = self.names.pointers[name][1]
        if axis not in (None, self.axis):
            raise self.broken(f"{name} is of each {axis}; add `each: {axis}`")


def renumbered(part: Part, number: Mapping[Argument, int]) -> Expression:
    """The tree of a part with its arguments numbered as in a longer list."""
    return placed(part.tree, [number[argument] for argument in part.arguments])


def dimension_like(exponents: Exponents) -> str | None:
    """The first dimension of these exponents; of a plain number not that of a slope, which is shown in in/ft."""
    if not any(exponents):
        return "ratio"
    return next((name for name in quantities.DIMENSIONS if quantities.dimension_of(name) == exponents), None)

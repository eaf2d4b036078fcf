"""From a rule as written to its plan: names, dimensions and shape are checked on the way."""

from __future__ import annotations

import json
from collections.abc import Mapping
from keyword import iskeyword
from typing import Any

from doorlint import hashing, quantities
from doorlint.errors import BrokenRules
from doorlint.figures.cells import Parameter
from doorlint.rulebook.compiled_rule import CompiledRule, Condition, SpecRef
from doorlint.rulebook.expression import Expression, depth, placed, reckoned, size
from doorlint.rulebook.formula import (
    MOST_DEEP,
    MOST_PARTS,
    Argument,
    Formula,
    Named,
    compile_formula,
    compile_lookup,
    spoken,
)
from doorlint.rulebook.rule import PLACE, Rule, Source
from doorlint.spec.problems import nearest
from doorlint.spec.typed_reader import DoubtError, decimal, whole

TRUTH = {"true": True, "false": False}
LIMITS = ("at_least", "at_most", "between", "near")
"""Checks that hold a value against limits of its own dimension."""


class Names:
    """What rules may name: cells of the graph, pointers of spec values, containers, tables."""

    def __init__(
        self,
        cells: Mapping[str, Named],
        pointers: Mapping[str, tuple[str, str | None]],
        kinds: Mapping[str, str],
        tables: Mapping[str, tuple[tuple[str, ...], Mapping[str, str]]],
        choices: Mapping[str, tuple[str, ...]] = {},
    ) -> None:
        """``pointers``: spec name to (pointer template, axis), containers included; ``kinds``: spec name
        to its kind (quantity, flag, choice, count, container, ...); ``tables``: name to its columns and
        their dimensions."""
        self.cells, self.pointers, self.kinds, self.tables = cells, pointers, kinds, tables
        self.choices = choices
        self.axes = {axis for _, axis in pointers.values()} - {None}

    def place(self, name: str) -> SpecRef:
        """Where a spec value stands; raises :class:`KeyError` for a name that is none."""
        template, axis = self.pointers[name]
        return SpecRef(name, template, axis is not None)


def compile_rule(statement: Mapping[str, Any], names: Names) -> CompiledRule:
    """Check one statement that has the shape of ``schemas/rules.schema.json``.

    Raises :class:`BrokenRules` with the rule's id for an unknown name or place in the message, for two
    sides of different dimensions and for an error without a safety note.
    """
    try:
        return _RuleCompiler(statement, names).plan()
    except BrokenRules as broken:
        raise BrokenRules(f"rule {statement['id']}: {broken}") from None


def rule_of(said: Mapping[str, Any], plan: CompiledRule, house: str) -> Rule:
    """A rule from its statement and its plan."""
    return Rule(
        said["id"], said["title"], said["severity"], said["from"], plan.kind, said["message"], said.get("why", ""),
        said.get("safety", ""), said["sign_off"], Source(**said["source"]), plan.at.name, plan.axis,
        tuple(said.get("try", ())), plan.dimension, tuple(plan.reads),
        plan.needs, house, plan.digest, said,
    )  # fmt: skip


class _RuleCompiler:
    def __init__(self, statement: Mapping[str, Any], names: Names) -> None:
        self.statement, self.names = statement, names
        self.axis: str | None = statement.get("each")
        self.known = dict(names.cells)
        self.reads: dict[str, bool] = {}
        self.lets: dict[str, Expression] = {}
        self.sizes: dict[str, int] = {}
        self.arguments: dict[Argument, int] = {}
        self.dimension: str | None = None
        self.exponents: tuple[int, ...] | None = None
        self.written_out = 0
        """parts of the formula last placed"""

    def plan(self) -> CompiledRule:
        said = self.statement
        if self.axis is not None and self.axis not in self.names.axes:
            axes = sorted(axis for axis in self.names.axes if axis is not None)
            raise BrokenRules(f"each: {self.axis} is no axis of the spec; write one of {', '.join(axes)}")
        conditions = [self.condition(name, allowed) for name, allowed in said.get("when", {}).items()]
        for name, value in said.get("let", {}).items():
            self.let(name, value)
        kind, sides = self.check(said["check"])
        choices = tuple(self.choice(said["check"]["value"], item) for item in said["check"].get("one_of", ()))
        wanted = tuple(self.wanted(name) for name in said["check"].get("present", ()))
        at = said.get("at") or self.first_spec_name()
        if at not in self.names.pointers:
            raise BrokenRules(f"at: {at} is no spec value or part of the spec; {self.meant(at)}")
        if self.names.pointers[at][1] not in (None, self.axis) and kind not in {"rising", "present"}:
            raise BrokenRules(f"at: {at} is of each {self.names.pointers[at][1]}; add `each`")
        self.places(said["message"], kind)
        for name in said.get("try", ()):
            if name not in self.names.pointers:
                raise BrokenRules(f"try: {name} is no spec value; {self.meant(name)}")
        if said["severity"] == "error" and not said.get("safety"):
            raise BrokenRules("an error says in `safety` what to do first; add a line `safety: ...`")
        if said["severity"] == "error" and said["source"]["standing"] == "memory":
            raise BrokenRules("no error rests on memory alone; say where it is written, or make it a warning")
        return CompiledRule(
            said["from"], kind, self.names.place(at), self.axis, self.dimension, self.reads, conditions,
            [self.parameter(argument) for argument in self.arguments], sides, choices, wanted, digest(said),
        )  # fmt: skip

    def meant(self, name: str) -> str:
        """The advice for a name that is no spec value."""
        return nearest(name, self.names.pointers, "`doorlint blank --schema` has them all")

    # what the rule reads

    def read(self, name: str, needed: bool = True) -> None:
        self.reads[name] = self.reads.get(name, False) or needed

    def first_spec_name(self) -> str:
        for name in self.reads:
            if name in self.names.pointers:
                return name
        raise BrokenRules("found no `at`; expected where the finding points; add a line `at: ` with a spec value")

    def formula(self, text: str, dimension: str | None = None) -> tuple[Expression, Formula]:
        formula = compile_formula(text, self.known, self.axis, dimension)
        if not isinstance(formula.tree, int):
            self.refuse_words(formula)
        return self.placed(formula.arguments, formula.tree), formula

    def refuse_words(self, formula: Formula) -> None:
        """Raises :class:`BrokenRules` where a formula reckons with what is no number."""
        for place in reckoned(formula.tree):
            name = formula.arguments[place].name
            if self.known[name].dimension is None and self.names.kinds.get(name) not in ("count", "number"):
                raise BrokenRules(f"{formula.text}: {name} is no number")

    def placed(self, arguments: tuple[Argument, ...], tree: Expression) -> Expression:
        """A tree of arguments of its own as one of the rule's, every `let` written out."""
        for argument in arguments:
            if argument.name not in self.lets:
                self.read(argument.name)
        self.written_out = size(tree, [self.sizes.get(argument.name, 1) for argument in arguments])
        if self.written_out > MOST_PARTS:
            raise BrokenRules("a formula grows too long once every `let` in it is written out; take a figure instead")
        whole = placed(tree, [self.place(argument) for argument in arguments])
        if depth(whole) > MOST_DEEP:
            raise BrokenRules("a formula lies too deep once every `let` in it is written out; take a figure instead")
        return whole

    def place(self, argument: Argument) -> Expression:
        if argument.name in self.lets:
            return self.lets[argument.name]
        return self.arguments.setdefault(argument, len(self.arguments))

    def parameter(self, argument: Argument) -> Parameter:
        own = not argument.column and self.known[argument.name].axis is not None
        return Parameter(argument.name, argument.column, own=own)

    # its parts

    def condition(self, name: str, allowed: Any) -> Condition:
        if name not in self.names.pointers:
            raise BrokenRules(f"when: {name} is no spec value; {self.meant(name)}")
        axis = self.names.pointers[name][1]
        if axis not in (None, self.axis):
            raise BrokenRules(f"when: {name} is of each {axis}; add `each: {axis}`")
        if allowed in ("given", "absent"):
            self.read(name, needed=False)
            return Condition(name, axis is not None, allowed == "given")
        choices = [self.choice(name, item) for item in (allowed if isinstance(allowed, list) else [allowed])]
        self.read(name)
        return Condition(name, axis is not None, choices)

    def choice(self, name: str, text: str) -> Any:
        kind = self.names.kinds.get(name)
        if kind == "flag":
            if text not in TRUTH:
                raise BrokenRules(f"{name} is true or false, not {text}")
            return TRUTH[text]
        if kind in ("count", "number"):
            try:
                return decimal(text) if kind == "number" else whole(text)
            except DoubtError:
                raise BrokenRules(f"{name} is a {kind}, not {text}") from None
        if kind in ("quantity", "group", "map"):
            raise BrokenRules(f"{name} is no word to choose from; hold it against a limit in `check`, or ask `given`")
        if text not in self.names.choices.get(name, (text,)):
            known = self.names.choices[name]
            raise BrokenRules(f"{name} is never {text}; {nearest(text, known, f'write one of {chr(44).join(known)}')}")
        return text

    def let(self, name: str, said: Any) -> None:
        if "." in name or name in self.known:
            raise BrokenRules(f"let: {name} is taken; use one new word")
        if isinstance(said, Mapping):
            self.lets[name], dimension = self.lookup(said)
        else:
            self.lets[name], formula = self.formula(said)
            dimension = formula.dimension or _dimension_like(formula.exponents)
        self.known[name] = Named(dimension, None)
        self.sizes[name] = self.written_out

    def lookup(self, said: Mapping[str, str]) -> tuple[Expression, str | None]:
        table, wanted = said["table"], said["column"]
        keys = {key: text for key, text in said.items() if key not in ("table", "column")}
        if table not in self.names.tables:
            fix = nearest(table, self.names.tables, f"write one of {', '.join(self.names.tables)}")
            raise BrokenRules(f"let: there is no table {table}; {fix}")
        columns, dimensions = self.names.tables[table]
        for column in [wanted, *keys]:
            if column not in columns:
                raise BrokenRules(f"let: table {table} has no column {column}; write one of {', '.join(columns)}")
            if iskeyword(column):
                raise BrokenRules(f"let: a column cannot be called {column} in a formula; give it another name")
        cell = f"table.{table.replace('-', '_')}"
        return self.placed(*compile_lookup(cell, wanted, keys, self.known, self.axis)), dimensions.get(wanted)

    def limit(self, text: str) -> Expression:
        """One limit, of the value's dimension."""
        tree, formula = self.formula(text, self.dimension)
        if formula.exponents != self.exponents:
            bare = "" if any(formula.exponents) else "; write a measure with its unit"
            raise BrokenRules(f"{text}: {spoken(formula.exponents)} held against {spoken(self.exponents or ())}{bare}")
        return tree

    def check(self, said: Mapping[str, Any]) -> tuple[str, list[Expression]]:
        """The kind of check and what it compares."""
        if "present" in said:
            return "present", []
        if "rising" in said:
            return "rising", [self.column(said["rising"])]
        if "in_order" in said:
            sides = []
            for text in said["in_order"]:
                tree, formula = self.formula(text, self.dimension)
                self.set_dimension(formula, said)
                sides.append(tree)
            return "in_order", sides
        value, formula = self.formula(said["value"])
        if "one_of" in said:
            return "one_of", [value]
        self.set_dimension(formula, said)
        kind = next(kind for kind in LIMITS if kind in said)
        limits = said[kind] if kind == "between" else [said[kind], *([said["within"]] if kind == "near" else [])]
        return kind, [value, *map(self.limit, limits)]

    def set_dimension(self, formula: Formula, said: Mapping[str, str]) -> None:
        if self.exponents is not None and formula.exponents != self.exponents:
            raise BrokenRules(f"{formula.text}: {spoken(formula.exponents)} held against {spoken(self.exponents)}")
        self.refuse_words(formula)
        self.exponents = formula.exponents
        shown_as = said.get("as")
        if shown_as is not None and shown_as not in quantities.DIMENSIONS:
            fix = nearest(shown_as, quantities.DIMENSIONS, f"write one of {', '.join(quantities.DIMENSIONS)}")
            raise BrokenRules(f"as: there is no dimension {shown_as}; {fix}")
        self.dimension = shown_as or self.dimension or formula.dimension or _dimension_like(formula.exponents)
        if self.dimension is None or quantities.dimension_of(self.dimension) != self.exponents:
            raise BrokenRules(f"{formula.text} is {spoken(formula.exponents)}; say `as:` with a dimension it has")

    def column(self, name: str) -> Expression:
        known = self.known.get(name)
        if known is None or known.axis is None:
            raise BrokenRules(f"rising: {name} is no column; write a value that every thing of an axis has")
        if known.dimension is None and self.names.kinds.get(name) not in ("count", "number"):
            raise BrokenRules(f"rising: {name} is no number")
        self.read(name)
        self.dimension = known.dimension
        return self.place(Argument(name, column=True))

    def wanted(self, name: str) -> SpecRef:
        if name not in self.names.pointers:
            raise BrokenRules(f"present: {name} is no spec value or part of the spec; {self.meant(name)}")
        axis = self.names.pointers[name][1]
        if axis not in (None, self.axis):
            raise BrokenRules(f"present: {name} is of each {axis}; add `each: {axis}`")
        self.read(name, needed=False)
        return self.names.place(name)

    def places(self, message: str, kind: str) -> None:
        own = {"thing"} if self.axis or kind in {"rising"} else set()
        own |= {"missing"} if kind == "present" else {"value", "limit", "short"}
        for place in PLACE.findall(message):
            if place in own:
                continue
            known = self.known.get(place)
            if known is None or known.axis not in (None, self.axis):
                raise BrokenRules(f"message: {{{place}}} is no value that this rule has")
            if place not in self.lets:
                self.read(place, needed=False)
            else:
                raise BrokenRules(f"message: {{{place}}} is a `let`; show a figure or a spec value")


def _dimension_like(exponents: tuple[int, ...]) -> str | None:
    """The first dimension of these exponents; of a plain number not that of a slope, which is shown in in/ft."""
    if not any(exponents):
        return "ratio"
    return next((name for name in quantities.DIMENSIONS if quantities.dimension_of(name) == exponents), None)


def digest(statement: Any) -> str:
    """Twelve hex digits that change when what the rule says changes.

    >>> digest({"id": "a.b"}) == digest({"id": "a.b"}) != digest({"id": "a.c"})
    True
    """
    return hashing.hash_of(json.dumps(statement, sort_keys=True, ensure_ascii=False))[:12]

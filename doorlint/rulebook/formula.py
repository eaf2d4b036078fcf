"""Formulas of the rule library: arithmetic on named figures, and nothing else.

A formula is read by Python's own parser, checked against a short list of allowed nodes and for one
dimension. What is left is a small tree of plain data, which can be kept between runs; only such a tree is
ever made a function.
"""

from __future__ import annotations

import ast
import warnings
from collections.abc import Mapping
from typing import Any, TypeAlias

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.expression import COLUMN_FUNCTIONS, PLAIN_FUNCTIONS, Expression, function_of
from doorlint.rulebook.rule import ADD_PRACTICE
from doorlint.spec.problems import nearest

Exponents = tuple[int, ...]

Read: TypeAlias = tuple[Expression, Exponents, "str | None"]
"""A formula or a part of one: its tree, exponents and named dimension."""

LONGEST = 300
MOST_NODES = 80
"""Parts of one formula as Python reads it."""
MOST_PARTS = 1000
"""Parts of one formula once every `let` in it is written out."""
MOST_DEEP = 60
"""Parts within parts of one formula once every `let` in it is written out; Python's own parser gives up at 200."""
OPERATORS: dict[type[ast.operator], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}


class Named(NamedTuple):
    """What a formula may know of a name: its dimension (``None``: not a number) and its axis."""

    dimension: str | None
    axis: str | None


class Argument(NamedTuple):
    """One value a formula is called with."""

    name: str
    column: bool


class Formula(NamedTuple):
    """A checked formula: call ``evaluate`` with the values of ``arguments`` in order."""

    text: str
    arguments: tuple[Argument, ...]
    exponents: Exponents
    dimension: str | None
    """the named dimension, where the formula is a plain name or keeps one"""
    tree: Expression

    def evaluate(self, *values: Any) -> Any:
        """Its result for the values of its arguments."""
        return function_of([self.tree], lambda value: value)(*values)


def compile_formula(
    text: str, names: Mapping[str, Named], axis: str | None = None, dimension: str | None = None
) -> Formula:
    """Compile one formula; ``dimension`` is what a written quantity without quotes would be.

    Raises :class:`BrokenRules` for what is not arithmetic, a name nobody gives, a column where one
    value is meant and two dimensions added.

    >>> names = {"room.headroom": Named("length", None), "hanger.load": Named("weight", "hanger")}
    >>> headroom = compile_formula("room.headroom - '1 in'", names)
    >>> round(headroom.evaluate(1.0), 4), headroom.dimension, headroom.tree
    (0.9746, 'length', ['-', 0, 0.0254])
    >>> compile_formula("sum(hanger.load) / 2", names).evaluate({"left-1": 10.0, "left-2": 20.0})
    15.0
    >>> compile_formula("1/4 in/ft", names, dimension="slope").evaluate()
    0.020833333333333332
    >>> compile_formula("room.headroom + hanger.load", names, axis="hanger")
    Traceback (most recent call last):
    doorlint.errors.BrokenRules: room.headroom + hanger.load: a length and a weight cannot be added or compared
    """
    text = text.strip()
    if dimension is not None and len(text) <= LONGEST:
        try:
            value = quantities.read(text, dimension)
        except quantities.QuantityError as error:
            if _is_quantity(text):
                raise BrokenRules(str(error)) from None
        else:
            return Formula(text, (), quantities.dimension_of(dimension), dimension, float(value))
    arguments: dict[Argument, int] = {}
    tree, exponents, kept = _Reader(text, names, axis, arguments).read()
    return Formula(text, tuple(arguments), exponents, kept, tree)


def _is_quantity(text: str) -> bool:
    try:
        quantities.parse(text)
    except quantities.QuantityError:
        return False
    return True


def compile_lookup(
    table: str, column: str, keys: Mapping[str, str], names: Mapping[str, Named], axis: str | None
) -> tuple[tuple[Argument, ...], Expression]:
    """A look-up of one table, each key column with its formula; the first argument is the table itself.

    >>> names = {"hanger.fixing.diameter": Named("length", "hanger")}
    >>> compile_lookup("table.lag", "grip", {"diameter": "hanger.fixing.diameter"}, names, "hanger")[1]
    ['look', 0, 'grip', {'diameter': 1}]
    """
    arguments = {Argument(table, column=False): 0}
    parts = {key: _Reader(text.strip(), names, axis, arguments).read()[0] for key, text in keys.items()}
    return tuple(arguments), ["look", 0, column, parts]


class _Reader:
    """Reads one formula; several may share their ``arguments``."""

    def __init__(self, text: str, names: Mapping[str, Named], axis: str | None, arguments: dict[Argument, int]) -> None:
        self.text, self.names, self.axis, self.arguments = text, names, axis, arguments

    def read(self) -> Read:
        if len(self.text) > LONGEST:
            raise BrokenRules(f"a formula may have {LONGEST} characters; this one has {len(self.text)}")
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("error")  # `2in` is no arithmetic, though Python only warns of some such words
                tree = ast.parse(self.text, mode="eval")
        except (SyntaxError, Warning, ValueError, MemoryError, RecursionError):
            raise self.broken("not arithmetic; write names, numbers, + - * / and quoted quantities") from None
        if sum(1 for _ in ast.walk(tree)) > MOST_NODES:
            raise self.broken("too long; split it with `let`")
        return self.node(tree.body)

    def broken(self, why: str) -> BrokenRules:
        return BrokenRules(f"{self.text}: {why}")

    def node(self, node: ast.expr) -> Read:
        if isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
            return self.binary(node)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            tree, exponents, dimension = self.node(node.operand)
            return ["-", tree], exponents, dimension
        if isinstance(node, ast.Constant):
            return self.constant(node.value)
        if isinstance(node, ast.Call):
            return self.call(node)
        if isinstance(node, ast.Name | ast.Attribute):
            return self.name(dotted(node) or "", column=False)
        raise self.broken(
            "only names, numbers, + - * /, quoted quantities and "
            + ", ".join([*PLAIN_FUNCTIONS, *COLUMN_FUNCTIONS])
            + " are allowed"
        )

    def binary(self, node: ast.BinOp) -> Read:
        left, left_exponents, left_dimension = self.node(node.left)
        right, right_exponents, right_dimension = self.node(node.right)
        tree: Expression = [OPERATORS[type(node.op)], left, right]
        if isinstance(node.op, ast.Div) and right == 0.0 and isinstance(right, float):
            raise self.broken("it divides by zero")
        if isinstance(node.op, ast.Add | ast.Sub):
            self.same(left_exponents, right_exponents)
            return tree, left_exponents, left_dimension or right_dimension
        plain = (0,) * len(left_exponents)
        if isinstance(node.op, ast.Mult):
            exponents = tuple(a + b for a, b in zip(left_exponents, right_exponents, strict=True))
            kept = left_dimension if right_exponents == plain else right_dimension if left_exponents == plain else None
            return tree, exponents, kept
        exponents = tuple(a - b for a, b in zip(left_exponents, right_exponents, strict=True))
        return tree, exponents, left_dimension if right_exponents == plain else None

    def constant(self, value: object) -> Read:
        if isinstance(value, str):
            for dimension in quantities.DIMENSIONS:
                try:
                    return float(quantities.read(value, dimension)), quantities.dimension_of(dimension), dimension
                except quantities.QuantityError:
                    continue
            raise self.broken(f"{value!r} is no quantity")
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e9:
            raise self.broken(f"{value!r} is not a number to reckon with")
        return float(value), quantities.dimension_of("ratio"), None

    def call(self, node: ast.Call) -> Read:
        function = node.func.id if isinstance(node.func, ast.Name) else ""
        if node.keywords or not node.args:
            raise self.broken("a function takes values between its brackets")
        if function in COLUMN_FUNCTIONS:
            name = dotted(node.args[0])
            if len(node.args) != 1 or name is None:
                raise self.broken(f"{function} takes one name of a column")
            tree, exponents, dimension = self.name(name, column=True)
            if function == "count":
                exponents, dimension = quantities.dimension_of("count"), "count"
            return [function, tree], exponents, dimension
        if function in PLAIN_FUNCTIONS:
            if (len(node.args) == 1) is not (function == "abs"):
                raise self.broken("abs takes one value, min and max two or more; of a column take least or most")
            parts = [self.node(argument) for argument in node.args]
            for part in parts[1:]:
                self.same(parts[0][1], part[1])
            return (
                [function, *(part[0] for part in parts)],
                parts[0][1],
                next((part[2] for part in parts if part[2]), None),
            )
        raise self.broken("it may call " + ", ".join([*PLAIN_FUNCTIONS, *COLUMN_FUNCTIONS]) + " and nothing else")

    def name(self, name: str, column: bool) -> Read:
        known = self.names.get(name)
        if known is None:
            lists = "`doorlint blank --schema` has all spec values, `doorlint setout SPEC --as json` a job's figures"
            if name.startswith("practice."):
                key = name.removeprefix("practice.")
                lists = f"{ADD_PRACTICE} {key}, and its value to rules/tables/practice.yaml"
            fix = nearest(name, self.names, lists)
            raise self.broken(f"{name or 'this'} is neither a spec value nor a figure; {fix}")
        if column and known.axis is None:
            raise self.broken(f"{name} is one value, not a column")
        if not column and known.axis not in (None, self.axis):
            raise self.broken(
                f"{name} has a value for each {known.axis}; "
                f"take sum, most, least or count of it, or `each: {known.axis}`"
            )
        place = self.arguments.setdefault(Argument(name, column), len(self.arguments))
        exponents = quantities.dimension_of(known.dimension) if known.dimension else quantities.dimension_of("ratio")
        return place, exponents, known.dimension

    def same(self, left: Exponents, right: Exponents) -> None:
        if left != right:
            raise self.broken(f"{spoken(left)} and {spoken(right)} cannot be added or compared")


def spoken(exponents: Exponents) -> str:
    """Exponents in words, for a message.

    >>> spoken(quantities.dimension_of("weight"))
    'a weight'
    """
    for dimension in quantities.DIMENSIONS:
        if quantities.dimension_of(dimension) == exponents:
            return "a plain number" if not any(exponents) else f"a {dimension.replace('-', ' ')}"
    return "something of no named dimension"


def dotted(node: ast.expr) -> str | None:
    """``room.headroom`` from its syntax tree, else ``None``."""
    parts = []
    while isinstance(node, ast.Attribute):
        parts.append(node.attr)
        node = node.value
    if not isinstance(node, ast.Name):
        return None
    return ".".join([node.id, *reversed(parts)])

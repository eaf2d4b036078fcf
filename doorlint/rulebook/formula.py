"""Formulas of the rule library: arithmetic on named figures, and nothing else.

A formula is read by Python's own parser, held against a short list of allowed nodes, checked for one
dimension, and compiled to a function of its named values.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from doorlint import quantities
from doorlint.errors import BrokenRules

Exponents = tuple[int, ...]
Value = Callable[..., Any]

LONGEST = 300
MOST_NODES = 80
COLUMN_FUNCTIONS = {"sum": sum, "most": max, "least": min, "count": len}
PLAIN_FUNCTIONS = {"min": min, "max": max, "abs": abs}
OPERATORS = (ast.Add, ast.Sub, ast.Mult, ast.Div)


@dataclass(frozen=True, slots=True)
class Named:
    """What a formula may know of a name: its dimension (``None``: not a number) and its axis."""

    dimension: str | None
    axis: str | None


@dataclass(frozen=True, slots=True)
class Argument:
    """One value a formula is called with."""

    name: str
    column: bool


@dataclass(frozen=True, slots=True)
class Formula:
    """A compiled formula: call ``evaluate`` with the values of ``arguments`` in order."""

    text: str
    arguments: tuple[Argument, ...]
    exponents: Exponents
    dimension: str | None
    """the named dimension, where the formula is a plain name or keeps one"""
    evaluate: Value


def compile_formula(
    text: str, names: Mapping[str, Named], axis: str | None = None, dimension: str | None = None
) -> Formula:
    """Compile one formula; ``dimension`` is what a written quantity without quotes would be.

    Raises :class:`BrokenRules` for what is not arithmetic, a name nobody gives, a column where one
    value is meant and two dimensions added.

    >>> names = {"room.headroom": Named("length", None), "hanger.load": Named("weight", "hanger")}
    >>> headroom = compile_formula("room.headroom - '1 in'", names)
    >>> round(headroom.evaluate(1.0), 4), headroom.dimension
    (0.9746, 'length')
    >>> compile_formula("sum(hanger.load) / 2", names).evaluate([10.0, 20.0])
    15.0
    >>> compile_formula("1/4 in/ft", names, dimension="slope").evaluate()
    0.020833333333333332
    >>> compile_formula("room.headroom + hanger.load", names, axis="hanger")
    Traceback (most recent call last):
    doorlint.errors.BrokenRules: room.headroom + hanger.load: a length and a weight cannot be added or compared
    """
    text = text.strip()
    if len(text) > LONGEST:
        raise BrokenRules(f"a formula may have {LONGEST} characters; this one has {len(text)}")
    if dimension is not None:
        try:
            value = quantities.read(text, dimension)
        except quantities.QuantityError:
            pass
        else:
            return Formula(text, (), quantities.dimension_of(dimension), dimension, lambda: value)
    return _Compiler(text, names, axis).formula()


class _Compiler:
    def __init__(self, text: str, names: Mapping[str, Named], axis: str | None) -> None:
        self.text, self.names, self.axis = text, names, axis
        self.arguments: dict[Argument, str] = {}

    def formula(self) -> Formula:
        try:
            tree = ast.parse(self.text, mode="eval")
        except (SyntaxError, ValueError, MemoryError, RecursionError):
            raise self.broken("not arithmetic; write names, numbers, + - * / and quoted quantities") from None
        if sum(1 for _ in ast.walk(tree)) > MOST_NODES:
            raise self.broken("too long; split it with `let`")
        code, exponents, dimension = self.node(tree.body)
        source = f"lambda {', '.join(self.arguments.values())}: {code}"
        function: Value = eval(source, {"__builtins__": {}, **PLAIN_FUNCTIONS, **COLUMN_FUNCTIONS})  # noqa: S307 - built from allowed nodes only
        return Formula(self.text, tuple(self.arguments), exponents, dimension, function)

    def broken(self, why: str) -> BrokenRules:
        return BrokenRules(f"{self.text}: {why}")

    def node(self, node: ast.expr) -> tuple[str, Exponents, str | None]:
        if isinstance(node, ast.BinOp) and isinstance(node.op, OPERATORS):
            return self.binary(node)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            code, exponents, dimension = self.node(node.operand)
            return f"(-{code})", exponents, dimension
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

    def binary(self, node: ast.BinOp) -> tuple[str, Exponents, str | None]:
        left, left_exponents, left_dimension = self.node(node.left)
        right, right_exponents, right_dimension = self.node(node.right)
        if isinstance(node.op, ast.Add | ast.Sub):
            self.same(left_exponents, right_exponents)
            sign = "+" if isinstance(node.op, ast.Add) else "-"
            return f"({left} {sign} {right})", left_exponents, left_dimension or right_dimension
        plain = (0,) * len(left_exponents)
        if isinstance(node.op, ast.Mult):
            exponents = tuple(a + b for a, b in zip(left_exponents, right_exponents, strict=True))
            kept = left_dimension if right_exponents == plain else right_dimension if left_exponents == plain else None
            return f"({left} * {right})", exponents, kept
        exponents = tuple(a - b for a, b in zip(left_exponents, right_exponents, strict=True))
        return f"({left} / {right})", exponents, left_dimension if right_exponents == plain else None

    def constant(self, value: object) -> tuple[str, Exponents, str | None]:
        if isinstance(value, str):
            for dimension in quantities.DIMENSIONS:
                try:
                    return repr(quantities.read(value, dimension)), quantities.dimension_of(dimension), dimension
                except quantities.QuantityError:
                    continue
            raise self.broken(f"{value!r} is no quantity")
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e9:
            raise self.broken(f"{value!r} is not a number to reckon with")
        return repr(float(value)), quantities.dimension_of("ratio"), None

    def call(self, node: ast.Call) -> tuple[str, Exponents, str | None]:
        function = node.func.id if isinstance(node.func, ast.Name) else ""
        if node.keywords or not node.args:
            raise self.broken("a function takes values between its brackets")
        if function in COLUMN_FUNCTIONS:
            name = dotted(node.args[0])
            if len(node.args) != 1 or name is None:
                raise self.broken(f"{function} takes one name of a column")
            code, exponents, dimension = self.name(name, column=True)
            return (
                (f"{function}({code})", exponents, dimension)
                if function != "count"
                else (f"{function}({code})", quantities.dimension_of("count"), "count")
            )
        if function in PLAIN_FUNCTIONS:
            parts = [self.node(argument) for argument in node.args]
            for part in parts[1:]:
                self.same(parts[0][1], part[1])
            return (
                f"{function}({', '.join(part[0] for part in parts)})",
                parts[0][1],
                next((part[2] for part in parts if part[2]), None),
            )
        raise self.broken("it may call " + ", ".join([*PLAIN_FUNCTIONS, *COLUMN_FUNCTIONS]) + " and nothing else")

    def name(self, name: str, column: bool) -> tuple[str, Exponents, str | None]:
        known = self.names.get(name)
        if known is None:
            raise self.broken(f"{name or 'this'} is neither a spec value nor a figure")
        if column and known.axis is None:
            raise self.broken(f"{name} is one value, not a column")
        if not column and known.axis not in (None, self.axis):
            raise self.broken(
                f"{name} has a value for each {known.axis}; take sum, most, least or count of it, or `each: {known.axis}`"
            )
        argument = Argument(name, column)
        code = self.arguments.setdefault(argument, f"_{len(self.arguments)}")
        exponents = quantities.dimension_of(known.dimension) if known.dimension else quantities.dimension_of("ratio")
        return code, exponents, known.dimension

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


PLACE = re.compile(r"\{([a-z_][a-z0-9_.]*)\}")
"""A name in braces inside a message."""

"""Small changes to a program: for each, what stands there and what is put in its place."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from typing import NamedTuple

OPERATORS: dict[type[ast.AST], tuple[type[ast.AST], ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.GtE), ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,), ast.And: (ast.Or,), ast.Or: (ast.And,),
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,), ast.FloorDiv: (ast.Div,),
    ast.Mod: (ast.Mult,), ast.Pow: (ast.Mult,), ast.BitAnd: (ast.BitOr,), ast.BitOr: (ast.BitAnd,),
}  # fmt: skip
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin", "tan": "sin",
         "floor": "ceil", "ceil": "floor", "abs": "float", "sorted": "list", "reversed": "list"}  # fmt: skip
"""Functions and what takes their place."""
UNORDERED = {"min", "max", "isinstance"}
"""Functions whose arguments are not swapped: it makes no difference, or a crash."""
WORDS = (ast.Import, ast.ImportFrom, ast.JoinedStr, ast.Global, ast.Nonlocal)
UNREAD = {"annotation", "returns", "decorator_list", "bases", "ctx"}
"""Fields of a syntax tree that say nothing when the program runs, or only how it is made."""


class Mutant(NamedTuple):
    """``parent.field``, or its item ``place``, becomes ``new``."""

    line: int
    function: tuple[str, int]
    """name and first line of the function it is in; ``("", 0)`` for the module itself"""
    words: str
    parent: ast.AST
    field: str
    place: int | None
    new: ast.AST | list[ast.AST]

    def apply(self) -> None:
        if self.place is None:
            setattr(self.parent, self.field, self.new)
        else:
            getattr(self.parent, self.field)[self.place] = self.new


def mutants(node: ast.AST, function: tuple[str, int] = ("", 0)) -> Iterator[Mutant]:
    """Every change to what stands below a node, words for people left out.

    >>> for mutant in mutants(ast.parse("def half(a: float) -> float: return a / 2")):
    ...     print(mutant.function, mutant.words)
    ('half', 1) return a / 2 -> return None
    ('half', 1) a / 2 -> a * 2
    ('half', 1) 2 -> 3
    """
    for field, value in ast.iter_fields(node):
        if field in UNREAD or (isinstance(node, ast.keyword) and node.arg == "strict"):
            continue
        for place, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if not isinstance(child, ast.AST) or isinstance(child, WORDS) or _is_for_readers(child):
                continue
            for new in _instead(child, node):
                if ast.dump(new) != ast.dump(child):
                    line = getattr(child, "lineno", getattr(node, "lineno", function[1]))
                    words = _words(node, field, place, new)
                    yield Mutant(line, function, words, node, field, place, new)
            if not isinstance(child, ast.Raise):
                yield from mutants(child, _function(child, function))


def _is_for_readers(node: ast.AST) -> bool:
    """Docstrings, names of types, what is exported."""
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Constant)
    if isinstance(node, ast.Assign):
        return isinstance(node.targets[0], ast.Name) and node.targets[0].id in {"__all__", "__slots__"}
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def _function(node: ast.AST, around: tuple[str, int]) -> tuple[str, int]:
    if isinstance(node, ast.ClassDef):
        return f"{around[0]}.{node.name}".lstrip("."), around[1]
    if isinstance(node, ast.FunctionDef):
        return f"{around[0]}.{node.name}".lstrip("."), min([node.lineno, *(d.lineno for d in node.decorator_list)])
    return around


def _instead(node: ast.AST, parent: ast.AST) -> Iterator[ast.AST]:
    """What may take the place of a node."""
    yield from (new() for new in OPERATORS.get(type(node), ()))
    match node:
        case ast.Constant(value=bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(value=int(value) | float(value)):
            yield ast.Constant(value * 1.1 if isinstance(value, float) and value else value + 1)
        case ast.Constant(value=str(value)) if isinstance(parent, ast.Compare):
            yield ast.Constant(f"other than {value}")
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.IfExp(test=test, body=body, orelse=orelse):
            yield ast.IfExp(test, orelse, body)
        case ast.If(test=ast.Name() | ast.Call() | ast.Attribute() as test, body=body, orelse=orelse):
            yield ast.If(ast.UnaryOp(ast.Not(), test), body, orelse)
        case ast.comprehension(ifs=[_, *_]):
            yield ast.comprehension(node.target, node.iter, [], node.is_async)
        case ast.Name(id=name) if name in NAMES and isinstance(parent, ast.Call) and parent.func is node:
            yield ast.Name(NAMES[name], ast.Load())
        case ast.Attribute(value=ast.Name("math") as math, attr=name) if name in NAMES:
            yield ast.Attribute(math, NAMES[name], ast.Load())
        case ast.Call(func=func, args=[first, second, *rest]) if ast.unparse(func) not in UNORDERED:
            if not any(isinstance(argument, ast.Starred) for argument in (first, second)):
                yield ast.Call(func, [second, first, *rest], node.keywords)
        case ast.Return(value=ast.AST() as value):
            yield ast.Return(ast.Constant(None))
        case ast.Expr() | ast.Raise() | ast.AugAssign() | ast.Continue() | ast.Break() | ast.Delete():
            yield ast.Pass()
        case ast.Assign(targets=[ast.Attribute() | ast.Subscript()]):
            yield ast.Pass()


def _words(parent: ast.AST, field: str, place: int | None, new: ast.AST) -> str:
    """What is before and after, in one line: the change itself, or what it stands in where it is but an operator."""
    small = isinstance(new, ast.operator | ast.cmpop | ast.boolop | ast.comprehension)
    if not small:
        old = getattr(parent, field) if place is None else getattr(parent, field)[place]
        return " -> ".join(" ".join(ast.unparse(node).split())[:110] for node in (old, new))
    changed = copy.deepcopy(parent)
    Mutant(0, ("", 0), "", changed, field, place, new).apply()
    return " -> ".join(" ".join(ast.unparse(node).split())[:110] for node in (parent, changed))

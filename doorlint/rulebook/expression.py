"""Checked formulas: trees of plain data, and the functions made from them."""

import operator
from collections.abc import Callable, Mapping, Sequence
from keyword import iskeyword
from operator import itemgetter
from typing import Any, TypeAlias

from doorlint.figures.cells import NotApplicable

Value = Callable[..., Any]

Expression: TypeAlias = "float | int | list[Any]"
"""A number (float), the value of an argument (its place, int), or a list: an operator or a function, then its parts;
``["look", table, column, {key column: part}]`` looks a table up."""

COLUMN_FUNCTIONS: dict[str, Value] = {
    "sum": lambda column: sum(_entries(column)),
    "most": lambda column: max(_entries(column)),
    "least": lambda column: min(_entries(column)),
    "count": lambda column: sum(entry is not None for entry in column.values()),
}
PLAIN_FUNCTIONS: dict[str, Value] = {"min": min, "max": max, "abs": abs}
FUNCTIONS = {**PLAIN_FUNCTIONS, **COLUMN_FUNCTIONS}
OPERATORS: dict[str, Value] = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
SIGNS: dict[str, Value] = {"+": operator.pos, "-": operator.neg}


def placed(tree: Expression, places: Sequence[Expression]) -> Expression:
    """A tree with something else in the place of each argument.

    >>> placed(["-", 0, ["max", 1, 0]], [4, ["*", 2.0, 5]])
    ['-', 4, ['max', ['*', 2.0, 5], 4]]
    """
    if isinstance(tree, int):
        return places[tree]
    if isinstance(tree, float):
        return tree
    if tree[0] == "look":
        word, table, column, keys = tree
        return [word, placed(table, places), column, {key: placed(part, places) for key, part in keys.items()}]
    return [tree[0], *(placed(part, places) for part in tree[1:])]


def size(tree: Expression, sizes: Sequence[int]) -> int:
    """How many parts a tree has, an argument counting for as many as ``sizes`` says.

    >>> size(["-", 0, ["max", 1, 0]], [10, 1])
    23
    """
    if isinstance(tree, int):
        return sizes[tree]
    if isinstance(tree, float):
        return 1
    parts = [tree[1], *tree[3].values()] if tree[0] == "look" else tree[1:]
    return 1 + sum(size(part, sizes) for part in parts)


def depth(tree: Expression) -> int:
    """How many parts of a tree lie within each other at the most.

    >>> depth(["-", 0, ["max", 1, 0]]), depth(2.0)
    (3, 1)
    """
    if not isinstance(tree, list):
        return 1
    return 1 + max(map(depth, [tree[1], *tree[3].values()] if tree[0] == "look" else tree[1:]))


def numeric_arguments(tree: Expression) -> set[int]:
    """The places of the arguments that a tree computes with; a counted one or a lookup key need not be a number.

    >>> numeric_arguments(["*", ["count", 0], ["look", 1, "grip", {"wood": 2, "size": ["-", 3, 4]}]])
    {3, 4}
    """
    if isinstance(tree, int):
        return {tree}
    if isinstance(tree, float) or tree[0] == "count":
        return set()
    parts = [part for part in tree[3].values() if not isinstance(part, int)] if tree[0] == "look" else tree[1:]
    return set().union(*map(numeric_arguments, parts))


def function_of(trees: Sequence[Expression], then: Value) -> Value:
    """The function that gives what ``then`` makes of what each of some checked trees comes to.

    It takes the arguments that the trees name, and no others. Raises :class:`ValueError` for a tree that holds anything
    else than numbers, arguments and what formulas may call.

    >>> function_of([0, ["max", 0, ["*", 2.0, 1]]], divmod)(3.0, 4.0)
    (0.0, 3.0)
    >>> function_of([0, 1.0], divmod)(3.0)
    (3.0, 0.0)
    >>> function_of([["open", 0]], abs)
    Traceback (most recent call last):
    ValueError: open is no part of a formula
    """
    if all(isinstance(tree, int) and tree == place for place, tree in enumerate(trees)):
        return then
    sides = [_reckoner(tree) for tree in trees]
    if len(sides) == 2:
        one, other = sides
        return lambda *values: then(one(values), other(values))
    return lambda *values: then(*[side(values) for side in sides])


def _reckoner(tree: Expression) -> Callable[[Sequence[Any]], Any]:
    if isinstance(tree, int):
        return itemgetter(tree)
    if isinstance(tree, float):
        return lambda _values: tree
    word, *parts = tree
    if word == "look":
        table, column, keys = _reckoner(parts[0]), parts[1], {key: _reckoner(part) for key, part in parts[2].items()}
        return lambda values: table(values).look(column, **{key: part(values) for key, part in keys.items()})
    sides = [_reckoner(part) for part in parts]
    function = SIGNS.get(word) if len(sides) == 1 and word in SIGNS else {**OPERATORS, **FUNCTIONS}.get(word)
    if function is None:
        raise ValueError(f"{word} is no part of a formula")
    if len(sides) == 2:
        one, other = sides
        return lambda values: function(one(values), other(values))
    return lambda values: function(*[side(values) for side in sides])


def is_column_key(name: str) -> bool:
    """Whether a table's column can be looked up by: its name is a word that Python takes as one.

    >>> is_column_key("diameter"), is_column_key("log cycles"), is_column_key("class")
    (True, False, False)
    """
    return name.isidentifier() and not iskeyword(name)


def checked(tree: Any, arguments: int) -> bool:
    """Whether plain data is an expression of this many arguments, with nothing in it but what formulas may hold.

    >>> checked(["max", 0, ["*", 2.0, 1]], 2), checked(["open", 0], 1), checked(3, 2), checked("a", 1)
    (True, False, False, False)
    """
    if type(tree) is int:
        return 0 <= tree < arguments
    if type(tree) is float:
        return True
    if type(tree) is not list or not tree:
        return False
    word, *parts = tree
    if word == "look":
        if len(parts) != 3 or type(parts[1]) is not str or type(parts[2]) is not dict:
            return False
        keys = parts[2]
        return all(map(is_column_key, keys)) and all(checked(part, arguments) for part in (parts[0], *keys.values()))
    known = type(word) is str and (word in OPERATORS or word in FUNCTIONS)
    return known and bool(parts) and all(checked(part, arguments) for part in parts)


def source_of(tree: Expression, names: Sequence[str]) -> str:
    """A checked tree in Python, each argument called as ``names`` say.

    Raises :class:`ValueError` as :func:`function_of` does.

    >>> source_of(["max", 0, ["*", 2.0, 1]], ["a", "b"])
    'max(a, (2.0 * b))'
    """
    if isinstance(tree, int):
        return names[tree]
    if isinstance(tree, float):
        return repr(tree)
    word, *parts = tree
    if word == "look":
        table, column, keys = parts
        if not all(map(is_column_key, keys)):
            raise ValueError(f"table columns {', '.join(keys)} cannot be looked up by")
        wanted = ", ".join(f"{key}={source_of(part, names)}" for key, part in keys.items())
        return f"{source_of(table, names)}.look({str(column)!r}, {wanted})"
    sources = [source_of(part, names) for part in parts]
    if word in OPERATORS:
        return f"({f' {word} '.join(sources)})" if len(sources) == 2 else f"({word}{sources[0]})"
    if word in FUNCTIONS:
        return f"{word}({', '.join(sources)})"
    raise ValueError(f"{word} is no part of a formula")


def _entries(column: Mapping[str, Any]) -> list[Any]:
    """The values of a column that there are; a formula of a column without any does not apply."""
    entries = [entry for entry in column.values() if entry is not None]
    if not entries:
        raise NotApplicable
    return entries

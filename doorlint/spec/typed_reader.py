"""From a tree of texts to flat values; this fast walk only accepts, it never reports an error.

It is compiled from the vocabulary, one closure a node. Where it has the least doubt it gives up on the whole tree, and
:mod:`doorlint.spec.schema_errors` finds out with jsonschema what is wrong. It holds no message, and one doubt too many
costs time but never a wrong verdict.
"""

from __future__ import annotations

import re
from datetime import date
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from doorlint import quantities
from doorlint.named_tuple import NamedTuple
from doorlint.natural_order import natural
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping, Node, Sequence

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["FLAGS", "Accepted", "DoubtError", "Value", "accepted", "day", "decimal", "group_values", "whole"]

Value: TypeAlias = float | int | str | tuple[str, ...] | tuple[float, ...]
"""A quantity or number as float, a count as int, a flag as bool, words and dates as text, a list as tuple."""

_Row: TypeAlias = dict[str, Any]


class DoubtError(Exception):
    """The value may not match the schema."""


_DOUBTS: Final = (DoubtError, KeyError, TypeError, ValueError)
"""The errors of a walk: a quantity or a day that cannot be read is a ValueError, a wrong sort of node a TypeError."""

FLAGS: Final = {"true": True, "false": False}
"""The only two words for a flag: yes, no, on and off mean different things to different readers of YAML."""

PART_NAME: Final = "[a-z0-9][a-z0-9./-]{0,59}"
"""What the name of a catalog part looks like."""

_whole_number = re.compile("-?(?:0|[1-9][0-9]{0,17})").fullmatch
_decimal_number = re.compile(r"-?(?=\.?[0-9])(?:0|[1-9][0-9]{0,17})?(?:\.[0-9]{1,30})?").fullmatch


def whole(text: str) -> int:
    """A count as written; raises ``DoubtError`` or ``TypeError`` for anything but plain decimal digits.

    >>> whole("12")
    12
    """
    if not _whole_number(text):
        raise DoubtError
    return int(text)


def decimal(text: str) -> float:
    """A plain number as written; raises ``DoubtError`` or ``TypeError`` for anything but digits and a decimal point.

    >>> decimal(".50")
    0.5
    """
    if not _decimal_number(text):
        raise DoubtError
    return float(text)


_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}").fullmatch


@lru_cache(maxsize=1024)
def day(text: str) -> str:
    """A day as written, once it is known to exist; raises ``ValueError``, ``DoubtError`` or ``TypeError`` otherwise.

    >>> day("2024-02-29")
    '2024-02-29'
    """
    if not _DAY(text):
        raise DoubtError
    date.fromisoformat(text)
    return text


# --- leaves --------------------------------------------------------------------------------------------------------


def _leaf(term: Term) -> Callable[[Any], Value]:
    """The reader of one leaf's text."""
    schema = term.schema
    match term.kind:
        case "quantity":
            return _quantity(schema["x-dimension"], schema["pattern"], schema["maxLength"], term.positive)
        case "flag":
            return FLAGS.__getitem__
        case "count":
            return _between(whole, schema["minimum"], schema["maximum"])
        case "number":
            return _between(decimal, schema["minimum"], schema["maximum"])
        case "choice":
            return {choice: choice for choice in term.choices}.__getitem__
        case "date":
            return day
        case "names":
            return _listed(_name(schema["items"]["pattern"]), schema["minItems"], schema["maxItems"], unique=True)
        case "lengths":
            item = schema["items"]
            length = _quantity(item["x-dimension"], item["pattern"], item["maxLength"], term.positive)
            return _listed(length, schema["minItems"], schema["maxItems"], unique=False)
    return _words(schema["maxLength"], schema.get("pattern", ""))


@cache
def _quantity(dimension: str, pattern: str, longest: int, positive: bool) -> Callable[[Any], float]:
    looks_right, read = re.compile(pattern).search, quantities.read

    @lru_cache(maxsize=1024)  # the same few fractions of an inch stand everywhere in a shop's specs
    def quantity(text: str) -> float:
        if not looks_right(text) or len(text) > longest:
            raise DoubtError
        return read(text, dimension, positive=positive)

    return quantity


def _between(number: Callable[[str], float], least: float, most: float) -> Callable[[Any], float]:
    def between(text: str) -> float:
        value = number(text)
        if not least <= value <= most:
            raise DoubtError
        return value

    return between


def _words(longest: int, pattern: str) -> Callable[[Any], str]:
    fits = re.compile(pattern).search

    def words(text: Node) -> str:
        if type(text) is not str or len(text) > longest or not fits(text):
            raise DoubtError
        return text

    return words


def _name(pattern: str) -> Callable[[str], str]:
    fits = re.compile(pattern).fullmatch

    def name(text: str) -> str:
        if not fits(text):
            raise DoubtError
        return text

    return name


def _listed(read: Callable[[Any], Any], least: int, most: int, unique: bool) -> Callable[[Any], Any]:
    def listed(node: Node) -> tuple[Any, ...]:
        if type(node) is not Sequence or not least <= len(node) <= most:
            raise DoubtError
        items = tuple(map(read, node))
        if unique and len(set(items)) != len(items):
            raise DoubtError
        return items

    return listed


# --- containers ----------------------------------------------------------------------------------------------------


def _container(term: Term) -> Callable[[Any, _Row], bool]:
    """The walk of a container: fills a row with its values by name and says whether it is given."""
    return _map(term) if term.kind == "map" else _group(term)


def _group(term: Term) -> Callable[[Any, _Row], bool]:
    required = frozenset(term.schema.get("required", ()))
    readers: dict[str, tuple[str, Callable[[Any], Any] | None, Callable[[Any, _Row], bool] | None]] = {}

    def made(key: str) -> tuple[str, Callable[[Any], Any] | None, Callable[[Any, _Row], bool] | None]:
        """What reads the value of a key, or walks what is below it: made for the first spec that has the key."""
        if term.catalog is not None and key == term.part_key:
            readers[key] = f"{term.name}.{key}", _name(PART_NAME), None
        else:
            part = term.parts[key]
            inner = part.kind in ("group", "map")
            readers[key] = part.name, None if inner else _leaf(part), _container(part) if inner else None
        return readers[key]

    def walk(node: Node, row: _Row) -> bool:
        if type(node) is not Mapping or (required and not required <= node.keys()):
            raise DoubtError
        for key, value in node.items():
            name, read, fill = readers.get(key) or made(key)
            if value is None and key not in required:
                continue  # a line not filled in yet
            if read is not None:
                row[name] = read(value)
            elif fill is not None and fill(value, row):
                row[name] = True
        return True

    return walk


def _map(term: Term) -> Callable[[Any, _Row], bool]:
    thing = term.parts["{}"]
    axis, fill = thing.name, _group(thing)
    most, fits = term.schema["maxProperties"], re.compile(term.schema["propertyNames"]["pattern"]).fullmatch
    each = term.each

    def walk(node: Node, row: _Row) -> bool:
        if type(node) is not Mapping or len(node) > most:
            raise DoubtError
        keys = sorted(node, key=natural)
        if each and EACH in node:
            keys.remove(EACH)
            row[EACH] = True
            if node[EACH] is not None:
                fill(node[EACH], {})
        for key in keys:
            if not fits(key):
                raise DoubtError
            thing_row: _Row = {axis: True}
            fill(node[key], thing_row)
            for name, value in thing_row.items():
                if name in row:
                    row[name][key] = value
                else:
                    row[name] = {key: value}
        return bool(keys)

    return walk


_walk: Final = _container(VOCABULARY.root)
_PARTS: Final = frozenset(f"{term.name}.{term.part_key}" for terms in VOCABULARY.catalogs.values() for term in terms)


class Accepted(NamedTuple):
    """What a tree certainly says. It is ``short`` where ``each`` or ``part`` stands for values that it leaves out;
    these are then not among its values."""

    values: dict[str, Any]
    keys: dict[str, tuple[str, ...]]
    short: bool


def accepted(tree: Node) -> Accepted | None:
    """Values by dotted name and keys by axis, when the tree certainly is a job spec; None otherwise.

    Values are in SI. A key with nothing behind it is a value not given. Below an axis there is a column, a dict of key
    to value. A container is True when it is given, a map of named things when it is not empty. Keys and columns stand
    in natural order, whatever the order in the file.
    """
    values: dict[str, Any] = {}
    try:
        _walk(tree, values)
    except _DOUBTS:
        return None
    keys = {axis: tuple(values.get(axis, ())) for axis in VOCABULARY.axes}
    return Accepted(values, keys, EACH in values or not _PARTS.isdisjoint(values))


def group_values(term: Term, node: Node) -> dict[str, Any] | None:
    """The values of one group by the rest of their names, when the node certainly is such a group.

    >>> from doorlint.spec.yaml_positions import parse
    >>> group_values(VOCABULARY.term("cable"), parse("{diameter: 6 mm, construction: 7x19}").tree)
    {'diameter': 0.006, 'construction': '7x19'}
    """
    row: _Row = {}
    try:
        _group(term)(node, row)
    except _DOUBTS:
        return None
    return {name.removeprefix(f"{term.name}."): value for name, value in row.items()}

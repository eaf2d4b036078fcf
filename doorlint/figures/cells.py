"""How one cell is worked out: a function of named values, once or for each of some named things.

An argument that is unknown makes the value unknown, one that does not apply (None) makes it not apply; where both are
so it does not apply, since what does not apply needs no input. A parameter may say that it takes None for either.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import compress
from operator import itemgetter
from typing import TYPE_CHECKING, Any, Final

from doorlint.errors import ImpossibleInput, MissingInput, NotModelled, OutsideTable
from doorlint.named_tuple import NamedTuple

if TYPE_CHECKING:
    from doorlint.figures.graph import Graph

__all__ = [
    "Cells", "Gapped", "NotApplicable", "Parameter", "Unknown", "along", "as_column", "at_once",
    "by_key", "entries_of", "merged", "once", "picker",
]  # fmt: skip


class Unknown(NamedTuple):
    """A cell that could not be worked out: why, and which spec values would be needed."""

    reason: str
    """``input missing`` | ``outside table`` | ``input impossible`` | ``not modelled`` | ``rule failed``"""
    missing: tuple[str, ...] = ()
    note: str = ""


class Gapped:
    """A column with an entry for everything, some of which are unknown or, as None, do not apply. A column that is a
    plain ``dict`` has neither: nobody need look through it."""

    __slots__ = ("entries", "unknown")

    def __init__(self, entries: dict[str, Any], unknown: bool) -> None:
        """``unknown``: whether something is unknown; else there are entries that do not apply."""
        self.entries, self.unknown = entries, unknown

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Gapped) and self.entries == other.entries

    __hash__ = None  # type: ignore[assignment]  # as of a dict

    def __repr__(self) -> str:
        return f"Gapped({self.entries!r}, unknown={self.unknown})"


class Parameter(NamedTuple):
    """One argument of a function: the cell it takes, and how."""

    name: str
    column: bool = False
    """the whole column is wanted, not the value of one thing"""
    optional: bool = False
    """a missing value may be passed as None"""
    gaps: bool = False
    """missing entries of a whole column may be passed as None"""
    own: bool = False
    """the value of the thing that the function is worked out for"""


Pick = Callable[[Mapping[str, Any]], tuple[Any, ...]]
"""Takes some cells, in their order, from those that are known; raises :class:`KeyError` where one is not."""


def picker(names: Sequence[str]) -> Pick:
    """What takes the cells of these names.

    >>> picker(["b", "a"])({"a": 1.0, "b": 2.0}), picker(["a"])({"a": 1.0}), picker([])({})
    ((2.0, 1.0), (1.0,), ())
    """
    if len(names) == 1:
        (name,) = names
        return lambda known: (known[name],)
    if not names:
        return lambda _known: ()
    pick: Pick = itemgetter(*names)
    return pick


class Cells:
    """The cells of one job by name, each worked out when somebody first asks for it."""

    __slots__ = ("before", "given", "graph", "known", "things")

    def __init__(
        self,
        known: dict[str, Any],
        graph: Graph,
        given: Mapping[str, Any],
        things: Mapping[str, tuple[str, ...]],
        before: Cells | None = None,
    ) -> None:
        """``known``: cells that are worked out already, to which the others are added; ``given``: the values of the
        spec over the constants; ``things``: the keys of each axis, in order; ``before``: the cells of the same job with
        other values of the same things."""
        self.known, self.graph, self.given, self.things, self.before = known, graph, given, things, before

    def value(self, name: str) -> Any:
        """The value of a cell: a number, text, flag, shape or column; ``None`` where it does not apply; or why it is
        unknown. Raises :class:`KeyError` for a name that the graph has not."""
        known = self.known
        if name not in known:
            known[name] = self._work_out(name)
        return known[name]

    def _work_out(self, name: str) -> Any:
        before = self.before
        if before is not None and (was := before.known.get(name)) and self._reads_the_same(name, before):
            return was  # not None: that may not have looked at all that it reads
        return self.graph.computes[name](self)

    def _reads_the_same(self, name: str, before: Cells) -> bool:
        """Whether all that a cell reads is as it was."""
        names, pick = self.graph.inputs(name)
        if not names:
            return bool(self.given.get(name) == before.given.get(name))
        known = self.known
        for read in names:
            if read not in known:
                known[read] = self._work_out(read)
        try:
            return pick(known) == pick(before.known)
        except KeyError:  # it did without some of them
            return pick(known) == tuple([before.value(read) for read in names])


class NotApplicable(Exception):
    """Raised by a function that does not apply to its arguments."""


LACKING: Final = frozenset({Unknown, type(None)})
"""What a cell or an entry is of where there is no value."""
FLAWED: Final = LACKING | {Gapped}
"""What a cell is of that a function may not take as it is."""

MANY_THINGS = 16
"""Things of an axis from which on it pays to look which of them are others than before."""

_FINE: Final = object()


def merged(unknowns: Iterable[Unknown]) -> Unknown:
    """One unknown for several: a failure outweighs a missing input, and pointers are joined in order.

    >>> merged([Unknown("input missing", ("/b",)), Unknown("input missing", ("/a", "/b"))]).missing
    ('/b', '/a')
    """
    return _merged(tuple(unknowns))


@lru_cache(maxsize=4096)  # what one job lacks, the next one lacks as well
def _merged(unknowns: tuple[Unknown, ...]) -> Unknown:
    if len(unknowns) == 1:
        return unknowns[0]
    rank = ("rule failed", "input impossible", "not modelled", "outside table", "input missing")
    reason = min((unknown.reason for unknown in unknowns), key=rank.index)
    pointers = dict.fromkeys(pointer for unknown in unknowns for pointer in unknown.missing)
    return Unknown(reason, tuple(pointers), next((u.note for u in unknowns if u.reason == reason and u.note), ""))


def as_column(entries: dict[str, Any]) -> dict[str, Any] | Gapped:
    """Entries as a column: as they are where all have a value.

    >>> as_column({"s1": 1.0}), as_column({"s1": None})
    ({'s1': 1.0}, Gapped({'s1': None}, unknown=False))
    """
    kinds = set(map(type, entries.values()))
    return entries if LACKING.isdisjoint(kinds) else Gapped(entries, Unknown in kinds)


def entries_of(cell: Any) -> Any:
    """The entries of a cell that is a column, gaps and all; any other cell as it is.

    >>> entries_of(Gapped({"s1": None}, unknown=False)), entries_of(1.0)
    ({'s1': None}, 1.0)
    """
    return cell.entries if cell.__class__ is Gapped else cell


def once(label: str, function: Callable[..., Any], parameters: Sequence[Parameter]) -> Callable[[Cells], Any]:
    """What a function comes to in a job as a whole; ``label`` is what a crash in it is reported as."""
    names, needed = [parameter.name for parameter in parameters], [not parameter.optional for parameter in parameters]
    pick = picker(names)

    def compute(cells: Cells) -> Any:
        known = cells.known
        for name in names:
            if name not in known:  # written out here: a call more for every figure costs 5 %
                cells.value(name)
        arguments = pick(known)
        if not FLAWED.isdisjoint(map(type, arguments)):
            taken = zip(parameters, arguments, strict=True)
            arguments = tuple([_taken(one, cell) if cell.__class__ in FLAWED else cell for one, cell in taken])
            flaw = _flaw(tuple(compress(arguments, needed)))
            if flaw is not _FINE:
                return flaw
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(cells, label, error)

    return compute


def at_once(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter], axis: str
) -> Callable[[Cells], Any]:
    """The column that a function makes at once: an entry for every thing of an axis, in the order of the keys."""
    made_of = once(label, function, parameters)

    def compute(cells: Cells) -> Any:
        made, keys = made_of(cells), cells.things.get(axis, ())
        if made.__class__ is not dict:
            return made
        return as_column(made if tuple(made) == keys else {key: made.get(key) for key in keys})

    return compute


def by_key(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter], axis: str, may_idle: bool
) -> Callable[[Cells], Any]:
    """The column of what a function comes to for every thing of an axis; ``may_idle``: it may say that it does not
    apply."""
    each = along(label, function, parameters)

    def changed(cells: Cells, before: Cells, keys: Sequence[str]) -> Sequence[str]:
        """The things whose arguments are others than before."""
        columns = []
        for parameter in parameters:
            now, then = (entries_of(some.value(parameter.name)) for some in (cells, before))
            if parameter.own and now.__class__ is then.__class__ is dict:
                columns.append((now, then))
            elif now != then:
                return keys
        return [key for key in keys if any(now.get(key) != then.get(key) for now, then in columns)]

    def compute(cells: Cells) -> Any:
        keys = cells.things.get(axis)
        if not keys:
            return Unknown("input missing", (cells.graph.axes[axis],))
        before = cells.before if len(keys) >= MANY_THINGS else None
        was = None if before is None else before.known.get(label.removeprefix("figure "))
        if before is not None and (was.__class__ is dict or (isinstance(was, Gapped) and not was.unknown)):
            some = changed(cells, before, keys)
            return as_column({**entries_of(was), **dict(zip(some, each(cells, some)[0], strict=True))})
        entries, sound = each(cells, keys)
        made = dict(zip(keys, entries, strict=True))
        return made if sound and not may_idle else as_column(made)

    return compute


def along(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter]
) -> Callable[[Cells, Sequence[str]], tuple[list[Any], bool]]:
    """What a function comes to for some of the things of an axis, in the order of their keys, and whether it says that
    of all of them itself."""
    names, own = [parameter.name for parameter in parameters], [parameter.own for parameter in parameters]
    pick = picker(names)
    needed = [not parameter.optional for parameter in parameters]

    def compute(cells: Cells, keys: Sequence[str]) -> tuple[list[Any], bool]:
        known = cells.known
        for name in names:
            if name not in known:  # written out here: a call more for every figure costs 5 %
                cells.value(name)
        arguments = pick(known)
        many, rows, sound = len(keys), [], True
        for place, cell in enumerate(arguments):
            if cell.__class__ in FLAWED:
                rows.append(_row(parameters[place], cell, keys))
                sound = sound and (not needed[place] or LACKING.isdisjoint(map(type, rows[place])))
            elif not own[place]:
                rows.append((cell,) * many)
            else:
                rows.append(cell.values() if len(cell) == many else [cell[key] for key in keys])
        if sound:
            try:
                return list(map(function, *rows)), True
            except Exception:  # then one by one, so that what ails one thing stays with it
                pass
        each = zip(*rows, strict=True) if rows else [()] * many
        return [one_of(cells, key, entries) for key, entries in zip(keys, each, strict=True)], False

    def one_of(cells: Cells, key: str, arguments: Sequence[Any]) -> Any:
        if not LACKING.isdisjoint(map(type, arguments)):
            flaw = _flaw(tuple(compress(arguments, needed)))
            if flaw is not _FINE:
                return flaw
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(cells, label, error, key)

    return compute


def _row(parameter: Parameter, cell: Any, keys: Sequence[str]) -> Sequence[Any]:
    """What a parameter takes for each of some things of a cell that is not sound throughout."""
    if not parameter.own or cell.__class__ is not Gapped:
        return (_taken(parameter, cell),) * len(keys)
    row = [cell.entries[key] for key in keys]
    return [None if entry.__class__ is Unknown else entry for entry in row] if parameter.optional else row


def _taken(parameter: Parameter, value: Any) -> Any:
    """A value as a parameter takes it: what is unknown, or holds unknown entries, as None where it may be so."""
    if value.__class__ is Unknown:
        return None if parameter.optional else value
    if value.__class__ is Gapped:
        if not (parameter.column and value.unknown):
            return value.entries
        if parameter.gaps:
            return {key: None if entry.__class__ is Unknown else entry for key, entry in value.entries.items()}
        lacking = [entry for entry in value.entries.values() if entry.__class__ is Unknown]
        return None if parameter.optional else merged(lacking)
    return value


def _flaw(needed: Sequence[Any]) -> Any:
    """What arguments come to that are needed: None where one does not apply, an Unknown, or nothing to object to."""
    if LACKING.isdisjoint(map(type, needed)):
        return _FINE
    return None if None in needed else merged([value for value in needed if value.__class__ is Unknown])


def _declined(cells: Cells, label: str, error: Exception, key: str = "") -> Unknown | None:
    """What a function comes to that raised an error: where it is broken that is reported, and the others go on."""
    match error:
        case NotApplicable():
            return None
        case MissingInput():
            lacked = [unknown for name in error.names if (unknown := _lacked(cells, name, key)) is not None]
            return merged(lacked) if lacked else None
        case OutsideTable():
            return Unknown("outside table", (), str(error))
        case NotModelled():
            return Unknown("not modelled", (), str(error))
        case ImpossibleInput():
            return Unknown("input impossible", (), str(error))
    return Unknown("rule failed", (), f"{label}: {type(error).__name__}: {error}")


def _lacked(cells: Cells, name: str, key: str) -> Unknown | None:
    """Why a name that turned out to be needed has no value; ``None`` where it does not apply."""
    cell = entries_of(cells.value(name))
    if cell.__class__ is Unknown:
        return cell
    if isinstance(cell, dict) and isinstance(entry := cell.get(key), Unknown):
        return entry
    pointer = cells.graph.place_of(name)
    if pointer is not None:
        return Unknown("input missing", (pointer,))
    lacking = [entry for entry in cell.values() if entry.__class__ is Unknown] if isinstance(cell, dict) else []
    return merged(lacking) if lacking else None

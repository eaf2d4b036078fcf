"""How one cell is worked out: a function of named values, once or for each of some named things.

An argument that is unknown makes the value unknown, one that does not apply (None) makes it not apply; where both are
so it does not apply, since what does not apply needs no input. A parameter may say that it takes None for either.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import compress
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from doorlint.errors import Lacking, NotModelled, OutsideTable

if TYPE_CHECKING:
    from doorlint.figures.graph import Job

__all__ = ["FLAWED", "IdleError", "Parameter", "Unknown", "along", "by_key", "column", "merged", "once"]


class Unknown(NamedTuple):
    """A cell that could not be worked out: why, and which spec values would be needed."""

    reason: str
    """``input missing`` | ``outside table`` | ``not modelled`` | ``rule failed``"""
    missing: tuple[str, ...] = ()
    note: str = ""


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


class IdleError(Exception):
    """Raised by a function that does not apply to its arguments."""


FLAWED: Final = frozenset({Unknown, type(None)})
"""What a value is of that no function takes unless its parameter says so."""

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
    rank = ("rule failed", "not modelled", "outside table", "input missing")
    reason = min((unknown.reason for unknown in unknowns), key=rank.index)
    pointers = dict.fromkeys(pointer for unknown in unknowns for pointer in unknown.missing)
    return Unknown(reason, tuple(pointers), next((u.note for u in unknowns if u.reason == reason and u.note), ""))


def once(label: str, function: Callable[..., Any], parameters: Sequence[Parameter]) -> Callable[["Job"], Any]:
    """What a function comes to in a job as a whole; ``label`` is what a crash in it is reported as."""
    names = [parameter.name for parameter in parameters]
    needed = [place for place, parameter in enumerate(parameters) if not parameter.optional]
    columns = [place for place, parameter in enumerate(parameters) if parameter.column]

    def compute(job: "Job") -> Any:
        arguments = list(map(job.cell, names))
        if columns or Unknown in map(type, arguments):
            arguments = list(map(_taken, parameters, arguments))
        if not FLAWED.isdisjoint(map(type, arguments)):
            flaw = _flaw([arguments[place] for place in needed])
            if flaw is not _FINE:
                return flaw
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(job, label, error)

    return compute


def column(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter], axis: str
) -> Callable[["Job"], Any]:
    """The column that a function makes at once: an entry for every thing of an axis, in the order of the keys."""
    whole = once(label, function, parameters)

    def compute(job: "Job") -> Any:
        made, keys = whole(job), job.keys.get(axis, ())
        if made.__class__ is not dict or tuple(made) == keys:
            return made
        return {key: made.get(key) for key in keys}

    return compute


def by_key(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter], axis: str
) -> Callable[["Job"], Any]:
    """The column of what a function comes to for every thing of an axis."""
    each = along(label, function, parameters)

    def compute(job: "Job") -> Any:
        keys = job.keys.get(axis)
        if not keys:
            return Unknown("input missing", (job.graph.axes[axis],))
        return dict(zip(keys, each(job, keys), strict=True))

    return compute


def along(
    label: str, function: Callable[..., Any], parameters: Sequence[Parameter]
) -> Callable[["Job", Sequence[str]], list[Any]]:
    """What a function comes to for some of the things of an axis, in the order of their keys."""
    names = [parameter.name for parameter in parameters]
    needed = [not parameter.optional for parameter in parameters]

    def compute(job: "Job", keys: Sequence[str]) -> list[Any]:
        cells = tuple(map(job.cell, names))
        many = len(keys)
        rows = [_row(parameter, cell, keys) for parameter, cell in zip(parameters, cells, strict=True)]
        lacking = [row for row in compress(rows, needed) if not FLAWED.isdisjoint(map(type, row))]
        if not lacking:
            try:
                return list(map(function, *rows))
            except Exception:  # then one by one, so that what ails one thing stays with it
                pass
        each = zip(*rows, strict=True) if rows else [()] * many
        flaws = map(_flaw, zip(*lacking, strict=True)) if lacking else [_FINE] * many
        return [one_of(job, arguments) if flaw is _FINE else flaw for arguments, flaw in zip(each, flaws, strict=True)]

    def one_of(job: "Job", arguments: tuple[Any, ...]) -> Any:
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(job, label, error)

    return compute


def _row(parameter: Parameter, cell: Any, keys: Sequence[str]) -> Sequence[Any]:
    """What a parameter takes for each of some things."""
    if not parameter.own or cell.__class__ is not dict:
        return (_taken(parameter, cell),) * len(keys)
    row = tuple(map(cell.get, keys))
    if parameter.optional and Unknown in map(type, row):
        return [None if entry.__class__ is Unknown else entry for entry in row]
    return row


def _taken(parameter: Parameter, value: Any) -> Any:
    """A value as a parameter takes it: what is unknown, or holds unknown entries, as None where it may be so."""
    if value.__class__ is Unknown:
        return None if parameter.optional else value
    if parameter.column and value.__class__ is dict:
        lacking = [entry for entry in value.values() if entry.__class__ is Unknown]
        if lacking and parameter.gaps:
            return {key: None if entry.__class__ is Unknown else entry for key, entry in value.items()}
        if lacking:
            return None if parameter.optional else merged(lacking)
    return value


def _flaw(needed: Sequence[Any]) -> Any:
    """What arguments come to that are needed: None where one does not apply, an Unknown, or nothing to object to."""
    if None in needed:
        return None
    unknown = [value for value in needed if value.__class__ is Unknown]
    return merged(unknown) if unknown else _FINE


def _declined(job: "Job", label: str, error: Exception) -> Unknown | None:
    """What a function comes to that raised an error: where it is broken that is reported, and the others go on."""
    match error:
        case IdleError():
            return None
        case Lacking():
            return merged(_lacked(job, name) for name in error.names)
        case OutsideTable():
            return Unknown("outside table", (), str(error))
        case NotModelled():
            return Unknown("not modelled", (), str(error))
    return Unknown("rule failed", (), f"{label}: {type(error).__name__}: {error}")


def _lacked(job: "Job", name: str) -> Unknown:
    """Why a name that turned out to be needed has no value."""
    cell = job.cell(name)
    if cell.__class__ is Unknown:
        return cell
    if name in job.graph.pointers:
        return Unknown("input missing", (job.graph.pointers[name],))
    return merged(entry for entry in cell.values() if entry.__class__ is Unknown)

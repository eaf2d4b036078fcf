"""The graph of figures, and the job that works them out on demand.

A figure is a pure function whose parameter names are spec values or other figures. The graph is made
once from the functions' own signatures; a :class:`Job` holds one spec's values, works out the cells
that somebody asks for, and remembers them. ``job.but(patch)`` is the same job with some values
changed: it keeps every cell that does not lie downstream of the change.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from types import FunctionType, ModuleType
from typing import Any, NamedTuple, Protocol

from doorlint.errors import Lacking, NotModelled, OutsideTable


class Unknown(NamedTuple):
    """A cell that could not be worked out: why, and which spec values would be needed."""

    reason: str
    """``input missing`` | ``outside table`` | ``not modelled`` | ``rule failed``"""
    missing: tuple[str, ...] = ()
    note: str = ""


FLAWED = frozenset({Unknown, type(None)})
"""What a value is of that no figure takes unless it says so: unknown, or not applying."""
FINE = object()


class Term(Protocol):
    """What the graph wants to know of a spec value."""

    @property
    def name(self) -> str: ...
    @property
    def axis(self) -> str | None: ...
    @property
    def dimension(self) -> str | None: ...
    @property
    def pointer(self) -> str: ...


class Parameter(NamedTuple):
    name: str
    column: bool
    """the whole column is wanted, not the value of one thing"""
    optional: bool
    """a missing value may be passed as None"""


class Node(NamedTuple):
    """One cell of the graph: how to work it out and what it reads."""

    name: str
    compute: Callable[[Job], Any]
    reads: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    """those of ``reads`` without which it stays unknown"""
    axis: str | None = None
    dimension: str | None = None
    function: FunctionType | None = None
    parameters: tuple[Parameter, ...] = ()


def natural(key: str) -> list[tuple[int, str]]:
    """Sort key that puts s2 before s10.

    >>> sorted(["s10", "s2", "a"], key=natural)
    ['a', 's2', 's10']
    """
    return [(int(part), "") if part.isdigit() else (-1, part) for part in re.split(r"(\d+)", key)]


def merged(unknowns: Iterable[Unknown]) -> Unknown:
    """One unknown for several: a failure outweighs a missing input, and pointers are joined in order.

    >>> merged([Unknown("input missing", ("/b",)), Unknown("input missing", ("/a", "/b"))]).missing
    ('/b', '/a')
    """
    every = list(unknowns)
    rank = ("rule failed", "not modelled", "outside table", "input missing")
    reason = min((unknown.reason for unknown in every), key=rank.index)
    pointers = dict.fromkeys(pointer for unknown in every for pointer in unknown.missing)
    return Unknown(reason, tuple(pointers), next((u.note for u in every if u.reason == reason and u.note), ""))


class Kept(dict[str, Any]):
    """The cells of a changed job: those worked out anew, over those of the first job that the change leaves alone.

    >>> kept = Kept({"a": 1, "b": 2}, frozenset("b"))
    >>> kept["a"]
    1
    >>> kept["b"]
    Traceback (most recent call last):
    KeyError: 'b'
    """

    __slots__ = ("first", "gone")

    def __init__(self, first: dict[str, Any], gone: frozenset[str]) -> None:
        super().__init__()
        self.first, self.gone = first, gone

    def __missing__(self, name: str) -> Any:
        if name in self.gone:
            raise KeyError(name)
        return self.first[name]


class Job:
    """One spec's values and every figure worked out from them so far."""

    __slots__ = ("graph", "keys", "memo", "values")

    def __init__(
        self,
        graph: Graph,
        values: Mapping[str, Any],
        keys: Mapping[str, tuple[str, ...]],
        memo: dict[str, Any] | None = None,
    ) -> None:
        self.graph = graph
        self.values = values
        self.keys = keys
        self.memo: dict[str, Any] = {} if memo is None else memo

    def cell(self, name: str) -> Any:
        """The value of a name: a float, text, flag or column; ``None`` when it does not apply; or an
        :class:`Unknown`. Raises :class:`KeyError` for a name that is in no vocabulary."""
        memo = self.memo
        if name in memo:
            return memo[name]
        if memo.__class__ is Kept:
            with suppress(KeyError):
                return memo[name]
        value = memo[name] = self.graph.nodes[name].compute(self)
        return value

    def at(self, name: str, key: str | None = None) -> Any:
        """The value of a name at one thing: ``job.at("section.weight", "s3")``."""
        value = self.cell(name)
        return value.get(key) if key is not None and value.__class__ is dict else value

    def but(self, patch: Mapping[str, Any]) -> Job:
        """The same job with some spec values changed; this one is left as it is.

        A column is patched key by key, and a new key makes a new thing; ``None`` takes a value away,
        and a thing that has no value left is gone.
        """
        values, axes = dict(self.values), set()
        for name, change in patch.items():
            axis = self.graph.axis_of(name)
            if axis is not None:
                before = values.get(name, {})
                if not isinstance(change, dict) or any(key not in before or change[key] is None for key in change):
                    axes.add(axis)
            if isinstance(change, dict):
                column = {**values.get(name, {}), **change}
                change = {key: value for key, value in column.items() if value is not None}
            if change is None or change == {}:
                values.pop(name, None)
            else:
                values[name] = change
        return self._moved(values, set(patch), axes)

    def become(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]]) -> Job:
        """This job with another spec's values, keeping what does not depend on the difference."""
        stale = {name for name in {**self.values, **values} if self.values.get(name) != values.get(name)}
        for axis in {**self.keys, **keys}:
            if self.keys.get(axis) != keys.get(axis):
                stale.update(self.graph.members(axis))
        return Job(self.graph, values, keys, Kept(self.memo, self.graph.downstream(stale)))

    def _moved(self, values: dict[str, Any], stale: set[str], axes: set[str]) -> Job:
        """``axes``: those that a thing may have come to or gone from."""
        keys = dict(self.keys)
        for axis in axes:
            present = {
                key for name in self.graph.members(axis) if isinstance(values.get(name), dict) for key in values[name]
            }
            now = tuple(sorted(present, key=natural))
            if now != keys.get(axis, ()):
                keys[axis] = now
                stale.update(self.graph.members(axis))
        return Job(self.graph, values, keys, Kept(self.memo, self.graph.downstream(stale)))


class Graph:
    """Every name there is: spec values, practice, tables, figures, and the rules that read them."""

    def __init__(
        self,
        terms: Mapping[str, Term],
        axes: Mapping[str, str],
        constants: Mapping[str, Any],
        dimensions: Mapping[str, str | None],
        modules: Iterable[ModuleType],
    ) -> None:
        """``axes``: axis name to the pointer of its map; ``constants``: values that a spec need not
        give (practice, tables) with their ``dimensions``. Raises :class:`ValueError` for a figure
        that reads a name nobody gives, for a name given twice and for a ring of figures."""
        self.axes = dict(axes)
        self.constants = dict(constants)
        self.pointers = {name: term.pointer.split("/{}")[0] for name, term in terms.items()}
        self.nodes: dict[str, Node] = {name: _leaf(term, self.axes) for name, term in terms.items()}
        for name, dimension in dimensions.items():
            self.nodes[name] = Node(name, _constant(name), dimension=dimension)
        self._members: dict[str, tuple[str, ...]] = {
            axis: tuple(name for name, term in terms.items() if term.axis == axis) for axis in axes
        }
        figures = {f"{_subject(module)}.{key}": function for module in modules for key, function in _public(module)}
        spoken = {_spoken(name): name for name in [*self.nodes, *figures]}
        if len(spoken) != len(self.nodes) + len(figures):
            raise ValueError("two names are spoken the same: " + ", ".join(_twice([*self.nodes, *figures])))
        for name, function in figures.items():
            self.nodes[name] = self._figure(name, function, spoken)
        self._check_rings()
        self._down: dict[str, frozenset[str]] = {}
        self._readers: dict[str, list[str]] = {}
        for node in self.nodes.values():
            self._note(node)

    def add(self, node: Node) -> None:
        """Take in one more cell (a rule): it is worked out, remembered and outdated like any other."""
        if node.name in self.nodes:
            raise ValueError(f"{node.name} is there already")
        self.nodes[node.name] = node
        self._note(node)
        self._down.clear()

    def job(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]]) -> Job:
        """A job with these spec values over the constants."""
        return Job(self, {**self.constants, **values}, keys)

    def axis_of(self, name: str) -> str | None:
        """The axis along which a name is a column."""
        return self.nodes[name].axis

    def members(self, axis: str) -> tuple[str, ...]:
        """Every spec name under an axis."""
        return self._members[axis]

    def downstream(self, names: Iterable[str]) -> frozenset[str]:
        """The names themselves and every cell that reads them, however far down."""
        found: frozenset[str] = frozenset()
        for name in names:
            if name not in self._down:
                self._down[name] = frozenset(_reached(name, lambda read: self._readers.get(read, ())))
            found = found | self._down[name] if found else self._down[name]
        return found

    def upstream(self, name: str) -> list[str]:
        """The name itself and everything it reads, nearest first."""
        return _reached(name, lambda read: self.nodes[read].reads if read in self.nodes else ())

    def _note(self, node: Node) -> None:
        for read in node.reads:
            self._readers.setdefault(read, []).append(node.name)

    def _figure(self, name: str, function: FunctionType, spoken: Mapping[str, str]) -> Node:
        subject = name.partition(".")[0]
        own_axis = subject if subject in self.axes else None
        code, notes = function.__code__, function.__annotations__
        parameters = []
        for argument in code.co_varnames[: code.co_argcount]:
            note = notes[argument]
            if argument not in spoken:
                raise ValueError(f"figure {name} reads {argument}, which is neither a spec value nor a figure")
            parameters.append(Parameter(spoken[argument], note.startswith("Each["), note.endswith("| None")))
        whole = notes["return"].startswith("Each[")
        make = _whole if whole or own_axis is None else _by_key
        entries_optional = tuple("| None]" in notes[argument] for argument in code.co_varnames[: code.co_argcount])
        return Node(
            name,
            make(name, function, tuple(parameters), entries_optional, own_axis or ""),
            tuple(parameter.name for parameter in parameters),
            tuple(parameter.name for parameter in parameters if not parameter.optional),
            own_axis,
            _dimension(notes["return"]),
            function,
            tuple(parameters),
        )

    def _check_rings(self) -> None:
        state: dict[str, int] = {}

        def visit(name: str, path: tuple[str, ...]) -> None:
            if state.get(name) == 1:
                raise ValueError("figures read each other in a ring: " + " -> ".join((*path, name)))
            if name not in state:
                state[name] = 1
                for read in self.nodes[name].reads:
                    visit(read, (*path, name))
                state[name] = 2

        for name in self.nodes:
            visit(name, ())


def _leaf(term: Term, axes: Mapping[str, str]) -> Node:
    name, pointer, axis = term.name, term.pointer, term.axis
    if axis is None:
        missing = Unknown("input missing", (pointer,))

        def scalar(job: Job) -> Any:
            return job.values.get(name, missing)

        return Node(name, scalar, dimension=term.dimension)
    none = Unknown("input missing", (axes[axis],))

    def column(job: Job) -> Any:
        given = job.values.get(name, {})
        keys = job.keys.get(axis)
        if not keys:
            return none
        return {
            key: given[key] if key in given else Unknown("input missing", (pointer.replace("{}", key),)) for key in keys
        }

    return Node(name, column, axis=axis, dimension=term.dimension)


def _constant(name: str) -> Callable[[Job], Any]:
    return lambda job: job.values[name]


def _declined(job: Job, name: str, error: Exception) -> Unknown:
    """What a figure comes to that raised an error; one that is broken must not stop the others, its rules report it."""
    match error:
        case Lacking():
            return merged(_lacked(job, lacking) for lacking in error.names)
        case OutsideTable():
            return Unknown("outside table", (), str(error))
        case NotModelled():
            return Unknown("not modelled", (), str(error))
    return Unknown("rule failed", (), f"figure {name}: {type(error).__name__}: {error}")


def _lacked(job: Job, name: str) -> Unknown:
    """Why a name that turned out to be needed has no value."""
    cell = job.cell(name)
    if cell.__class__ is Unknown:
        return cell
    if name in job.graph.pointers:
        return Unknown("input missing", (job.graph.pointers[name],))
    return merged(entry for entry in cell.values() if entry.__class__ is Unknown)


def _whole(
    name: str, function: FunctionType, parameters: tuple[Parameter, ...], gaps: tuple[bool, ...], _axis: str
) -> Callable[[Job], Any]:
    """A figure that is worked out once: of the job as a whole, or a whole column together."""
    reads = [parameter.name for parameter in parameters]
    columns = [place for place, parameter in enumerate(parameters) if parameter.column]
    takes = [_taken(parameter, gap) for parameter, gap in zip(parameters, gaps, strict=True)]

    def compute(job: Job) -> Any:
        memo = job.memo
        arguments = [memo[read] if read in memo else job.cell(read) for read in reads]
        for place in columns:
            arguments[place] = takes[place](arguments[place])
        if not FLAWED.isdisjoint(map(type, arguments)):
            arguments = [take(value) for take, value in zip(takes, arguments, strict=True)]
            flaw = _flaw(parameters, arguments)
            if flaw is not FINE:
                return flaw
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(job, name, error)

    return compute


def _by_key(
    name: str, function: FunctionType, parameters: tuple[Parameter, ...], gaps: tuple[bool, ...], axis: str
) -> Callable[[Job], Any]:
    """A figure of each named thing by itself."""
    reads = [parameter.name for parameter in parameters]
    single = [p.name.startswith(axis + ".") and not p.column for p in parameters]
    takes = [_taken(parameter, gap) for parameter, gap in zip(parameters, gaps, strict=True)]

    def compute(job: Job) -> Any:
        keys = job.keys.get(axis)
        if not keys:
            return Unknown("input missing", (job.graph.axes[axis],))
        memo = job.memo
        rows: list[Any] = []
        sound = True
        for read, one, take in zip(reads, single, takes, strict=True):
            value = memo[read] if read in memo else job.cell(read)
            if one and value.__class__ is dict:
                row = list(map(value.get, keys))
                sound = sound and FLAWED.isdisjoint(map(type, row))
            else:
                value = take(value)
                row = [value] * len(keys)
                sound = sound and value.__class__ not in FLAWED
            rows.append(row)
        if sound:
            try:
                return dict(zip(keys, map(function, *rows), strict=True))
            except Exception:  # then one by one, so that what ails one thing stays with it
                pass
        return {key: one_of(job, list(arguments)) for key, arguments in zip(keys, zip(*rows, strict=True), strict=True)}

    def one_of(job: Job, arguments: list[Any]) -> Any:
        if not FLAWED.isdisjoint(map(type, arguments)):
            arguments = [take(value) for take, value in zip(takes, arguments, strict=True)]
            flaw = _flaw(parameters, arguments)
            if flaw is not FINE:
                return flaw
        try:
            return function(*arguments)
        except Exception as error:
            return _declined(job, name, error)

    return compute


def _taken(parameter: Parameter, gap: bool) -> Callable[[Any], Any]:
    """How a parameter takes a value that is unknown or holds unknown entries: None where it may, else as one Unknown."""

    def take(value: Any) -> Any:
        if value.__class__ is Unknown:
            return None if parameter.optional else value
        if parameter.column and value.__class__ is dict:
            lacking = [entry for entry in value.values() if entry.__class__ is Unknown]
            if lacking and gap:
                return {key: None if entry.__class__ is Unknown else entry for key, entry in value.items()}
            if lacking:
                return None if parameter.optional else merged(lacking)
        return value

    return take


def _flaw(parameters: tuple[Parameter, ...], arguments: list[Any]) -> Any:
    """What keeps a figure from being worked out: None where it does not apply, the Unknown, or nothing (``FINE``)."""
    needed = [value for parameter, value in zip(parameters, arguments, strict=True) if not parameter.optional]
    if None in needed:
        return None
    unknown = [value for value in needed if value.__class__ is Unknown]
    return merged(unknown) if unknown else FINE


def _public(module: ModuleType) -> list[tuple[str, FunctionType]]:
    return [
        (key, value)
        for key, value in vars(module).items()
        if isinstance(value, FunctionType) and not key.startswith("_") and value.__module__ == module.__name__
    ]


def _subject(module: ModuleType) -> str:
    return module.__name__.rpartition(".")[2]


def _spoken(name: str) -> str:
    return name.replace(".", "_").replace("-", "_")


def _twice(names: list[str]) -> list[str]:
    by_speech: dict[str, list[str]] = {}
    for name in names:
        by_speech.setdefault(_spoken(name), []).append(name)
    return [" and ".join(same) for same in by_speech.values() if len(same) > 1]


def _dimension(annotation: str) -> str | None:
    """``Each[SpringRate | None]`` to ``spring-rate``; ``None`` for text, flags and shapes."""
    word = annotation.removeprefix("Each[").split("|")[0].strip(" ]")
    if word in {"Text", "Flag"} or "[" in word or not word[:1].isupper():
        return None
    return re.sub(r"(?<!^)([A-Z])", r"-\1", word).lower()


def _reached(start: str, next_to: Callable[[str], Iterable[str]]) -> list[str]:
    seen = {start: None}
    queue = [start]
    for name in queue:
        for other in next_to(name):
            if other not in seen:
                seen[other] = None
                queue.append(other)
    return list(seen)

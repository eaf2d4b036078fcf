"""The graph of figures, and the job that works them out on demand.

A figure is a pure function whose parameter names are spec values or other figures. The graph is made
once from the functions' own signatures; a :class:`Job` holds one spec's values, works out the cells
that somebody asks for, and remembers them. ``job.but(patch)`` is the same job with some values
changed: it keeps every cell that does not lie downstream of the change.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from types import FunctionType, ModuleType
from typing import Any, NamedTuple, Protocol

from doorlint.errors import Lacking, NotModelled, OutsideTable


class Unknown(NamedTuple):
    """A cell that could not be worked out: why, and which spec values would be needed."""

    reason: str
    """``input missing`` | ``outside table`` | ``not modelled`` | ``rule failed``"""
    missing: tuple[str, ...] = ()
    note: str = ""


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
        try:
            return self.memo[name]
        except KeyError:
            value = self.memo[name] = self.graph.nodes[name].compute(self)
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
        values, axes = dict(self.values), dict.fromkeys(self.graph.axis_of(name) for name in patch)
        for name, change in patch.items():
            if isinstance(change, dict):
                column = {**values.get(name, {}), **change}
                change = {key: value for key, value in column.items() if value is not None}
            if change is None or change == {}:
                values.pop(name, None)
            else:
                values[name] = change
        return self._moved(values, set(patch), [axis for axis in axes if axis is not None])

    def become(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]]) -> Job:
        """This job with another spec's values, keeping what does not depend on the difference."""
        stale = {name for name in {**self.values, **values} if self.values.get(name) != values.get(name)}
        for axis in {**self.keys, **keys}:
            if self.keys.get(axis) != keys.get(axis):
                stale.update(self.graph.members(axis))
        gone = self.graph.downstream(stale)
        return Job(self.graph, values, keys, {name: cell for name, cell in self.memo.items() if name not in gone})

    def _moved(self, values: dict[str, Any], stale: set[str], axes: list[str]) -> Job:
        keys = dict(self.keys)
        for axis in axes:
            present = {
                key for name in self.graph.members(axis) if isinstance(values.get(name), dict) for key in values[name]
            }
            now = tuple(sorted(present, key=natural))
            if now != keys.get(axis, ()):
                keys[axis] = now
                stale.update(self.graph.members(axis))
        gone = self.graph.downstream(stale)
        return Job(self.graph, values, keys, {name: cell for name, cell in self.memo.items() if name not in gone})


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

    def downstream(self, names: Iterable[str]) -> set[str]:
        """The names themselves and every cell that reads them, however far down."""
        found: set[str] = set()
        for name in names:
            if name not in self._down:
                self._down[name] = frozenset(_reached(name, self._readers))
            found |= self._down[name]
        return found

    def upstream(self, name: str) -> list[str]:
        """The name itself and everything it reads, nearest first."""
        return _reached(name, {node.name: node.reads for node in self.nodes.values()})

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


def _call(job: Job, name: str, function: FunctionType, arguments: list[Any]) -> Any:
    try:
        return function(*arguments)
    except Lacking as lacking:
        return merged(_lacked(job, lacked) for lacked in lacking.names)
    except OutsideTable as outside:
        return Unknown("outside table", (), str(outside))
    except NotModelled as unmodelled:
        return Unknown("not modelled", (), str(unmodelled))
    except Exception as crash:  # one broken figure must not stop the others: its rules report it
        return Unknown("rule failed", (), f"figure {name}: {type(crash).__name__}: {crash}")


def _lacked(job: Job, name: str) -> Unknown:
    """Why a name that turned out to be needed has no value."""
    cell = job.cell(name)
    if cell.__class__ is Unknown:
        return cell  # type: ignore[no-any-return]
    if name in job.graph.pointers:
        return Unknown("input missing", (job.graph.pointers[name],))
    return merged(entry for entry in cell.values() if entry.__class__ is Unknown)


def _whole(
    name: str, function: FunctionType, parameters: tuple[Parameter, ...], gaps: tuple[bool, ...], _axis: str
) -> Callable[[Job], Any]:
    """A figure that is worked out once: of the job as a whole, or a whole column together."""
    plan = tuple((p.name, p.column, p.optional, gap) for p, gap in zip(parameters, gaps, strict=True))

    def compute(job: Job) -> Any:
        memo = job.memo
        arguments: list[Any] = []
        unknown: list[Unknown] | None = None
        idle = False
        for read, column, optional, gap in plan:
            value = memo[read] if read in memo else job.cell(read)
            if value.__class__ is Unknown:
                if optional:
                    value = None
                else:
                    unknown = [*(unknown or ()), value]
            elif value is None:
                idle = idle or not optional
            elif column:
                lacking = [entry for entry in value.values() if entry.__class__ is Unknown]
                if lacking and gap:
                    value = {key: None if entry.__class__ is Unknown else entry for key, entry in value.items()}
                elif lacking and optional:
                    value = None
                elif lacking:
                    unknown = [*(unknown or ()), *lacking]
            arguments.append(value)
        if idle:
            return None
        return merged(unknown) if unknown else _call(job, name, function, arguments)

    return compute


def _by_key(
    name: str, function: FunctionType, parameters: tuple[Parameter, ...], gaps: tuple[bool, ...], axis: str
) -> Callable[[Job], Any]:
    """A figure of each named thing by itself."""
    prefix = axis + "."
    single = tuple(p.name.startswith(prefix) and not p.column for p in parameters)

    def compute(job: Job) -> Any:
        keys = job.keys.get(axis)
        if not keys:
            return Unknown("input missing", (job.graph.axes[axis],))
        columns = [job.cell(parameter.name) for parameter in parameters]
        made: dict[str, Any] = {}
        for key in keys:
            arguments: list[Any] = []
            unknown: list[Unknown] = []
            idle = False
            for value, one, parameter, gap in zip(columns, single, parameters, gaps, strict=True):
                if one and value.__class__ is dict:
                    value = value.get(key)
                if value.__class__ is Unknown:
                    if parameter.optional:
                        value = None
                    else:
                        unknown.append(value)
                elif value is None:
                    idle = idle or not parameter.optional
                elif parameter.column:
                    lacking = [entry for entry in value.values() if entry.__class__ is Unknown]
                    if lacking and gap:
                        value = {k: None if entry.__class__ is Unknown else entry for k, entry in value.items()}
                    elif lacking and parameter.optional:
                        value = None
                    else:
                        unknown.extend(lacking)
                arguments.append(value)
            if idle:
                made[key] = None
            else:
                made[key] = merged(unknown) if unknown else _call(job, name, function, arguments)
        return made

    return compute


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


def _reached(start: str, edges: Mapping[str, Iterable[str]]) -> list[str]:
    seen = {start: None}
    queue = [start]
    for name in queue:
        for other in edges.get(name, ()):
            if other not in seen:
                seen[other] = None
                queue.append(other)
    return list(seen)

"""The graph of figures, and the job that works them out on demand.

A figure is a pure function whose parameter names are spec values or other figures. The graph is made
once from the functions' own signatures; a :class:`Job` holds one spec's values, works out the cells
that somebody asks for, and remembers them. ``job.with_changes(patch)`` is the same job with some values
changed: it keeps every cell that does not lie downstream of the change, and every one below it whose
inputs come out as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from types import FunctionType
from typing import Any, Protocol

from doorlint.figures.annotations import asked_for, check_annotations, dimension_of
from doorlint.figures.cells import (
    Cells,
    Gapped,
    Parameter,
    Pick,
    Unknown,
    as_column,
    at_once,
    by_key,
    merged,
    once,
    picker,
)
from doorlint.figures.parameter_names import spoken, spoken_alike
from doorlint.figures.signature import Signature
from doorlint.named_tuple import NamedTuple
from doorlint.natural_order import natural
from doorlint.on_demand import OnDemand

__all__ = ["Graph", "Job", "Node", "Parameter", "Term", "Unknown", "merged"]


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


class Node(NamedTuple):
    """One cell of the graph: how to work it out and what it reads."""

    name: str
    compute: Callable[[Cells], Any]
    reads: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    """those of ``reads`` without which it stays unknown"""
    axis: str | None = None
    dimension: str | None = None
    signature: Signature | None = None
    """of a figure; a spec value, a constant and a rule have none"""
    parameters: tuple[Parameter, ...] = ()
    each: bool = False
    """the function gives the value of one thing, not a column"""
    may_idle: bool = False
    """the function may say that it does not apply"""

    @property
    def function(self) -> FunctionType | None:
        """The figure itself; its module is imported when somebody first asks for it."""
        return None if self.signature is None else self.signature.figure()


class Job:
    """One spec's values and every figure worked out from them so far."""

    __slots__ = ("cells", "graph", "keys", "values")

    def __init__(
        self,
        graph: Graph,
        values: Mapping[str, Any],
        keys: Mapping[str, tuple[str, ...]],
        known: Mapping[str, Any],
        before: Cells | None = None,
    ) -> None:
        """``known``: cells that need not be worked out; ``before``: those of the same job with other values."""
        self.graph = graph
        self.values = values
        self.keys = keys
        self.cells = Cells(dict(known), graph, values, keys, before)

    def cell(self, name: str) -> Any:
        """The value of a name: a float, text, flag or column; ``None`` when it does not apply; or an
        :class:`Unknown`. Raises :class:`KeyError` for a name that is in no vocabulary."""
        known = self.cells.known
        value = known[name] if name in known else self.cells.value(name)
        return value.entries if value.__class__ is Gapped else value

    def at(self, name: str, key: str | None = None) -> Any:
        """The value of a name at one thing: ``job.at("section.weight", "s3")``."""
        value = self.cell(name)
        return value.get(key) if key is not None and isinstance(value, dict) else value

    def with_changes(self, patch: Mapping[str, Any]) -> Job:
        """The same job with some spec values changed; this one is left as it is.

        A column is patched key by key, and a new key makes a new thing; ``None`` takes a value away,
        and a thing that has no value left is gone. A group that comes or goes is named like a value.
        """
        values, axes = dict(self.values), set()
        for name, change in patch.items():
            axis = self.graph.axis_of(name) if name in self.graph.nodes else None
            if axis is not None:
                before = values.get(name, {})
                if not isinstance(change, dict) or any(key not in before or change[key] is None for key in change):
                    axes.add(axis)
            if isinstance(change, dict):
                column = {**values.get(name, {}), **change}
                change = {key: column[key] for key in sorted(column, key=natural) if column[key] is not None}
            if change is None or change == {}:
                values.pop(name, None)
            else:
                values[name] = change
        keys = {**self.keys, **{axis: self._present(axis, values) for axis in axes}} if axes else self.keys
        return self._with(values, keys, set(patch))

    def rebase(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]]) -> Job:
        """This job with another spec's values, keeping what does not depend on the difference."""
        return self._with(
            values, keys, {name for name in {**self.values, **values} if self.values.get(name) != values.get(name)}
        )

    def _present(self, axis: str, values: Mapping[str, Any]) -> tuple[str, ...]:
        """The keys of the things of an axis that have a value, or that had none before."""
        empty = set(self.keys.get(axis, ())) - self._valued(axis, self.values)
        return tuple(sorted(self._valued(axis, values) | empty, key=natural))

    def _valued(self, axis: str, values: Mapping[str, Any]) -> set[str]:
        columns = [values[name] for name in self.graph.members(axis) if isinstance(values.get(name), dict)]
        return {key for column in columns for key in column}

    def _with(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]], stale: set[str]) -> Job:
        """``stale``: the names whose values are others."""
        moved = [axis for axis in {*self.keys, *keys} if keys.get(axis, ()) != self.keys.get(axis, ())]
        # Which things there are, and which parts, is in no cell: where that changes, nothing is compared.
        before = None if moved or not all(name in self.graph.nodes for name in stale) else self.cells
        job = Job(self.graph, values, keys, self.cells.known, before)
        forget = job.cells.known.pop
        for name in self.graph.downstream(stale.union(*map(self.graph.along, moved)) if moved else stale):
            forget(name, None)
        return job


class _Computes(dict[str, Callable[[Cells], Any]]):
    """What works out each cell, by its name; taken from its node when it is first worked out."""

    def __init__(self, nodes: Mapping[str, Node]) -> None:
        self._nodes = nodes

    def __missing__(self, name: str) -> Callable[[Cells], Any]:
        compute = self[name] = self._nodes[name].compute
        return compute


class Graph:
    """Every name there is: spec values, practice, tables, figures, and the rules that read them."""

    def __init__(
        self,
        terms: Mapping[str, Term],
        axes: Mapping[str, str],
        constants: Mapping[str, Any],
        dimensions: Mapping[str, str | None],
        figures: Mapping[str, Signature],
        checked: bool = False,
    ) -> None:
        """``axes``: axis name to the pointer of its map; ``constants``: values that a spec need not
        give (practice, tables) with their ``dimensions``. Raises :class:`ValueError` for a figure
        that reads a name nobody gives, for a name given twice and for a ring of figures, and
        :class:`BrokenFigure` for an annotation that names no kind of value; where the same figures have been
        ``checked`` before, rings and annotations are not looked at again."""
        self.axes = dict(axes)
        self.constants = dict(constants)
        self._terms, self._dimensions, self._figures = terms, dimensions, figures
        self._rules: dict[str, Callable[[], Callable[[Cells], Any]]] = {}
        names = [*terms, *dimensions, *figures]
        self._named = {spoken(name): name for name in names}
        if len(self._named) != len(names):
            raise ValueError("two names are spoken the same: " + ", ".join(spoken_alike(names)))
        self.nodes = OnDemand(names, self._node)
        self.computes = _Computes(self.nodes)
        self._reads = {name: self._read_by(name, signature) for name, signature in figures.items()}
        self._members: dict[str, set[str]] = {axis: set() for axis in axes}
        for name, term in terms.items():
            if term.axis is not None:
                self._members[term.axis].add(name)
        self._along = {axis: set(members) for axis, members in self._members.items()}
        for name in figures:
            axis = name.partition(".")[0]
            if axis in self._along:
                self._along[axis].add(name)
        self._absent = {name: _missing(term.pointer) for name, term in terms.items() if term.axis is None}
        if not checked:
            for signature in figures.values():
                check_annotations(signature.figure())
            self._check_rings()
        self._down: dict[str, frozenset[str]] = {}
        self._readers: dict[str, list[str]] = {}
        self._inputs: dict[str, tuple[Sequence[str], Pick]] = {}

    def add(
        self, name: str, reads: tuple[str, ...], axis: str | None, make: Callable[[], Callable[[Cells], Any]]
    ) -> None:
        """Take in one more cell (a rule): it is worked out, remembered and outdated like any other.

        ``axis``: it says something of every thing of that axis; ``make`` gives what works it out, when it is first
        asked for. Raises :class:`ValueError` where the name is taken.
        """
        if name in self.nodes:
            raise ValueError(f"{name} is there already")
        self._reads[name], self._rules[name] = reads, make
        self.nodes.add(name)
        if axis is not None:
            self._along[axis].add(name)
        self._down.clear()
        self._readers.clear()
        self._inputs.clear()

    def job(self, values: Mapping[str, Any], keys: Mapping[str, tuple[str, ...]]) -> Job:
        """A job with these spec values over the constants."""
        values = {**self.constants, **values}
        known = {**self._absent, **values}
        for axis, names in self._members.items():
            for name in names & values.keys():
                if len(values[name]) < len(keys.get(axis, ())):
                    del known[name]
        return Job(self, values, keys, known)

    def inputs(self, name: str) -> tuple[Sequence[str], Pick]:
        """The names of the cells that a cell reads, and what takes them."""
        if name not in self._inputs:
            reads = [read for read in self._reads.get(name, ()) if read in self.nodes]
            self._inputs[name] = reads, picker(reads)
        return self._inputs[name]

    def axis_of(self, name: str) -> str | None:
        """The axis along which a name is a column."""
        return self.nodes[name].axis

    def members(self, axis: str) -> set[str]:
        """Every spec name under an axis."""
        return self._members[axis]

    def along(self, axis: str) -> set[str]:
        """Every cell that holds something of each thing of an axis: outdated when a thing comes or goes."""
        return self._along[axis]

    def downstream(self, names: Iterable[str]) -> frozenset[str]:
        """The names themselves and every cell that reads them, however far down."""
        found: frozenset[str] = frozenset()
        for name in names:
            if name not in self._down:
                self._down[name] = self.around(name, "")
            found = found | self._down[name] if found else self._down[name]
        return found

    def around(self, name: str, gate: str) -> frozenset[str]:
        """The name itself and every cell that reads it otherwise than through the gate."""
        readers = self._readers_of()
        return frozenset(_reached(name, lambda read: () if read == gate else readers.get(read, ())))

    def _readers_of(self) -> Mapping[str, Sequence[str]]:
        if not self._readers:
            for name, reads in self._reads.items():
                for read in reads:
                    self._readers.setdefault(read, []).append(name)
        return self._readers

    def upstream(self, name: str) -> list[str]:
        """The name itself and everything it reads, nearest first."""
        return _reached(name, lambda read: self._reads.get(read, ()))

    def place_of(self, name: str) -> str | None:
        """The pointer of a spec value, of the whole map for one of named things; ``None`` for another name."""
        return self._terms[name].pointer.split("/{}")[0] if name in self._terms else None

    def _node(self, name: str) -> Node:
        if name in self._rules:
            return Node(name, self._rules[name](), self._reads[name])
        if name in self._figures:
            return self._figure(name, self._figures[name])
        if name in self._terms:
            return _leaf(self._terms[name], self.axes)
        return Node(name, _constant(name), dimension=self._dimensions[name])

    def _read_by(self, name: str, signature: Signature) -> tuple[str, ...]:
        *asked, _ = signature.kinds
        for argument in asked:
            if argument not in self._named:
                raise ValueError(f"figure {name} reads {argument}, which is neither a spec value nor a figure")
        return tuple([self._named[argument] for argument in asked])

    def _figure(self, name: str, signature: Signature) -> Node:
        subject = name.partition(".")[0]
        axis = subject if subject in self.axes else None
        *asked, returned = signature.kinds.values()
        each, may_idle = axis is not None and not returned.startswith("Each["), "None" in returned
        own = f"{axis}." if each else ""
        parameters = []
        for read, kind in zip(self._reads[name], asked, strict=True):
            column, optional, gaps = asked_for(kind)
            parameters.append(
                Parameter(read, column, optional, gaps, not column and own != "" and read.startswith(own))
            )
        label = f"figure {name}"
        if axis is None:
            compute = once(label, signature, parameters)
        elif each:
            compute = by_key(label, signature, parameters, axis, may_idle)
        else:
            compute = at_once(label, signature, parameters, axis)
        return Node(
            name=name,
            compute=compute,
            reads=self._reads[name],
            needs=tuple([parameter.name for parameter in parameters if not (parameter.optional or parameter.gaps)]),
            axis=axis,
            dimension=dimension_of(returned),
            signature=signature,
            parameters=tuple(parameters),
            each=each,
            may_idle=may_idle,
        )

    def _check_rings(self) -> None:
        state: dict[str, int] = {}

        def visit(name: str, path: tuple[str, ...]) -> None:
            if state.get(name) == 1:
                raise ValueError("figures read each other in a ring: " + " -> ".join((*path, name)))
            if name not in state:
                state[name] = 1
                for read in self._reads.get(name, ()):
                    visit(read, (*path, name))
                state[name] = 2

        for name in self.nodes:
            visit(name, ())


def _leaf(term: Term, axes: Mapping[str, str]) -> Node:
    name, pointer, axis = term.name, term.pointer, term.axis
    if axis is None:
        missing = _missing(pointer)

        def scalar(cells: Cells) -> Any:
            return cells.given.get(name, missing)

        return Node(name, scalar, dimension=term.dimension)
    none = _missing(axes[axis])

    def entries(cells: Cells) -> Any:
        keys = cells.things.get(axis)
        if not keys:
            return none
        return as_column(_gaps(pointer, keys) | cells.given.get(name, {}))

    return Node(name, entries, axis=axis, dimension=term.dimension)


def _missing(pointer: str) -> Unknown:
    return Unknown("input missing", (pointer,))


@lru_cache(maxsize=4096)  # the things of most doors are called alike
def _gaps(pointer: str, keys: tuple[str, ...]) -> dict[str, Unknown]:
    return {key: _missing(pointer.replace("{}", key)) for key in keys}


def _constant(name: str) -> Callable[[Cells], Any]:
    return lambda cells: cells.given[name]


def _reached(start: str, next_to: Callable[[str], Iterable[str]]) -> list[str]:
    seen = {start: None}
    queue = [start]
    for name in queue:
        for other in next_to(name):
            if other not in seen:
                seen[other] = None
                queue.append(other)
    return list(seen)

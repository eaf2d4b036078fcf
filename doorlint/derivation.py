"""How a number was worked out: every figure down to measurements, shop figures and tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.figures.graph import Job, Node, Unknown
from doorlint.figures.notes import note_of
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule, Source
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["Compared", "Derivation", "Step"]

FigureAt = tuple[str, str | None]
"""A name, and the named thing it is of."""


class Step(NamedTuple):
    """One number: what it is, its value in words, and how it was worked out."""

    name: str
    key: str | None
    label: str
    text: str
    how: str
    """the formula of a figure, else where the number was given"""
    source: Source | None
    """nothing for what the spec itself says"""
    worked_out: bool
    parts: tuple[FigureAt, ...]
    """what it was made from; what was left out or had no value is not among them"""

    @property
    def reads(self) -> tuple[str, ...]:
        """The names of its parts."""
        return tuple(name for name, _ in self.parts)


class Compared(NamedTuple):
    """What a rule compares, and each of its figures with, one deep, what that was made from."""

    check: str
    steps: tuple[tuple[int, Step], ...]
    """with how deep each stands"""


class _Line(NamedTuple):
    """How a figure is worded in the working of others: the first time and again, and which parts follow the first."""

    first: str
    again: str
    parts: tuple[tuple[FigureAt, bool], ...]
    """each with whether it is worked out"""


class Derivation:
    """The working of one job in the units of a report."""

    def __init__(self, job: Job, library: Library, system: Literal["us", "si"]) -> None:
        self.job, self.library, self.system = job, library, system
        self._known: dict[FigureAt, Step | None] = {}
        self._worded: dict[FigureAt, _Line] = {}

    def step(self, name: str, key: str | None = None) -> Step | None:
        """One number; ``None`` for a group of the spec, and for what has no value."""
        place = (name, key)
        if place not in self._known:
            self._known[place] = self._step(name, key)
        return self._known[place]

    def lines(self, name: str, key: str | None = None) -> Iterator[str]:
        """A figure as ``label = formula = value``, what each rests on set in below it, and so on down.

        Each figure shows its own parts once, and each given value appears once.
        """
        found: list[str] = []
        if self.step(name, key) is not None:
            self._add_lines((name, key), 0, set(), found)
        return iter(found)

    def compared(self, rule: Rule, key: str | None) -> Compared:
        """The figures that a rule compares and what they were made from.

        ``key`` is the named thing the finding is about, for a rule that is asked of each.
        """
        found: dict[FigureAt, tuple[int, Step]] = {}
        for name in rule.reads:
            step = self.step(name, self._own(name, rule.axis, key))
            if step is None:
                continue
            found.setdefault((name, step.key), (0, step))
            for part in step.parts:
                inner = self.step(*part)
                if inner is not None:
                    found.setdefault(part, (1, inner))
        said = (f"{word.replace('_', ' ')}: {_flat(side)}" for word, side in rule.statement["check"].items())
        return Compared("; ".join(said), tuple(found.values()))

    def under(self, names: Iterable[str]) -> list[Step]:
        """Every figure that the named ones rest on, once each, results before what they were made from."""
        queue = list(dict.fromkeys(names))
        found: dict[str, Step] = {}
        for name in queue:
            if name not in found and (step := self.step(name)) is not None:
                found[name] = step
                queue.extend(step.reads)
        return list(found.values())

    def label(self, name: str) -> str:
        """What a name stands for."""
        node = self.job.graph.nodes[name]
        if node.function is not None:
            return note_of(node.function).label
        subject, _, key = name.partition(".")
        if subject == "practice" and key in self.library.practice:
            return self.library.practice[key].title
        if subject == "table":
            title: str = self.library.table_notes[key.replace("_", "-")]["title"]
            return title
        said = VOCABULARY.term(name).description.partition(";")[0]
        group = name.split(".")[-2].replace("_", " ")
        if name.count(".") < 2 or group in said.lower():
            return said
        return f"{group.capitalize()}: {said[:1].lower()}{said[1:]}"

    def text(self, value: Any, dimension: str | None) -> str:
        """A value in words, as a tape or a scale reads it; nothing for a shape, which has none."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int | float):
            return str(value) if dimension is None else quantities.write(value, dimension, self.system)
        if isinstance(value, str):
            return value
        if type(value) is tuple:
            return ", ".join(filter(None, (self.text(entry, dimension) for entry in value)))
        if isinstance(value, dict):
            texts = {key: self.text(entry, dimension) for key, entry in value.items() if _has_value(entry)}
            if len(texts) > 1 and len(set(texts.values())) == 1:
                text = next(iter(texts.values()))
                return f"{text} each" if text else ""
            return ", ".join(f"{key} {text}" for key, text in texts.items() if text)
        return ""

    def _own(self, name: str, axis: str | None, key: str | None) -> str | None:
        """The key for a name of the same axis; none for what the things of the axis share."""
        node = self.job.graph.nodes.get(name)
        return key if node is not None and node.axis is not None and node.axis == axis else None

    def _step(self, name: str, key: str | None) -> Step | None:
        if name not in self.job.graph.nodes:  # a group of the spec has no value of its own
            return None
        node = self.job.graph.nodes[name]
        value = self.job.at(name, key)
        if not _has_value(value):
            return None
        label, text, source = self.label(name), self.text(value, node.dimension), self.library.source_of(name)
        if node.function is None:
            return Step(name, key, label, text, self._origin(name, key, value), source, False, ())
        how = note_of(node.function).formula
        return Step(name, key, label, text, how, source, True, tuple(self._parts(node, key)))

    def _parts(self, node: Node, key: str | None) -> Iterator[FigureAt]:
        assert node.function is not None
        one = None if node.function.__annotations__["return"].startswith("Each[") else key
        for parameter in node.parameters:
            inner = None if parameter.column else self._own(parameter.name, node.axis, one)
            if _has_value(self.job.at(parameter.name, inner)):
                yield parameter.name, inner

    def _origin(self, name: str, key: str | None, value: Any) -> str:
        """Where a number comes from that is not worked out."""
        subject, _, rest = name.partition(".")
        if subject == "practice" and rest in self.library.practice:
            return "shop figure" if value == self.library.practice[rest].value else "given here in place of the shop's"
        if subject == "table":
            return "table"
        pointer = VOCABULARY.pointer_of(name, key) if key is not None else VOCABULARY.term(name).pointer
        return f"given, {pointer.replace('{}', '*')}"

    def _add_lines(self, place: FigureAt, depth: int, told: set[FigureAt], found: list[str]) -> None:
        """Add the lines of a figure and of what it rests on; ``told`` are the figures already listed."""
        line = self._line_of(place)
        if place in told:
            found.append(f"{'  ' * depth}{line.again}")
            return
        told.add(place)
        found.append(f"{'  ' * depth}{line.first}")
        for part, worked_out in line.parts:
            if worked_out or part not in told:
                self._add_lines(part, depth + 1, told, found)

    def _line_of(self, place: FigureAt) -> _Line:
        """The lines of one figure, worded once: those of a sheet ask for most of them a hundred times."""
        if place not in self._worded:
            step = self.step(*place)
            assert step is not None
            label = step.label if step.key is None else f"{step.label}, {step.key}"
            end = "" if step.worked_out else f" ({step.how})"
            first = " = ".join([label, *filter(None, (step.how if step.worked_out else "", step.text))]) + end
            again = " = ".join([label, *filter(None, (step.text,))]) + " (as above)"
            inner = [(part, self.step(*part)) for part in step.parts]
            parts = tuple((part, found.worked_out) for part, found in inner if found is not None)
            self._worded[place] = _Line(first, again, parts)
        return self._worded[place]


def _flat(said: Any) -> str:
    return ", ".join(map(str, said)) if isinstance(said, list) else str(said)


def _has_value(value: Any) -> bool:
    if isinstance(value, dict):
        return any(map(_has_value, value.values()))
    return value is not None and value.__class__ is not Unknown

"""How a finding's figures were come by: every number down to what was measured, shop figures and tables."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.reports.words import REASONS, source_text
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule
from doorlint.spec import VOCABULARY
from doorlint.spec.pointer import steps

__all__ = ["Step", "check_text", "working"]


class Step(NamedTuple):
    """One number on the way: how deep it lies, what it is, its text, how it was come by, and its source."""

    depth: int
    label: str
    text: str
    how: str
    source: str


def working(rule: Rule, pointer: str, job: Job, library: Library, system: Literal["us", "si"]) -> list[Step]:
    """The steps from what the rule compares down to what was given, each name once.

    ``pointer`` is the finding's: for a rule of named things it says which thing.
    """
    seen: set[str] = set()
    key = _key(rule, pointer)
    return [step for name in rule.reads for step in _steps(name, 0, key, rule.axis, job, library, system, seen)]


def check_text(rule: Rule) -> str:
    """What a rule compares, in the names of the spec and its figures."""
    return "; ".join(f"{word.replace('_', ' ')}: {_flat(said)}" for word, said in rule.statement["check"].items())


def _flat(said: Any) -> str:
    return ", ".join(map(str, said)) if isinstance(said, list) else str(said)


def _key(rule: Rule, pointer: str) -> str | None:
    if rule.axis is None:
        return None
    stem = steps(VOCABULARY.axes[rule.axis].pointer)
    path = steps(pointer)
    return path[len(stem)] if path[: len(stem)] == stem and len(path) > len(stem) else None


def _steps(
    name: str, depth: int, key: str | None, axis: str | None, job: Job, library: Library,
    system: Literal["us", "si"], seen: set[str],
) -> Iterator[Step]:  # fmt: skip
    if name in seen:
        return
    seen.add(name)
    node = job.graph.nodes[name]
    one = key is not None and node.axis == axis
    value = job.at(name, key) if one else job.cell(name)
    text = _text(value, node.dimension, system)
    source = library.source_of(name)
    said = "" if source is None else source_text(source)
    subject, _, rest = name.partition(".")
    if subject == "practice" and rest in library.practice:
        how = "given in this spec" if name in _own(job, library) else "shop figure"
        yield Step(depth, library.practice[rest].title, text, how, said)
    elif subject == "table":
        yield Step(depth, library.table_notes[rest.replace("_", "-")]["title"], "", "table", said)
    elif node.function is None:
        term = VOCABULARY.term(name)
        where = term.pointer.replace("{}", key) if one and key is not None else term.pointer.replace("{}", "*")
        if value is not None and not isinstance(value, Unknown):
            yield Step(depth, term.description.partition(";")[0], text, f"given, {where}", "")
    elif value is not None:
        note = note_of(node.function)
        yield Step(depth, note.label, text, note.formula, said)
        for read in node.reads:
            yield from _steps(read, depth + 1, key, axis, job, library, system, seen)


def _own(job: Job, library: Library) -> set[str]:
    """The shop figures that the spec itself replaces."""
    return {
        f"practice.{key}" for key, shop in library.practice.items() if job.values.get(f"practice.{key}") != shop.value
    }


def _text(value: Any, dimension: str | None, system: Literal["us", "si"]) -> str:
    """A value in words; nothing for a shape, which has none."""
    if isinstance(value, Unknown):
        return REASONS[value.reason]
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return str(value) if dimension is None else quantities.write(value, dimension, system)
    if isinstance(value, str):
        return value
    if isinstance(value, dict):
        texts = {key: _text(entry, dimension, system) for key, entry in value.items() if entry is not None}
        if len(set(texts.values())) == 1 and len(texts) > 1:
            text = next(iter(texts.values()))
            return f"{text} each" if text else ""
        return ", ".join(f"{key} {text}" for key, text in texts.items() if text)
    return ""

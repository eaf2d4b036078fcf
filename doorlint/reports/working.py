"""How a finding's figures were come by: every number down to what was measured, shop figures and tables."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.reports.words import REASONS, source_text
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule
from doorlint.spec import VOCABULARY

__all__ = ["Step", "Working", "check_text", "figures", "working"]


class Step(NamedTuple):
    """One number: its name, what it is, its text, how it was come by, its source, and the names it was made from."""

    name: str
    depth: int
    label: str
    text: str
    how: str
    source: str
    reads: tuple[str, ...]


class Working(NamedTuple):
    """How one finding was come by: what the rule compares, and each of its figures with what it was made from."""

    check: str
    steps: tuple[Step, ...]


def working(rule: Rule, key: str | None, job: Job, library: Library, system: Literal["us", "si"]) -> Working:
    """The figures that a rule compares and, one deep, what they were made from.

    ``key`` is the named thing the finding is about, for a rule that is asked of each.
    """
    found: dict[str, Step] = {}
    for name in rule.reads:
        step = _step(name, 0, key, rule.axis, job, library, system)
        if step is None:
            continue
        found.setdefault(name, step)
        for read in step.reads:
            inner = None if read in found else _step(read, 1, key, rule.axis, job, library, system)
            if inner is not None:
                found[read] = inner
    return Working(check_text(rule), tuple(found.values()))


def figures(names: Iterable[str], job: Job, library: Library, system: Literal["us", "si"]) -> list[Step]:
    """Every figure that the named ones rest on, once each, results before what they were made from."""
    queue = list(dict.fromkeys(names))
    found: dict[str, Step] = {}
    for name in queue:
        if name not in found and (step := _step(name, 0, None, None, job, library, system)) is not None:
            found[name] = step
            queue.extend(step.reads)
    return [step._replace(reads=tuple(read for read in step.reads if read in found)) for step in found.values()]


def check_text(rule: Rule) -> str:
    """What a rule compares, in the names of the spec and its figures."""
    return "; ".join(f"{word.replace('_', ' ')}: {_flat(said)}" for word, said in rule.statement["check"].items())


def _flat(said: Any) -> str:
    return ", ".join(map(str, said)) if isinstance(said, list) else str(said)


def _step(
    name: str, depth: int, key: str | None, axis: str | None, job: Job, library: Library, system: Literal["us", "si"]
) -> Step | None:
    """One number on the way; ``None`` for what had no part in the result."""
    if name not in job.graph.nodes:  # a group of the spec has no value of its own
        return None
    node = job.graph.nodes[name]
    one = key is not None and node.axis == axis
    value = job.at(name, key) if one else job.cell(name)
    if value is None or isinstance(value, Unknown):
        return None
    text = _text(value, node.dimension, system)
    source = library.source_of(name)
    said = "" if source is None else source_text(source)
    subject, _, rest = name.partition(".")
    if subject == "practice" and rest in library.practice:
        shop = library.practice[rest]
        how = "shop figure" if value == shop.value else "given in this spec in place of the shop's"
        return Step(name, depth, shop.title, text, how, said, ())
    if subject == "table":
        return Step(name, depth, library.table_notes[rest.replace("_", "-")]["title"], "", "table", said, ())
    if node.function is None:
        term = VOCABULARY.term(name)
        where = VOCABULARY.pointer_of(name, key) if one else term.pointer.replace("{}", "*")
        return Step(name, depth, term.description.partition(";")[0], text, f"given, {where}", "", ())
    note = note_of(node.function)
    return Step(name, depth, note.label, text, note.formula, said, node.reads)


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
    if type(value) is tuple:
        return " and ".join(_text(entry, dimension, system) for entry in value)
    if isinstance(value, dict):
        texts = {key: _text(entry, dimension, system) for key, entry in value.items() if entry is not None}
        if len(set(texts.values())) == 1 and len(texts) > 1:
            text = next(iter(texts.values()))
            return f"{text} each" if text else ""
        return ", ".join(f"{key} {text}" for key, text in texts.items() if text)
    return ""

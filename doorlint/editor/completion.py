"""What may be written at a place: keys, words, names of parts and things, units."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from doorlint.counterbalance import every
from doorlint.editor.cursor import Cursor, cursor_at
from doorlint.editor.document import Document, Figures
from doorlint.editor.protocol import Item, ItemKind, Position, Range, TextEdit
from doorlint.editor.spec_terms import fixed_names, keys_at, part_group, term_at, things_of
from doorlint.editor.text_lines import TextLines
from doorlint.quantities import DIMENSIONS, UNITS, QuantityError, System, read
from doorlint.reports.words import is_gap
from doorlint.rulebook.library import Library
from doorlint.spec import declares
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import EACH, Term
from doorlint.template import FIRST_KEYS

__all__ = ["completions", "may_be_a_spec"]

_NUMBER = re.compile(r"(-?[0-9][0-9 ./'\"½¼¾⅛⅜⅝⅞-]*?) *([A-Za-z%/]*)")
_NUMBERED = re.compile(r"(.*?)([1-9][0-9]*)")
_WRITTEN_ALIKE: Final = {"length": ("in", "ft", "mm", "m"), "weight": ("lb", "kg", "lbf", "N")}
"""Further units that a dimension is written in, beside those that reports use."""


class _Choice(NamedTuple):
    """One thing that may be written."""

    text: str
    kind: ItemKind
    detail: str = ""
    documentation: str = ""


def completions(
    document: Document | None, library: Library, text: str, position: Position, today: str, with_keys: bool = True
) -> tuple[Item, ...]:
    """What may be written at a place of a text.

    ``document`` is the spec as it was reviewed last, which may be before the last key stroke. ``with_keys`` is false
    where another server completes the keys.
    """
    if document is None and not may_be_a_spec(text):
        return ()
    lines = TextLines(text)
    cursor = cursor_at(text, lines.offset(position))
    if cursor is None:
        return ()
    figures = None if document is None else document.figures
    if cursor.key is None:
        choices = _keys(cursor, figures, document) if with_keys else iter(())
    else:
        choices = _values(cursor, figures, document, library, today)
    return tuple(_item(choice, cursor, lines) for choice in choices)


def may_be_a_spec(text: str) -> bool:
    """Whether a text declares itself as a spec, or holds nothing yet by which it could.

    >>> may_be_a_spec("# north dock\\ndoor"), may_be_a_spec("services: {}")
    (True, False)
    """
    words = (line.strip() for line in text.splitlines())
    said = [line for line in words if line and not line.startswith("#")]
    return not any(":" in line for line in said) or declares(text.encode("utf-8", "surrogatepass"))


def _item(choice: _Choice, cursor: Cursor, lines: TextLines) -> Item:
    edit = TextEdit(Range(lines.at_offset(cursor.start), lines.at_offset(cursor.end)), choice.text)
    return Item(
        choice.text.removesuffix(": ").removesuffix(":"), choice.kind, edit, choice.detail, choice.documentation
    )


# keys


def _keys(cursor: Cursor, figures: Figures | None, document: Document | None) -> Iterator[_Choice]:
    group = term_at(cursor.path)
    if group is None or group.kind not in ("group", "map"):
        return
    written = _written(cursor, document)
    if group.kind == "map":
        yield from _names(group, written, cursor, figures)
        return
    if group.catalog is not None and group.part_key not in written:
        about = f"The name of a {group.catalog} of a catalog, instead of the values that it gives"
        yield _Choice(_as_key(group.part_key, cursor), "key", about)
    asked = _asked(document, cursor.path)
    for key, term in sorted(group.parts.items(), key=lambda item: item[0] not in asked):
        if key not in written:
            end = ":" if term.kind in ("group", "map") and not cursor.flow else ": "
            yield _Choice(_as_key(key, cursor, end), "key", term.description, _hint(term))


def _asked(document: Document | None, path: tuple[str, ...]) -> set[str]:
    """The keys of a group that the stage asks for and nobody gave."""
    if document is None:
        return set()
    review = document.review
    pointers = [finding.pointer for finding in review.findings if is_gap(finding)]
    pointers += [pointer for gap in review.not_checked for pointer in gap.missing]
    depth = len(path)
    below = (steps(pointer) for pointer in pointers)
    return {inside[depth] for inside in below if tuple(inside[:depth]) == path and len(inside) > depth}


def _written(cursor: Cursor, document: Document | None) -> set[str]:
    """The keys that stand in the group already, but for the one that is being written."""
    if document is None or document.review.spec is None:
        return set()
    spec = document.review.spec
    if spec.written is None and document.figures is not None:
        spec = document.figures.spec
    return {*keys_at(spec.written, cursor.path)} - {cursor.word}


def _names(group: Term, written: set[str], cursor: Cursor, figures: Figures | None) -> Iterator[_Choice]:
    """Names for one more thing of a map."""
    if group.each and EACH not in written:
        yield _Choice(_as_key(EACH, cursor, ":"), "key", "What holds for each of them that does not say otherwise")
    axis = group.parts["{}"].axis or ""
    offered = [*fixed_names(axis), *_next_names(written - {EACH}, axis), *_like_names(axis, figures)]
    for name in dict.fromkeys(offered):
        if name not in written:
            yield _Choice(_as_key(name, cursor, ":"), "name", group.parts["{}"].description or group.description)


def _next_names(written: set[str], axis: str) -> Iterator[str]:
    """For each row of numbered names the next one: ``s4`` after ``s3``."""
    last: dict[str, int] = {}
    for name in sorted(written):
        if found := _NUMBERED.fullmatch(name):
            last[found[1]] = max(last.get(found[1], 0), int(found[2]))
    yield from (f"{stem}{number + 1}" for stem, number in last.items())
    if not last:
        yield from _first_names().get(axis, ())


def _first_names() -> dict[str, tuple[str, ...]]:
    """Names that the things of an axis usually have."""
    named = {axis: names for kind in every() for axis, names in kind.example_keys.items()}
    return {"section": ("s1",), "box": ("b1",), **named, **FIRST_KEYS}


def _like_names(axis: str, figures: Figures | None) -> tuple[str, ...]:
    """Names of things that things of this axis are called after: readings of counted springs after the springs."""
    return things_of(figures, "spring") if axis == "counted" else ()


def _as_key(key: str, cursor: Cursor, end: str = ": ") -> str:
    return key if cursor.has_colon else key + end


def _hint(term: Term) -> str:
    """How a value is written."""
    if term.choices:
        return f"One of {', '.join(term.choices)}"
    if term.kind == "flag":
        return "true or false"
    return f"For example {term.examples[0]}" if term.examples else ""


# values


def _values(
    cursor: Cursor, figures: Figures | None, document: Document | None, library: Library, today: str
) -> Iterator[_Choice]:
    group = part_group(cursor.steps)
    if group is not None:
        for part in library.catalog.values():
            if part.kind == group.catalog:
                given = ", ".join(f"{key} {value}" for key, value in part.values.items() if isinstance(value, str))
                yield _Choice(part.name, "name", part.title, f"{given}\n\n{part.document}".strip())
        return
    term = term_at(cursor.steps)
    if term is None:
        return
    if term.choices:
        yield from (_Choice(choice, "value", term.description) for choice in term.choices)
    elif term.kind == "flag":
        yield from (_Choice(word, "value", term.description) for word in ("true", "false"))
    elif term.kind == "date":
        yield _Choice(f'"{today}"', "value", "Today")
    elif term.name == "doorlint":
        yield _Choice("1", "value", term.description)
    elif term.dimension is not None:
        yield from _quantities(cursor, term, figures)
    else:
        yield from _references(cursor, term, figures, document, library)


def _quantities(cursor: Cursor, term: Term, figures: Figures | None) -> Iterator[_Choice]:
    """A number that is typed with the units it may have; before it, how such a value is written."""
    assert term.dimension is not None
    system = "us" if figures is None else figures.spec.system
    found = _NUMBER.fullmatch((cursor.before + cursor.behind).strip())
    if not cursor.word:
        examples = dict.fromkeys([*term.examples, DIMENSIONS[term.dimension].example[system == "si"]])
        yield from (_Choice(example, "value", "for example") for example in examples)
    elif found:
        number = found[1].strip()
        if "'" in number and not found[2]:
            yield from [_Choice(f'{number}"', "unit", term.description)] if _reads(f'{number}"', term.dimension) else []
            return
        for unit in _units(term.dimension, system):
            text = f"{number} {unit}"
            if unit.startswith(found[2]) and _reads(text, term.dimension):
                yield _Choice(text, "unit", term.description)


def _units(dimension: str, system: System) -> list[str]:
    """The units of a dimension, those of the spec's own system first."""
    other: System = "si" if system == "us" else "us"
    styles = [style.unit for one in (system, other) for style in DIMENSIONS[dimension].styles(one)]
    further = _WRITTEN_ALIKE.get({"position": "length", "pull": "weight"}.get(dimension, dimension), ())
    kept = sorted(dict.fromkeys([*styles, *further]), key=lambda unit: _system(unit) not in (system, None))
    return [unit for unit in kept if unit]


def _system(unit: str) -> System | None:
    return UNITS[unit].system if unit in UNITS else None


def _reads(text: str, dimension: str) -> bool:
    try:
        read(text, dimension, signed=True)
    except QuantityError:
        return False
    return True


def _references(
    cursor: Cursor, term: Term, figures: Figures | None, document: Document | None, library: Library
) -> Iterator[_Choice]:
    """Names of other things of the spec, of rules and of findings."""
    if term.name == "box.sections":
        for key in things_of(figures, "section"):
            yield _Choice(key if cursor.item else f"[{key}]", "name", term.description)
    elif term.name == "spring.inside":
        own = cursor.path[-1] if cursor.path else ""
        yield from (_Choice(key, "name", term.description) for key in things_of(figures, "spring") if key != own)
    elif document is not None and term.name in ("approval.rule", "approval.pointer"):
        for finding in document.review.findings:
            rule = library.all_rules.get(finding.rule)
            if rule is not None and rule.sign_off != "never":
                text = finding.rule if term.name == "approval.rule" else finding.pointer
                yield _Choice(text, "name", finding.message)

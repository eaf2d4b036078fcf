"""Where what is named at a place is written: a part, what ``each`` gives, a thing, a finding's place."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.editor.cursor import Cursor, cursor_at
from doorlint.editor.document import Document, Figures
from doorlint.editor.origins import Origin, part_origin, rule_origin
from doorlint.editor.protocol import Location, Position, Range
from doorlint.editor.spec_terms import part_group, place_at, term_at
from doorlint.spec.pointer import pointer
from doorlint.spec.vocabulary import EACH, VOCABULARY

__all__ = ["definitions"]


def definitions(document: Document, position: Position) -> tuple[Location, ...]:
    """Where what stands at a place is written; nothing where it is written there itself."""
    cursor = cursor_at(document.text, document.lines.offset(position))
    if cursor is None or not cursor.word:
        return ()
    return tuple(_found(cursor, document))


def _found(cursor: Cursor, document: Document) -> Iterator[Location]:
    figures = document.figures
    if part_group(cursor.steps) is not None:
        origin = part_origin(document.library, cursor.word)
        yield from [_in_file(origin)] if origin is not None else []
        return
    place = place_at(cursor.steps)
    if place is None or figures is None:
        return
    name = place.term.name
    if cursor.key is None:
        if place.key not in (None, EACH):
            yield from _each(cursor.steps, figures)
    elif name == "approval.rule":
        origin = rule_origin(document.library, cursor.word)
        yield from [_in_file(origin)] if origin is not None else []
        yield from _signed(cursor, figures)
    elif name == "approval.pointer":
        yield from _at(cursor.word, figures)
    elif name in ("box.sections", "spring.inside"):
        axis = "section" if name == "box.sections" else "spring"
        if cursor.word in figures.spec.keys.get(axis, ()):
            yield from _at(VOCABULARY.axes[axis].pointer + pointer([cursor.word]), figures)


def _each(steps: tuple[str, ...], figures: Figures) -> Iterator[Location]:
    """What ``each`` says of the same value, or of the whole thing."""
    depth = next((number for number in range(1, len(steps)) if _is_map(steps[:number])), None)
    if depth is None:
        return
    common = pointer((*steps[:depth], EACH, *steps[depth + 1 :]))
    written = figures.spec._replace(tree=figures.spec.written)
    own = pointer((*steps[:depth], EACH))
    if written.span(own) != written.span(pointer(steps[:depth])):
        line, column, end = written.span(common)
        yield Location("", figures.lines.range(line, column, end))


def _is_map(steps: tuple[str, ...]) -> bool:
    term = term_at(steps)
    return term is not None and term.kind == "map" and term.each


def _signed(cursor: Cursor, figures: Figures) -> Iterator[Location]:
    """The places of the findings that a sign-off is for."""
    said = figures.spec.text(pointer((*cursor.path, "pointer")))
    if said is not None:
        yield from _at(said, figures)


def _at(where: str, figures: Figures) -> Iterator[Location]:
    try:
        line, column, end = figures.spec.span(where)
    except ValueError:  # a text that is no pointer
        return
    yield Location("", figures.lines.range(line, column, end))


def _in_file(origin: Origin) -> Location:
    start = Position(origin.line - 1, 0)
    return Location(origin.path, Range(start, start))

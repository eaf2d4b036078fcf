"""A spec as an editor has it open, and places in it told by a mark."""

from __future__ import annotations

from shared import ROOT

from doorlint.editor.document import Document, reviewed
from doorlint.editor.protocol import Position, Range
from doorlint.editor.settings import call_for
from doorlint.editor.text_lines import TextLines

FOLDER = ROOT / "sample_specs"


def sample(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text("utf-8")


def opened(text: str, before: Document | None = None, path: str = str(FOLDER / "open.yaml")) -> Document:
    """A text reviewed as the server does it; it must declare itself."""
    document = reviewed(path, text, call_for(path), before)
    assert document is not None
    return document


def at(text: str, mark: str, behind: int = 0) -> Position:
    """The place where a mark first stands, or so many characters behind that."""
    assert text.count(mark) >= 1, mark
    return TextLines(text).at_offset(text.index(mark) + behind)


def span(text: str, mark: str) -> Range:
    """The place of a mark as a range without length, as a cursor has it."""
    return Range(at(text, mark), at(text, mark))


def written_at(document: Document, place: Range) -> str:
    """The text between two places."""
    return document.text[document.lines.offset(place.start) : document.lines.offset(place.end)]

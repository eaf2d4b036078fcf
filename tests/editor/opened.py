"""A spec as an editor has it open, and places in it told by a mark."""

from __future__ import annotations

from shared import ROOT

import doorlint
from doorlint.editor.document import Document, reviewed
from doorlint.editor.protocol import Position, Range
from doorlint.editor.settings import call_for
from doorlint.editor.text_lines import TextLines
from doorlint.reports.short import held_gaps
from doorlint.reports.words import gap_text

FOLDER = ROOT / "sample_specs"


def sample(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text("utf-8")


WIDE = sample("tower-order").replace("bracket_spacing: 24 in", "bracket_spacing: 60 in")
"""A spec with a warning that a supervisor may sign off."""
SIGNED = "track.bracket-spacing"
"""its rule"""


def margin(text: str) -> set[tuple[str, int, int]]:
    """What stands in the margin of a spec, as a review has it: rule, line and column from 0."""
    review = doorlint.review(text)
    first = {gap_text(gap): gap for gap in reversed(held_gaps(review))}
    return {(one.rule, one.line - 1, one.column - 1) for one in [*review.findings, *first.values()]}


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

"""What an editor is told, as plain values. Lines and characters count from 0; a character is a UTF-16 code unit."""

from __future__ import annotations

from typing import Literal, NamedTuple

from doorlint.rulebook.rule import Severity

__all__ = ["Action", "Diagnostic", "Hover", "Item", "ItemKind", "Location", "Position", "Range", "Related", "TextEdit"]


class Position(NamedTuple):
    """A place between two characters."""

    line: int
    character: int


class Range(NamedTuple):
    """From one place to another."""

    start: Position
    end: Position

    def touches(self, other: Range) -> bool:
        """Whether two ranges share a place."""
        return self.start <= other.end and other.start <= self.end


class Related(NamedTuple):
    """Another place of the same spec that a diagnostic comes from."""

    range: Range
    message: str


class Diagnostic(NamedTuple):
    """What is wrong at a place."""

    range: Range
    severity: Severity
    rule: str
    link: str
    """URI of the rule's text; empty where it has none"""
    message: str
    related: tuple[Related, ...] = ()


class Hover(NamedTuple):
    """What is shown beside a place, in Markdown."""

    range: Range
    markdown: str


class TextEdit(NamedTuple):
    """A range of the text and what takes its place."""

    range: Range
    text: str


ItemKind = Literal["key", "value", "unit", "name"]


class Item(NamedTuple):
    """One completion."""

    label: str
    kind: ItemKind
    edit: TextEdit
    detail: str = ""
    documentation: str = ""


class Action(NamedTuple):
    """Edits that the editor offers; nothing is written before somebody takes one."""

    title: str
    edits: tuple[TextEdit, ...]
    rules: tuple[str, ...] = ()
    """rules of the diagnostics that it settles"""
    is_fix: bool = True
    """whether it is about what is wrong; else it is one more way to write a spec"""


class Location(NamedTuple):
    """A place in a file; ``path`` is empty for the same text."""

    path: str
    range: Range

"""What stands at a place of a text that need not be whole YAML: while somebody types, it seldom is.

A mark is put in at the place, and the text is walked from the start of its top group up to the word that holds the
mark. Block groups are told by their indentation, flow groups by their braces, as in YAML; whatever fits neither is
passed over. A brace that is not closed yet ends where a line is indented no further than the key of its group.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from doorlint.spec.yaml_positions import DEEPEST, LIMIT

__all__ = ["Cursor", "cursor_at"]

_MARK: Final = "\ue000"
"""A character for private use, which no spec holds."""
_LINE = re.compile("([^\r\n]*)(\r\n|\r|\n|$)")
_DOUBLE, _SINGLE = re.compile(r'"(?:\\.|[^"\\])*(?:"|$)', re.DOTALL), re.compile(r"'(?:''|[^'])*(?:'|$)", re.DOTALL)
_BLOCK_PLAIN = re.compile(r"(?:[^:#\r\n]|:(?![ \t\r\n]|$)|(?<![ \t])#)*")
_BLOCK_VALUE = re.compile(r"(?:[^#\r\n]|(?<![ \t])#)*")
_FLOW_PLAIN = re.compile(r"(?:[^:#,\[\]{}\r\n]|:(?![ \t\r\n,\[\]{}]|$)|(?<![ \t\r\n])#)+")
_IN_BRACES = re.compile(r"\ufeff?(?:[ \t]*(?:#[^\r\n]*|---)?[\r\n]+)*[ \t]*\{")
_TOP_KEY = re.compile(r"[A-Za-z_][\w-]*:(?:[ \t\r\n]|$)")
_NEXT = re.compile(r"(?:\r\n|\r|\n)( *)([^\r\n]?)")
_COLON = re.compile(r"[ \t]*:")
_COMMENT = re.compile(r"#[^\r\n]*")


class Cursor(NamedTuple):
    """The word at a place.

    ``path`` leads to the group that the word is in; ``key`` is the key whose value it is, ``None`` where the word
    itself is a key. ``start`` and ``end`` are its offsets, ``before`` and ``behind`` its text on either side of the
    place. ``item`` is true inside a list, ``has_colon`` for a key that has its colon already, ``flow`` inside braces.
    """

    path: tuple[str, ...]
    key: str | None
    start: int
    end: int
    before: str
    behind: str
    item: bool = False
    has_colon: bool = False
    flow: bool = False

    @property
    def word(self) -> str:
        """The whole word, without the quotes around it."""
        return _bare(self.before + self.behind)

    @property
    def steps(self) -> tuple[str, ...]:
        """The path of the value that the word is, or is the key of."""
        return (*self.path, self.word if self.key is None else self.key)


def cursor_at(text: str, offset: int) -> Cursor | None:
    """What stands at an offset; ``None`` in a remark, inside a block of text, and in a text too large for a spec.

    >>> text = "door:\\n  sections:\\n    s1: {height: 24 in, wei"
    >>> cursor = cursor_at(text, len(text))
    >>> cursor.path, cursor.key, cursor.before
    (('door', 'sections', 's1'), None, 'wei')
    >>> cursor_at(text, text.index("24")).steps
    ('door', 'sections', 's1', 'height')
    """
    if len(text) > LIMIT or _MARK in text:
        return None
    start = _top(text, offset)
    found = _Walk(text[start:offset] + _MARK + text[offset:], offset - start).found()
    return found and found._replace(start=found.start + start, end=found.end + start)


def _top(text: str, offset: int) -> int:
    """Where the top group around an offset starts: at the last key that is not indented, for a spec in block form."""
    line = text.rfind("\n", 0, offset) + 1
    if _IN_BRACES.match(text):
        return 0
    while line > 0 and not _TOP_KEY.match(text, line):
        line = text.rfind("\n", 0, line - 1) + 1
    return line


class _Walk:
    """One walk over a text with a mark."""

    def __init__(self, text: str, mark: int) -> None:
        self.text, self.mark = text, mark
        self.at = 0
        self.blocks: list[tuple[int, str]] = []
        """the keys of the open block groups, each with its column"""

    def found(self) -> Cursor | None:
        while self.at <= self.mark:
            found = self._line()
            if found is not None:
                return found
            self._next_line()
        return None

    def _line(self) -> Cursor | None:
        """One line of a block group, and what its value goes on over."""
        start = self.at
        self._blanks()
        column, text = self.at - start, self.text
        first = text[self.at : self.at + 1]
        if first in ("", "\r", "\n", "#"):
            return None
        if text.startswith(("---", "...", "%"), start):
            return None
        if first == "-" and text[self.at + 1 : self.at + 2] in (" ", "\t", "\r", "\n", "", _MARK):
            self.at += 1
            self._blanks()
            while self.blocks and self.blocks[-1][0] > column:
                self.blocks.pop()
            return self._value(column, item=True)
        while self.blocks and self.blocks[-1][0] >= column:
            self.blocks.pop()
        if first in "{[":
            return self._flow()
        key_start = self.at
        self._word(_BLOCK_PLAIN)
        key_end = key_start + len(text[key_start : self.at].rstrip())
        self._blanks()
        has_colon = text[self.at : self.at + 1] == ":"
        if key_start <= self.mark <= max(key_end, key_start):
            return self._cursor(self._path(), None, key_start, key_end, has_colon=has_colon)
        if not has_colon:
            return None
        self.blocks.append((column, _bare(text[key_start:key_end])))
        self.at += 1
        self._blanks()
        return self._value(column)

    def _value(self, column: int, item: bool = False) -> Cursor | None:
        """What stands behind a key, or is an item of its list."""
        text, start = self.text, self.at
        first = text[start : start + 1]
        if first in ("|", ">"):
            self._block_text(column)
            return None
        if first in ("{", "["):
            return self._flow()
        self._word(_BLOCK_VALUE)
        end = start + len(text[start : self.at].rstrip())
        if start <= self.mark <= max(end, start):
            *path, key = self._path() or ("",)
            return self._cursor(tuple(path), key, start, end, item=item)
        return None

    def _block_text(self, column: int) -> None:
        """Pass over a block of text behind ``|`` or ``>``, to the end of its last line."""
        line = _LINE.match(self.text, self.at)
        while line is not None and line[2]:
            self.at = line.end(1)
            line = _LINE.match(self.text, line.end())
            assert line is not None
            words = line[1].lstrip(" ")
            if words and len(line[1]) - len(words) <= column:
                return
            self.at = line.end(1)

    def _flow(self) -> Cursor | None:
        """A group in braces or a list in brackets, to its end or to the mark."""
        text, base = self.text, self._path()
        column = self.blocks[-1][0] if self.blocks else -1
        opened: list[tuple[str, str | None]] = []
        """the open braces and brackets, each with the key whose value comes next"""
        while self.at < len(text):
            character = text[self.at]
            if character in "\r\n":
                if self._ends_here(column):
                    return None
                self.at += 1
            elif character in " \t":
                self.at += 1
            elif character == "#":
                self._skip(_COMMENT)
                if self.at > self.mark:
                    return None
            elif character in "{[":
                if len(opened) == DEEPEST:
                    self.at = len(text)
                    return None
                opened.append((character, None))
                self.at += 1
            elif character in "}]":
                opened.pop()
                self.at += 1
                if not opened:
                    return None
            elif character == ",":
                opened[-1] = (opened[-1][0], None)
                self.at += 1
            elif character == ":":
                self.at += 1
            else:
                found = self._flow_word(base, opened)
                if found is not None:
                    return found
        return None

    def _ends_here(self, column: int) -> bool:
        """Whether the next line goes on with the block group around: then a brace above is not closed yet."""
        behind = _NEXT.match(self.text, self.at)
        return behind is not None and behind[2] != "" and len(behind[1]) <= column and behind[2] not in "}]#"

    def _flow_word(self, base: tuple[str, ...], opened: list[tuple[str, str | None]]) -> Cursor | None:
        """A key or value inside braces."""
        text, start = self.text, self.at
        self._word(_FLOW_PLAIN)
        if self.at == start:  # a colon that ends no key
            self.at += 1
        end = start + len(text[start : self.at].rstrip())
        bracket, key = opened[-1]
        is_key = bracket == "{" and key is None
        if start <= self.mark <= max(end, start):
            groups = [*base, *(step for _, step in opened[:-1] if step is not None)]
            if is_key:
                has_colon = _COLON.match(text, self.at) is not None
                return self._cursor(tuple(groups), None, start, end, has_colon=has_colon, flow=True)
            if key is None:  # an item: it belongs to the key of the list
                key = groups.pop() if groups else ""
            return self._cursor(tuple(groups), key, start, end, item=bracket == "[", flow=True)
        if is_key:
            opened[-1] = (bracket, _bare(text[start:end]))
        return None

    def _word(self, plain: re.Pattern[str]) -> None:
        """Go behind a word, quoted or plain."""
        first = self.text[self.at : self.at + 1]
        self._skip(_DOUBLE if first == '"' else _SINGLE if first == "'" else plain)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        self.at = self.at if found is None else found.end()

    def _blanks(self) -> None:
        while self.text[self.at : self.at + 1] in (" ", "\t"):
            self.at += 1

    def _next_line(self) -> None:
        line = _LINE.match(self.text, self.at)
        assert line is not None
        self.at = max(line.end(), self.at + 1)

    def _path(self) -> tuple[str, ...]:
        return tuple(key for _, key in self.blocks)

    def _cursor(
        self,
        path: tuple[str, ...],
        key: str | None,
        start: int,
        end: int,
        *,
        item: bool = False,
        has_colon: bool = False,
        flow: bool = False,
    ) -> Cursor:
        before, behind = self.text[start : self.mark], self.text[self.mark + 1 : end]
        return Cursor(path, key, start, end - (self.mark < end), before, behind, item, has_colon, flow)


def _bare(word: str) -> str:
    """A word without the quotes around it and without the mark."""
    word = word.replace(_MARK, "").strip()
    if word[:1] == "'":
        return word.strip("'").replace("''", "'")
    return word[1:].removesuffix('"').replace('\\"', '"').replace("\\\\", "\\") if word[:1] == '"' else word

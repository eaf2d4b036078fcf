"""Places in UTF-16 and in code points, each turned into the other by counting a text's own encodings."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from doorlint.editor.protocol import Position, Range
from doorlint.editor.text_lines import TextLines

TEXT = st.text(st.sampled_from("aé☃\U0001f6aa'\"\r\n "), max_size=60)


def counted(text: str, offset: int) -> Position:
    """The place behind so many characters, counted in the encoded text."""
    before = re.split("\r\n|\r|\n", text[:offset])
    if text[offset - 1 : offset + 1] == "\r\n":
        before = before[:-1]
    return Position(len(before) - 1, len(before[-1].encode("utf-16-le")) // 2)


@given(TEXT, st.integers(0, 60))
def test_an_offset_and_its_place_lead_to_each_other(text: str, offset: int) -> None:
    offset = min(offset, len(text))
    lines = TextLines(text)
    place = lines.at_offset(offset)
    assert place == counted(text, offset)
    inside_line_end = text[offset - 1 : offset + 1] == "\r\n"
    assert lines.offset(place) == offset - inside_line_end
    assert lines.position(*lines.place(place)) == place


@given(TEXT, st.integers(-2, 9), st.integers(-2, 99))
def test_places_outside_of_the_text_are_moved_into_it(text: str, line: int, character: int) -> None:
    lines = TextLines(text)
    assert 0 <= lines.offset(Position(max(line, 0), max(character, 0))) <= len(text)
    place = lines.position(line, character)
    assert lines.at_offset(lines.offset(place)) == place


def test_half_of_a_character_is_none() -> None:
    assert TextLines("\U0001f6aa12").offset(Position(0, 1)) == 0
    assert TextLines("\U0001f6aa12").offset(Position(0, 2)) == 1


def test_a_byte_order_mark_is_no_column_of_a_spec() -> None:
    lines = TextLines("\ufeffdoorlint: 1\nroom:\n")
    assert lines.position(1, 1) == Position(0, 1)
    assert lines.place(Position(0, 1)) == (1, 1)
    assert lines.place(Position(1, 1)) == (2, 2)


def test_without_an_end_a_range_goes_to_the_end_of_its_line() -> None:
    assert TextLines("room: 1\n").range(1, 3, None) == Range(Position(0, 2), Position(0, 7))
    assert TextLines("room: 1\n").range(1, 3, (1, 3)) == Range(Position(0, 2), Position(0, 7))

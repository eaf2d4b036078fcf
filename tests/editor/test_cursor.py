"""Where a cursor is, told from a text that need not be whole, against the positions of the YAML parser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shared import SAMPLES, thinned

from doorlint.editor.cursor import Cursor, cursor_at
from doorlint.spec import Mapping, Node, Sequence, parse

EVERY = 9
"""Of so many keys one is looked at: a walk starts at the top of the text each time."""


def entries(node: Node, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], int, int, Node]]:
    """The path, the offsets and the value of every key."""
    if isinstance(node, Mapping):
        for key, value in node.items():
            yield (*path, key), node.marks[key].index, node.ends[key].index, value
            yield from entries(value, (*path, key))


@pytest.mark.parametrize("path", thinned(SAMPLES, 12), ids=lambda path: path.stem)
def test_a_cursor_is_where_the_parser_says(path: Path) -> None:
    text = path.read_text("utf-8")
    for steps, start, end, value in list(entries(parse(text).tree))[::EVERY]:
        for offset in (start, start + 1, start + len(steps[-1])):
            key = cursor_at(text, offset)
            assert key is not None
            assert (key.steps, key.key, key.start, key.has_colon) == (steps, None, start, True)
        if isinstance(value, str):
            found = cursor_at(text, end - 1)
            assert found is not None
            assert (found.steps, found.key, found.word, found.end) == (steps, steps[-1], value, end)
        elif isinstance(value, Sequence):
            for item, mark in zip(value, value.marks, strict=True):
                found = cursor_at(text, mark.index)
                assert found is not None
                assert (found.steps, found.item, found.word) == (steps, True, item)


@pytest.mark.parametrize(
    ("typed", "path", "key", "before"),
    [
        ("|", (), None, ""),
        ("doorlint: 1\nop|", (), None, "op"),
        ("door:\n  |", ("door",), None, ""),
        ("door:\n|", (), None, ""),
        ("door:\n  width: 12 ft\n  |", ("door",), None, ""),
        ("door:\n  width: |", ("door",), "width", ""),
        ("door:\n  width: 24 |", ("door",), "width", "24"),
        ("door:\n  sections:\n    s1: {height: 24 in, |", ("door", "sections", "s1"), None, ""),
        ("door:\n  sections:\n    s1: {height: |}", ("door", "sections", "s1"), "height", ""),
        ("door:\n  sections:\n    s1: {glass: {area: 9 sq ft, th|}}", ("door", "sections", "s1", "glass"), None, "th"),
        ("tower: {boxes: {b1: {sections: [s1, |", ("tower", "boxes", "b1"), "sections", ""),
        ("tower:\n  boxes:\n    b1:\n      sections:\n      - s1\n      - |", ("tower", "boxes", "b1"), "sections", ""),
        ('job: {site: "dock: {west}, |"}', ("job",), "site", '"dock: {west}, '),
        ("job:\n  site: 'it''s |", ("job",), "site", "'it''s "),
        ("job:\n  site: dock # east\n  num|", ("job",), None, "num"),
        ("# doorlint\n\n\nroom:\r\n  head|room: 24 in", ("room",), None, "head"),
        ("room:\n\n    # the beam\n  back|", ("room",), None, "back"),
        ("room:\n  obstructions: {duct: {kind: duct\n  back|: 16 ft", ("room",), None, "back"),
        ("door:\n  sections:\n    s1: {height: 24 in\n    s2: {wei|", ("door", "sections", "s2"), None, "wei"),
        ("job: {\n  site: dock,\n  num|", ("job",), None, "num"),
        ("job:\n  notes: |\n    room: {back:\n  client: |", ("job",), "client", ""),
    ],
)
def test_half_written_texts_are_followed(typed: str, path: tuple[str, ...], key: str | None, before: str) -> None:
    offset = typed.rindex("|")
    found = cursor_at(typed[:offset] + typed[offset + 1 :], offset)
    assert isinstance(found, Cursor)
    assert (found.path, found.key, found.before.rstrip()) == (path, key, before.rstrip())


@pytest.mark.parametrize("typed", ["# a re|mark", "room:\n  back: 16 ft # to the |wall", "job:\n  notes: |\n    a |b"])
def test_remarks_and_blocks_of_text_have_no_cursor(typed: str) -> None:
    offset = typed.rindex("|")
    assert cursor_at(typed[:offset] + typed[offset + 1 :], offset) is None


PIECES = st.sampled_from(
    [
        "door",
        "s1",
        ":",
        ": ",
        "{",
        "}",
        "[",
        "]",
        ",",
        '"',
        "'",
        "#",
        " #",
        "\n",
        "\r\n",
        "  ",
        "- ",
        "|",
        ">",
        "\t",
        "1",
    ]
)


@given(st.lists(st.one_of(PIECES, st.text(max_size=3)), max_size=40), st.integers(0, 120))
def test_no_text_fails(pieces: list[str], offset: int) -> None:
    text = "".join(pieces)
    found = cursor_at(text, min(offset, len(text)))
    assert found is None or found.before + found.behind == text[found.start : found.end]

"""Documents that are no spec, or far more than one: nothing fails on them, and nothing takes long."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from typing import Any

import pytest
from opened import opened, sample

from doorlint.editor.actions import actions
from doorlint.editor.completion import completions
from doorlint.editor.definition import definitions
from doorlint.editor.diagnostics import diagnostics
from doorlint.editor.document import Document
from doorlint.editor.hover import hover
from doorlint.editor.protocol import Position, Range
from doorlint.editor.text_changes import changed_to
from doorlint.rulebook.library import Library
from doorlint.spec.yaml_positions import LIMIT

HEAD = "doorlint: 1\nstage: survey\n"
ORDER = sample("tower-order")
DOCUMENTS = {
    "too large": ORDER + "# " + "x" * LIMIT,
    "as large as may be": ORDER + "# " + "x" * (LIMIT - len(ORDER) - 10),
    "many keys": HEAD + "job: {" + ", ".join(f"k{number}: 1" for number in range(5000)) + "}\n",
    "many lines": ORDER + "\n" * 50_000,
    "deep braces": HEAD + "a: " + "{a: " * 100_000,
    "deep brackets": HEAD + "a: " + "[" * 200_000,
    "deep blocks": HEAD + "".join("  " * depth + f"a{depth}:\n" for depth in range(300)),
    "open quote": HEAD + "job: {site: '" + "x" * 200_000,
    "open double quote": HEAD + 'job: {site: "' + "\\" * 200_001,
    "colons": HEAD + ":" * 200_000,
    "commas": HEAD + "a: {" + "," * 100_000,
    "dashes": HEAD + "- " * 50_000,
    "blocks of text": HEAD + "a: |\n" * 5000,
    "blanks": HEAD + " " * 200_000 + "x",
    "binary": HEAD + bytes(range(256)).decode("latin-1") * 100,
    "half a character": HEAD + "job: {site: '\ud800'}\n",
    "beyond the basic plane": ORDER.replace("cold store", "\U0001f6aa" * 500),
    "tabs": ORDER.replace("  ", "\t"),
    "carriage returns": ORDER.replace("\n", "\r"),
    "both line ends": ORDER.replace("\n", "\r\n", 40),
    "other line ends": ORDER.replace("room:", "ro\u2028om:\x85"),
    "mark": "\ufeff" + ORDER,
    "two documents": ORDER + "---\n" + ORDER,
    "behind the end": ORDER + "...\nroom: {",
    "anchors": ORDER.replace("headroom: 26 in", "headroom: &a 26 in\n  back: *a"),
    "merge": ORDER + "<<: *x\n",
    "private use": ORDER.replace("cold store", "\ue000"),
    "pointers": ORDER + "approvals: {a: {rule: '/', pointer: '//~'}}\n",
    "markup": ORDER.replace("cold store", "<script> [x](javascript:1)"),
}


LARGE = 50_000
"""Characters from which on a document is left to the slow tests."""


@pytest.mark.parametrize(
    "name",
    [pytest.param(name, marks=pytest.mark.slow if len(text) > LARGE else ()) for name, text in DOCUMENTS.items()],
)
def test_no_document_fails_or_takes_long(name: str, library: Library) -> None:
    text = DOCUMENTS[name]
    began = time.process_time()
    document = opened(text)
    found = diagnostics(document)
    assert document.is_readable or found
    chance = random.Random(name)
    for _ in range(6):
        line = chance.choice([0, 2, chance.randrange(text.count("\n") + 1), 10**6])
        place = Position(line, chance.choice([0, 4, 30, 10**6]))
        for ask in asked(document, library):
            ask(place)
    assert time.process_time() - began < 10


def asked(document: Document, library: Library) -> list[Callable[[Position], Any]]:
    """All that a server answers about a place."""
    return [
        lambda place: hover(document, place),
        lambda place: definitions(document, place),
        lambda place: completions(document, library, document.text, place, "2026-03-17"),
        lambda place: [
            changed_to(document.text, action.edits)
            for action in actions(document, Range(place, place), lambda: True, search=False)
        ],
    ]

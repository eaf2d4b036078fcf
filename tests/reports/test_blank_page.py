"""The page to fill in has the lines of the blank, each with what it means, and shows where a survey's are taken."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from reviews import HOSTILE
from shared import Run
from test_html import Reader

from doorlint.blank_page import BlankPage, page_of
from doorlint.counterbalance import KINDS
from doorlint.reports import blank_html
from doorlint.reports.page_scripts import PLACE
from doorlint.rulebook.library import load, own_catalog
from doorlint.spec import parse, read
from doorlint.spec.pointer import steps
from doorlint.template import as_yaml, blank_of

STAGES = ("survey", "order", "install", "commissioned")
EVERY = [(stage, kind) for stage in STAGES for kind in KINDS]


@cache
def page(stage: str, kind: str, system: str = "us") -> BlankPage:
    return page_of(load(), stage, kind, None, system)  # type: ignore[arg-type]


@cache
def html(stage: str, kind: str, system: str = "us") -> str:
    return blank_html.render(page(stage, kind, system), "0.1.0")


@pytest.mark.parametrize(("stage", "kind"), EVERY)
def test_the_page_has_the_lines_of_the_blank(stage: str, kind: str) -> None:
    blank = blank_of(load(), stage, kind)
    tree = parse(as_yaml(blank)).tree
    asked = [line.pointer for line in blank.lines if line.sort in ("value", "part")]
    for pointer in asked:
        node = tree
        for step in steps(pointer):
            node = node[step]  # type: ignore[index, call-overload]
    shown = re.findall('<(?:input|select|textarea) id="[^"]*" data-pointer="([^"]*)"', html(stage, kind))
    own = [name for name in asked if name not in ("/doorlint", "/stage")]
    readings = [name for name in shown if name.startswith("/as_built/readings/")] if stage == "install" else []
    assert [name for name in shown if name not in readings] == [*own, "/job/notes"]
    assert len(readings) == (12 if stage == "install" else 0)
    assert len(set(shown)) == len(shown)


@pytest.mark.parametrize(("stage", "kind"), EVERY)
def test_every_line_says_what_it_means(stage: str, kind: str) -> None:
    helps = re.findall('<p class="help" id="v[0-9]+-help">([^<]*)</p>', html(stage, kind))
    assert len(helps) >= 38
    assert all(text.endswith(".") and len(text) > 8 for text in helps)


def test_examples_are_in_the_units_of_the_shop() -> None:
    assert "For example 24 in." in html("survey", "tower")
    metric = html("survey", "tower", "si")
    assert "Written like 3660 mm." in metric
    assert "24 in" not in metric


def test_what_a_survey_must_have_is_marked() -> None:
    marked = set(re.findall('data-pointer="([^"]*)" data-kind="[a-z]*"[^>]*data-needed', html("survey", "tower")))
    assert {"/opening/width/top", "/opening/diagonal/rising", "/room/headroom", "/opening/handing"} <= marked
    assert not {"/opening/floor_to_come", "/room/obstructions/first/topside"} & marked


def test_every_measure_of_a_survey_is_on_a_drawing() -> None:
    survey = html("survey", "tower")
    lines = dict(re.findall('<input id="v([0-9]+)" data-pointer="([^"]*)" data-kind="quantity"', survey))
    drawings = [ET.fromstring(text) for text in re.findall("<svg.*?</svg>", survey, re.DOTALL)]
    words = [element.text for drawing in drawings for element in drawing.iter() if element.tag.endswith("}text")]
    assert len(drawings) == 6  # three, for wide paper and for a phone
    assert {name: number for number, name in lines.items() if number not in words} == {}
    assert {word for word in words if word and word.isdigit()} <= {str(number) for number in range(1, 39)}


def test_no_size_of_the_example_is_on_the_page() -> None:
    for drawing in re.findall("<svg.*?</svg>", html("survey", "tower"), re.DOTALL):
        words = " ".join(ET.fromstring(drawing).itertext())
        assert "'" not in words
        assert " in " not in words.replace(" in its", "")


def test_what_is_known_is_filled_in() -> None:
    text = "doorlint: 1\nstage: survey\njob: {number: '<b>J-7', notes: 'mind the dog'}\nroom: {headroom: 26 1/2 in}\n"
    filled = blank_html.render(page_of(load(), None, None, read(text, own_catalog()), "us"), "0.1.0")
    assert re.search('data-pointer="/room/headroom"[^>]* value="26 1/2 in"', filled)
    assert 'value="&lt;b&gt;J-7"' in filled
    assert ">mind the dog</textarea>" in filled


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_spec_says_is_never_more_than_text(text: str) -> None:
    known = read(f"doorlint: 1\nstage: survey\njob: {{number: {json.dumps(text)}, site: {json.dumps(text)}}}\n")
    if known.problems:
        assert "\x1b" in text or "\u202e" in text
        return
    reader = Reader(blank_html.render(page_of(load(), None, None, known, "us"), "0.1.0"))
    tags = [tag for tag, _ in reader.elements]
    assert tags.count("script") == 3
    assert not {"img", "iframe", "object", "embed", "base", "link"} & {*tags}
    for _, attributes in reader.elements:
        assert not [key for key in attributes if key.startswith("on") or key == "style"]
    values = [attributes.get("value") for _, attributes in reader.elements]
    assert values.count(text) == 2


def test_a_page_asks_for_nothing_from_elsewhere() -> None:
    for stage, kind in EVERY:
        assert not re.search(r"(src|href)=\"(?!#)|@import|url\(", html(stage, kind)), (stage, kind)


@pytest.mark.parametrize("path", sorted(PLACE.glob("*.js")), ids=lambda path: path.name)
def test_a_script_is_readable_and_asks_nobody(path: Path) -> None:
    text = path.read_text("utf-8")
    assert not re.search(r"\b(fetch|XMLHttpRequest|WebSocket|eval|import|innerHTML|outerHTML|document\.write)\b", text)
    assert "http" not in text
    assert max(map(len, text.splitlines())) <= 120
    assert text.count("\n") < 400
    assert text.startswith('"use strict";\n//')


def test_the_command_writes_the_page(run: Run) -> None:
    done = run("blank", "--as", "html", "--stage", "survey", "--units", "si")
    assert done.returncode == 0
    assert done.stdout.startswith("<!doctype html>")
    assert "3660 mm" in done.stdout

"""Proposed values in a person's text, however it is laid out: what was there stays, byte for byte."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from proposing import amiss, filled
from shared import DAY, ROOT

from doorlint import api
from doorlint.errors import WrongCall
from doorlint.proposals.draft import OpenValue, Value
from doorlint.proposals.search import Variant
from doorlint.proposals.writing import marked, written
from doorlint.rulebook.rule import Source
from doorlint.spec import Mapping, parse

SURVEY = (ROOT / "sample_specs" / "survey-clean.yaml").read_text("utf-8")
DESIGN = "tower-right-standard-15"
WEIGHTS = "".join(f"    s{number}: {{weight: 150 lb}}  # top {number}\n" for number in range(1, 7))
LAYOUTS: dict[str, Callable[[str], str]] = {
    "without a line end": lambda text: text.rstrip("\n"),
    "lines as on Windows": lambda text: text.replace("\n", "\r\n"),
    "a byte order mark": lambda text: "\ufeff" + text,
    "remarks at its end": lambda text: text + "\n# the end\n# of it\n",
    "empty groups": lambda text: text + "door:\ntower:\n",
    "an empty group in braces": lambda text: text + "door: {}\n",
    "weights in braces": lambda text: text + "door:\n  sections:\n" + WEIGHTS,
    "a note of several lines": lambda text: text.replace("  site: paint", "  notes: |\n    a\n    # b\n  site: paint"),
}


def plain(node: object) -> object:
    return {key: plain(inner) for key, inner in node.items()} if isinstance(node, Mapping) else node


def design(text: str) -> Variant:
    return api.propose(text, on=DAY, pick=DESIGN).variants[0]


@pytest.mark.parametrize("layout", LAYOUTS, ids=str)
def test_every_layout_is_kept_and_goes_to_a_clear_order(layout: str) -> None:
    text = LAYOUTS[layout](SURVEY)
    variant = design(text)
    kept = [line.replace("stage: survey", "stage: order") for line in text.splitlines() if "{" not in line]
    there = iter(variant.text.splitlines())
    assert all(line in there for line in kept), "in their order"
    assert ("\r\n" in variant.text) == ("\r\n" in text)
    assert variant.text.count("\r\n") in (0, variant.text.count("\n"))
    review = api.review(filled(variant), on=DAY)
    assert (review.verdict, amiss(review)) == ("clear", [])


def test_json_takes_values_in_braces() -> None:
    variant = design(json.dumps(plain(parse(SURVEY).tree)))
    assert "tower: {side: right" in variant.text
    assert "{}" not in variant.text


def test_a_text_that_ends_before_its_end_is_refused_whole() -> None:
    with pytest.raises(WrongCall, match="cannot be written without changing more"):
        design(SURVEY + "...\n")


def test_a_mark_names_its_keys_where_a_line_has_several() -> None:
    line = "door: {width: 12 ft, thickness: 2 in}  # proposed: thickness\nroom: {back: 16 ft}  # proposed by MK\n"
    assert marked(line) == ["/door/thickness"]
    source = Source("practice")
    values = [Value("/door/stand_off", 0.0127, "1/2 in", "choice", "", source)]
    asked = [OpenValue("/door/weight", "weigh it", None)]
    text = written("doorlint: 1\nstage: survey\ndoor: {width: 12 ft}\n", "order", values, asked)
    assert text.endswith("door: {stand_off: 1/2 in, width: 12 ft}  # proposed: stand_off  # open: weight\n")
    assert marked(text) == ["/door/stand_off"]


@pytest.mark.slow
def test_what_is_typed_beside_proposed_values_in_braces_is_kept() -> None:
    text = f"{SURVEY}torsion: {{cycles: 12000}}\noperation: {{by: motor, lock: {{fitted: true}}}}\n"
    first = api.propose(text, on=DAY, variants=1).variants[0]
    assert set(marked(first.text)) == {value.pointer for value in first.values}
    again = api.propose(filled(first), on=DAY, stage="order", variants=1).variants[0]
    assert {one.pointer for one in first.open}.isdisjoint(marked(again.text))
    assert amiss(api.review(again.text, on=DAY)) == []


@pytest.mark.parametrize("tower", ["{}", "{ }  # its side is open", "{side: right}", "{cover: {material: steel}}"])
def test_what_is_proposed_beside_a_value_in_braces_is_worked_out_again(tower: str) -> None:
    first = design(f"{SURVEY}tower: {tower}\n")
    assert set(marked(first.text)) == {value.pointer for value in first.values}
    again = api.propose(filled(first), on=DAY, stage="order", pick=DESIGN).variants[0]
    assert {value.pointer for value in first.values} <= {value.pointer for value in again.values}
    assert amiss(api.review(again.text, on=DAY)) == []


def test_empty_braces_become_lines_with_what_is_open() -> None:
    text = design(f"{SURVEY}operation: {{}}  # by hand?\n").text
    assert "\noperation:  # by hand?\n  by:  # open: " in text

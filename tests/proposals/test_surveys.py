"""Surveys of many kinds go to a clear order with only what a person has to say typed in."""

from __future__ import annotations

from pathlib import Path

import pytest
from proposing import amiss, filled, leaves
from shared import DAY, thinned

from doorlint import api
from doorlint.spec import parse, read

FOLDER = Path(__file__).parent / "surveys"
SURVEYS = sorted(FOLDER.glob("*.yaml"))
LEAST = 10
MOST_TYPED = 110
"""values typed for an order on a tower with six sections"""


def test_there_are_surveys_of_every_kind() -> None:
    texts = [path.read_text("utf-8") for path in SURVEYS]
    assert len(texts) >= LEAST
    assert sum(" mm" in text for text in texts) >= 2
    assert sum("roof_slope" in text for text in texts) >= 1


@pytest.mark.parametrize("path", thinned(SURVEYS, 4), ids=lambda path: path.stem)
def test_a_survey_goes_to_a_clear_order(path: Path) -> None:
    text = path.read_text("utf-8")
    assert api.review(text, on=DAY).verdict == "clear"
    variant = api.propose(text, on=DAY, variants=1).variants[0]
    order = filled(variant)
    review = api.review(order, on=DAY)
    assert (review.stage, review.verdict, amiss(review)) == ("order", "clear", [])
    typed = len(leaves(parse(text).tree)) + len(variant.open)
    assert typed <= MOST_TYPED, typed
    assert len(leaves(parse(order).tree)) > 1.5 * typed, "most of an order follows"

    again = api.propose(order, on=DAY, stage="order", pick=variant.name).variants[0]
    assert [one for one in again.open if one.usual is not None] == []
    review = api.review(again.text, on=DAY)
    assert (review.verdict, amiss(review)) == ("clear", [])
    ordered = read(again.text).values
    [install] = api.propose(again.text, on=DAY, stage="install", variants=1).variants
    assert {name: install.review.spec.values[name] for name in ordered if name != "stage"} == {
        name: value for name, value in ordered.items() if name != "stage"
    }, "what is ordered is not designed once more"


def test_a_tower_order_of_six_sections_takes_little_typing() -> None:
    text = (FOLDER / "hall.yaml").read_text("utf-8")
    variant = api.propose(text, on=DAY, pick="tower-left-standard-15").variants[0]
    assert sum(value.pointer.endswith("/hinge") for value in variant.values) == 5
    typed = len(leaves(parse(text).tree)) + len(variant.open)
    assert typed <= MOST_TYPED, typed

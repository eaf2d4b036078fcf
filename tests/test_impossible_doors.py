"""A door that no track can run: one error says why, and what follows from it is not checked instead of found short."""

from __future__ import annotations

from typing import Any

import pytest
from shared import DAY, SAMPLES

from doorlint.api import review
from doorlint.findings import SpecReview
from doorlint.spec.edit import edited

TURNED = ("tower-install", "torsion-install", "tower-high-lift", "torsion-low-headroom-install", "torsion-roof-install")
KINDS = (*TURNED, "torsion-vertical-install")
LOW = {"vertical_length": "6 ft", "angle_length": "5 ft 10 in"}


def reviewed(name: str, patch: dict[str, Any]) -> SpecReview:
    text = next(path for path in SAMPLES if path.stem == name).read_text("utf-8")
    return review(edited(text, patch), name=name, on=DAY, slips=False)


def errors(found: SpecReview) -> list[str]:
    return [finding.rule for finding in found.findings if finding.severity == "error"]


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize(
    ("key", "rule"), [("bottom_roller", "guide.bottom-roller"), ("top_roller", "guide.top-roller")]
)
def test_rollers_on_one_side_of_the_weight_are_one_error(name: str, key: str, rule: str) -> None:
    found = reviewed(name, {"door": {key: "14 in"}})
    assert errors(found) == [rule]
    assert len(found.not_checked) > 30
    assert {gap.reason for gap in found.not_checked} == {"input impossible"}


@pytest.mark.parametrize("name", TURNED)
@pytest.mark.parametrize("rise", ["0 in/ft", "1/4 in/ft", "2 in/ft"])
def test_a_curve_that_starts_too_low_says_so_whatever_its_slope(name: str, rise: str) -> None:
    found = reviewed(name, {"track": LOW | {"rise": rise}})
    assert "headroom.opens-fully" in errors(found)
    assert not {"sweep.track-length", "room.back-room", "headroom.swept"} & set(errors(found))
    reasons = {gap.note for gap in found.not_checked if gap.reason == "input impossible"}
    assert reasons == {"the track is too low for the bottom edge to clear the opening"}


@pytest.mark.parametrize("name", KINDS)
def test_a_falling_track_is_an_error_and_not_unreadable(name: str) -> None:
    found = reviewed(name, {"track": {"rise": "-1/4 in/ft"}})
    assert found.verdict == "hold"
    assert "guide.falls" in errors(found)

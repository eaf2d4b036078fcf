"""A clear survey says what the room has room for, and what stops the rest."""

from __future__ import annotations

import pytest
from shared import DAY, ROOT, Run

from doorlint import api
from doorlint.commands.options import call_of
from doorlint.proposals.what_fits import Fit, what_fits

SURVEY = "sample_specs/survey-clean.yaml"


@pytest.fixture(scope="module")
def text() -> str:
    return (ROOT / SURVEY).read_text("utf-8")


def fits(text: str) -> dict[str, Fit]:
    return {fit.what: fit for fit in what_fits(api.review(text, on=DAY), call_of({"on": DAY}).library(), DAY)}


def test_lifts_radii_and_counterbalances_are_told(text: str) -> None:
    found = fits(text)
    assert found["standard lift"].radii == ("15 in", "12 in", "20 in", "10 in")
    assert found["tower on the right"].fits
    assert found["door on springs"].fits
    assert not found["tower on the left"].fits
    assert found["tower on the left"].stopped == "the side room on the left is 16 in; the tower needs 21 in"
    assert not found["vertical lift"].fits


def test_what_is_said_to_fit_is_what_is_proposed(text: str) -> None:
    found = fits(text)
    for name, what in (
        ("tower-right-standard-15", "tower on the right"),
        ("tower-left-standard-15", "tower on the left"),
    ):
        assert bool(api.propose(text, on=DAY, pick=name).variants) == found[what].fits


def test_a_tight_headroom_leaves_the_tighter_curves(text: str) -> None:
    lift = fits(text.replace("headroom: 30 in", "headroom: 17 in"))["standard lift"]
    assert lift.fits
    assert "20 in" not in lift.radii
    assert lift.stopped.startswith("not 20 in")


def test_nothing_is_said_of_a_survey_on_hold_or_of_an_order(text: str) -> None:
    assert fits(text.replace("handing: inside", "handing: outside")) == {}
    assert fits((ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")) == {}


@pytest.mark.parametrize("form", ["text", "html"])
def test_reports_of_one_survey_say_what_fits(run: Run, form: str) -> None:
    said = run("review", SURVEY, "--as", form, "--on", DAY).stdout
    assert "what fits" in said.lower()
    assert "tower on the left: no, the side room on the left is 16 in" in " ".join(said.split()).lower()


@pytest.mark.slow
def test_a_survey_and_its_proposal_say_the_same_of_springs() -> None:
    garage = (ROOT / "tests" / "proposals" / "surveys" / "garage.yaml").read_text("utf-8")
    found = fits(garage)["door on springs"]
    assert found.text == "door on springs: yes; with standard lift, with more and lower sections"
    offered = api.propose(garage, on=DAY, variants=1).variants[0]
    assert offered.name == "torsion-standard-15-low-sections"

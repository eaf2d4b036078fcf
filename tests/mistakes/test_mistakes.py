"""Single mistakes on clean jobs: each is named where it was made, and a clean job is silent."""

from __future__ import annotations

from pathlib import Path

import pytest
from mistakes.measure import HERE, Mistake, job, measured, mistakes, reviewed, split
from shared import thinned

JOBS = sorted(path.stem for path in (HERE / "jobs").glob("*.yaml"))
NOT_NAMED = {
    "hook of the tape burned an inch at the top width": "an inch is how far jambs may lean: the three widths are named",
    "width of the tower with its digits swapped": "the side on which the tower finds no room is named",
    "height of a section with its digits swapped": "what the other sections make of it is found elsewhere",
    "rise of a foot for a rise of a quarter inch": "a warning; the error is that the open door is not held",
    "plates counted in pounds": "every box has too few plates",
    "leg of a hanger with its point moved": "so thin a leg carries what little hangs on it",
    "kilograms written as pounds": "the boxes are named that are too heavy for it",
    "wire with its digits swapped": "the turns are named, which no longer fit",
    "weight of a section with a zero too many": "the door is named, whose weight no door has",
    "inside diameter of a spring misread": "a warning; the error is that the door runs up",
    "first hinge with its digits swapped": "the jamb clearance is named, which the door overlaps",
    "spring pad on one screw": "a warning; the error is that the screw does not hold",
    "drum inside the opening": "the anchor is named, which has no room beside it",
    "left spring counted a turn short": "the counts of all springs are named",
}
"""What another finding names instead, which the slip that is suspected leads away from."""
TUNED = [one for one in split(mistakes(), held_out=False) if one.name not in NOT_NAMED]


@pytest.mark.parametrize("name", JOBS)
def test_a_clean_job_is_silent(name: str, tmp_path: Path) -> None:
    """But for a verdict that a scale's error could turn."""
    spec, _ = reviewed(job(name), tmp_path)
    findings = [one for one in spec["findings"] if not one["marginal"]]
    assert (spec["verdict"], findings, spec["not_checked"]) == ("clear", [], [])


@pytest.mark.parametrize("mistake", thinned(TUNED, 6), ids=lambda mistake: f"{mistake.job}: {mistake.name}")
def test_a_mistake_is_named_where_it_was_made(mistake: Mistake, tmp_path: Path) -> None:
    found = measured(mistake, tmp_path)
    assert found.named, [(one["severity"], one["rule"], one["pointer"]) for one in found.findings]
    assert found.held or mistake.severity != "error"


def test_the_set_is_large_and_its_names_are_unlike() -> None:
    assert len(mistakes()) >= 90
    assert len({(one.job, one.name) for one in mistakes()}) == len(mistakes())
    assert {one.job for one in mistakes()} == set(JOBS)

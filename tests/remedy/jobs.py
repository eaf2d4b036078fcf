"""Doors to try things on: the clean samples with what a survey or an order could say otherwise."""

from __future__ import annotations

from functools import cache
from typing import Any

from hypothesis import strategies as st

from doorlint.figures.graph import Job
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import load
from doorlint.spec import Spec

CLEAN = (
    "survey-clean", "tower-order", "tower-install", "tower-commissioned", "tower-order-metric",
    "torsion-order", "torsion-install", "torsion-commissioned",
)  # fmt: skip
INCH = 0.0254
NEAR = {
    "opening.height.left": 4, "opening.height.middle": 4, "opening.height.right": 4,
    "opening.width.top": 4, "opening.width.middle": 4, "opening.width.bottom": 4,
    "opening.floor_fall": 0.5, "room.headroom": 12, "room.back": 40, "room.side_left": 8, "room.side_right": 12,
    "obstruction.from_wall": 48, "obstruction.depth": 24, "obstruction.underside": 36, "obstruction.left": 48,
    "obstruction.right": 48, "track.high_lift": 40, "track.wall_offset": 1, "tower.hook_up_height": 3,
    "door.top_roller": 3, "door.bottom_roller": 3, "as_built.track_level": 0.25, "as_built.box_gap_open": 1.5,
}  # fmt: skip
"""By how many inches a value is taken away from the sample's, either way."""


@cache
def sample(name: str) -> Spec:
    """A clean sample, read once."""
    return base(name)


@st.composite
def jobs(draw: Any, names: tuple[str, ...] = CLEAN) -> tuple[Job, str]:
    """A job with its stage: a clean sample with some of its values otherwise."""
    spec = sample(draw(st.sampled_from(names)))
    job = load().job(spec.values, spec.keys)
    patch: dict[str, Any] = {}
    for name in draw(st.lists(st.sampled_from(sorted(NEAR)), unique=True, max_size=7)):
        held, away = job.values.get(name), st.integers(-64, 64).map(lambda n, name=name: n / 64 * NEAR[name] * INCH)
        if isinstance(held, dict):
            patch[name] = {key: _least(name, value + draw(away)) for key, value in held.items()}
        elif held is not None:
            patch[name] = _least(name, held + draw(away))
    return job.with_changes(patch | draw(choices(job))), str(spec.stage)


def _least(name: str, value: float) -> float:
    return value if name in ("obstruction.left", "obstruction.right") else max(value, 0.0)


@st.composite
def choices(draw: Any, job: Job) -> dict[str, Any]:
    """What an order could choose otherwise."""
    patch: dict[str, Any] = {}
    if "track.lift" in job.values and draw(st.booleans()):
        patch["track.radius"] = draw(st.sampled_from([10, 12, 15, 20])) * INCH
    if "track.lift" in job.values and draw(st.booleans()):
        patch["track.rise"] = draw(st.sampled_from([0.0, 1 / 96, 1 / 48, 1 / 24]))
    if "track.lift" in job.values:
        curve = draw(st.sampled_from(["as it is", "high", "stays"]))
        if curve == "high":
            patch |= {"track.lift": "high", "track.high_lift": draw(st.integers(4, 80)) * INCH}
        if curve == "stays":
            patch["track.vertical_length"] = job.values["opening.height.left"] + draw(st.integers(-14, 14)) * INCH
    sections = job.keys.get("section", ())
    if sections and draw(st.booleans()):
        patch["section.height"] = {key: draw(st.sampled_from([18, 21, 24])) * INCH for key in sections}
    if sections and draw(st.booleans()):
        patch["section.weight_from"] = {draw(st.sampled_from(sections)): "estimated"}
    if draw(st.booleans()):
        patch["opening.measured.tool"] = draw(st.sampled_from(["tape", "laser", "drawing"]))
    if draw(st.booleans()):
        patch |= {"opening.jambs_finished": False, "opening.jambs_to_come": draw(st.integers(0, 16)) / 8 * INCH}
    return patch

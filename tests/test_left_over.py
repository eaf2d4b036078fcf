"""Where counterbalance and door differ most is found without trying every position."""

from __future__ import annotations

from typing import Any

import pytest
from varied import spec_text

from doorlint.figures.cells import Unknown
from doorlint.figures.graph import Job
from doorlint.mechanics import rolling, spring_balance, stack
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library
from doorlint.spec import read

STEPS = 4000


def tried(job: Job) -> list[tuple[float, float]]:
    """The difference at even steps of the travel."""
    path, door, open_at = (job.cell(name) for name in ("track.path", "door.shape", "door.open_travel"))
    travels = [open_at * step / STEPS for step in range(STEPS + 1)]
    if "tower" in job.values:
        law, hook_up = job.cell("stack.law"), job.cell("tower.hook_up")
        return [(x, stack.door_pull(law, hook_up, x) - rolling.pull(path, door, x)) for x in travels]
    springs, drum = job.cell("torsion.wound_springs"), job.cell("drum.shape")
    return [(x, spring_balance.pull(springs, drum, x) - rolling.pull(path, door, x)) for x in travels]


def largest_at(job: Job) -> float:
    """What is left out of the largest difference, as a share of the door's weight."""
    found, steps = job.cell("door.left_over"), tried(job)
    assert not isinstance(found, Unknown)
    return float((max(abs(over) for _, over in steps) - max(abs(over) for _, over in found)) / job.cell("door.load"))


@pytest.mark.parametrize("seed", range(24))
def test_nothing_of_account_is_left_out(seed: int, library: Library) -> None:
    spec = read(spec_text(seed))
    job = library.job(spec.values, spec.keys)
    if "track.lift" in spec.values and not isinstance(job.cell("door.left_over"), Unknown):
        assert largest_at(job) < 0.001


@pytest.mark.parametrize(
    "change",
    [
        {"b3": {"chain": {"spring": {"stretch_at_stop": "3 in"}}}},
        {"b5": {"chain": {"links": "5"}}},
        {"b2": {"chain": {"links": "9"}}, "b4": {"chain": {"links": "4"}}},
        {"b1": {"tare": "60 lb"}},
    ],
)
def test_a_box_that_comes_on_at_the_wrong_place_is_seen_between_the_marks(
    change: dict[str, Any], library: Library
) -> None:
    spec = base("tower-install").patched({"tower": {"boxes": change}})
    job = library.job(spec.values, spec.keys)
    assert abs(largest_at(job)) < 0.001

"""The tackle with friction against the Pipeline Rules of Thumb Handbook."""

from __future__ import annotations

import pytest
from rule_tables import table

from doorlint.figures import lifting as figures
from doorlint.mechanics import lifting


def test_pipeline_rules_of_thumb_advantage_of_four_parts() -> None:
    """Four parts on plain sheaves: 3.25, held to .5 %."""
    assert figures.advantage(4, "plain", table("sheave-efficiency")) == pytest.approx(3.25, rel=0.005)


def test_pipeline_rules_of_thumb_3250_lb_takes_1000_lb() -> None:
    advantage = figures.advantage(4, "plain", table("sheave-efficiency"))
    assert advantage is not None
    assert figures.line_pull(3250.0, advantage) == pytest.approx(1000.0, rel=0.005)


@pytest.mark.parametrize(("bearing", "efficiency"), [("roller", 0.962), ("plain", 0.917)])
def test_pipeline_rules_of_thumb_efficiencies(bearing: str, efficiency: float) -> None:
    assert table("sheave-efficiency").look("efficiency", bearing=bearing) == efficiency


@pytest.mark.parametrize("parts", range(1, 9))
@pytest.mark.parametrize("efficiency", [0.8, 0.917, 0.962, 0.999999])
def test_advantage_is_the_sum_of_the_parts(parts: int, efficiency: float) -> None:
    """Rope by rope: every part carries the one before it, less what the sheave between them takes."""
    carried, tension = 0.0, 1.0
    for _ in range(parts):
        tension *= efficiency
        carried += tension
    assert lifting.advantage(parts, efficiency) == pytest.approx(carried, rel=1e-9)


def test_without_friction_every_part_carries_alike() -> None:
    assert [lifting.advantage(parts, 1.0) for parts in (1, 2, 6)] == [1.0, 2.0, 6.0]


def test_a_geared_hoist_is_not_hauled() -> None:
    assert figures.advantage(1, "geared", table("sheave-efficiency")) is None

"""A figure that can do with one of several inputs says what it lacks when it has none: missing is never zero."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from doorlint.errors import MissingInput, OutsideTable
from doorlint.figures import drum, lifting, operation, section, spring, spring_broken, spring_place, torsion, wind
from doorlint.mechanics import balance
from doorlint.mechanics import drum as drums
from doorlint.mechanics.torsion_spring import Wound


@pytest.mark.parametrize(
    ("name", "figure", "arguments"),
    [
        ("section.glass.area", section.glass_weight, (None, 0.006)),
        ("section.glass.thickness", section.glass_weight, (0.5, None)),
        ("section.strut.weight", section.estimate, (1.0, 1.0, 0.0, "hat", None, 1.0)),
        ("section.weight", section.load, (None, None)),
        ("section.weight_from", section.load_band, (700.0, 700.0, None, 0.01, 0.05, 0.15)),
        ("section.second_moment", section.flat_second_moment, (None, None)),
        ("lifting.line_pull", lifting.point_load, (1000.0, 100.0, "plain", None)),
        ("wind.required_pressure", wind.demand, (None, None, None)),
        ("operation.constant_pressure", operation.protection, ("none", None)),
        ("operation.entrapment", operation.protection, (None, False)),
        ("spring.rate", spring.torque_rate, (None, None)),
        ("torsion.drum.profile", drum.shape, (None, 0.07, None, None, None)),
        ("torsion.drum.radii", drum.shape, ("table", None, None, None, None)),
        ("torsion.drum.radius", drum.shape, ("standard", None, None, None, None)),
        ("torsion.drum.small_radius", drum.shape, ("high-lift", 0.08, None, 3.0, None)),
        ("torsion.drum.taper_turns", drum.shape, ("vertical-lift", 0.08, 0.05, None, None)),
        ("torsion.wound", spring.turns_closed, (None, None)),
        ("spring.rated_turns", spring.rated_life, (20000, None, 7.5, 300)),
        ("torsion.drum.cable_leaves", spring_place.hand_wanted, ({"a": "left"}, "rear", None)),
        ("operation.holding", operation.holds, ("motor", "brake", None)),
        ("torsion.devices.spring_break", spring_broken.broken_held_by, (900.0, 200.0, 0.0, None)),
        ("torsion.wound", torsion.turns_closed, (None, None, 7.0)),
        ("torsion.travel_turns", torsion.turns_closed, (None, 0.5, None)),
    ],
)
def test_what_is_lacking_is_named(name: str, figure: Callable[..., object], arguments: tuple[object, ...]) -> None:
    with pytest.raises(MissingInput, match=f"^{name}$"):
        figure(*arguments)


def test_a_weighed_section_is_known_best() -> None:
    shares = 0.01, 0.05, 0.15
    assert section.load_band(700.0, 700.0, "weighed", *shares) == pytest.approx(7.0)
    assert section.load_band(700.0, 700.0, "maker", *shares) == pytest.approx(35.0)
    assert section.load_band(700.0, 700.0, "estimated", *shares) == pytest.approx(105.0)
    assert section.load_band(700.0, None, "weighed", *shares) == pytest.approx(105.0)  # nothing was weighed


def test_springs_that_ran_out_pull_nothing() -> None:
    assert torsion.pull_open((Wound(20.0, 6.0),), drums.standard(0.07), 3.0) == 0.0


def test_a_door_on_its_way_to_the_floor_counts_for_what_lifts_it() -> None:
    marks = (balance.Mark(2.0, ()), None, balance.Mark(1.0, ()))
    left = ((0.0, -50.0), (0.5, -40.0), (0.9, 15.0), (1.0, -12.0), (3.0, 5.0))
    assert operation.let_go(marks, left) == 15.0
    assert operation.let_go(marks, ((0.0, 90.0), *left[1:])) == 90.0
    assert operation.let_go(marks, (*left[:3], (1.0, -30.0), (3.0, 5.0))) == 30.0


def test_without_a_mark_only_the_closed_door_stands_on_its_floor() -> None:
    assert operation.let_go((None, None), ((0.0, -50.0), (0.5, -40.0), (1.0, 5.0))) == 40.0


def test_a_drum_table_must_reach_the_open_door() -> None:
    with pytest.raises(OutsideTable, match="the drum ends after 1"):
        torsion.travel_turns(drums.table((0.07, 0.07)), 2 * math.pi * 0.07 * 1.5)

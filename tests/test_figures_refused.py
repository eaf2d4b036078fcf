"""What a figure will not work out, and the input it asks for instead: no figure guesses."""

from __future__ import annotations

from collections.abc import Callable
from types import FunctionType

import pytest

from doorlint.errors import ImpossibleInput, MissingInput, NotModelled
from doorlint.figures import (
    box,
    box_chain,
    cable,
    cable_length,
    door,
    hanger,
    hinges,
    mount,
    overhead,
    reading,
    spring,
    sweep,
    track,
)
from doorlint.figures.notes import note_of
from doorlint.mechanics import angle, beam, drum, rolling, torsion_spring
from doorlint.mechanics import sweep as motion

MARKS = ({"a": 1}, {"a": 1.7}, {"a": 200.0}, -300.0)
WOUND = (torsion_spring.Wound(20.0, 7.0),)
CURVED, HEAVY = rolling.Path(2.0, 0.2), rolling.Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
DOOR = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)
OPENING = motion.Sweep(rolling.Path(1.85, 0.3), DOOR, (0.0, 0.0), 0.04, 0.0, 0.9, 0.9)
ANGLE = angle.Angle(0.5, (0.0, 0.0), (1.0, 1.0, 0.0), 1.0, 1.0, 1.0)
TRACK = overhead.Track(beam.Beam((0.0, 1.0), 2.0), (), (overhead.Carried(0.0, 0.0, 0.0),) * 2)


@pytest.mark.parametrize(
    ("name", "figure", "arguments"),
    [
        ("section.hinge", hinges.most_step, ({"s1": 1, "s2": None, "s3": 3, "s4": None},)),
        ("section.hinge", hinges.lowest, ({"s1": None, "s2": 2, "s3": None},)),
        ("track.radius", track.main_path, ("standard", 3.5, None, 0.02)),
        ("track.rise", track.main_path, ("standard", 3.5, 0.38, None)),
        ("tower.cable_tension", cable.tension, (4000.0, None, None, False)),
        ("torsion.pull_largest", cable.tension, (4000.0, None, None, True)),
        ("pulley.diameter", cable_length.wrap, ("left", 0.006, "left", {"h": "head"}, {"h": "left"}, {"h": 0.1})),
        ("tower.crossing", cable_length.cut_length, ("right", 0.4, None, "left", None, 4.1, 3.8, 4.2, DOOR, 0.15)),
        ("mount.track_bearing", mount.bearing, ("head-plate", "left", (), None, "left", 1000.0, None, None)),
        ("operation.pull", mount.bearing, ("operator", None, (), None, None, None, None, None)),
        ("box.plates_wanted", box.ballast, (None, None, 45.0)),
        ("section.strut.height", sweep.strut_depths, ({"s1": "none", "s2": "hat"}, {"s1": None, "s2": None})),
        ("track.horizontal_length", sweep.reach, (OPENING, 0.05, OPENING.path, None)),
        ("torsion.pull_closed", reading.wanted, (*MARKS, None, None, True, None, drum.standard(0.07))),
        ("torsion.pull_closed", reading.wanted, (*MARKS, None, None, True, WOUND, None)),
        ("box.bias", reading.wanted, (*MARKS, {"b1": 1}, None, False, None, None)),
        ("box.bias", reading.wanted, (*MARKS, None, {"b1": 2.0}, False, None, None)),
        ("torsion.friction", reading.band, (70.0, True, None)),
    ],
)
def test_what_is_lacking_is_named(name: str, figure: Callable[..., object], arguments: tuple[object, ...]) -> None:
    with pytest.raises(MissingInput, match=f"^{name}$"):
        figure(*arguments)


@pytest.mark.parametrize(
    ("why", "figure", "arguments"),
    [
        ("the curve would start at the floor", track.main_path, ("standard", 0.0, 0.38, 0.02)),
        ("a coil without room inside it", spring.index, (0.01, 0.01)),
        (
            "hangers stand at one place",
            overhead.tracks,
            (CURVED, HEAVY, 1.757786, 0.0, None, 1.0, {"a": "left"}, {"a": 0.0}),
        ),
        ("the hole takes the whole section", hanger.tension, (1000.0, ANGLE, 1.0, 0.5)),
        ("leg must be longer than it is thick", hanger.section, (0.05, 0.005, 0.005)),
        ("the right track has no hanger", mount.track_bearing, ("head-plate", "right", "standard", {"left": TRACK})),
        ("every section once", box.mark_roller, ({"b1": ("s2",), "b2": ("s1",)}, {"s1": 0.5, "s2": 0.5})),
        ("plates that weigh nothing", box.plates_wanted, ({"b1": 400.0}, {"b1": 120.0}, 0.0)),
        ("no travel in which the spring", box_chain.rate_wanted, ({"b1": 410.0}, {"b1": 0.0})),
        (
            "plates that weigh nothing",
            box.plates_correction,
            ({"b1": 1}, {"b1": 1.7}, {"b1": 0.0}, {"b1": 9}, 0.0, {}, {}),
        ),
    ],
)
def test_what_is_not_modelled_is_said(why: str, figure: Callable[..., object], arguments: tuple[object, ...]) -> None:
    with pytest.raises(NotModelled, match=why):
        figure(*arguments)


@pytest.mark.parametrize("part", ["Weight", "Unit: N", "Source: derived; a sum"])
def test_a_figure_without_label_unit_or_source_is_no_figure(part: str) -> None:
    def weight() -> float:
        """Weight

        Unit: N
        Source: derived; a sum
        """
        return 1.0

    assert note_of(weight)[:3] == ("Weight", "", "N")
    whole = weight.__doc__ or ""
    lacking = FunctionType(weight.__code__, {"__name__": "figures"}, "weight")
    lacking.__doc__ = "" if part == "Weight" else whole.replace(part, "")
    with pytest.raises(ValueError, match="weight: its docstring lacks a label, Unit: or Source:"):
        note_of(lacking)


@pytest.mark.parametrize(
    ("why", "figure", "arguments"),
    [
        ("rollers of the bottom section", door.frame, ({"s1": 0.5, "s2": 0.5}, 0.6, None, None, 0.075, 0.075)),
        ("too low for the bottom edge", door.open_travel, (rolling.Path(0.5, 0.2), DOOR, 3.0)),
    ],
)
def test_what_cannot_be_is_said(why: str, figure: Callable[..., object], arguments: tuple[object, ...]) -> None:
    with pytest.raises(ImpossibleInput, match=why):
        figure(*arguments)

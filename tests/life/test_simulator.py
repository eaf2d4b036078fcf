"""The simulator against closed forms, energy and hand sums, so that it can be believed when it contradicts."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from shared import SAMPLES, thinned

from life import beam, strikes
from life.door import Door, Guide
from life.job import Job
from life.life import harms
from life.promise import patched
from life.shaft import Drum
from life.sizes import INCH, LBF, size
from life.stack import Chain, Stack

CLEAN = [
    path for path in SAMPLES
    if path.stem.startswith(("tower-", "torsion-")) and path.stem != "tower-without-side-room"
]  # fmt: skip


def spec(name: str) -> dict[str, Any]:
    path = next(path for path in SAMPLES if path.stem == name)
    tree = yaml.load(path.read_text("utf-8"), yaml.CBaseLoader)
    assert isinstance(tree, dict)
    return tree


def door(seed: int, rise: float | None = None, radius: float = 0.38) -> Door:
    chance = random.Random(seed)
    count = chance.randint(2, 7)
    heights = tuple(chance.uniform(0.45, 0.7) for _ in range(count))
    back = math.pi / 2 - (chance.choice((0.0, 0.02, 0.3)) if rise is None else rise)
    guide = Guide((0.0, sum(heights) - 0.15), radius, 0.0, back)
    weights = tuple(chance.uniform(300, 900) for _ in range(count))
    return Door(
        heights, weights, chance.uniform(0.0, 0.08), 0.08, 0.0, ((0.06, 0.08),) * count, guide, guide, sum(heights)
    )


@pytest.mark.parametrize("seed", thinned(range(12), 3))
def test_equilibrium_pulls_what_energy_says(seed: int) -> None:
    made = door(seed)
    step = 1e-6
    work = 0.0
    count = 100
    for number in range(count):
        x = made.open_at * (number + 0.5) / count
        slope = (made.energy(x + step) - made.energy(x - step)) / (2 * step)
        pull = made.forces(x).pull
        assert pull == pytest.approx(slope, rel=1e-4, abs=0.05)
        work += pull * made.open_at / count
    assert work == pytest.approx(made.energy(made.open_at) - made.energy(0.0), rel=1e-3)


def test_pull_at_each_mark_of_a_level_track() -> None:
    made = door(3, rise=0.0, radius=0.25)
    count = len(made.heights)
    for number in range(1, count + 1):
        at = made.mark(number)
        assert at is not None
        h = made.heights[number - 1]
        share = 0.5
        if number == 1:
            share = (h / 2 - made.bottom) / (h - made.bottom)
        elif number == count:
            share = h / 2 / (h - made.top)
        wanted = sum(made.weights[: number - 1]) + (1 - share) * made.weights[number - 1]
        assert made.forces(at).pull == pytest.approx(wanted, rel=1e-6)


def test_a_door_on_a_slope_pulls_along_it() -> None:
    made = door(5, rise=0.5)
    far = made.forces(made.open_at + 3.0)
    assert far.pull == pytest.approx(made.weight * math.sin(0.5), rel=1e-9)
    assert sum(far.normals) == pytest.approx(-made.weight * math.cos(0.5), rel=1e-9)
    vertical = Job(spec("torsion-vertical"))
    assert vertical.forces[20].pull == pytest.approx(vertical.door.weight, rel=1e-9)


def test_a_roller_is_one_chord_from_the_one_below_and_the_last_such_place() -> None:
    lower = Guide((0.0, 2.0), 0.3, 0.0, math.pi / 2)
    upper = Guide((0.15, 2.1), 0.2, 0.4, math.pi / 2)
    for number in range(60):
        point = lower.at(-0.5 + number / 40)
        way = upper.last_at(point, 0.55)
        assert math.dist(upper.at(way), point) == pytest.approx(0.55, abs=1e-12)
        assert all(math.dist(upper.at(way + more / 50), point) > 0.55 for more in range(1, 60))


@pytest.mark.parametrize("seed", thinned(range(12), 3))
def test_the_stack_against_its_law_and_its_energy(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randint(2, 6)
    weights = tuple(chance.uniform(500, 1500) for _ in range(count))
    chains = tuple(
        Chain(chance.uniform(0.1, 0.3), *chance.choice(((None, None), (9000.0, None), (9000.0, 0.1))))
        for _ in range(count - 1)
    )
    stack = Stack(weights, chains)
    sums = [sum(weights[: j + 1]) for j in range(count)]
    steps, top = 1500, 3.0
    work = 0.0
    for number in range(steps):
        rise = top * (number + 0.5) / steps
        hang = stack.hang(rise)
        work += hang.pull * top / steps
        low = sum(c.length(hang.pull - s - 1e-6) for c, s in zip(chains, sums, strict=False) if s < hang.pull - 1e-6)
        high = sum(c.length(hang.pull - s + 1e-6) for c, s in zip(chains, sums, strict=False) if s < hang.pull + 1e-6)
        assert low - 1e-9 <= rise <= high + 1e-9 or hang.pull == pytest.approx(sums[-1]) or hang.pull in sums
        for j, tension in enumerate(hang.tensions):
            assert tension == pytest.approx(max(0.0, hang.pull - sums[j]), abs=1e-6)
    end = stack.hang(top)
    stored = 0.0
    for chain, tension in zip(chains, end.tensions, strict=True):
        if chain.rate:
            stretch = chain.length(tension) - chain.slack
            stored += chain.rate * stretch**2 / 2
    raised = sum(w * u for w, u in zip(weights, end.rises, strict=True))
    rigid = any(chain.rate is None or chain.stop is not None for chain in chains)
    assert work == pytest.approx(raised + stored, rel=0.01) if not rigid else work >= raised + stored - 0.01 * work


def test_drums_take_up_what_they_turn_and_springs_give_what_they_stored() -> None:
    standard = Drum((0.0, 1.0), (0.07, 0.07), False)
    assert standard.taken_up(5.0) == pytest.approx(2 * math.pi * 0.07 * 5)
    taper = Drum((0.0, 2.0), (0.1, 0.06), False)
    assert taper.taken_up(2.0) == pytest.approx(2 * math.pi * 0.08 * 2)
    assert taper.turn_at(taper.taken_up(1.3)) == pytest.approx(1.3, abs=1e-9)
    job = Job(spec("torsion-high-lift"))
    xs, pulls = job.travels, job.pulls
    given = sum((xs[i + 1] - xs[i]) * (pulls[i] + pulls[i + 1]) / 2 for i in range(len(xs) - 1))
    stored = sum(s.rate * 2 * math.pi / 2 * (s.turns**2 - (s.turns - job.phi_open) ** 2) for s in job.springs)
    assert given == pytest.approx(stored, rel=1e-3)


def test_beams_balance_and_match_printed_cases() -> None:
    pins = [0.0, 1.3, 2.1, 4.0]
    loads = [(0.4, 300.0), (1.9, 120.0), (3.3, 500.0), (4.4, 80.0)]
    held = beam.reactions(pins, loads, 50.0, -0.2, 4.6)
    assert sum(held) == pytest.approx(sum(force for _, force in loads) + 50 * 4.8)
    turned = sum(pin * r for pin, r in zip(pins, held, strict=True))
    assert turned == pytest.approx(sum(at * force for at, force in loads) + 50 * 4.8 * 2.2)
    equal = beam.reactions([0.0, 1.0, 2.0, 3.0], [], 10.0, 0.0, 3.0)
    assert equal == pytest.approx([4.0, 11.0, 11.0, 4.0])
    middle = beam.reactions([0.0, 1.0, 2.0], [(0.5, 16.0)], 0.0, 0.0, 2.0)
    assert middle == pytest.approx([6.5, 11.0, -1.5])


def test_a_door_let_go_gains_the_speed_that_its_weight_gives() -> None:
    tree = patched(
        spec("torsion-vertical"),
        {"torsion": {"springs": {"left": {"turns": "7 turns"}, "right": {"turns": "7 turns"}}}},
    )
    job = Job(tree)
    work = sum(
        (-(job.net[i] + job.net[i + 1]) / 2 - job.friction) * (job.travels[i + 1] - job.travels[i])
        for i in range(len(job.net) - 1)
    )
    speed = math.sqrt(2 * work / (job.door.weight / 9.80665))
    found = next(look for look in harms(tree) if look.kind == "falls")
    assert found.margin == pytest.approx(1 - speed / (12 * INCH), abs=0.02)


def test_depth_and_distance_of_outlines() -> None:
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert strikes.depth_in((0.3, 0.5), square) == pytest.approx(0.3)
    assert strikes.away((2.0, 2.0), square) == pytest.approx(math.sqrt(2))
    assert strikes.away((0.3, 0.5), square) == pytest.approx(-0.3)
    tilted = ((0.0, 0.0), (1.0, 1.0), (0.0, 2.0), (-1.0, 1.0))
    assert strikes.overlap(tilted, (-5.0, 5.0, 1.5, 9.0)) == pytest.approx(0.5)
    assert strikes.overlap(tilted, (2.0, 5.0, 0.0, 9.0)) == pytest.approx(-1.0)


def test_a_door_that_stands_square_to_its_guide_is_locked() -> None:
    made = door(4, rise=0.0)
    flat = Guide((0.0, made.guide.end[1] + 0.02), 0.001, 0.0, math.pi / 2)
    locked = replace(made, weights=(400.0,), heights=(flat.end[1] + 0.0002,), bottom=0.0, top=0.0, upper=flat)
    assert locked.forces(0.0).bind < math.radians(2)


def test_quantities() -> None:
    texts = {
        "12'-2 1/2\"": 146.5 * INCH,
        "12 ft 2 in": 146 * INCH,
        "-8 lbf": -8 * LBF,
        "1/4 in/ft": 1 / 48,
        "0.5 m": 0.5,
    }
    for text, wanted in texts.items():
        assert size(text) == pytest.approx(wanted)
    with pytest.raises(ValueError, match="furlong"):
        size("3 furlong")


@pytest.mark.parametrize("path", CLEAN, ids=lambda path: path.stem)
def test_a_clean_sample_has_a_life_without_harm(path: Path) -> None:
    assert not harms(yaml.load(path.read_text("utf-8"), yaml.CBaseLoader))


HURTS: list[tuple[str, str, dict[str, Any]]] = [
    ("falls", "tower-order", {"tower": {"boxes": {"b1": {"plates": "10"}}}}),
    ("runs up", "torsion-order", {"torsion": {"wound": "9 turns", "pre_wind": None}}),
    ("cable slack", "tower-order", {"tower": {"hook_up_height": "69 in"}}),
    ("cable slack", "torsion-order", {"torsion": {"wound": "6 turns", "pre_wind": None}}),
    ("too heavy by hand", "torsion-order", {"torsion": {"wound": "6.6 turns", "pre_wind": None}}),
    ("leaves its guide", "tower-order", {"track": {"horizontal_length": "9'-0\""}}),
    ("door strikes above", "tower-order", {"room": {"headroom": "10 in"}}),
    ("strikes the jamb", "tower-order", {"track": {"jamb_clearance": {"bottom": "2 in"}}}),
    ("door strikes the shaft", "torsion-order", {"torsion": {"shaft": {"height": "126 in"}}}),
    ("door strikes an obstruction", "tower-order", {"room": {"obstructions": {"duct": {"underside": "12'-0\""}}}}),
    ("box strikes the head", "tower-order", {"tower": {"height": "12'-6\""}}),
    ("box overfilled", "tower-order", {"tower": {"boxes": {"b4": {"capacity": "200 lb"}}}}),
    ("box never hangs", "tower-order", {"tower": {"boxes": {"b5": {"chain": {"links": "30"}}}}}),
    ("chain overloaded", "tower-order", {"tower": {"boxes": {"b1": {"chain": {"strength": "3000 lb"}}}}}),
    ("cable overloaded", "tower-order", {"cables": {"near": {"strength": "1000 lb"}}}),
    ("hanger overloaded", "tower-install", {"hangers": {"left-1": {"ceiling_capacity": "50 lb"}}}),
    ("fitting overloaded", "tower-install", {"fittings": {"bumper": {"capacity": "50 lb"}}}),
    ("wind on a roller", "tower-install", {"wind": {"required_pressure": "60 psf"}}),
    ("door strikes the crossing cable", "tower-order", {"tower": {"head_pulley_height": "12'-3\""}}),
    ("tackle overloaded", "tower-install", {"lifting": {"boxes": "empty", "tackle": {"capacity": "500 lb"}}}),
    ("clamps slip", "tower-install", {"lifting": {"clamp_capacity": "60 lb"}}),
    ("spring gives", "torsion-order", {"torsion": {"springs": {"left": {"wire": "0.25 in"}}}}),
    ("spring of the wrong hand", "torsion-order", {"torsion": {"springs": {"left": {"wind": "left"}}}}),
    ("bearing overloaded", "torsion-order", {"torsion": {"bearings": {"left": {"capacity": "100 lb"}}}}),
    ("shaft yields", "torsion-order", {"torsion": {"shaft": {"diameter": "3/8 in"}}}),
    ("coupler slips", "torsion-tube", {"torsion": {"couplers": {"middle": {"torque": "200 lbf in"}}}}),
    ("falls when a spring breaks", "torsion-en", {"torsion": {"devices": {"spring_break": "false"}}}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "base", "patch"), HURTS, ids=[f"{base}: {kind}" for kind, base, _ in HURTS])
def test_what_hurts_is_reported(kind: str, base: str, patch: dict[str, Any]) -> None:
    assert kind in {look.kind for look in harms(patched(spec(base), patch))}

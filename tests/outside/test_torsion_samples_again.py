"""Every torsion sample worked out again from its text alone: pulls, drifts, bearings, shaft, cables, faults.

Nothing of ``doorlint.mechanics`` is used but the place of the rollers; energies are differentiated, drums integrated
and shafts solved by beam elements.
"""

from __future__ import annotations

import math
from typing import Any

import needs
import pytest
from beam_by_elements import supported
from door_energy import energy
from test_shafts_by_finite_elements import Case, by_elements

from doorlint.evaluation import evaluate_spec
from doorlint.mechanics import rolling
from doorlint.mechanics.shaft import Load, Shaft, Step
from doorlint.quantities import read as size
from doorlint.resources import folder
from doorlint.rulebook.library import Library
from doorlint.spec import read

numpy = needs.module("numpy")
integrate = needs.module("scipy.integrate")
optimize = needs.module("scipy.optimize")

INCH, POUND = 0.0254, 4.4482216152605
SAMPLES = ("order", "high-lift", "vertical", "duplex", "tube", "rear", "en")


class Again:
    """The sample as text, and its figures by doorlint."""

    def __init__(self, name: str, library: Library) -> None:
        data = (folder("sample_specs") / f"torsion-{name}.yaml").read_bytes()
        _, spec, self.job = evaluate_spec(read(data), "", library)
        self.tree: dict[str, Any] = spec.tree
        self.torsion: dict[str, Any] = self.tree["torsion"]

    def length(self, text: Any) -> float:
        return float(size(str(text), "length"))

    @property
    def open_travel(self) -> float:
        return float(self.job.cell("door.open_travel"))

    def door(self, x: float) -> float:
        """Pull of the door: the rate of its potential energy, by a central difference."""
        path, shape = self.job.cell("track.path"), self.job.cell("door.shape")
        step = 1e-5
        low, high = max(x - step, 0.0), x + step
        return (energy(path, shape, high) - energy(path, shape, low)) / (high - low)

    def radius(self, turns: float) -> float:
        drum = self.torsion["drum"]
        large = self.length(drum["radius"])
        if drum["profile"] == "standard":
            return large
        small, taper = self.length(drum["small_radius"]), float(size(str(drum["taper_turns"]), "turns"))
        return large + (small - large) * min(turns / taper, 1.0)

    def turned(self, x: float) -> float:
        def over(turns: float) -> float:
            corner = (
                [float(size(str(self.torsion["drum"]["taper_turns"]), "turns"))]
                if "taper_turns" in self.torsion["drum"]
                else []
            )
            points = [corner[0]] if corner and corner[0] < turns else None
            return 2 * math.pi * integrate.quad(self.radius, 0.0, turns, points=points)[0] - x

        return float(optimize.brentq(over, 0.0, 20.0, xtol=1e-12)) if x else 0.0

    def springs(self) -> dict[str, tuple[float, float, dict[str, Any]]]:
        """Rate (N m per turn), turns and text of each spring."""
        found = {}
        for key, spring in self.torsion["springs"].items():
            wire = self.length(spring["wire"])
            if "rate" in spring:
                rate = float(size(str(spring["rate"]), "torque-rate"))
            else:
                mean = self.length(spring["inside_diameter"]) + wire
                rate = 28.5e6 * POUND / INCH**2 * wire**4 / (10.8 * mean * float(spring["coils"]))
            found[key] = rate, float(size(str(self.torsion["wound"]), "turns")), spring
        return found

    def pull(self, x: float) -> float:
        phi = self.turned(x)
        return sum(rate * max(turns - phi, 0.0) for rate, turns, _ in self.springs().values()) / self.radius(phi)


@pytest.fixture(params=SAMPLES)
def sample(request: pytest.FixtureRequest, library: Library) -> Again:
    return Again(request.param, library)


def test_pulls_and_residuals(sample: Again) -> None:
    curve = sample.job.cell("door.curve")
    for travel, door, springs, residual in curve[1:-1:7]:
        assert door == pytest.approx(sample.door(travel), rel=2e-3, abs=1.0)
        assert springs == pytest.approx(sample.pull(travel), rel=1e-7)
        assert residual == pytest.approx(springs - door)
    assert sample.job.cell("torsion.travel_turns") == pytest.approx(sample.turned(sample.open_travel), abs=1e-8)


def test_no_stretch_drifts(sample: Again) -> None:
    """A clean sample stays: friction of 5 % of the weight is nowhere passed on 400 steps."""
    friction = 0.05 * sample.job.cell("door.load")
    steps = [sample.open_travel * step / 400 for step in range(401)]
    path, shape = sample.job.cell("track.path"), sample.job.cell("door.shape")
    worst = max(abs(sample.pull(x) - rolling.pull(path, shape, x)) for x in steps)
    assert worst <= friction
    assert sample.job.cell("balance.drifts") == []
    assert sample.job.cell("torsion.moving_force") == pytest.approx(worst, abs=0.003 * sample.job.cell("door.load"))


def test_shaft_bearings_and_twist(sample: Again) -> None:
    torsion, springs = sample.torsion, sample.springs()
    shaft, drum = torsion["shaft"], torsion["drum"]
    stations = [sample.length(bearing["station"]) for bearing in torsion["bearings"].values()]
    bore = sample.length(shaft["bore"]) if shaft["kind"] == "tube" else 0.0
    line = Shaft(sorted(stations), sample.length(shaft["diameter"]), bore)
    torque = sum(rate * turns for rate, turns, _ in springs.values())
    half = torque / sample.length(drum["radius"]) / 2
    rear = torsion["mount"] == "rear"
    weight = float(size(str(drum["weight"]), "weight"))
    ends = sample.length(drum["left"]), sample.length(drum["right"])
    loads = [Load(at, weight + (0.0 if rear else half), half if rear else 0.0) for at in ends]
    steps = [Step(at, -torque / 2) for at in ends]
    for rate, turns, spring in springs.values():
        outer = torsion["springs"][str(spring["inside"])] if "inside" in spring else spring
        wound = sample.length(outer["wire"]) * (float(outer["coils"]) + float(outer["dead_coils"]) + turns)
        cone = sample.length(outer["anchor"]) + (-wound if outer["side"] == "left" else wound)
        wire, inside = sample.length(spring["wire"]), sample.length(spring["inside_diameter"])
        long = math.pi * (inside + wire) * (float(spring["coils"]) + float(spring["dead_coils"]))
        steel = 0.2836 * POUND / INCH**3 * math.pi / 4 * wire**2 * long
        loads.append(Load(cone, steel / 2))
        steps.append(Step(cone, rate * turns))
    solved = by_elements(Case(line, loads, steps, *ends))
    keys = sorted(torsion["bearings"], key=lambda key: sample.length(torsion["bearings"][key]["station"]))
    for key, (down, front) in zip(keys, solved.bearings, strict=True):
        assert sample.job.at("bearing.down", key) == pytest.approx(down, abs=0.05)
        assert sample.job.at("bearing.front", key) == pytest.approx(front, abs=0.05)
    strength = float(size(str(shaft["yield"]), "stress")) * (0.75 if str(shaft["keyed"]) == "true" else 1.0)
    assert sample.job.cell("shaft.yield_factor") == pytest.approx(strength / solved.worst, rel=1e-4)
    assert sample.job.cell("shaft.twist") == pytest.approx(abs(solved.twist), abs=1e-5)


def test_bearings_in_every_case(sample: Again) -> None:
    """Each bearing by beam elements: closed, open, at sixty places between, and with either cable alone."""
    torsion, cells = sample.torsion, sample.job.cell
    stations = {key: sample.length(bearing["station"]) for key, bearing in torsion["bearings"].items()}
    order = sorted(stations, key=stations.__getitem__)
    places, end = [stations[key] for key in order], max(stations.values())
    drums = [sample.length(torsion["drum"][side]) for side in ("left", "right")]
    weight = float(size(str(torsion["drum"]["weight"]), "weight"))
    cones = [(at, cells("spring.weight")[key] / 2) for key, at in cells("spring.cone_station").items()]
    dead = supported(places, end, [*((at, weight) for at in drums), *cones], cells("shaft.beam").weight)

    def held(left: float, right: float) -> list[float]:
        """By each bearing, with these pulls at the drums."""
        pulled = supported(places, end, list(zip(drums, (left, right), strict=True)))
        rear = torsion["mount"] == "rear"
        return [math.hypot(own, pull) if rear else abs(own + pull) for own, pull in zip(dead, pulled, strict=True)]

    pulls = [sample.pull(float(x)) for x in numpy.linspace(0.0, sample.open_travel, 62)]
    anywhere = [held(pull / 2, pull / 2) for pull in pulls]
    alone = held(max(pulls), 0.0), held(0.0, max(pulls))
    for number, key in enumerate(order):
        found = {case.case: case.force for case in sample.job.at("bearing.cases", key)}
        assert found["closed at rest"] == pytest.approx(anywhere[0][number], abs=0.05)
        assert found["open on the bumpers"] == pytest.approx(anywhere[-1][number], abs=0.05)
        assert found["anywhere in travel"] == pytest.approx(max(one[number] for one in anywhere), rel=2e-3)
        assert found["other cable gone"] == pytest.approx(max(one[number] for one in alone), rel=2e-3)


def test_cables_and_broken_springs(sample: Again) -> None:
    torsion = sample.torsion
    fitting, wraps = 3 * INCH, float(size(str(torsion["drum"]["wraps_closed"]), "turns"))
    around = 2 * math.pi * sample.length(torsion["drum"]["radius"]) * wraps + 12 * INCH
    if torsion["mount"] == "rear":
        pulley = torsion["front_pulley"]
        run = sample.length(pulley["run"]) + sample.length(pulley["height"]) - fitting
        run += math.pi / 2 * sample.length(pulley["diameter"]) / 2
    else:
        run = sample.length(torsion["shaft"]["height"]) - fitting
    for key in sample.tree["cables"]:
        assert sample.job.at("cable.drum_length", key) == pytest.approx(run + around, abs=1e-9)
    springs = sample.springs()
    path, shape = sample.job.cell("track.path"), sample.job.cell("door.shape")
    for gone, (rate, turns, _) in springs.items():
        short = 0.0
        for step in range(201):
            x = sample.open_travel * step / 200
            phi = sample.turned(x)
            left = sample.pull(x) - rate * max(turns - phi, 0.0) / sample.radius(phi)
            short = max(short, rolling.pull(path, shape, x) - left)
        assert sample.job.at("spring.broken_short", gone) == pytest.approx(short, rel=2e-3)

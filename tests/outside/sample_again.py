"""A sample as text, and what is worked out from it with nothing of ``doorlint.mechanics``."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import needs
import pytest
from beam_by_elements import supported
from link_by_link import Case, coordinates, equilibrium, mark, open_travel, pull_by_difference

from doorlint.counterbalance import the_one
from doorlint.evaluation import evaluate_spec
from doorlint.facts import Facts
from doorlint.quantities import read as size
from doorlint.resources import folder
from doorlint.rulebook.library import Library
from doorlint.spec import read

np = needs.module("numpy")

INCH = 0.0254
FINE = 0.002
"""share of the door's weight that small steps and the corners of a law may differ by"""


class Sample:
    """A sample as text, and its load path by doorlint."""

    def __init__(self, name: str, library: Library) -> None:
        data = (folder("sample_specs") / f"{name}.yaml").read_bytes()
        _, spec, job = evaluate_spec(read(data), "", library)
        assert job is not None
        self.tree: dict[str, Any] = spec.tree
        self.job, self.facts = job, Facts(job, "us")
        kind = the_one(job.values)
        assert kind is not None
        self.rows = {
            (row["part"], row["thing"], row["case"]): row["force"] for row in kind.lists["load_path"](self.facts)
        }
        self.faults = kind.lists["faults"](self.facts)

    def of(self, text: Any, dimension: str = "length") -> float:
        return float(size(str(text), dimension))

    @property
    def door(self) -> Case:
        door, track = self.tree["door"], self.tree["track"]
        sections = door["sections"].values()
        opening = min(self.of(height) for height in self.tree["opening"]["height"].values())
        start = opening - 6 * INCH + self.of(track.get("high_lift", "0 in"))
        return Case(
            tuple(self.of(one["height"]) for one in sections),
            tuple(self.of(one["weight"], "weight") for one in sections),
            self.of(door["bottom_roller"]),
            self.of(door["top_roller"]),
            self.of(track["vertical_length"]) if "vertical_length" in track else start,
            self.of(track["radius"]),
            self.of(track["rise"], "slope"),
            opening,
        )

    def fittings(self) -> dict[tuple[str, str], float]:
        """Rollers and hinges anywhere in travel, and wind on the closed door."""
        door = self.door
        travels = [0.0, open_travel(door), *(mark(door, k) for k in range(1, len(door.heights) + 1))]
        stands = [equilibrium(door, travel) for travel in travels if 0.0 <= travel <= travels[1]]
        pressure, width = self.job.cell("wind.demand"), self.of(self.tree["door"]["width"])
        lines = np.zeros(len(door.heights) + 1)
        foot = 0.0
        for k, (height, spacing) in enumerate(zip(door.heights, door.spacings, strict=True)):
            low = foot + (door.bottom_roller if k == 0 else 0.0)
            # moments about the lower roller of what the wind puts on this section
            upper = height * (foot + height / 2 - low) / spacing
            lines[k] += height - upper
            lines[k + 1] += upper
            foot += height
        return {
            ("roller", "anywhere in travel"): max(abs(one) for normals, _, _ in stands for one in normals) / 2,
            ("hinge", "anywhere in travel"): max(one for _, hinges, _ in stands for one in hinges) / 2,
            ("roller", "wind on the closed door"): pressure * width / 2 * lines.max(),
        }

    def hangers(self) -> dict[tuple[str, str, str], float]:
        """Each hanger under the open door, and under its rollers as they roll back along the track."""
        door, track = self.door, self.tree["track"]
        opened, found = open_travel(door), dict[tuple[str, str, str], float]()
        normals, _, _ = equilibrium(door, opened)
        ran = [place - door.arc_end for place in coordinates(door, opened)]
        pressing = [(place, normal / 2) for place, normal in zip(ran, normals, strict=True) if place > 0.0]
        level, end = math.cos(math.atan(door.slope)), self.of(track["horizontal_length"])
        weight = self.of(track["weight"], "weight-per-length") * level
        for side in ("left", "right"):
            stations = {
                key: self.of(one["station"]) for key, one in self.tree["hangers"].items() if one["side"] == side
            }
            order = sorted(stations, key=stations.__getitem__)
            places = (0.0, *(stations[key] for key in order))
            rolled = []
            for way in np.linspace(0.0, max(place for place, _ in pressing), 400, endpoint=False):
                left = [(place - way, load) for place, load in pressing if place > way]
                rolled.append(supported(places, end, left, weight))
            for number, key in enumerate(order, start=1):
                thing = f"/hangers/{key}"
                found["hanger", thing, "open on the bumpers"] = rolled[0][number] * level
                found["hanger", thing, "anywhere in travel"] = max(one[number] for one in rolled) * level
        return found

    def tackle(self, raised: float) -> dict[tuple[str, str, str], float]:
        """The tackle, and what it hangs from: the load, the tackle and the line hauled down."""
        tackle, efficiency = self.tree["lifting"]["tackle"], 0.962  # of roller bearings, published
        advantage = sum(efficiency**part for part in range(1, int(tackle["parts"]) + 1))
        point = raised + self.of(tackle["weight"], "weight") + raised / advantage
        place = "/lifting/tackle", "door on the tackle"
        return {("tackle", *place): raised, ("hoist point", *place): point}

    def check(self, wanted: dict[tuple[str, str, str], float], searched: set[str], rel: float = 1e-6) -> None:
        """``searched``: parts whose force was looked for in steps."""
        assert self.rows.keys() == wanted.keys(), sorted(self.rows.keys() ^ wanted.keys())
        fine = FINE * self.door.weight
        for place, force in wanted.items():
            assert self.rows[place] == pytest.approx(force, rel=rel, abs=fine if place[0] in searched else 0.02), place


def boxes(sample: Sample) -> dict[str, float]:
    plate = sample.of(sample.tree["tower"]["plate"], "weight")
    return {
        key: sample.of(box["tare"], "weight") + plate * float(box["plates"])
        for key, box in sample.tree["tower"]["boxes"].items()
    }


def stack_pull(sample: Sample, weights: list[float], rise: float) -> float:
    """Pull on box 1 when it is ``rise`` over its rest: the least that lifts it so far, found by halving."""
    tower = sample.tree["tower"]
    chains = [box["chain"] for box in tower["boxes"].values() if "chain" in box]

    def lifted(pull: float) -> float:
        height = above = 0.0
        for weight, chain in zip(weights, chains, strict=False):
            above += weight
            if pull <= above:
                break
            stretch, spring = 0.0, chain.get("spring")
            if spring is not None:
                stretch = (pull - above) / sample.of(spring["rate"], "spring-rate")
                if spring["stop"] == "true":
                    stretch = min(stretch, sample.of(spring["stretch_at_stop"]))
            height += float(chain["links"]) * sample.of(chain["pitch"]) + stretch
        return height

    low, high = 0.0, math.fsum(weights)
    if lifted(high) < rise:
        return high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if lifted(middle) < rise else (low, middle)
    return high


def residuals(door: Case, counterbalance: Callable[[float], float]) -> list[tuple[float, float]]:
    """Travel, and what the counterbalance pulls more than the door, in small steps from closed to open."""
    marks = [mark(door, roller) for roller in range(1, len(door.heights) + 1)]
    opened = open_travel(door)
    travels = sorted({*np.linspace(1e-6, opened, 300), *(at for at in marks if 0.0 < at < opened)})
    return [(float(at), counterbalance(float(at)) - pull_by_difference(door, float(at))) for at in travels]


class Springs:
    """The springs of a sample and its drums, the cable taken up added in small steps of the shaft."""

    def __init__(self, sample: Sample) -> None:
        torsion = sample.tree["torsion"]
        drum, self.turns = torsion["drum"], sample.of(torsion["wound"], "turns")
        self.rates = {key: sample.of(one["rate"], "torque-rate") for key, one in torsion["springs"].items()}
        self.phi = np.linspace(0.0, self.turns, 40_001)
        self.radius = np.full(len(self.phi), sample.of(drum["radius"]))
        if drum["profile"] == "high-lift":
            small, taper = sample.of(drum["small_radius"]), sample.of(drum["taper_turns"], "turns")
            self.radius += (small - self.radius[0]) * np.minimum(self.phi / taper, 1.0)
        between = (self.radius[1:] + self.radius[:-1]) / 2
        self.cable = 2 * math.pi * np.concatenate([[0.0], np.cumsum(between * np.diff(self.phi))])

    def pull(self, travel: float, gone: str = "") -> float:
        """Pull of both cables, or what is left of it without a spring."""
        turned, rate = np.interp(travel, self.cable, self.phi), sum(self.rates.values()) - self.rates.get(gone, 0.0)
        return float(rate * (self.turns - turned) / np.interp(travel, self.cable, self.radius))


def let_go(door: Case, left: list[tuple[float, float]]) -> float:
    """Most that moves the door by itself; below the first mark only what lifts it from the floor it stands on."""
    first = mark(door, 1)
    return max(abs(over) if at >= first - 1e-9 else max(over, 0.0) for at, over in left)

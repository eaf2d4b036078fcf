"""Forty random doors of all kinds, each worked out again from its text with nothing of ``doorlint.mechanics``.

Guides are complex functions y + iz of the way along them, made by the angles of their parts; a roller is found by
looking for the last place one chord away; forces come from all equations of equilibrium at once, and the pull of the
door from differences of its energy; supports from the stiffness of the track.
"""

from __future__ import annotations

import cmath
import math
import random
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import needs
import pytest
from beam_by_elements import supported
from shared import thinned

from doorlint.figures.graph import Job
from doorlint.rulebook.library import Library
from doorlint.spec import read

np = needs.module("numpy")
brentq = needs.module("scipy.optimize").brentq

INCH, POUND = 0.0254, 4.4482216152605
KINDS = (
    "standard", "low-headroom", "follow-the-roof", "high", "low-headroom", "follow-the-roof", "vertical", "standard",
)  # fmt: skip
STEP = 0.004
"""Steps in which the last place on an upper guide is looked for (m)."""
SPEC = """
doorlint: 1
stage: install
job: {{number: J-1, site: hall, opening: D-1}}
opening:
  width: {{top: 10 ft, middle: 10 ft, bottom: 10 ft}}
  height: {{left: {opening} in, middle: {opening} in, right: {opening} in}}
  floor_finished: true
  jambs_finished: true
room: {{headroom: 60 in, roof_slope: {rise} in/ft}}
door:
  width: 122 in
  thickness: {thickness} in
  bottom_roller: {bottom} in
  top_roller: {top} in
  top_inward: {inward} in
  stand_off: 0.3 in
  hinges: {{first: 0.5 in, step: {hinge_step} in}}
  sections: {{{sections}}}
track:
  lift: {lift}
  radius: {radius} in
  size: 2 in
  rise: {rise} in/ft
  vertical_length: {vertical} in
  horizontal_length: {length} in
  wall_offset: 3 in
  jamb_clearance: {{bottom: {jamb_bottom} in, top: {jamb_top} in}}
  tapered: true
  weight: 1.9 lb/ft
{upper}
hangers:
  left-1: {{side: left, station: {first} in}}
  left-2: {{side: left, station: {last} in}}
"""  # fmt: skip


class Again:
    """A door as its dice fall: its text, and the places and forces of its own solution (SI)."""

    def __init__(self, seed: int) -> None:
        dice = random.Random(seed)
        self.lift = KINDS[seed % len(KINDS)]
        low = self.lift == "low-headroom"
        number = dice.randint(3, 6)
        self.heights = [dice.choice([18.0, 21.0, 24.0]) for _ in range(number)]
        self.weights = [dice.uniform(60.0, 200.0) for _ in range(number)]
        door, radius = sum(self.heights), dice.choice([12.0, 15.0, 20.0])
        rise = dice.uniform(0.5, 12.0) if self.lift == "follow-the-roof" else dice.choice([0.0, 0.25])
        opening = round(door - dice.uniform(0.0, 1.0), 3)
        start = {"high": opening + 20.0, "vertical": 2 * opening + 20.0, "low-headroom": opening + 2.0 - radius}
        given = {
            "opening": opening, "rise": round(rise, 4), "radius": radius, "lift": self.lift, "thickness": 1.75,
            "bottom": dice.choice([2.0, 3.0]), "top": dice.choice([-2.0, -1.0, 0.0] if low else [2.0, 3.0]),
            "inward": dice.choice([0.0, 0.5, 1.5]) if low else 0.0,
            "hinge_step": 0.25, "vertical": start.get(self.lift, opening - 6.0), "length": door + 30.0,
            "jamb_bottom": 2.3, "jamb_top": round(dice.uniform(3.0, 4.0), 3),
            "first": round(door * 0.4, 2), "last": round(door * dice.uniform(0.7, 0.8), 2),
            "above": dice.uniform(3.0, 5.0), "upper_radius": dice.choice([10.0, 12.0]),
            "turn": dice.choice([50.0, 60.0]), "offset": dice.uniform(-1.0, 1.0),
        }  # fmt: skip
        sections = [
            f"s{place}: {{height: {height} in, weight: {weight:.6f} lb, weight_from: weighed"
            + (f", hinge: {place}}}" if place < number else "}")
            for place, (height, weight) in enumerate(zip(self.heights, self.weights, strict=True), start=1)
        ]
        upper = (
            "  upper: {{above: {above} in, radius: {upper_radius} in, turn: {turn} deg, offset: {offset} in, "
            "weight: 1.5 lb/ft}}"
        )
        filled = given | {"sections": ", ".join(sections), "upper": upper.format(**given) if low else ""}
        self.text = SPEC.format(**filled)
        self.given: dict[str, Any] = given
        self.heights = [height * INCH for height in self.heights]
        self.weights = [weight * POUND for weight in self.weights]
        self.alpha = math.atan(given["rise"] / 12)
        self.back = cmath.exp(1j * self.alpha)
        self.start = math.inf if self.lift == "vertical" else given["vertical"] * INCH
        self.turn_end = self.start + radius * INCH * (math.pi / 2 - self.alpha)
        self.tilt = math.atan2(self.of("inward"), self.heights[-1] - self.of("top"))

    def of(self, name: str) -> float:
        return float(self.given[name]) * INCH

    def main(self, s: float) -> tuple[complex, complex]:
        """A place on the main guide and its direction."""
        if s <= self.start:
            return 1j * s, 1j
        radius = self.of("radius")
        turned = min(s, self.turn_end) - self.start
        way = cmath.exp(1j * (math.pi / 2 - turned / radius))
        place = 1j * self.start + radius + radius * 1j * way  # the center, and square to the way
        return place + max(s - self.turn_end, 0.0) * self.back, way

    def upper(self, s: float) -> tuple[complex, complex]:
        """A place on the upper guide, from the end of its arc on where ``s`` is positive, and its direction."""
        radius, turn = self.of("upper_radius"), math.radians(self.given["turn"])
        line = self.main(self.turn_end)[0] + 1j * self.back * self.of("above")
        wide = radius * (math.cos(math.pi / 2 - self.alpha - turn) - math.cos(math.pi / 2 - self.alpha))
        end = line + self.back * (self.of("offset") + wide - line.real) / self.back.real
        if s >= 0.0:
            return end + s * self.back, self.back
        back = max(s, -radius * turn)
        way = self.back * cmath.exp(-1j * back / radius)
        place = end + radius * 1j * (way - self.back)
        return place + (s - back) * way, way

    def rollers(self, travel: float) -> list[tuple[complex, complex]]:
        """Every roller's place and the direction of its guide there."""
        ways, chords = [self.of("bottom") + travel], list(self.heights)
        chords[0] -= self.of("bottom")
        chords[-1] = abs(complex(chords[-1] - self.of("top"), self.of("inward")))
        own = self.lift == "low-headroom"
        for chord in chords[:-1] if own else chords:
            here = self.main(ways[-1])[0]
            ways.append(_root(lambda s, c=chord, h=here: abs(self.main(s)[0] - h) - c, ways[-1], ways[-1] + 3 * chord))
        found = [self.main(s) for s in ways]
        self.ways = ways
        if own:
            here, chord = found[-1][0], chords[-1]
            grid = np.arange(8.0, -1.5, -STEP)
            miss = [abs(self.upper(s)[0] - here) - chord for s in grid]
            last = next(i for i in range(len(grid) - 1) if miss[i] * miss[i + 1] <= 0.0)
            self.top_way = _root(lambda s: abs(self.upper(s)[0] - here) - chord, grid[last + 1], grid[last])
            found.append(self.upper(self.top_way))
        return found

    def lines(self, at: list[tuple[complex, complex]]) -> list[complex]:
        """The direction of every section, upward."""
        ways = [(high - low) / abs(high - low) for (low, _), (high, _) in pairwise(at)]
        ways[-1] *= cmath.exp(1j * self.tilt)
        return ways

    def middles(self, at: list[tuple[complex, complex]]) -> list[complex]:
        mids = [height / 2 for height in self.heights]
        mids[0] -= self.of("bottom")
        return [low + mid * way for (low, _), mid, way in zip(at, mids, self.lines(at), strict=False)]

    def energy(self, travel: float) -> float:
        middles = self.middles(self.rollers(travel))
        return math.fsum(weight * place.imag for weight, place in zip(self.weights, middles, strict=True))

    def edge(self, travel: float) -> float:
        at = self.rollers(travel)
        return (at[0][0] - self.of("bottom") * self.lines(at)[0]).imag

    def open_travel(self) -> float:
        return _root(lambda x: self.edge(x) - self.of("opening"), 0.2, 1.5 * self.of("opening"))

    def pull(self, travel: float) -> float:
        step = 1e-6
        return (self.energy(travel + step) - self.energy(travel - step)) / (2 * step)

    def normals(self, travel: float) -> list[float]:
        """What each roller presses on its guide with, square to it: three equations for each section, all at once."""
        at, count = self.rollers(travel), len(self.heights)
        matrix, right = np.zeros((3 * count, 3 * count)), np.zeros(3 * count)

        def act(section: int, unknown: int, force: complex, where: complex) -> None:
            arm = where - at[section][0]
            matrix[3 * section : 3 * section + 3, unknown] += [force.real, force.imag, (arm.conjugate() * force).imag]

        for k, middle in enumerate(self.middles(at)):
            right[3 * k + 1] = self.weights[k]
            right[3 * k + 2] = (middle - at[k][0]).real * self.weights[k]
            act(k, k + 1, 1j * at[k + 1][1], at[k + 1][0])
            if k + 1 < count:
                for section, sign in ((k, 1.0), (k + 1, -1.0)):
                    act(section, count + 1 + 2 * k, complex(sign), at[k + 1][0])
                    act(section, count + 2 + 2 * k, complex(0.0, sign), at[k + 1][0])
        act(0, 0, 1j * at[0][1], at[0][0])
        act(0, 3 * count - 1, at[0][1], at[0][0])
        return [float(force) for force in np.linalg.solve(matrix, right)[: count + 1]]

    def overhead(self) -> tuple[float, float, float]:
        """What each hanger carries straight down, and the greater moment of a guide at the last one, door open."""
        opened = self.open_travel()
        half = [normal / 2 for normal in self.normals(opened)]
        lying = [(s - self.turn_end, load) for s, load in zip(self.ways, half, strict=False) if s > self.turn_end]
        guides = [(lying, 1.9 * POUND / (12 * INCH))]
        if self.lift == "low-headroom":
            top = self.upper(self.top_way)[0] - self.main(self.turn_end)[0]
            on = [((top / self.back).real, half[-1])] if self.top_way > 0.0 else []
            guides.append((on, 1.5 * POUND / (12 * INCH)))
        places, end = (0.0, self.of("first"), self.of("last")), self.of("length")
        carried, moments = np.zeros(3), []
        for loads, weight in guides:
            square = weight * math.cos(self.alpha)
            carried += supported(places, end, loads, square)
            beyond = math.fsum(load * (place - places[-1]) for place, load in loads if place > places[-1])
            moments.append(beyond + square * (end - places[-1]) ** 2 / 2)
        down = carried * math.cos(self.alpha)
        return float(down[1]), float(down[2]), max(moments)

    def gaps(self) -> list[float]:
        """The gap at every roller but that of a top bracket set on site."""
        at, top = self.rollers(0.0), self.given["vertical"] * INCH
        if self.lift == "low-headroom":  # abreast of the top roller, on the section's own line
            reach = (self.heights[-1] - self.of("top")) * self.lines(at)[-1]
            at[-1] = (at[-2][0] + reach, at[-1][1])
        offs = [0.3 * INCH, *((0.5 + 0.25 * place) * INCH for place in range(len(self.heights) - 1))]
        offs += offs[-1:] if self.lift == "low-headroom" else []
        found = []
        for (place, _), off in zip(at, offs, strict=False):
            share = min(place.imag, top) / top
            jamb = self.of("jamb_bottom") + share * (self.of("jamb_top") - self.of("jamb_bottom"))
            found.append(jamb + place.real - off - self.of("thickness"))
        return found

    def swept(self, opened: float) -> tuple[float, float]:
        """The highest corner over the header, and the least bind angle (rad), at so many steps of the travel."""
        offs = [0.3, *(0.5 + 0.25 * place for place in range(len(self.heights) - 1))]
        outer = [max(pair) * INCH + self.of("thickness") for pair in zip(offs, [*offs[1:], offs[-1]], strict=True)]
        best, bind = -math.inf, (math.inf, 0.0)
        for travel in np.linspace(0.0, opened, 161):
            at = self.rollers(travel)
            bind = min(bind, (self.bind(at), travel))
            for k, way in enumerate(self.lines(at)):
                foot = at[k][0] - (self.of("bottom") * way if k == 0 else 0.0)
                for along in (0.0, self.heights[k]):
                    for out in (outer[k], outer[k] - self.of("thickness")):
                        best = max(best, (foot + along * way + 1j * way * out).imag)
        step = opened / 160
        finer = np.linspace(max(bind[1] - step, 0.0), min(bind[1] + step, opened), 81)
        return best - self.of("opening"), min(self.bind(self.rollers(travel)) for travel in finer)

    def bind(self, at: list[tuple[complex, complex]]) -> float:
        """The least angle between a section and the square to the guide of its upper roller (rad)."""
        return min(math.pi / 2 - abs(cmath.phase((high - low) / way)) for (low, _), (high, way) in pairwise(at))


def _root(miss: Callable[[float], float], low: float, high: float) -> float:
    return float(brentq(miss, low, high, xtol=1e-14, rtol=1e-14))


def worked_out(seed: int, library: Library) -> tuple[Again, Job]:
    again = Again(seed)
    spec = read(again.text)
    assert not spec.problems, spec.problems[0]
    return again, library.job(spec.values, spec.keys)


def differences(again: Again, job: Job, every: bool) -> Iterator[tuple[str, float, float]]:
    """Name, size of the difference and what it may be: lengths in m, forces as a share of the door's weight."""
    whole, opened = math.fsum(again.weights), again.open_travel()
    yield "open travel", job.at("door.open_travel") - opened, 1e-9
    yield "pull of the open door", (job.at("door.pull_open") - again.pull(opened)) / whole, 1e-7
    yield "height of the top roller", job.at("door.top_roller_open") - again.rollers(opened)[-1][0].imag, 1e-9
    for gap, width in zip(job.at("jamb.gaps"), again.gaps(), strict=True):
        yield "closed gap", gap.width - width, 1e-9
    if again.lift != "vertical":
        first, last, moment = again.overhead()
        yield "first hanger", (job.at("hanger.load", "left-1") - first) / whole, 1e-9
        yield "last hanger", (job.at("hanger.load", "left-2") - last) / whole, 1e-9
        along = last * math.tan(again.alpha)
        yield "along the last hanger", (job.at("hanger.along", "left-2") - along) / whole, 1e-9
        yield "overhang", (job.at("overhead.overhang_moment") - moment) / whole, 1e-9
    if every:
        height, bind = again.swept(opened)
        yield "swept height", job.at("sweep.height") - height, 5e-4
        if again.lift != "vertical":
            yield "bind angle", job.at("guide.bind_angle") - bind, 2e-3


@pytest.mark.parametrize("seed", thinned(range(40), 6))
def test_a_door_worked_out_again(seed: int, library: Library) -> None:
    again, job = worked_out(seed, library)
    for name, difference, most in differences(again, job, every=seed % 20 == 4):
        assert abs(difference) <= most, name

"""A second solution of the door on its track, built from first principles with numpy and scipy.

It shares no code and no formula with ``doorlint.mechanics``: the path is a complex number y + iz made by
summing headings, a chord is found by root search, the pull comes once from differences of the potential
energy and once from the equilibrium of every single section, and the sweep from polygons at thousands
of positions.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

import needs

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from scipy.optimize import brentq

    Floats = NDArray[np.float64]
    Complexes = NDArray[np.complex128]
else:
    np = needs.module("numpy")
    brentq = needs.module("scipy.optimize").brentq


@dataclass(frozen=True)
class Case:
    """A door, its track and its opening in SI; ``radius`` None is vertical lift."""

    heights: tuple[float, ...]
    weights: tuple[float, ...]
    bottom_roller: float
    top_roller: float
    tangent: float
    radius: float | None
    slope: float
    opening: float

    @property
    def spacings(self) -> list[float]:
        joints = list(accumulate(self.heights))
        rollers = [self.bottom_roller, *joints[:-1], joints[-1] - self.top_roller]
        return [high - low for low, high in pairwise(rollers)]

    @property
    def weight(self) -> float:
        return math.fsum(self.weights)

    @property
    def arc_end(self) -> float:
        assert self.radius is not None
        return self.tangent + self.radius * (math.pi / 2 - math.atan(self.slope))


def at(case: Case, s: float) -> complex:
    """The path as y + iz."""
    if case.radius is None or s <= case.tangent:
        return 1j * s
    turned = min(s, case.arc_end) - case.tangent
    place = 1j * case.tangent + case.radius * (1 - cmath.exp(-1j * turned / case.radius))
    return place + max(s - case.arc_end, 0.0) * cmath.exp(1j * math.atan(case.slope))


def heading(case: Case, s: float) -> complex:
    if case.radius is None or s <= case.tangent:
        return 1j
    return 1j * cmath.exp(-1j * (min(s, case.arc_end) - case.tangent) / case.radius)


def coordinates(case: Case, travel: float) -> list[float]:
    """Path coordinates of all rollers by root search."""
    found = [case.bottom_roller + travel]
    for spacing in case.spacings:
        low = found[-1]

        def miss(s: float, low: float = low, spacing: float = spacing) -> float:
            return abs(at(case, s) - at(case, low)) - spacing

        found.append(float(brentq(miss, low, low + 3 * spacing, xtol=1e-15, rtol=1e-15)))
    return found


def energy(case: Case, travel: float) -> float:
    """Sum of weight times height of each section's middle."""
    places = [at(case, s) for s in coordinates(case, travel)]
    total = []
    floor = 0.0
    for k, (height, weight) in enumerate(zip(case.heights, case.weights, strict=True)):
        along = (places[k + 1] - places[k]) / abs(places[k + 1] - places[k])
        lower = floor + (case.bottom_roller if k == 0 else 0.0)
        middle = places[k] + (floor + height / 2 - lower) * along
        total.append(weight * middle.imag)
        floor += height
    return math.fsum(total)


def pull_by_difference(case: Case, travel: float, step: float = 2e-7) -> float:
    return (energy(case, travel + step) - energy(case, travel - step)) / (2 * step)


def pull_by_equilibrium(case: Case, travel: float) -> float:
    """What holds the door along the track at its bottom roller."""
    return equilibrium(case, travel)[2]


def equilibrium(case: Case, travel: float) -> tuple[list[float], list[float], float]:
    """Forces and moments on every section: roller normals, hinge forces and the cable are the unknowns."""
    sections = len(case.heights)
    s = coordinates(case, travel)
    places = [at(case, each) for each in s]
    size = 3 * sections
    normal, hinge_y, hinge_z, cable = 0, sections + 1, 2 * sections, size - 1
    matrix, right = np.zeros((size, size)), np.zeros(size)

    def act(section: int, unknown: int, force: complex, where: complex) -> None:
        row = 3 * section
        arm = where - places[section]
        matrix[row, unknown] += force.real
        matrix[row + 1, unknown] += force.imag
        matrix[row + 2, unknown] += arm.real * force.imag - arm.imag * force.real

    for k in range(sections):
        along = (places[k + 1] - places[k]) / abs(places[k + 1] - places[k])
        middle = (case.heights[k] / 2 - (case.bottom_roller if k == 0 else 0.0)) * along
        right[3 * k + 1] = case.weights[k]
        right[3 * k + 2] = middle.real * case.weights[k]
        act(k, normal + k + 1, 1j * heading(case, s[k + 1]), places[k + 1])
        if k + 1 < sections:
            for lower_or_upper, sign in ((k, 1.0), (k + 1, -1.0)):
                act(lower_or_upper, hinge_y + k, complex(sign, 0.0), places[k + 1])
                act(lower_or_upper, hinge_z + k, complex(0.0, sign), places[k + 1])
    act(0, normal, 1j * heading(case, s[0]), places[0])
    act(0, cable, heading(case, s[0]), places[0])
    solved = np.linalg.solve(matrix, right)
    hinges = [math.hypot(solved[hinge_y + k], solved[hinge_z + k]) for k in range(sections - 1)]
    return [float(one) for one in solved[normal:hinge_y]], hinges, float(solved[cable])


def bottom_edge(case: Case, travel: float) -> float:
    low, high = (at(case, s) for s in coordinates(case, travel)[:2])
    return (low - case.bottom_roller * (high - low) / abs(high - low)).imag


def open_travel(case: Case) -> float:
    return float(brentq(lambda x: bottom_edge(case, x) - case.opening, 0.0, 2 * case.opening, xtol=1e-14))


def mark(case: Case, roller: int) -> float:
    """Travel with a roller at the end of the arc; wherever that is, also below closed."""
    reach = case.arc_end + 1.0
    return float(brentq(lambda x: coordinates(case, x)[roller] - case.arc_end, -reach, reach, xtol=1e-14))


def along_path(case: Case, s: Floats) -> Complexes:
    """The path for many coordinates at once."""
    if case.radius is None:
        return 1j * s
    arc_end = case.arc_end
    turned = np.clip(s, case.tangent, arc_end) - case.tangent
    place = 1j * np.minimum(s, case.tangent) + case.radius * (1 - np.exp(-1j * turned / case.radius))
    return place + np.maximum(s - arc_end, 0.0) * np.exp(1j * np.arctan(case.slope))


def all_places(case: Case, travels: Floats) -> list[Complexes]:
    """Rollers at many travels, each chord by halving its bracket."""
    s = case.bottom_roller + travels
    places = [along_path(case, s)]
    for spacing in case.spacings:
        low, high = s, s + 3 * spacing
        for _ in range(48):
            middle = (low + high) / 2
            short = np.abs(along_path(case, middle) - places[-1]) < spacing
            low, high = np.where(short, middle, low), np.where(short, high, middle)
        s = (low + high) / 2
        places.append(along_path(case, s))
    return places


def all_outlines(case: Case, stand_offs: tuple[float, ...], thickness: float, travels: Floats) -> list[list[Complexes]]:
    """Corners of every section at many travels: bottom indoor, bottom outdoor, top outdoor, top indoor."""
    places = all_places(case, travels)
    drawn = []
    last = len(case.heights) - 1
    for k, (low, high) in enumerate(pairwise(places)):
        along = (high - low) / np.abs(high - low)
        outward = 1j * along
        bottom = low - (case.bottom_roller if k == 0 else 0.0) * along
        top = high + (case.top_roller if k == last else 0.0) * along
        inner, outer = stand_offs[k] * outward, (stand_offs[k] + thickness) * outward
        drawn.append([bottom + inner, bottom + outer, top + outer, top + inner])
    return drawn


def highest_between(drawn: list[list[Complexes]], first: float, last: float) -> float:
    """Greatest z of any section's outline with y from ``first`` to ``last``, over all positions drawn."""
    best = -math.inf
    for corners in drawn:
        for one, other in zip(corners, corners[1:] + corners[:1], strict=True):
            left = np.where(one.real <= other.real, one, other)
            right = np.where(one.real <= other.real, other, one)
            run = right.real - left.real
            meets = (right.real >= first) & (left.real <= last)
            with np.errstate(divide="ignore", invalid="ignore"):
                rise = np.where(run > 0.0, (right.imag - left.imag) / run, 0.0)
            from_left = left.imag + rise * np.maximum(first - left.real, 0.0)
            from_right = right.imag - rise * np.maximum(right.real - last, 0.0)
            heights = np.where(meets, np.maximum(from_left, from_right), -np.inf)
            best = max(best, float(heights.max()))
    return best

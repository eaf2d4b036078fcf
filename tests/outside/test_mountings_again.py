"""Sixty random mountings worked out a second time: statics by least squares, strengths by formulas written out anew.

What is shared with the code under test is its input alone.
"""

from __future__ import annotations

import random
from math import hypot, pi, sqrt

import pytest
from needs import module

from doorlint.mechanics.connections.fastener import Backing, Claim, Fastener
from doorlint.mechanics.connections.group import Force
from doorlint.mechanics.connections.mounting import Load, worst

numpy = module("numpy")
INCH, POUND = 0.0254, 4.4482216152605
PSI = POUND / INCH**2
KINDS = ("lag", "screw", "bolt", "cast-in", "anchor")


def carried(points: list[tuple[float, float]], forces: list[Force]) -> list[tuple[float, float, float]]:
    """Across u, across v and out, of each fastener: the smallest shears and a plane of pulls that balance the loads."""
    u0, v0 = (sum(place[axis] for place in points) / len(points) for axis in (0, 1))
    places = [(u - u0, v - v0) for u, v in points]
    total, moment = numpy.zeros(3), numpy.zeros(3)
    for force, at, couple in forces:
        total += force
        moment += numpy.cross(at, force) + numpy.array(couple)
    rows = numpy.zeros((3, 2 * len(places)))
    for place, (u, v) in enumerate(places):
        rows[0, 2 * place] = rows[1, 2 * place + 1] = 1.0
        rows[2, 2 * place], rows[2, 2 * place + 1] = -v, u
    shear = numpy.linalg.lstsq(rows, numpy.array([total[0], total[1], moment[2]]), rcond=None)[0]
    plane = numpy.array([[1.0, u, v] for u, v in places])
    balance = numpy.array([plane.sum(0), plane.T[2] @ plane, -(plane.T[1] @ plane)])
    level = numpy.linalg.solve(balance, numpy.array([total[2], moment[0], moment[1]]))
    pulls = plane @ level
    return [(shear[2 * n], shear[2 * n + 1], max(pulls[n], 0.0)) for n in range(len(places))]


def lag_use(one: Fastener, wood: Backing, shear: float, pull: float, factor: float) -> float:
    """NDS 12.2.1 and the least yield mode square to the grain, by the printed k1, k2 and k3 forms."""
    size, gravity = round(one.diameter / INCH, 6), wood.gravity
    bite = min(one.thread_length, wood.thickness) / INCH
    root = {0.25: 0.173, 0.3125: 0.227, 0.375: 0.265, 0.5: 0.371}[size]
    out = 1800 * gravity**1.5 * size**0.75 * bite * factor * (0.7 if one.wet else 1.0)
    fy = 70e3 if size <= 0.25 else 60e3 if size <= 0.3125 else 45e3
    plate = one.plate / INCH
    fes = 1.5 * 58e3 if plate >= 0.25 else 1.375 * 45e3
    fem, lm, d = 6100 * gravity**1.45 / sqrt(size), 8 * size, root
    re, rt = fem / fes, lm / plate
    k1 = (sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * fy * (1 + 2 * re) * d**2 / (3 * fem * lm**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * fy * (2 + re) * d**2 / (3 * fem * plate**2))
    modes = [
        (d * lm * fem, 4.0), (d * plate * fes, 4.0), (k1 * d * plate * fes, 3.6),
        (k2 * d * lm * fem / (1 + 2 * re), 3.2),
        (k3 * d * plate * fem / (2 + re), 3.2), (d**2 * sqrt(2 * fem * fy / (3 * (1 + re))), 3.2),
    ]  # fmt: skip
    thin = max(2.2, 10 * d + 0.5)
    lateral = min(load / ((thin if d < 0.25 else term) * 1.25) for load, term in modes)
    lateral *= factor * min(1.0, bite / (8 * size)) * (0.7 if one.wet else 1.0)
    if bite < 4 * size:
        lateral = 0.0
    v, p = shear / POUND, pull / POUND
    across = v / lateral if lateral else (float("inf") if v else 0.0)
    both = (v * across + p * p / out) / hypot(v, p)
    return max(both, across, p / out, p / (pi * d**2 / 4 * 30e3))


def screw_use(one: Fastener, sheet: Backing, shear: float, pull: float) -> float:
    size = 0.060 + 0.013 * one.number
    own_v, own_p = {8: (1278, 586), 10: (1644, 1158), 12: (2330, 2325)}[one.number]
    t1, t2, f1, f2 = one.plate / INCH, sheet.thickness / INCH, 45e3, sheet.tensile_strength / PSI
    bearing = min(2.7 * t1 * size * f1, 2.7 * t2 * size * f2)
    tilting = min(4.2 * sqrt(t2**3 * size) * f2, bearing)
    part = min(max((t2 / t1 - 1) / 1.5, 0), 1)
    v = min(tilting + part * (bearing - tilting), own_v) / 3
    p = min(0.85 * t2 * size * f2, 1.5 * t1 * min(one.washer / INCH, 0.5) * f1, own_p) / 3
    return shear / POUND / v + pull / POUND / p


def bolt_use(one: Fastener, steel: Backing, shear: float, pull: float) -> float:
    size, t = one.diameter / INCH, steel.thickness / INCH
    area, clear = pi * size**2 / 4, one.edge / INCH - (size + 1 / 16) / 2
    v, p = shear / POUND, pull / POUND
    nominal = min(1.3 * 45e3 - 2 * 45 / 27 * v / area, 45e3)
    bearing = min(1.2 * clear * t * 45e3, 2.4 * size * t * 45e3) / 2
    tension = p / (area * nominal / 2) if nominal > 0 else float("inf")
    return max(v / (area * 27e3 / 2), tension if p else 0.0, v / bearing)


def cast_use(one: Fastener, block: Backing, shear: float, pull: float) -> float:
    """Neighbors out of reach: each cone is whole."""
    reach, edge, fm = min(one.embedment, one.edge) / INCH, one.edge / INCH, block.masonry_strength / PSI
    area = pi * (one.diameter / INCH) ** 2 / 4
    out = min(1.25 * pi * reach**2 * sqrt(fm), 0.6 * area * 36e3)
    across = min(
        1.25 * pi * edge**2 / 2 * sqrt(fm),
        350 * (fm * area) ** 0.25,
        2.5 * pi * reach**2 * sqrt(fm),
        0.36 * area * 36e3,
    )
    return shear / POUND / across + pull / POUND / out


def made(kind: str, dice: random.Random) -> tuple[Fastener, Backing, Claim]:
    if kind == "lag":
        one = Fastener(
            "lag", dice.choice([0.25, 0.3125, 0.375, 0.5]) * INCH, thread_length=dice.uniform(0.8, 4) * INCH,
            grain="side", wet=dice.random() < 0.3, plate=dice.choice([0.075, 0.125, 0.25]) * INCH,
        )  # fmt: skip
        return one, Backing("wood", dice.choice([1.5, 3.0, 5.5]) * INCH, gravity=dice.uniform(0.31, 0.73)), Claim()
    if kind == "screw":
        one = Fastener(
            "screw", number=dice.choice([8, 10, 12]), plate=dice.uniform(0.05, 0.13) * INCH, washer=0.4 * INCH
        )
        sheet = Backing(
            "light-steel", dice.uniform(0.03, 0.12) * INCH, tensile_strength=dice.choice([45e3, 65e3]) * PSI
        )
        return one, sheet, Claim()
    if kind == "bolt":
        one = Fastener("bolt", dice.choice([0.25, 0.375, 0.5]) * INCH, edge=dice.uniform(0.6, 2) * INCH)
        return one, Backing("steel", dice.uniform(0.1875, 0.5) * INCH), Claim()
    if kind == "cast-in":
        one = Fastener("cast-in", 0.5 * INCH, edge=dice.uniform(3, 12) * INCH, embedment=dice.uniform(2, 2.9) * INCH)
        block = Backing("grouted-block", masonry_strength=dice.uniform(1500, 3000) * PSI, grout_seen=True)
        return one, block, Claim()
    return Fastener("anchor", 0.5 * INCH), Backing("concrete"), Claim(900 * POUND, 1200 * POUND, True)


@pytest.mark.parametrize("seed", range(60))
def test_a_mounting_is_used_as_the_second_calculation_says(seed: int) -> None:
    dice = random.Random(seed)
    kind = KINDS[seed % len(KINDS)]
    one, base, claim = made(kind, dice)
    wide, high = dice.uniform(6, 9) * INCH, dice.uniform(6, 12) * INCH
    points = [(0.0, 0.0), (wide, 0.0), (0.0, high), (wide, high), (wide / 2, high + 7 * INCH)][: dice.choice([4, 5])]
    loads = [
        Load(
            Force(
                (dice.gauss(0, 120), dice.gauss(-200, 120), dice.uniform(0, 200)),
                (dice.gauss(0, 0.05), dice.gauss(0, 0.05), dice.uniform(0.02, 0.3)),
                (dice.uniform(0, 30), 0.0, 0.0),
            ),
            factor,
        )
        for factor in dice.sample([0.9, 1.0, 1.25, 1.6], dice.randint(1, 3))
    ]
    expected = 0.0
    for factor in {load.duration for load in loads}:
        together = [load.force for load in loads if load.duration <= factor]
        for along_u, along_v, pull in carried(points, together):
            shear = hypot(along_u, along_v)
            match kind:
                case "lag":
                    use = lag_use(one, base, shear, pull, factor)
                case "screw":
                    use = screw_use(one, base, shear, pull)
                case "bolt":
                    use = bolt_use(one, base, shear, pull)
                case "cast-in":
                    use = cast_use(one, base, shear, pull)
                case _:
                    use = shear / (1200 * POUND) + pull / (900 * POUND)
            expected = max(expected, use)
    assert worst(one, base, claim, points, loads, None).use == pytest.approx(expected, rel=1e-6)

"""The section of a rolled angle, taken as two rectangles without fillets.

Source: derived; second moments of area of two rectangles, bending without symmetry.
"""

from __future__ import annotations

from functools import lru_cache
from math import hypot, sqrt

from doorlint.named_tuple import NamedTuple


class Angle(NamedTuple):
    """``area`` (m2), ``centre`` of gravity from the heel (m: along leg b, along leg a), ``second`` moments of area
    through it (m4: about the axis along leg b, about the axis along leg a, their product), ``least_second`` moment
    about the weakest axis (m4), ``least_radius`` of gyration (m), and ``bending_modulus`` (m3): that of a free angle
    bent by a pull beside its centre along the worse of its legs. Nothing keeps such an angle from swinging out
    sideways, so it bends about an oblique axis, and its most strained corner is strained more than by bending about
    the axis of a leg."""

    area: float
    centre: tuple[float, float]
    second: tuple[float, float, float]
    least_second: float
    least_radius: float
    bending_modulus: float


@lru_cache(maxsize=256)
def angle(a: float, b: float, thickness: float) -> Angle:
    """The section of an angle with legs ``a`` and ``b`` of one ``thickness`` (m).

    Raises ValueError for a leg no longer than the thickness.

    >>> section = angle(2.0, 2.0, 0.125)
    >>> round(section.area, 3), round(section.second[0], 3), round(section.least_radius, 3)
    (0.484, 0.19, 0.398)
    >>> of_the_leg = section.second[0] / (2.0 - section.centre[1])
    >>> round(of_the_leg, 3), round(section.bending_modulus / of_the_leg, 2)
    (0.131, 0.78)
    """
    t = thickness
    if min(a, b) <= t or t <= 0.0:
        raise ValueError(f"legs of {a} and {b} m, {t} m thick; each leg must be longer than it is thick")
    # the heel lies at the origin, leg a along y, leg b along x: width, height and centre of each rectangle
    rectangles = ((t, a, t / 2, a / 2), (b - t, t, (b + t) / 2, t / 2))
    area = sum(w * h for w, h, _, _ in rectangles)
    x0 = sum(w * h * x for w, h, x, _ in rectangles) / area
    y0 = sum(w * h * y for w, h, _, y in rectangles) / area
    along_b = sum(w * h * (h * h / 12 + (y - y0) ** 2) for w, h, _, y in rectangles)
    along_a = sum(w * h * (w * w / 12 + (x - x0) ** 2) for w, h, x, _ in rectangles)
    product = sum(w * h * (x - x0) * (y - y0) for w, h, x, y in rectangles)
    corners = [(x - x0, y - y0) for x, y in ((0.0, 0.0), (0.0, a), (t, a), (b, 0.0), (b, t))]
    strain = max(max(abs(along_b * x - product * y), abs(along_a * y - product * x)) for x, y in corners)
    least = (along_a + along_b) / 2 - hypot((along_a - along_b) / 2, product)
    return Angle(
        area,
        (x0, y0),
        (along_b, along_a, product),
        least,
        sqrt(least / area),
        (along_a * along_b - product * product) / strain,
    )

"""The section of a rolled angle, taken as two rectangles without fillets.

The heel lies at the origin, leg a runs along the second axis and leg b along the first.

Source: derived; second moments of area of two rectangles, bending without symmetry.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import hypot, sqrt


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle with legs ``a`` and ``b`` of one ``thickness`` (m).

    ``area`` (m2); ``centre`` of gravity from the heel (m); ``second`` moments of area through it (m4):
    about the axis along leg b, about the axis along leg a, and their product.

    Raises ValueError for a leg no longer than the thickness.

    >>> angle = Angle(2.0, 2.0, 0.125)
    >>> round(angle.area, 3), round(angle.second[0], 3)
    (0.484, 0.19)
    """

    a: float
    b: float
    thickness: float
    area: float = field(init=False, repr=False, compare=False)
    centre: tuple[float, float] = field(init=False, repr=False, compare=False)
    second: tuple[float, float, float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        a, b, t = self.a, self.b, self.thickness
        if min(a, b) <= t or t <= 0.0:
            raise ValueError(f"legs of {a} and {b} m, {t} m thick; each leg must be longer than it is thick")
        # width, height and centre of the drilled leg and of what is left of the other
        rectangles = ((t, a, t / 2, a / 2), (b - t, t, (b + t) / 2, t / 2))
        area = sum(w * h for w, h, _, _ in rectangles)
        x = sum(w * h * cx for w, h, cx, _ in rectangles) / area
        y = sum(w * h * cy for w, h, _, cy in rectangles) / area
        along_b = sum(w * h * (h * h / 12 + (cy - y) ** 2) for w, h, _, cy in rectangles)
        along_a = sum(w * h * (w * w / 12 + (cx - x) ** 2) for w, h, cx, _ in rectangles)
        product = sum(w * h * (cx - x) * (cy - y) for w, h, cx, cy in rectangles)
        object.__setattr__(self, "area", area)
        object.__setattr__(self, "centre", (x, y))
        object.__setattr__(self, "second", (along_b, along_a, product))


def bending_modulus(angle: Angle) -> float:
    """Section modulus (m3) of a free angle bent by a pull beside its centre along the worse of its legs.

    Nothing keeps the angle from swinging out sideways, so it bends about an oblique axis, and its most
    strained corner is strained more than by bending about the axis of a leg.

    >>> angle = Angle(2.0, 2.0, 0.125)
    >>> round(bending_modulus(angle) / (angle.second[0] / (angle.a - angle.centre[1])), 2)
    0.78
    """
    along_b, along_a, product = angle.second
    a, b, t = angle.a, angle.b, angle.thickness
    x0, y0 = angle.centre
    corners = [(x - x0, y - y0) for x, y in ((0.0, 0.0), (0.0, a), (t, a), (b, 0.0), (b, t))]
    strain = max(max(abs(along_b * x - product * y), abs(along_a * y - product * x)) for x, y in corners)
    return (along_a * along_b - product * product) / strain


def least_second_moment(angle: Angle) -> float:
    """Second moment of area (m4) about the weakest axis through the centre of gravity.

    >>> round(least_second_moment(Angle(2.0, 2.0, 0.125)), 4)
    0.0766
    """
    along_b, along_a, product = angle.second
    return (along_a + along_b) / 2 - hypot((along_a - along_b) / 2, product)


def least_radius(angle: Angle) -> float:
    """Least radius of gyration (m).

    >>> round(least_radius(Angle(2.0, 2.0, 0.125)), 3)
    0.398
    """
    return sqrt(least_second_moment(angle) / angle.area)

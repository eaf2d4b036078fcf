"""How the fasteners of one mounting share its load.

Axes in the backing face: on a wall u points right seen from inside, v up, n into the room; on a ceiling u right, v to
the back, n down; on a floor u right, v toward the wall, n up. Each set is right-handed. A force along +n pulls the part
off the building. The group is elastic and the part rigid; a fastener that would be pressed in carries nothing, and
nothing is redistributed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot
from typing import NamedTuple

from doorlint.errors import DoorlintError

Vector = tuple[float, float, float]

ALIGNED = 1e-9
"""Second moments below this share of the larger one mean that the fasteners stand in one row."""


class Force(NamedTuple):
    """A ``force`` (N) along u, v, n at a point ``at`` (m) that is measured from the centroid of the fasteners."""

    force: Vector
    at: Vector = (0.0, 0.0, 0.0)
    couple: Vector = (0.0, 0.0, 0.0)
    """a moment (N m) on top of that of the force"""


class Share(NamedTuple):
    """What one fastener carries: ``along_u`` and ``along_v`` across its shank (N), and ``pull`` out of the backing."""

    along_u: float
    along_v: float
    pull: float

    @property
    def shear(self) -> float:
        """The load across the shank (N)."""
        return hypot(self.along_u, self.along_v)


class Heel(NamedTuple):
    """How far a row of fasteners is from the edge that the part presses on (m): ``u`` across a column, ``v`` across a
    row."""

    u: float | None = None
    v: float | None = None


NO_EDGE = Heel()
"""Nobody said where the part presses on its backing."""


class SingleFastenerTwisted(DoorlintError):
    """One fastener alone cannot hold a part that turns about it."""


class NoHeel(DoorlintError):
    """Fasteners in one line under a moment across it, and nobody said where the part presses on the backing."""


def resultant(forces: Iterable[Force]) -> tuple[Vector, Vector]:
    """The sum of some forces and their moment about the centroid of the fasteners (N, N m).

    >>> resultant([Force((0.0, -100.0, 0.0), (0.0, 0.0, 0.2))])
    ((0.0, -100.0, 0.0), (20.0, 0.0, 0.0))
    """
    total, moment = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
    for (fu, fv, fn), (u, v, n), couple in forces:
        turning = (v * fn - n * fv, n * fu - u * fn, u * fv - v * fu)
        for axis, part in enumerate((fu, fv, fn)):
            total[axis] += part
            moment[axis] += turning[axis] + couple[axis]
    return (total[0], total[1], total[2]), (moment[0], moment[1], moment[2])


def centered(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Points of a pattern, measured from their centroid (m).

    >>> centered([(0.0, 0.0), (2.0, 0.0)])
    ((-1.0, 0.0), (1.0, 0.0))
    """
    middle_u = sum(u for u, _ in points) / len(points)
    middle_v = sum(v for _, v in points) / len(points)
    return tuple((u - middle_u, v - middle_v) for u, v in points)


def shares(points: Sequence[tuple[float, float]], forces: Iterable[Force], heel: Heel = NO_EDGE) -> tuple[Share, ...]:
    """What each fastener of a group carries.

    ``points`` are the fasteners (m, measured from their centroid). Raises :class:`SingleFastenerTwisted` for one
    fastener under a moment about its own axis, and :class:`NoHeel` for a row or column that is levered off its backing
    without a known edge to press on.

    >>> up, down = shares([(0.0, 0.1), (0.0, -0.1)], [Force((0.0, -100.0, 0.0), (0.0, 0.0, 0.2))])
    >>> round(up.pull, 6), down.pull, up.along_v
    (100.0, 0.0, -50.0)
    """
    (fu, fv, fn), (mu, mv, mn) = resultant(forces)
    number, polar = len(points), sum(u * u + v * v for u, v in points)
    if polar <= 0.0 and abs(mn) > ALIGNED * max(1.0, hypot(fu, fv)):
        raise SingleFastenerTwisted
    twist = mn / polar if polar > 0.0 else 0.0
    slope_u, slope_v, levered = _levering(points, mu, mv, heel)
    return tuple(
        Share(
            fu / number - twist * v,
            fv / number + twist * u,
            max(fn / number + slope_u * u + slope_v * v + levered, 0.0),
        )
        for u, v in points
    )


def _levering(points: Sequence[tuple[float, float]], mu: float, mv: float, heel: Heel) -> tuple[float, float, float]:
    """How the pull that holds two moments grows along u and along v (N/m), and what every fastener has of it (N)."""
    uu, vv, uv = sum(u * u for u, _ in points), sum(v * v for _, v in points), sum(u * v for u, v in points)
    one_row, one_column = vv <= ALIGNED * (uu + vv), uu <= ALIGNED * (uu + vv)
    if one_row and one_column:
        return 0.0, 0.0, _levered(mu, heel.v, len(points)) + _levered(mv, heel.u, len(points))
    if one_row:
        return -mv / uu, 0.0, _levered(mu, heel.v, len(points))
    if one_column:
        return 0.0, mu / vv, _levered(mv, heel.u, len(points))
    determinant = uu * vv - uv * uv
    if determinant <= ALIGNED * uu * vv:  # one slanting line: its part turns about it, and no edge is known there
        raise NoHeel
    return -(mv * vv + mu * uv) / determinant, (mu * uu + mv * uv) / determinant, 0.0


def _levered(moment: float, heel: float | None, number: int) -> float:
    """The pull on each fastener of one row whose part is levered off over its edge (N)."""
    if abs(moment) <= 1e-9:
        return 0.0
    if heel is None or heel <= 0.0:
        raise NoHeel
    return abs(moment) / (number * heel)


def bracket_pull(force: float, reach: float, heel: float, number: int) -> float:
    """The pull on each of ``number`` fasteners in one column of a bracket that is levered off sideways (N).

    ``force`` (N) acts ``reach`` (m) from the column, which stands ``heel`` (m) from the edge that presses.

    >>> bracket_pull(1000.0, 0.06, 0.03, 2)
    1500.0
    """
    return force * (1.0 + reach / heel) / number

"""One fastener in its backing: what it may carry by formula, and how much of that a load takes. SI throughout.

Sources: those of :mod:`lags`, :mod:`steel` and :mod:`masonry`. What no formula covers rests on a document.
"""

from __future__ import annotations

from math import atan2, pi
from typing import NamedTuple, TypeVar

from doorlint.errors import DoorlintError, OutsideTable
from doorlint.mechanics.connections import lags, masonry, steel
from doorlint.mechanics.connections.group import Share
from doorlint.mechanics.connections.lags import INCH, POUND, lag_of
from doorlint.mechanics.connections.steel import KSI, Allowed, Sheet

T = TypeVar("T")

LIGHT_SHEET = 45.0 * KSI
"""Tensile strength of the weakest structural sheet (Pa), where nobody gives a stronger one; from memory."""
ROLLED = 58.0 * KSI
"""Tensile strength of plain rolled plate (Pa), as NDS Table 12K has it."""
ORDINARY_YIELD = 36.0 * KSI
"""Yield strength of an unmarked cast-in bolt (Pa), on the safe side."""
ELECTRODE = 60.0 * KSI
"""Strength of the weakest common electrode (Pa)."""
END_GRAIN_ACROSS = 2.0 / 3.0
"""Share of the lateral value across the grain that is left in end grain: NDS 12.5.2.2."""
SCREW_STEEL = {8: (1278.0, 586.0), 10: (1644.0, 1158.0), 12: (2330.0, 2325.0), 14: (3048.0, 3201.0)}
"""Nominal shear and tension (lb) of a screw's own steel by its number.

Source: second-hand; CFSEI Tech Note F701-12 in a permit table; number 14 is 1/4 in
"""
FORMULAS = frozenset({
    ("lag", "wood"), ("screw", "light-steel"), ("bolt", "light-steel"), ("bolt", "steel"), ("weld", "steel"),
    ("weld", "light-steel"), ("cast-in", "grouted-block"), ("cast-in", "brick"),
})  # fmt: skip
"""Fasteners and backings that a published formula covers."""


class NotGiven(DoorlintError):
    """A value that the formula of this fastener needs, by its key."""


class Fastener(NamedTuple):
    """A fastener as the spec describes it; lengths in m, stresses in Pa, ``None`` for what nobody gave."""

    kind: str
    diameter: float | None = None
    length: float | None = None
    thread_length: float | None = None
    grain: str | None = None
    runs: str | None = None
    wet: bool | None = None
    plate: float | None = None
    plate_strength: float | None = None
    washer: float | None = None
    number: int | None = None
    grade: str | None = None
    edge: float | None = None
    leg: float | None = None
    embedment: float | None = None


class Backing(NamedTuple):
    """What a fastener sits in; lengths in m, stresses in Pa."""

    onto: str
    thickness: float | None = None
    gap: float | None = None
    gravity: float | None = None
    tensile_strength: float | None = None
    masonry_strength: float | None = None
    grout_seen: bool | None = None


class Claim(NamedTuple):
    """What somebody states one fastener carries (N), and whether a document stands behind it."""

    pull: float | None = None
    shear: float | None = None
    documented: bool = False


def has_formula(fastener: Fastener, backing: Backing) -> bool:
    """Whether a formula covers this fastener in this backing.

    >>> has_formula(Fastener("lag"), Backing("wood")), has_formula(Fastener("anchor"), Backing("concrete"))
    (True, False)
    """
    return (fastener.kind, backing.onto) in FORMULAS


def diameter_of(fastener: Fastener) -> float:
    """Its diameter (m): as given, or that of its number: 0.060 in + 0.013 in a number.

    >>> round(diameter_of(Fastener("screw", number=10)) / INCH, 3)
    0.19
    """
    if fastener.number is not None:
        return (0.060 + 0.013 * fastener.number) * INCH
    return _given(fastener.diameter, "diameter")


def bites(fastener: Fastener, backing: Backing) -> tuple[float, float]:
    """How deep a lag screw bears in its member, and how much thread bites there (m).

    A thread length that is stated replaces both, up to the thickness of the member.

    >>> bears, thread = bites(Fastener("lag", 0.01, thread_length=0.1), Backing("wood", 0.038))
    >>> bears, thread
    (0.038, 0.038)
    """
    member = _given(backing.thickness, "thickness")
    if fastener.thread_length is not None:
        thread = min(fastener.thread_length, member)
        return thread, thread
    length = _given(fastener.length, "thread_length")
    return lags.penetration(lag_of(diameter_of(fastener)), length, _plate(fastener, backing), member)


def allowed(fastener: Fastener, backing: Backing) -> Allowed:
    """What one fastener may carry by formula (N): in dry wood, along its grain, without a factor for duration.

    Raises :class:`NotGiven` for what is missing. Welds are no single fasteners: :func:`mounting.use_of_weld`.

    >>> found = allowed(Fastener("lag", 0.25 * INCH, thread_length=2 * INCH, grain="side", plate=0.0747 * INCH),
    ...     Backing("wood", 3 * INCH, gravity=0.50))
    >>> round(found.shear / POUND), round(found.pull / POUND)
    (153, 450)
    """
    if fastener.kind == "lag":
        dry = fastener._replace(wet=None, runs="up")
        strength = _wood(dry, backing, 1.0, 0.0, across=True)
        return Allowed(strength.lateral, min(strength.withdrawal, strength.root))
    if fastener.kind == "screw":
        return _screw(fastener, backing)
    if fastener.kind == "cast-in":
        bolt = _cast_in(fastener, backing, ())
        return Allowed(masonry.shear(bolt), masonry.tension(bolt))
    area = pi * diameter_of(fastener) ** 2 / 4.0
    grade = _grade(fastener)
    ply = _ply(fastener, backing)
    return Allowed(min(area * grade.shear / 2.0, ply.shear), min(area * grade.tension / 2.0, ply.pull))


def use(
    fastener: Fastener,
    backing: Backing,
    claim: Claim,
    share: Share,
    duration: float,
    neighbors: tuple[float, ...] = (),
) -> float:
    """How much of its strength a load takes; over 1 it is too much.

    A claim with a document replaces the formula: shear and pull are added. A claim without one can only lower what
    the formula gives. ``duration`` is the factor for wood. Raises :class:`NotGiven` for what is missing.

    Source: derived; the combined forms of :mod:`lags`, :mod:`steel` and :mod:`masonry`

    >>> anchor, slab = Fastener("anchor", 0.0127), Backing("concrete", 0.15)
    >>> use(anchor, slab, Claim(1000.0, 2000.0, True), Share(0.0, 1000.0, 250.0), 1.0)
    0.75
    """
    if share.shear <= 0.0 and share.pull <= 0.0:
        return 0.0
    pull = 0.0 if share.pull <= 0.0 else _over(share.pull, claim.pull, claim.documented, "capacity")
    shear = 0.0 if share.shear <= 0.0 else _over(share.shear, claim.shear, claim.documented, "shear_capacity")
    if claim.documented:
        return pull + shear
    if not has_formula(fastener, backing):
        raise NotGiven("document")
    return max(pull, shear, _by_formula(fastener, backing, share, duration, neighbors))


def _over(load: float, claimed: float | None, documented: bool, key: str) -> float:
    if claimed is None:
        if documented:
            raise NotGiven(key)
        return 0.0
    return load / claimed if claimed > 0.0 else float("inf")


def _by_formula(
    fastener: Fastener, backing: Backing, share: Share, duration: float, neighbors: tuple[float, ...]
) -> float:
    if fastener.kind == "lag":
        angle = _angle(fastener, share)
        strength = _wood(fastener, backing, duration, angle, across=share.shear > 0.0)
        return lags.use(share.shear, share.pull, strength)
    if fastener.kind == "screw":
        may = _screw(fastener, backing)
        return share.shear / may.shear + share.pull / may.pull
    if fastener.kind == "cast-in":
        return masonry.use(share.shear, share.pull, _cast_in(fastener, backing, neighbors))
    ply = _ply(fastener, backing)
    own = steel.bolt_use(diameter_of(fastener), _grade(fastener), share.shear, share.pull)
    return max(own, share.shear / ply.shear, share.pull / ply.pull)


def _wood(fastener: Fastener, backing: Backing, duration: float, angle: float, *, across: bool) -> lags.Strength:
    """What a lag screw may carry for one duration; its lateral strength only where a load runs across it."""
    lag, gravity = lag_of(diameter_of(fastener)), _given(backing.gravity, "gravity")
    bears, thread = bites(fastener, backing)
    grain = _given(fastener.grain, "grain")
    out = lags.pull_out(gravity, lag.diameter, thread, grain, fastener.wet) * duration
    lateral = 0.0
    if across:
        lateral = lags.lateral(lag, gravity, _plate(fastener, backing), bears, angle if grain == "side" else pi / 2.0)
        lateral *= duration * (lags.WET if fastener.wet else 1.0) * (END_GRAIN_ACROSS if grain == "end" else 1.0)
    return lags.Strength(lateral, out, lags.root_strength(lag))


def _angle(fastener: Fastener, share: Share) -> float:
    """Between load and grain (rad); square to it, the weakest way, where nobody says how the grain runs."""
    if fastener.runs == "up":
        return atan2(abs(share.along_u), abs(share.along_v))
    if fastener.runs == "across":
        return atan2(abs(share.along_v), abs(share.along_u))
    return pi / 2.0


def _plate(fastener: Fastener, backing: Backing) -> lags.Plate:
    thickness = _given(fastener.plate, "plate")
    strength = fastener.plate_strength
    if strength is None:
        strength = ROLLED if thickness >= 0.25 * INCH - 1e-9 else LIGHT_SHEET
    return lags.Plate(thickness, strength, backing.gap or 0.0)


def _base(backing: Backing) -> Sheet:
    return Sheet(_given(backing.thickness, "thickness"), backing.tensile_strength or LIGHT_SHEET)


def _screw(fastener: Fastener, backing: Backing) -> Allowed:
    number = _given(fastener.number, "number")
    if number not in SCREW_STEEL:
        raise OutsideTable(f"the strength of screws is known for the numbers 8, 10, 12 and 14, not {number}")
    own = Allowed(*(load * POUND for load in SCREW_STEEL[number]))
    head = Sheet(_given(fastener.plate, "plate"), fastener.plate_strength or LIGHT_SHEET)
    return steel.screw(diameter_of(fastener), _given(fastener.washer, "washer"), head, _base(backing), own)


def _grade(fastener: Fastener) -> steel.Grade:
    return steel.GRADES[fastener.grade or "A307"]


def _ply(fastener: Fastener, backing: Backing) -> Allowed:
    """What a bolt may bear on its backing, and pull through it; rolled steel is not pulled through."""
    base = _base(backing)
    if base.thickness < steel.THIN - 1e-9:
        return steel.bolt_in_sheet(diameter_of(fastener), _given(fastener.washer, "washer"), base, False)
    clear = _given(fastener.edge, "edge") - (diameter_of(fastener) + INCH / 16.0) / 2.0
    if clear <= 0.0:
        return Allowed(1e-9, float("inf"))  # the hole breaks out of the edge
    return Allowed(steel.bolt_bearing(diameter_of(fastener), clear, base), float("inf"))


def _cast_in(fastener: Fastener, backing: Backing, neighbors: tuple[float, ...]) -> masonry.CastIn:
    if not backing.grout_seen:
        raise NotGiven("grout_seen")
    return masonry.CastIn(
        diameter_of(fastener),
        _given(fastener.embedment, "embedment"),
        _given(fastener.edge, "edge"),
        ORDINARY_YIELD,
        _given(backing.masonry_strength, "masonry_strength"),
        neighbors,
    )


def _given(value: T | None, key: str) -> T:
    if value is None:
        raise NotGiven(key)
    return value

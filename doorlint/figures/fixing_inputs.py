"""What the figures of mountings and hangers share: names of what a formula asks for, and what a fastener may carry."""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import ParamSpec, TypeVar

from doorlint.errors import ImpossibleInput, MissingInput
from doorlint.figures.table import Table
from doorlint.mechanics.connections import fastener
from doorlint.mechanics.connections.fastener import Backing, Fastener, NotGiven
from doorlint.mechanics.connections.steel import Allowed

P = ParamSpec("P")
T = TypeVar("T")

IN_FIXING = frozenset(Fastener._fields) | {"capacity", "shear_capacity", "document", "pattern.heel"}
"""Keys of what a formula may ask for that are written in the fixing."""


def gravity_of(onto: str, gravity: float | None, species: str | None, table: Table, axis: str) -> float | None:
    """The gravity of wood as given or by its species; None for other backings."""
    if onto != "wood":
        return None
    if gravity is not None:
        return gravity
    if species is None:
        raise MissingInput(f"{axis}.fixing.gravity")
    return float(table.look("gravity", species=species))


def asked(axis: str, key: str) -> str:
    """The name of a value that a formula asks for.

    >>> asked("mount", "plate"), asked("hanger", "thickness")
    ('mount.fixing.plate', 'hanger.thickness')
    """
    if key == "gravity":
        return f"{axis}.wood_gravity"
    if key == "document":
        return f"{axis}.fixing.document.number"
    return f"{axis}.fixing.{key}" if key in IN_FIXING else f"{axis}.{key}"


def formula_of(axis: str, one: Fastener, base: Backing) -> Allowed | None:
    """What one fastener may carry by formula; None where none covers it."""
    if one.kind == "weld" or not fastener.has_formula(one, base):
        return None
    return apply_formula(axis, fastener.allowed, one, base)


def claim_of(
    pull: float | None, shear: float | None, named: tuple[str | None, ...], base: str | None, onto: str
) -> fastener.Claim:
    """What is stated of one fastener; ``named`` is kind, number and date of its document, ``base`` what that is for.

    >>> claim_of(900.0, None, ("maker", "D-1", "2026-01-10"), "wood", "wood").documented
    True
    """
    return fastener.Claim(pull, shear, None not in named and base == onto)


def points_of(count: int, across: tuple[float, ...], up: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    """The place of each fastener of a pattern.

    >>> points_of(2, (0.0, 0.0), (0.0, 0.1))
    ((0.0, 0.0), (0.0, 0.1))
    """
    if not len(across) == len(up) == count:
        raise ImpossibleInput(f"{count} fasteners, but {len(across)} places across and {len(up)} up in their pattern")
    return tuple(zip(across, up, strict=True))


def pull_by_formula(axis: str, one: Fastener, base: Backing) -> float | None:
    """What one fastener may pull by formula; None where no formula covers it."""
    found = formula_of(axis, one, base)
    return None if found is None or found.pull == inf else found.pull


def shear_by_formula(axis: str, one: Fastener, base: Backing) -> float | None:
    """What one fastener may carry sideways by formula; None where no formula covers it."""
    found = formula_of(axis, one, base)
    return None if found is None else found.shear


def bite_of(axis: str, one: Fastener, base: Backing) -> float | None:
    """The thread of a lag screw in the wood, the tip left out; None for other fasteners."""
    if one.kind != "lag":
        return None
    return apply_formula(axis, fastener.bites, one, base)[1]


def apply_formula(axis: str, formula: Callable[P, T], *arguments: P.args, **options: P.kwargs) -> T:
    """What a formula of fasteners comes to; what it is not given is named as a value of the axis."""
    try:
        return formula(*arguments, **options)
    except NotGiven as error:
        raise MissingInput(asked(axis, str(error))) from None


def given(value: T | None, name: str) -> T:
    """The value of an input, or the refusal that names it."""
    if value is None:
        raise MissingInput(name)
    return value

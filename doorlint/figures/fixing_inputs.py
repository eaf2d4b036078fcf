"""What the figures of mountings and hangers share: names of what a formula asks for, and what a fastener may carry."""

from __future__ import annotations

from typing import TypeVar

from doorlint.errors import MissingInput
from doorlint.figures.table import Table
from doorlint.mechanics.connections import fastener
from doorlint.mechanics.connections.fastener import Backing, Fastener, NotGiven
from doorlint.mechanics.connections.steel import Allowed

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
    try:
        return fastener.allowed(one, base)
    except NotGiven as error:
        raise MissingInput(asked(axis, str(error))) from None


def given(value: T | None, name: str) -> T:
    """The value of an input, or the refusal that names it."""
    if value is None:
        raise MissingInput(name)
    return value

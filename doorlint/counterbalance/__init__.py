"""What balances a door. Each kind is one object in a module of its own; this registry names them.

To add a kind: write its module with a :class:`Counterbalance` named ``KIND``, and add one line here.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from doorlint.counterbalance.kind import Counterbalance

KINDS: dict[str, str] = {
    "tower": "doorlint.counterbalance.tower",
    "torsion": "doorlint.counterbalance.torsion",
}
"""The kinds by the key that describes them in a spec, each with its module; imported when asked for."""


def named(name: str) -> Counterbalance:
    """The kind of that name; raises :class:`KeyError` for another word.

    >>> named("tower").pulling
    'boxes'
    """
    kind: Counterbalance = import_module(KINDS[name]).KIND
    return kind


def every() -> list[Counterbalance]:
    """All kinds in the order of the registry."""
    return [named(name) for name in KINDS]


def described(given: Container[str]) -> list[Counterbalance]:
    """The kinds that a spec describes, from the names it gives.

    >>> [kind.name for kind in described({"door", "torsion"})]
    ['torsion']
    """
    return [named(name) for name in KINDS if name in given]


def the_one(given: Container[str]) -> Counterbalance | None:
    """The counterbalance of a spec that describes exactly one.

    >>> the_one({"tower", "torsion"}) is None
    True
    """
    kinds = described(given)
    return kinds[0] if len(kinds) == 1 else None


def shared(kinds: Iterable[Counterbalance | None]) -> Counterbalance | None:
    """The counterbalance that all of several specs have, or ``None``.

    >>> shared([named("tower"), None]) is None
    True
    """
    found = set(kinds)
    return found.pop() if len(found) == 1 else None

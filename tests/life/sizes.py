"""Quantities as a spec writes them, read without the package: text to SI."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

INCH, FOOT, POUND, GRAVITY = 0.0254, 0.3048, 0.45359237, 9.80665
LBF = POUND * GRAVITY
PSI = LBF / INCH**2

UNITS: dict[str, float] = {
    "in": INCH, '"': INCH, "ft": FOOT, "'": FOOT, "mm": 1e-3, "cm": 1e-2, "m": 1.0,
    "lb": LBF, "lbf": LBF, "kg": GRAVITY, "N": 1.0, "kN": 1e3,
    "psf": LBF / FOOT**2, "psi": PSI, "ksi": 1e3 * PSI, "Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "N/mm2": 1e6,
    "in/ft": INCH / FOOT, "mm/m": 1e-3, "in/s": INCH, "m/s": 1.0, "mph": 0.44704, "ft/s": FOOT, "mm/s": 1e-3,
    "lbf/in": LBF / INCH, "lb/in": LBF / INCH, "N/mm": 1e3, "N/m": 1.0,
    "lb/ft": LBF / FOOT, "kg/m": GRAVITY,
    "lbf in/turn": LBF * INCH, "lb in/turn": LBF * INCH, "N m/turn": 1.0, "Nm/turn": 1.0, "N mm/turn": 1e-3,
    "lbf in": LBF * INCH, "lbf ft": LBF * FOOT, "ft-lb": LBF * FOOT, "in-lb": LBF * INCH, "N m": 1.0, "Nm": 1.0,
    "turns": 1.0, "turn": 1.0, "deg": 3.141592653589793 / 180, "%": 0.01, "": 1.0,
    "in4": INCH**4, "cm4": 1e-8, "in3": INCH**3, "cm3": 1e-6, "mm3": 1e-9, "mm4": 1e-12,
    "sq ft": FOOT**2, "m2": 1.0, "lb/cu ft": LBF / FOOT**3, "kg/m3": GRAVITY,
    "V": 1.0, "/min": 1 / 60, "min": 60.0, "h": 3600.0, "s": 1.0,
}  # fmt: skip
"""What one unit of each is in SI; weights are forces, and torques are per turn where they are per turn."""

_NUMBER = r"\d+/\d+|\d+(?:\.\d*)?(?:[ -]\d+/\d+)?|\.\d+"
_FEET = re.compile(rf"^({_NUMBER})\s*(?:'|ft)[ -]*(?:({_NUMBER})\s*(?:\"|in))?$")
_PLAIN = re.compile(rf"^({_NUMBER})\s*(.*)$")


def size(text: str) -> float:
    """A quantity in SI; raises ``ValueError`` for what it cannot read.

    >>> round(size("12'-2 1/2\\""), 4), size("-6 in"), round(size("7 3/4 turns"), 2)
    (3.7211, -0.15239999999999998, 7.75)
    """
    text = text.strip()
    sign = -1.0 if text.startswith("-") else 1.0
    text = text.lstrip("-").strip()
    if feet := _FEET.match(text):
        return sign * (_number(feet[1]) * FOOT + (_number(feet[2]) * INCH if feet[2] else 0.0))
    plain = _PLAIN.match(text)
    if plain is None or plain[2].strip() not in UNITS:
        raise ValueError(text)
    return sign * _number(plain[1]) * UNITS[plain[2].strip()]


def _number(text: str) -> float:
    whole = text.replace("-", " ").split()
    return sum(float(Fraction(part)) if "/" in part else float(part) for part in whole)


def given(tree: Any, path: str) -> Any:
    """What a tree of plain data holds under a dotted path, or ``None``."""
    for key in path.split("."):
        if not isinstance(tree, dict) or tree.get(key) in (None, ""):
            return None
        tree = tree[key]
    return tree


def of(tree: Any, path: str, otherwise: float | None = None) -> float | None:
    """The quantity under a path in SI, or what it is otherwise."""
    found = given(tree, path)
    return otherwise if found is None else size(str(found))


def true(tree: Any, path: str) -> bool:
    """Whether the tree says ``true`` there."""
    return given(tree, path) in (True, "true")


def need(tree: Any, path: str) -> float:
    """The quantity under a path; ``KeyError`` where nobody gave it."""
    found = of(tree, path)
    if found is None:
        raise KeyError(path)
    return found


def natural(names: Any) -> list[str]:
    """Names in natural order: s2 before s10."""
    return sorted(names, key=lambda name: [int(part) if part.isdigit() else part for part in re.split(r"(\d+)", name)])


def spread(tree: Any) -> Any:
    """A tree with what stands in ``each`` given to every thing beside it, unless that has its own.

    >>> spread({"each": {"tare": "28 lb"}, "b1": {}, "b2": {"tare": "30 lb"}})
    {'b1': {'tare': '28 lb'}, 'b2': {'tare': '30 lb'}}
    """
    if not isinstance(tree, dict):
        return tree
    shared = tree.get("each")
    return {key: spread(_joined(shared, value)) for key, value in tree.items() if key != "each"}


def _joined(shared: Any, own: Any) -> Any:
    if own in (None, ""):
        return shared
    if isinstance(shared, dict) and isinstance(own, dict):
        return shared | {key: _joined(shared.get(key), value) for key, value in own.items()}
    return own

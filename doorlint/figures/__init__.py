"""Figures: pure functions on SI floats, made a graph by their parameter names."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

SUBJECTS: tuple[str, ...] = (
    "balance",
    "box",
    "cable",
    "counterbalance",
    "door",
    "guide",
    "hanger",
    "hinges",
    "jamb",
    "lifting",
    "mount",
    "obstruction",
    "opening",
    "operation",
    "overhead",
    "pulley",
    "reading",
    "room",
    "section",
    "spring",
    "stack",
    "sweep",
    "torsion",
    "tower",
    "track",
    "wind",
)
"""The modules of figures in this room, one a subject."""


def modules() -> list[ModuleType]:
    """Every module of figures, imported."""
    return [import_module(f"{__name__}.{subject}") for subject in SUBJECTS]

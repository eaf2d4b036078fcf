"""Figures: pure functions on SI floats, made a graph by their parameter names."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

SUBJECTS: tuple[str, ...] = (
    "balance",
    "bearing",
    "box",
    "box_chain",
    "box_height",
    "box_setting",
    "cable",
    "cable_length",
    "counterbalance",
    "coupler",
    "door",
    "door_balance",
    "drum",
    "guide",
    "hanger",
    "hanger_strength",
    "fitting",
    "hinges",
    "jamb",
    "lifting",
    "load_path",
    "mount",
    "mount_fixing",
    "mount_loads",
    "mount_strength",
    "obstruction",
    "obstruction_door",
    "on_sawhorses",
    "opening",
    "operation",
    "overhead",
    "overhead_mounts",
    "pulley",
    "reading",
    "record",
    "room",
    "section",
    "setting",
    "shaft",
    "sizing",
    "spring",
    "spring_broken",
    "spring_place",
    "stack",
    "sweep",
    "torsion",
    "torsion_drift",
    "torsion_found",
    "tower",
    "tower_loads",
    "track",
    "wall_brackets",
    "wind",
)
"""The modules of figures in this room; a module that states its own ``SUBJECT`` adds to the figures of that one."""


def modules() -> list[ModuleType]:
    """Every module of figures, imported."""
    return [import_module(f"{__name__}.{subject}") for subject in SUBJECTS]

"""Each pulley of a counterweight door: what it carries and how sharply it bends the rope."""

from __future__ import annotations

from doorlint.figures.kinds import Each, Length, Ratio, Text, Weight
from doorlint.mechanics import load_path


def cases(
    pulley_at: Text, pulley_side: Text, tower_side: Text, tower_cable_tension: Weight
) -> tuple[load_path.Case, ...]:
    """What a pulley carries on its axle, with both cables and with either gone

    Formula: 2T where the rope turns right round, T sqrt(2) where it turns square; twice as much where it is left alone
    Unit: N
    Source: derived; statics of a rope over a pulley, T = cable tension

    >>> [round(case.force) for case in cases("head", "left", "right", 1000.0)]
    [1414, 2828, 0]
    """
    where = pulley_at
    if where == "head":
        where = "near head" if pulley_side == tower_side else "far head"
    return load_path.cases(f"{where} pulley", tower_cable_tension)


def load(pulley_cases: tuple[load_path.Case, ...]) -> Weight:
    """Most that a pulley carries on its axle

    Formula: largest of both cables there and either gone
    Unit: N
    Source: derived; statics of a rope over a pulley

    >>> load(load_path.cases("near head pulley", 1000.0))
    4000.0
    """
    return max(case.force or 0.0 for case in pulley_cases)


def case(pulley_cases: tuple[load_path.Case, ...]) -> Text:
    """The case in which a pulley carries most

    Formula: case of the largest force
    Unit: -
    Source: derived; statics of a rope over a pulley

    >>> case(load_path.cases("near head pulley", 1000.0))
    'far cable gone'
    """
    worst = load_path.governing(pulley_cases)
    return "" if worst is None else worst.case


def bend(pulley_diameter: Length, cable_diameter: Each[Length]) -> Ratio:
    """How sharply a pulley bends the thickest cable

    Formula: pulley diameter / greatest cable diameter
    Unit: 1
    Source: derived; a ratio

    >>> bend(0.09, {"near": 0.005, "far": 0.006})
    15.0
    """
    return pulley_diameter / max(cable_diameter.values())


def stands(pulley_side: Text, tower_side: Text) -> Text:
    """Where a pulley is, seen from the tower

    Formula: beside the tower where their sides are the same, else across from the tower
    Unit: -
    Source: derived; compared

    >>> stands("left", "left"), stands("right", "left")
    ('beside the tower', 'across from the tower')
    """
    return "beside the tower" if pulley_side == tower_side else "across from the tower"

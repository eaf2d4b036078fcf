"""Each pulley of a counterweight door: what it carries and how sharply it bends the rope."""

from __future__ import annotations

from math import sqrt

from doorlint.figures.kinds import Each, Length, Ratio, Text, Weight


def load(pulley_at: Text, pulley_side: Text, tower_side: Text, tower_cable_tension: Weight) -> Weight:
    """What a pulley carries on its axle

    Formula: 2T where the rope turns right round (near head, box); T sqrt(2) where it turns square (far head, crossing)
    Unit: N
    Source: derived; statics of a rope over a pulley, T = cable tension

    >>> load("head", "right", "right", 1000.0), round(load("head", "left", "right", 1000.0), 1)
    (2000.0, 1414.2)
    """
    square = pulley_at == "crossing" or (pulley_at == "head" and pulley_side != tower_side)
    return tower_cable_tension * (sqrt(2.0) if square else 2.0)


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

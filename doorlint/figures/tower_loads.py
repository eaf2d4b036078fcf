"""What the tower pulls on the door, and what its cables, head and foot carry."""

from __future__ import annotations

from doorlint.figures.kinds import Pull, Weight
from doorlint.mechanics import load_path

SUBJECT = "tower"


def pull_closed(stack_pull_closed: Weight) -> Weight:
    """Pull of the counterweight on the closed door

    Formula: pull on box 1 / 2
    Unit: N
    Source: derived; statics of the moving pulley on box 1

    >>> pull_closed(2400.0)
    1200.0
    """
    return stack_pull_closed / 2


def pull_open(stack_pull_open: Weight) -> Weight:
    """Pull of the counterweight on the open door

    Formula: pull on box 1 / 2
    Unit: N
    Source: derived; statics of the moving pulley on box 1

    >>> pull_open(240.0)
    120.0
    """
    return stack_pull_open / 2


def residual_closed(tower_pull_closed: Weight, door_pull_closed: Weight) -> Pull:
    """What the counterweight pulls more than the closed door

    Negative: the door stays shut, and this is what a person must start.

    Formula: pull of the counterweight - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_closed(1200.0, 1500.0)
    -300.0
    """
    return tower_pull_closed - door_pull_closed


def residual_open(tower_pull_open: Weight, door_pull_open: Weight) -> Pull:
    """What the counterweight pulls more than the open door

    Positive: the door is held against its bumpers.

    Formula: pull of the counterweight - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_open(120.0, 100.0)
    20.0
    """
    return tower_pull_open - door_pull_open


def trim(tower_plate: Weight) -> Weight:
    """How closely whole plates balance the door

    Formula: half of what one plate pulls on the door
    Unit: N
    Source: derived; the hanging boxes pull the door with half their weight

    >>> trim(45.0)
    11.25
    """
    return tower_plate / 4


def cable_tension(stack_weight: Weight) -> Weight:
    """Tension of each lift cable with the door closed, both sharing alike

    Formula: weight of the hanging boxes / 4
    Unit: N
    Source: derived; statics of the moving pulley on box 1

    >>> cable_tension(4000.0)
    1000.0
    """
    return stack_weight / 4


def cable_tension_alone(stack_weight: Weight) -> Weight:
    """Tension of one lift cable with the door closed when it carries all

    Formula: weight of the hanging boxes / 2
    Unit: N
    Source: derived; statics of the moving pulley on box 1

    >>> cable_tension_alone(4000.0)
    2000.0
    """
    return stack_weight / 2


def head_load(tower_cable_tension: Weight) -> Weight:
    """Load on the head of the tower, down

    Two lines at the eye bolts, two at the near pulley, one where the far cable turns down.

    Formula: 5 x tension of a cable
    Unit: N
    Source: derived; statics of head pulleys and eye bolts

    >>> head_load(1000.0)
    5000.0
    """
    return 5 * tower_cable_tension


def head_side_load(tower_cable_tension: Weight) -> Weight:
    """Load on the head of the tower, sideways toward the opening

    Formula: tension of the far cable
    Unit: N
    Source: derived; the far cable turns down at the head of the tower

    >>> head_side_load(1000.0)
    1000.0
    """
    return tower_cable_tension


def far_head_load(tower_cable_tension: Weight) -> Weight:
    """Load on the far head plate V

    Formula: tension of the far cable
    Unit: N
    Source: derived; the far cable turns level at the far head plate

    >>> far_head_load(1000.0)
    1000.0
    """
    return tower_cable_tension


def far_side_load(tower_cable_tension: Weight) -> Weight:
    """Load on the far head plate, inward toward the opening

    Formula: tension of the far cable
    Unit: N
    Source: derived; the far cable turns level at the far head plate

    >>> far_side_load(1000.0)
    1000.0
    """
    return tower_cable_tension


def head_load_alone(tower_cable_tension: Weight) -> Weight:
    """Most load on the head of the tower, down: the far cable gone

    Two lines at the eye bolts and two at the near pulley, each with twice the tension, less the line to the far side.

    Formula: 6 x tension of one of two cables
    Unit: N
    Source: derived; statics of head pulleys and eye bolts

    >>> head_load_alone(1000.0)
    6000.0
    """
    return max(case.force or 0.0 for case in load_path.cases("tower head V", tower_cable_tension))


def slab_load_alone(tower_head_load_alone: Weight, tower_weight: Weight) -> Weight:
    """Most load of the tower on the slab: the far cable gone

    Formula: load on the head + weight of the tower steel
    Unit: N
    Source: derived; statics of the tower, standing on its own feet

    >>> slab_load_alone(6000.0, 1800.0)
    7800.0
    """
    return tower_head_load_alone + tower_weight


def slab_load(tower_head_load: Weight, tower_weight: Weight) -> Weight:
    """Largest load of the tower on the slab

    With the door closed the posts carry the whole load of the head down; with it open a quarter of the
    hanging boxes more than the boxes weigh, which is less.

    Formula: load on the head + weight of the tower steel
    Unit: N
    Source: derived; statics of the tower, standing on its own feet

    >>> slab_load(5000.0, 1800.0)
    6800.0
    """
    return tower_head_load + tower_weight

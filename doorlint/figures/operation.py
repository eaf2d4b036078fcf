"""What the person, the chain hoist or the motor has to pull, and what keeps people clear of the door."""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Count, Flag, Length, Pull, Share, Text, Weight
from doorlint.mechanics import balance


def friction(door_load: Weight, practice_friction_share: Share) -> Weight:
    """Friction of rollers, pulleys and bearings, felt at the bottom edge

    Formula: weight of the door x the shop's share
    Unit: N
    Source: practice; several percent of the weight, read as half the difference of moving up and moving down

    >>> friction(4000.0, 0.05)
    200.0
    """
    return door_load * practice_friction_share


def start_needed(door_residual_closed: Pull, operation_friction: Weight) -> Weight:
    """Pull that starts the closed door upward

    Formula: what the door pulls down more than its counterbalance pulls up + friction
    Unit: N
    Source: derived; equilibrium of the closed door about to move

    >>> start_needed(-350.0, 200.0), start_needed(500.0, 200.0)
    (550.0, 0.0)
    """
    return max(operation_friction - door_residual_closed, 0.0)


def travel_needed(door_residual_largest: Pull, operation_friction: Weight) -> Weight:
    """Greatest pull that moves the door over its travel, up or down

    Formula: largest difference between counterbalance and door + friction
    Unit: N
    Source: derived; equilibrium of the moving door closed, at the marks and open

    >>> travel_needed(-350.0, 200.0)
    550.0
    """
    return abs(door_residual_largest) + operation_friction


def let_go(door_marks: tuple[balance.Mark | None, ...], door_left_over: tuple[tuple[Length, Pull], ...]) -> Weight:
    """Greatest force that sets the door moving by itself when it is let go of

    Friction is left out, because it goes with oil and wear. Up to the first mark the door goes back to the floor it
    stands on: only what lifts it counts there.

    Formula: the largest residual from the first mark to open, up or down, and of the upward ones below it
    Unit: N
    Source: derived; equilibrium of the door over its travel

    >>> let_go((balance.Mark(1.0, (1.0, 0.0)),), ((0.0, -350.0), (1.0, -45.0)))
    45.0
    """
    first = min((mark.travel for mark in door_marks if mark is not None), default=0.0)
    return max(abs(over) if travel >= first and travel > 0.0 else max(over, 0.0) for travel, over in door_left_over)


def holds(operation_by: Text, operation_held_by: Text | None, operation_holding: Weight | None) -> Weight:
    """Force at the door that the drive holds while it does not run

    Formula: as given; nothing for a door worked by hand, for a drive that nothing holds, and for a motor whose hand
        chain is all that is held
    Unit: N
    Source: derived; from the spec

    >>> holds("hand", None, None), holds("motor", "brake", 500.0), holds("motor", "chain-keeper", 500.0)
    (0.0, 500.0, 0.0)
    """
    if operation_by == "hand" or operation_held_by == "nothing":
        return 0.0
    if operation_by == "motor" and operation_held_by == "chain-keeper":
        return 0.0
    if operation_holding is None:
        raise MissingInput("operation.holding")
    return operation_holding


def protection(operation_entrapment: Text | None, operation_constant_pressure: Flag | None) -> Text:
    """What keeps the closing door from crushing somebody

    Formula: constant pressure where a person holds the control, else the entrapment protection
    Unit: -
    Source: derived; from the spec

    >>> protection("none", True), protection("monitored", False), protection("monitored", None)
    ('constant pressure', 'monitored', 'monitored')
    """
    if operation_constant_pressure:
        return "constant pressure"
    if operation_entrapment == "monitored":
        return operation_entrapment
    if operation_constant_pressure is None:
        raise MissingInput("operation.constant_pressure")
    if operation_entrapment is None:
        raise MissingInput("operation.entrapment")
    return operation_entrapment


def sensors(operation_sensor_height: Length | None, operation_edge_force: Weight | None) -> Count:
    """How many of photo-eye and edge sensor are described

    Formula: count of the height of the photo-eye and the force of the edge sensor, where given
    Unit: 1
    Source: derived; counted

    >>> sensors(0.13, 60.0), sensors(0.13, None), sensors(None, None)
    (2, 1, 0)
    """
    return sum(given is not None for given in (operation_sensor_height, operation_edge_force))

"""What the boxes are set and read by: the springs they have, and what a scale is expected to read at their marks."""

from __future__ import annotations

from doorlint.figures.kinds import Pull, SpringRate, Weight

SUBJECT = "box"


def expected_up(box_residual: Pull, operation_friction: Weight) -> Pull:
    """Upward pull at the bottom edge that keeps the door moving up at the mark of this box

    Formula: friction - what the stack pulls more than the door
    Unit: N
    Source: derived; friction acts against the motion

    >>> expected_up(10.0, 60.0)
    50.0
    """
    return operation_friction - box_residual


def expected_down(box_residual: Pull, operation_friction: Weight) -> Pull:
    """Upward pull at the bottom edge that lets the door move down steadily at the mark of this box

    Negative: the door must be pushed down.

    Formula: -(friction + what the stack pulls more than the door)
    Unit: N
    Source: derived; friction acts against the motion

    >>> expected_down(10.0, 60.0)
    -70.0
    """
    return -operation_friction - box_residual


def spring_rate(box_chain_spring_rate: SpringRate | None) -> SpringRate | None:
    """Rate of the spring below this box that the job is ordered with

    Does not apply to a box without a spring below it.

    Formula: as given
    Unit: N/m
    Source: derived; from the spec

    >>> spring_rate(8000.0), spring_rate(None)
    (8000.0, None)
    """
    return box_chain_spring_rate

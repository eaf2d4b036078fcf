"""What the door pulls on its cables, and what the counterbalance leaves of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from operator import itemgetter

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Flag, Length, Pull, Weight
from doorlint.mechanics import balance, drum, rolling, spring_balance, stack, torsion_spring

SUBJECT = "door"


FOOT = 0.3048
"""Travel (m) at which pulls are always compared: near the floor they change fastest."""


STEPS = 60
"""even steps of travel along the curve of force"""


@error_gain(by_curve={"stays": 0.0})
def pull_closed(track_path: rolling.Path, door_shape: rolling.Door) -> Weight:
    """Pull of the closed door

    Formula: sum of roller load x climb per travel; the whole weight while the door hangs straight
    Unit: N
    Source: derived; virtual work, frictionless

    >>> round(pull_closed(rolling.Path(2.0, 0.3), rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)), 6)
    600.0
    """
    return rolling.pull(track_path, door_shape, 0.0)


@error_gain(by_curve={"moves": 0.0})
def pull_open(door_shape: rolling.Door, door_opened: rolling.Trace) -> Weight:
    """Pull of the open door

    Formula: sum of roller load x climb per travel
    Unit: N
    Source: derived; virtual work, frictionless

    >>> path, door = rolling.Path(2.0, 0.2), rolling.Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> round(pull_open(door, rolling.trace(path, door, 1.757786)), 3)
    200.0
    """
    return rolling.held(door_shape, door_opened.climb, door_opened.turn)


def residual_closed(
    tower_residual_closed: Pull | None, torsion_residual_closed: Pull | None, counterbalance_on_springs: Flag
) -> Pull:
    """What the counterbalance pulls more than the closed door

    Positive: the door moves up.

    Formula: pull of the counterbalance - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_closed(-350.0, None, False)
    -350.0
    """
    return _either("residual_closed", tower_residual_closed, torsion_residual_closed, counterbalance_on_springs)


def residual_open(
    tower_residual_open: Pull | None, torsion_residual_open: Pull | None, counterbalance_on_springs: Flag
) -> Pull:
    """What the counterbalance pulls more than the open door

    Positive: the door is held against its bumpers.

    Formula: pull of the counterbalance - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_open(None, 40.0, True)
    40.0
    """
    return _either("residual_open", tower_residual_open, torsion_residual_open, counterbalance_on_springs)


def left_over(
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_marks: tuple[balance.Mark | None, ...],
    counterbalance_on_springs: Flag,
    stack_law: stack.Law | None,
    stack_points: tuple[tuple[Length, Weight], ...] | None,
    tower_hook_up: Length | None,
    torsion_wound_springs: tuple[torsion_spring.Wound, ...] | None,
    drum_shape: drum.Drum | None,
    practice_drift_from: Length,
) -> tuple[tuple[Length, Pull], ...]:
    """What the counterbalance pulls more than the door, wherever that may be most

    Between two marks boxes come on by their springs and stops, springs run on, and the door turns through the curve:
    the difference is often largest there.

    Formula: pull of the counterbalance - pull of the door: closed, open, at marks, at corners of the law, and between
    Unit: N
    Source: derived; virtual work, frictionless

    >>> straight = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> law = stack.law([1100.0], [])
    >>> tower = law, tuple(stack.over_travel(law, 1.0, 1.0)), 1.0
    >>> left_over(rolling.Path(float("inf")), straight, 1.0, (None, None), False, *tower, None, None, 0.3)[0]
    (0.0, -50.0)
    """
    corners: tuple[tuple[float, float], ...] = ()
    if counterbalance_on_springs:
        if torsion_wound_springs is None or drum_shape is None:
            raise MissingInput("torsion.pull_closed")
        springs, shape = torsion_wound_springs, drum_shape
        other = partial(spring_balance.pull, springs, shape)
        ends = [*shape.cables, *(shape.cable(min(spring.turns, shape.end)) for spring in springs)]
        corners = tuple([(travel, other(travel)) for travel in ends if 0.0 < travel < door_open_travel])
    else:
        if stack_law is None or stack_points is None or tower_hook_up is None:
            raise MissingInput("stack.law")
        other, corners = partial(stack.door_pull, stack_law, tower_hook_up), stack_points
    places = (*corners, *((at, other(at)) for at in sorted({practice_drift_from, FOOT})))
    left = balance.left_over(track_path, door_shape, door_marks, other, places, door_open_travel)
    if counterbalance_on_springs:
        left = spring_balance.sharpened(left, lambda at: other(at) - rolling.pull(track_path, door_shape, at))
    return tuple(left)


def residual_largest(door_left_over: tuple[tuple[Length, Pull], ...]) -> Pull:
    """Largest difference between counterbalance and door, over the whole travel

    Formula: the one farthest from nothing
    Unit: N
    Source: derived; from both pulls

    >>> residual_largest(((0.0, -300.0), (1.0, 20.0)))
    -300.0
    """
    return max((over for _, over in door_left_over), key=abs)


def curve(
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_marks: tuple[balance.Mark | None, ...],
    stack_law: stack.Law | None,
    stack_points: tuple[tuple[Length, Weight], ...] | None,
    tower_hook_up: Length | None,
    torsion_wound_springs: tuple[torsion_spring.Wound, ...] | None,
    drum_shape: drum.Drum | None,
) -> list[tuple[float, float, float | None, float | None]]:
    """Force over travel: the door, its counterbalance, and what is left over

    Even steps of travel from closed to open, every mark, and every corner of the law of a stack; a travel that comes
    twice is a jump, its side toward closed first. Without a counterbalance that can be worked out only the door's own
    pull is there.

    Formula: at each travel: pull of the door, pull of the counterbalance, their difference
    Unit: N
    Source: derived; virtual work, frictionless

    >>> straight = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> law = stack.law([1200.0], [])
    >>> corners = tuple(stack.over_travel(law, 1.0, 1.0))
    >>> points = curve(rolling.Path(float("inf")), straight, 1.0, (None, None), law, corners, 1.0, None, None)
    >>> len(points), points[-1]
    (61, (1.0, 600.0, 600.0, 0.0))
    """
    other: Callable[[float], float] | None = None
    corners: tuple[tuple[float, float], ...] = ()
    if stack_law is not None and stack_points is not None and tower_hook_up is not None:
        other, corners = partial(stack.door_pull, stack_law, tower_hook_up), stack_points
    elif torsion_wound_springs is not None and drum_shape is not None:
        other = partial(spring_balance.pull, torsion_wound_springs, drum_shape)
    bent = {travel for travel, _ in corners}
    even = [door_open_travel * step / STEPS for step in range(STEPS + 1)]
    travels = {*even, *(mark.travel for mark in door_marks if mark is not None)} - bent
    found = [*corners, *[(travel, None if other is None else other(travel)) for travel in travels]]
    points: list[tuple[float, float, float | None, float | None]] = []
    for travel, force in sorted(found, key=itemgetter(0)):
        door = rolling.pull(track_path, door_shape, travel)
        points.append((travel, door, force, None if force is None else force - door))
    return points


def _either(figure: str, tower: float | None, torsion: float | None, on_springs: bool) -> float:
    """That of the counterbalance the job has; asks for what is lacking of it."""
    if tower is not None:
        return tower
    if torsion is not None:
        return torsion
    raise MissingInput(f"{'torsion' if on_springs else 'tower'}.{figure}")

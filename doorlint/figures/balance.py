"""Whether the door stays wherever it is let go: what the counterbalance leaves over against friction."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from math import inf
from operator import itemgetter

from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Length, Pull, Speed, Text, Weight
from doorlint.mechanics import drift, rolling, spring_balance, stack


def friction(
    operation_friction: Weight,
    reading_travel: Each[Length | None] | None,
    reading_friction: Each[Pull] | None,
) -> tuple[tuple[Length, Weight], ...]:
    """Friction of the door over its travel

    Formula: as read at each mark, straight between marks; before it is read, the same share of the weight everywhere
    Unit: N
    Source: derived; friction is half the difference of the readings

    >>> friction(200.0, None, None)
    ((0.0, 200.0),)
    >>> friction(200.0, {"closed": 0.0, "mark-1": 1.75}, {"closed": 150.0, "mark-1": 40.0})
    ((0.0, 150.0), (1.75, 40.0))
    """
    if not reading_travel or reading_friction is None:
        return ((0.0, operation_friction),)
    read = {travel: reading_friction[key] for key, travel in reading_travel.items() if travel is not None}
    return tuple(sorted(read.items())) or ((0.0, operation_friction),)


def first_mark(box_mark_travel: Each[Length | None] | None, stack_first_group: Count | None) -> Length | None:
    """Travel beyond which the open door is drawn up to its bumpers

    The mark of the first boxes to hang: beyond it they still hang, and the door grows lighter. Does not apply where no
    mark is reached, nor on springs.

    Formula: pick-up travel of the first group
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> first_mark({"b1": None, "b2": 1.75, "b3": 1.25}, 2), first_mark({"b1": 0.0}, 1), first_mark(None, None)
    (1.75, None, None)
    """
    if box_mark_travel is None or stack_first_group is None:
        return None
    return list(box_mark_travel.values())[stack_first_group - 1] or None


def chain_safeguard(
    job_standard: Text | None,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_left_over: tuple[tuple[Length, Pull], ...],
    stack_law: stack.Law,
    tower_hook_up: Length,
    box_loaded: Each[Weight],
    operation_friction: Weight,
    operation_holds: Weight,
    practice_drift_from: Length,
) -> Text | None:
    """What holds the door of a European tower when its upper chain breaks

    Does not apply to a job under other standards, nor to a tower of one box. Box 1 alone then pulls; a lower chain
    leaves more.

    Formula: friction, the drive, or nothing, against what the door is short of box 1 from a foot of travel up
    Unit: -
    Source: published; EN 12604; 2017; 4.3.4
    """
    if job_standard != "EN" or len(box_loaded) < 2:
        return None
    alone = next(iter(box_loaded.values())) / 2.0
    shorts = [
        rolling.pull(track_path, door_shape, travel) - min(stack.door_pull(stack_law, tower_hook_up, travel), alone)
        for travel, _ in door_left_over
        if travel >= practice_drift_from
    ]
    short = max([0.0, *shorts])
    if short <= operation_friction:
        return "friction"
    return "drive" if short - operation_friction <= operation_holds else "nothing"


def sinking(
    door_left_over: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    practice_drift_from: Length,
) -> tuple[Length, Weight, Weight]:
    """Where the door comes down hardest when it is let go: travel, how heavy it is there, and the friction there

    Looked for from a foot of travel to open. Below that the door goes back to the floor it stands on.

    Formula: largest of pull of the door - pull of the counterbalance - friction
    Unit: N
    Source: derived; equilibrium with friction

    >>> sinking(((0.0, -300.0), (0.25, -90.0), (1.0, 20.0)), ((0.0, 60.0),), 0.25)
    (0.25, 90.0, 60.0)
    """
    heavy = [(travel, -over) for travel, over in door_left_over if travel >= practice_drift_from]
    return _hardest(heavy, balance_friction)


def rising(
    door_left_over: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    balance_first_mark: Length | None,
) -> tuple[Length, Weight, Weight]:
    """Where the door rises hardest when it is let go: travel, how light it is there, and the friction there

    Looked for from closed to the mark of the first boxes. Beyond that the door is drawn up to its bumpers.

    Formula: largest of pull of the counterbalance - pull of the door - friction
    Unit: N
    Source: derived; equilibrium with friction

    >>> rising(((0.0, -300.0), (1.0, 20.0), (2.0, 40.0)), ((0.0, 60.0),), 1.0)
    (1.0, 20.0, 60.0)
    """
    end = balance_first_mark
    light = [(travel, over) for travel, over in door_left_over if end is None or travel <= end]
    return _hardest(light, balance_friction)


def heavy_at(balance_sinking: tuple[Length, Weight, Weight]) -> Length:
    """Travel at which the door comes down hardest when it is let go

    Formula: where it is heavy most beyond friction
    Unit: m
    Source: derived; equilibrium with friction

    >>> heavy_at((0.25, 90.0, 60.0))
    0.25
    """
    return balance_sinking[0]


def heavy(balance_sinking: tuple[Length, Weight, Weight]) -> Weight:
    """How heavy the door is where it comes down hardest

    Formula: pull of the door - pull of the counterbalance
    Unit: N
    Source: derived; from both pulls

    >>> heavy((0.25, 90.0, 60.0))
    90.0
    """
    return max(balance_sinking[1], 0.0)


def heavy_friction(balance_sinking: tuple[Length, Weight, Weight]) -> Weight:
    """Friction that holds the door where it comes down hardest

    Formula: friction at that travel
    Unit: N
    Source: derived; friction over the travel

    >>> heavy_friction((0.25, 90.0, 60.0))
    60.0
    """
    return balance_sinking[2]


def sinks(balance_heavy: Weight, balance_heavy_friction: Weight) -> Weight:
    """Force that draws the door down when it is let go

    Formula: how heavy it is - friction
    Unit: N
    Source: derived; equilibrium with friction

    >>> sinks(90.0, 60.0), sinks(40.0, 60.0)
    (30.0, 0.0)
    """
    return max(balance_heavy - balance_heavy_friction, 0.0)


def light_at(balance_rising: tuple[Length, Weight, Weight]) -> Length:
    """Travel at which the door rises hardest when it is let go

    Formula: where it is light most beyond friction
    Unit: m
    Source: derived; equilibrium with friction

    >>> light_at((1.0, 90.0, 60.0))
    1.0
    """
    return balance_rising[0]


def light(balance_rising: tuple[Length, Weight, Weight]) -> Weight:
    """How light the door is where it rises hardest

    Formula: pull of the counterbalance - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> light((1.0, 90.0, 60.0))
    90.0
    """
    return max(balance_rising[1], 0.0)


def rises(balance_rising: tuple[Length, Weight, Weight]) -> Weight:
    """Force that draws the door up when it is let go

    Formula: how light it is - friction
    Unit: N
    Source: derived; equilibrium with friction

    >>> rises((1.0, 90.0, 60.0)), rises((1.0, 40.0, 60.0))
    (30.0, 0.0)
    """
    return max(balance_rising[1] - balance_rising[2], 0.0)


def moving_weights(
    door_load: Weight, stack_points: tuple[tuple[Length, Weight], ...]
) -> tuple[tuple[Length, Weight], ...]:
    """Weight that moves at the speed of the door, over its travel: the door, and the boxes at half of it

    Formula: weight of the door + half of what the boxes that hang there pull on it
    Unit: N
    Source: derived; boxes that weigh twice their pull move half as fast as the door

    >>> moving_weights(4000.0, ((0.0, 3800.0), (2.0, 1800.0)))
    ((0.0, 5900.0), (2.0, 4900.0))
    """
    return tuple((travel, door_load + pull / 2) for travel, pull in stack_points)


@error_gain(inf)  # a speed rises with the root of what friction no longer holds
def speed_down(
    door_left_over: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    balance_moving_weights: tuple[tuple[Length, Weight], ...],
    practice_drift_from: Length,
) -> Speed:
    """Greatest speed at which the door comes down when it is let go a foot or more above the floor

    Formula: sqrt(2 x work of the residual less friction / moving mass), let go where that is most
    Unit: m/s
    Source: derived; energy; pulleys left out

    >>> round(speed_down(((0.0, -120.0), (2.0, -120.0)), ((0.0, 20.0),), ((0.0, 980.665),), 0.0), 6)
    2.0
    """
    beyond = [(travel, over + drift.friction_at(balance_friction, travel)) for travel, over in door_left_over]
    weight_at = partial(drift.friction_at, balance_moving_weights)
    return spring_balance.greatest_speed(beyond, 0.0, weight_at, "down", practice_drift_from)


@error_gain(inf)  # likewise
def speed_up(
    door_left_over: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    balance_moving_weights: tuple[tuple[Length, Weight], ...],
) -> Speed:
    """Greatest speed at which the door goes up when it is let go

    Formula: sqrt(2 x work of the residual less friction / moving mass), let go where that is most
    Unit: m/s
    Source: derived; energy; pulleys left out

    >>> round(speed_up(((0.0, 120.0), (2.0, 120.0)), ((0.0, 20.0),), ((0.0, 980.665),)), 6)
    2.0
    """
    beyond = [(travel, over - drift.friction_at(balance_friction, travel)) for travel, over in door_left_over]
    return spring_balance.greatest_speed(beyond, 0.0, partial(drift.friction_at, balance_moving_weights), "up")


def drifts(
    door_left_over: tuple[tuple[Length, Pull], ...],
    torsion_residuals: tuple[tuple[Length, Pull], ...] | None,
    balance_friction: tuple[tuple[Length, Weight], ...],
) -> list[tuple[Length, Length, str, Weight]]:
    """Stretches of the travel where the door moves by itself when it is let go: from, to, which way, and the pull

    Formula: where counterbalance and door differ by more than the friction
    Unit: m
    Source: derived; equilibrium with friction

    >>> drifts(((0.0, -300.0), (1.0, 100.0)), None, ((0.0, 100.0),))
    [(0.0, 0.5, 'down', 300.0)]
    """
    points = torsion_residuals or door_left_over
    shares = [(travel, over / max(drift.friction_at(balance_friction, travel), 1e-9)) for travel, over in points]
    found = []
    for stretch in drift.drifts(shares, 1.0):
        sign = 1.0 if stretch.way == "up" else -1.0
        inside = (sign * over for travel, over in points if stretch.start <= travel <= stretch.end)
        found.append((stretch.start, stretch.end, stretch.way, max(inside)))
    return found


def _hardest(
    forces: Iterable[tuple[float, float]], friction: tuple[tuple[float, float], ...]
) -> tuple[float, float, float]:
    """Travel, force and friction where the force is most beyond the friction."""
    if len(friction) == 1:
        travel, force = max(forces, key=itemgetter(1), default=(0.0, 0.0))
        return travel, force, friction[0][1]
    beyond = [(travel, force, drift.friction_at(friction, travel)) for travel, force in forces]
    return max(beyond, key=lambda one: one[1] - one[2], default=(0.0, 0.0, friction[0][1]))

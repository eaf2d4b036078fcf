"""The force on each part that holds the door and its counterweight, case by case."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt

from doorlint.figures.kinds import Count, Each, Flag, Length, Pressure, Pull, Text, Weight
from doorlint.mechanics import balance, link_statics, load_path, rolling

SIDES = 2
"""rollers, hinges, bumpers and brackets of a kind share what both sides carry together"""


def rollers(
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_marks: tuple[balance.Mark | None, ...],
) -> tuple[Weight, Weight]:
    """Most that one roller and one hinge carry anywhere in travel

    Formula: half of the largest normal and of the largest joint force: closed, open, at marks
    Unit: N
    Source: derived; equilibrium of every section

    >>> door = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> [round(force) for force in rollers(rolling.Path(2.0, 0.2), door, 1.757786, (None, None))]
    [125, 150]
    """
    travels = [0.0, door_open_travel, *(mark.travel for mark in door_marks if mark is not None)]
    standing = [link_statics.forces(track_path, door_shape, travel) for travel in travels]
    normal = max(abs(force) for one in standing for force in one.normals)
    joint = max((force for one in standing for force in one.joints), default=0.0)
    return normal / SIDES, joint / SIDES


def wind_on_roller(door_frame: rolling.Door, door_width: Length, wind_demand: Pressure) -> Weight:
    """Wind that the hardest loaded roller of the closed door takes

    Formula: pressure x half the width x the most of the sections' heights that falls to one roller
    Unit: N
    Source: derived; a section's height is split to its rollers as its weight is

    >>> round(wind_on_roller(rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), 3.0, 900.0), 1)
    590.6
    """
    heights = rolling.Door(door_frame.heights, door_frame.heights, door_frame.bottom_roller, door_frame.top_roller)
    return wind_demand * door_width / SIDES * max(heights.loads)


def fittings(
    load_path_rollers: tuple[Weight, Weight] | None,
    load_path_wind_on_roller: Weight | None,
    door_residual_open: Pull | None,
    door_residual_closed: Pull | None,
    operation_by: Text | None,
    operation_pull: Weight | None,
    operation_lock_fitted: Flag | None,
    tower_side: Text | None,
    stack_pull_closed: Weight | None,
    stack_pull_open: Weight | None,
    stack_weight: Weight | None,
    box_loaded: Each[Weight] | None,
    torsion_pull_closed: Pull | None,
    torsion_pull_largest: Pull | None,
    torsion_mount: Text | None,
) -> dict[str, tuple[load_path.Case, ...]]:
    """What every kind of part carries, case by case

    Formula: force of one part in each case
    Unit: N
    Source: derived; statics of door, cables and hanging stack

    >>> found = fittings((120.0, 150.0), 400.0, 20.0, -90.0, "hand", None, False, "left", 4000.0, 400.0, 4000.0,
    ...     {"b1": 400.0, "b2": 3600.0}, None, None, None)
    >>> found["eye-bolt"][1], found["base-stop"]
    (Case(case='near cable gone', force=2000.0), (Case(case='open on the bumpers', force=3600.0),))
    """
    roller, hinge = load_path_rollers or (None, None)
    pulled = load_path.STALL if operation_by in ("chain-hoist", "motor") else None
    if operation_by == "hand" and operation_pull is not None:
        pulled = load_path.HAND
    found = {
        "roller": (
            load_path.Case(load_path.TRAVEL, roller), load_path.Case(load_path.WIND, load_path_wind_on_roller),
        ),
        "hinge": (load_path.Case(load_path.TRAVEL, hinge),),
        "bumper": _held(load_path.OPEN, door_residual_open, pulled, operation_pull, SIDES),
    }  # fmt: skip
    if operation_lock_fitted:
        found["lock"] = _held(load_path.REST, door_residual_closed, pulled, operation_pull, 1)
    if torsion_mount is not None:
        shared = {"bottom-bracket": 1.0, "drum": 1.0} | ({"front-pulley": sqrt(2.0)} if torsion_mount == "rear" else {})
        pulls = (
            (load_path.REST, torsion_pull_closed, 0.5),
            (load_path.TRAVEL, torsion_pull_largest, 0.5),
            (load_path.ALONE, torsion_pull_largest, 1.0),
        )
        for key, turned in shared.items():  # the pulley turns its cable from level to straight down
            found[key] = tuple(
                [load_path.Case(case, None if pull is None else part * turned * pull) for case, pull, part in pulls]
            )
    if tower_side is not None:
        found |= _in_tower(stack_pull_closed, stack_pull_open, stack_weight, box_loaded)
    return found


def _in_tower(
    pull_closed: float | None, pull_open: float | None, weight: float | None, loaded: Mapping[str, float] | None
) -> dict[str, tuple[load_path.Case, ...]]:
    """What cables and boxes of a tower carry."""
    found = {}
    tension = None if pull_closed is None else pull_closed / 4
    for key, part in (("bottom-bracket", "bottom bracket"), ("eye-bolt", "eye bolt"), ("box-top", "top of box 1")):
        cases = load_path.cases(part, tension or 0.0)
        found[key] = cases if tension is not None else tuple(case._replace(force=None) for case in cases)
    first = next(iter((loaded or {}).values()), None)
    below = None if pull_closed is None or first is None else pull_closed - first
    standing = None if weight is None or pull_open is None else weight - pull_open
    found["box-bottom"] = found["spring-stop"] = (load_path.Case(load_path.REST, below),)
    found["base-stop"] = (load_path.Case(load_path.OPEN, standing),)
    return found


def unanswered(
    load_path_fittings: dict[str, tuple[load_path.Case, ...]],
    fitting_capacity: Each[Weight | None] | None,
    fitting_answers: Each[Text | None] | None,
) -> Count:
    """Kinds of parts that carry the door and for which nobody gave a capacity or answers

    Formula: count of the parts without either
    Unit: 1
    Source: derived; counted

    >>> unanswered({"roller": (), "hinge": ()}, {"roller": 900.0}, None)
    1
    """
    return len(_open(load_path_fittings, fitting_capacity, fitting_answers))


def unanswered_parts(
    load_path_fittings: dict[str, tuple[load_path.Case, ...]],
    fitting_capacity: Each[Weight | None] | None,
    fitting_answers: Each[Text | None] | None,
) -> Text:
    """The parts that carry the door and for which nobody gave a capacity or answers

    Formula: their names
    Unit: -
    Source: derived; from the spec

    >>> unanswered_parts({"roller": (), "hinge": ()}, {"roller": 900.0}, None)
    'hinge'
    """
    return ", ".join(_open(load_path_fittings, fitting_capacity, fitting_answers))


def _open(
    parts: dict[str, tuple[load_path.Case, ...]],
    capacities: Each[Weight | None] | None,
    answers: Each[Text | None] | None,
) -> list[str]:
    answered = {key for column in (capacities, answers) for key, value in (column or {}).items() if value is not None}
    return [part for part in parts if part not in answered]


def _held(
    case: str, residual: float | None, pulled: str | None, pull: float | None, shared: int
) -> tuple[load_path.Case, ...]:
    """What holds the door against its counterweight: pushed up by it alone, and by a drive or person that pulls on."""
    force = None if residual is None else max(residual, 0.0)
    cases = [load_path.Case(case, None if force is None else force / shared)]
    if pulled is not None:
        both = None if force is None or pull is None else (force + pull) / shared
        cases.append(load_path.Case(pulled, both))
    return tuple(cases)

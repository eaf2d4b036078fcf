"""What people lift by hand, after the revised NIOSH equation, and what a tackle puts on what it hangs from.

The equation is for one person who lifts smoothly with both hands, with firm footing and a fair climate. Outside its
limits it allows no load, and these figures are not worked out.
"""

from __future__ import annotations

from functools import partial

from doorlint.errors import MissingInput, OutsideTable
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import (
    Angle,
    Count,
    Each,
    Frequency,
    Length,
    Pull,
    Ratio,
    Share,
    Table,
    Text,
    Time,
    Weight,
)
from doorlint.mechanics import balance, lifting, rolling, stack

HOUR = 3600.0
SELDOM = 0.2 / 60.0
"""once in five minutes (per second)"""
SLACK = 1.0 + 1e-9


def hand_travel(lifting_hand_start: Length, lifting_hand_end: Length) -> Length:
    """How far the load is raised or lowered by hand

    Formula: difference of the two heights
    Unit: m
    Source: derived; from the spec

    >>> hand_travel(1.25, 0.5)
    0.75
    """
    return abs(lifting_hand_end - lifting_hand_start)


def frequency_multiplier(
    lifting_hand_frequency: Frequency, lifting_hand_duration: Time, table_niosh_frequency: Table
) -> Ratio:
    """What is left of the load constant at this number of lifts a minute

    Lifting for more than an hour takes the column for up to eight hours; less than one lift in five minutes counts
    as one.

    Formula: table by frequency and duration
    Unit: 1
    Source: published; NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation; 1994; Table 5

    >>> from doorlint.figures.table import Table
    >>> match = {"duration": "exact", "frequency": "between"}
    >>> rows = (("up to 1 h", 0.2 / 60, 1.0), ("up to 1 h", 0.5 / 60, 0.97))
    >>> table = Table("niosh-frequency", ("duration", "frequency", "multiplier"), match, rows)
    >>> frequency_multiplier(0.1 / 60, 1800.0, table)
    1.0
    """
    hours = lifting_hand_duration / HOUR
    if hours > 8.0 * SLACK:
        raise OutsideTable(f"the lifting equation ends at 8 h of lifting; this goes on for {hours:.3g} h")
    duration = "up to 1 h" if hours <= SLACK else "up to 8 h"
    frequency = max(lifting_hand_frequency, SELDOM)
    return table_niosh_frequency.look("multiplier", duration=duration, frequency=frequency)


def posture_multiplier(lifting_hand_reach: Length, lifting_hand_travel: Length, lifting_hand_twist: Angle) -> Ratio:
    """What is left of the load constant for reach, travel and twist together

    Formula: 10/H x (.82 + 1.8/D) x (1 - .0032 A)
    Unit: 1
    Source: second-hand; NIOSH 94-110; 1994; 1.3

    >>> round(posture_multiplier(0.508, 0.9144, 0.0), 3)
    0.435
    """
    return (
        lifting.reach_factor(lifting_hand_reach)
        * lifting.travel_factor(lifting_hand_travel)
        * lifting.twist_factor(lifting_hand_twist)
    )


def limit_at_start(
    lifting_hand_start: Length,
    lifting_hand_grip: Text,
    lifting_posture_multiplier: Ratio,
    lifting_frequency_multiplier: Ratio,
    table_niosh_coupling: Table,
) -> Weight:
    """Recommended weight for one person where the lift begins

    Formula: 51 lb x reach, travel, twist, frequency, height and grip
    Unit: N
    Source: second-hand; NIOSH 94-110; 1994; 1.3

    >>> from doorlint.figures.table import Table
    >>> match = {"grip": "exact", "height": "from"}
    >>> table = Table("niosh-coupling", ("grip", "height", "multiplier"), match, (("good", 0.0, 1.0),))
    >>> round(limit_at_start(0.0, "good", 1.0, 1.0, table) / 4.4482, 1)
    39.5
    """
    return _limit(
        lifting_hand_start, lifting_hand_grip, lifting_posture_multiplier * lifting_frequency_multiplier,
        table_niosh_coupling,
    )  # fmt: skip


def limit_at_end(
    lifting_hand_end: Length,
    lifting_hand_grip: Text,
    lifting_posture_multiplier: Ratio,
    lifting_frequency_multiplier: Ratio,
    table_niosh_coupling: Table,
) -> Weight:
    """Recommended weight for one person where the lift ends

    Formula: 51 lb x reach, travel, twist, frequency, height and grip
    Unit: N
    Source: second-hand; NIOSH 94-110; 1994; 1.3

    >>> from doorlint.figures.table import Table
    >>> match = {"grip": "exact", "height": "from"}
    >>> rows = (("good", 0.0, 1.0), ("good", 1.8, 1.0))
    >>> table = Table("niosh-coupling", ("grip", "height", "multiplier"), match, rows)
    >>> round(limit_at_end(0.762, "good", 1.0, 0.85, table) / 4.4482, 2)
    43.35
    """
    return _limit(
        lifting_hand_end, lifting_hand_grip, lifting_posture_multiplier * lifting_frequency_multiplier,
        table_niosh_coupling,
    )  # fmt: skip


def _limit(height: Length, grip: Text, others: Ratio, coupling: Table) -> Weight:
    at_height = lifting.height_factor(height)  # refuses a height beyond the equation before the table is asked
    return lifting.CONSTANT * others * at_height * coupling.look("multiplier", grip=grip, height=height)


def hand_limit(lifting_limit_at_start: Weight, lifting_limit_at_end: Weight) -> Weight:
    """Recommended weight for one person over the whole lift

    Formula: the lower of start and end
    Unit: N
    Source: second-hand; NIOSH 94-110; 1994; 2.3, significant control at the destination

    >>> hand_limit(150.0, 120.0)
    120.0
    """
    return min(lifting_limit_at_start, lifting_limit_at_end)


def hand_part(lifting_hand_weight: Weight, lifting_crew: Count) -> Weight:
    """What each person lifts if all share evenly

    Formula: weight lifted by hand / people
    Unit: N
    Source: derived; the even share is the least that the hardest loaded person can have

    >>> hand_part(300.0, 2)
    150.0
    """
    return lifting_hand_weight / lifting_crew


def team_limit(lifting_hand_limit: Weight, lifting_crew: Count) -> Weight:
    """Recommended weight for the crew together

    People never share a load evenly: two carry two thirds of the sum of their own limits, three one half. More are
    not in the rule.

    Formula: recommended weight x people x 1, 2/3 or 1/2
    Unit: N
    Source: published; HSE L23, Manual handling; edition not noted; paragraph 120

    >>> team_limit(150.0, 1), team_limit(150.0, 2), team_limit(150.0, 3)
    (150.0, 200.0, 225.0)
    """
    if lifting_crew > 3:
        raise OutsideTable(f"the rule for teams ends at 3 people; this crew has {lifting_crew}")
    return lifting_hand_limit * (1.0, 4.0 / 3.0, 3.0 / 2.0)[lifting_crew - 1]


def heaviest_section(section_load: Each[Weight], section_load_band: Each[Weight]) -> Weight:
    """The heaviest section, with what its weight may be off

    Formula: most of weight + band
    Unit: N
    Source: derived; from the sections

    >>> heaviest_section({"s1": 700.0, "s2": 720.0}, {"s1": 70.0, "s2": 0.0})
    770.0
    """
    return max(load + section_load_band[key] for key, load in section_load.items())


def left_over(
    lifting_boxes: Text | None,
    box_tare: Each[Weight] | None,
    stack_chains: tuple[stack.Chain, ...] | None,
    tower_hook_up: Length | None,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_marks: tuple[balance.Mark | None, ...],
    door_open_travel: Length,
    door_left_over: tuple[tuple[Length, Pull], ...],
) -> tuple[tuple[Length, Pull], ...]:
    """What the counterbalance pulls more than the door while the tackle raises it for the first time

    Formula: with the boxes loaded as planned; with empty boxes where they are loaded one by one on the way up
    Unit: N
    Source: derived; equilibrium of the hanging stack

    >>> left_over(None, None, None, None, None, None, None, None, ((0.0, -90.0),))
    ((0.0, -90.0),)
    """
    if lifting_boxes != "empty":
        return door_left_over
    if box_tare is None or stack_chains is None or tower_hook_up is None:
        raise MissingInput("box.tare")
    law = stack.law(tuple(box_tare.values()), stack_chains)
    other = partial(stack.door_pull, law, tower_hook_up)
    corners = stack.over_travel(law, tower_hook_up, door_open_travel)
    return tuple(balance.left_over(track_path, door_shape, door_marks, other, corners, door_open_travel))


@error_gain(0.0)  # what the weight may be off is in it, and is far more than a reading is off
def door_raise(
    lifting_left_over: tuple[tuple[Length, Pull], ...],
    balance_first_mark: Length | None,
    door_pull_closed: Weight,
    practice_friction_share: Share,
    practice_hoist_weight_band: Share,
) -> Weight:
    """What the tackle carries while it raises the door from closed to the first mark

    Formula: largest pull of the door - pull of the counterbalance, + friction + what the weight may be off
    Unit: N
    Source: derived; equilibrium over the travel; friction and weight as shares of the door's pull are practice

    >>> door_raise(((0.0, -300.0), (1.0, -50.0), (2.0, -400.0)), 1.5, 4000.0, 0.05, 0.05)
    700.0
    """
    end = balance_first_mark
    short = max(-over for travel, over in lifting_left_over if end is None or travel <= end)
    return max(short, 0.0) + door_pull_closed * (practice_friction_share + practice_hoist_weight_band)


def restraint_down(lifting_left_over: tuple[tuple[Length, Pull], ...]) -> Weight:
    """Most that the door pulls down on its restraint while it is balanced

    Formula: largest pull of the door - pull of the counterbalance, over the whole travel
    Unit: N
    Source: derived; equilibrium over the travel

    >>> restraint_down(((0.0, -300.0), (1.0, 50.0)))
    300.0
    """
    return max(0.0, *(-over for _, over in lifting_left_over))


def restraint_up(lifting_left_over: tuple[tuple[Length, Pull], ...]) -> Weight:
    """Most that the counterbalance pulls the door up on its restraint while it is balanced

    Formula: largest pull of the counterbalance - pull of the door, over the whole travel
    Unit: N
    Source: derived; equilibrium over the travel

    >>> restraint_up(((0.0, -300.0), (1.0, 50.0)))
    50.0
    """
    return max(0.0, *(over for _, over in lifting_left_over))


def restraint(lifting_restraint_down: Weight, lifting_restraint_up: Weight) -> Weight:
    """Most that holds the door while it is balanced, up or down

    Formula: the larger of the two
    Unit: N
    Source: derived; from both

    >>> restraint(300.0, 50.0)
    300.0
    """
    return max(lifting_restraint_down, lifting_restraint_up)


def raised(
    lifting_tackle_load: Weight | None,
    lifting_heaviest_section: Weight,
    tower_side: Text | None,
    stack_pull_empty: Weight | None,
    lifting_door_raise: Weight | None,
) -> Weight:
    """Most that the tackle raises

    Formula: largest of what the plan says, the heaviest section, the empty boxes and the door on its way to the mark
    Unit: N
    Source: derived; equilibrium of every step of the work

    >>> raised(1900.0, 770.0, None, None, None), raised(None, 770.0, "left", 500.0, 900.0)
    (1900.0, 900.0)
    """
    if tower_side is None:
        return max(lifting_tackle_load or 0.0, lifting_heaviest_section)
    if stack_pull_empty is None:
        raise MissingInput("stack.pull_empty")
    if lifting_door_raise is None:
        raise MissingInput("lifting.door_raise")
    return max(lifting_tackle_load or 0.0, lifting_heaviest_section, stack_pull_empty, lifting_door_raise)


def advantage(
    lifting_tackle_parts: Count | None, lifting_tackle_sheaves: Text, table_sheave_efficiency: Table
) -> Ratio | None:
    """How many times its line's pull the tackle raises; none for a geared hoist

    Formula: E (1 - E^n) / (1 - E), with n parts of line and E by the bearings
    Unit: 1
    Source: published; Pipeline Rules of Thumb Handbook; edition not noted; hoisting and tackle

    >>> from doorlint.figures.table import Table
    >>> table = Table("sheave-efficiency", ("bearing", "efficiency"), {"bearing": "exact"}, (("roller", 0.962),))
    >>> round(advantage(4, "roller", table), 3)
    3.634
    """
    if lifting_tackle_sheaves == "geared":
        return None
    if lifting_tackle_parts is None:
        raise MissingInput("lifting.tackle.parts")
    return lifting.advantage(
        lifting_tackle_parts, table_sheave_efficiency.look("efficiency", bearing=lifting_tackle_sheaves)
    )


def line_pull(lifting_raised: Weight, lifting_advantage: Ratio) -> Weight:
    """Pull on the tackle's line while it raises the load

    Formula: what it raises / advantage
    Unit: N
    Source: derived; the tackle's own weight left out

    >>> line_pull(1000.0, 4.0)
    250.0
    """
    return lifting_raised / lifting_advantage


def point_load(
    lifting_raised: Weight,
    lifting_tackle_weight: Weight,
    lifting_tackle_sheaves: Text,
    lifting_line_pull: Weight | None,
) -> Weight:
    """What the tackle pulls on the point it hangs from

    A line hauled from below pulls the point down as well as the load does. A geared hoist is not hauled by a line.

    Formula: what it raises + its own weight + pull of the line
    Unit: N
    Source: derived; equilibrium of the upper block with the line hauled straight down

    >>> point_load(1000.0, 150.0, "plain", 300.0), point_load(1000.0, 150.0, "geared", None)
    (1450.0, 1150.0)
    """
    if lifting_tackle_sheaves == "geared":
        return lifting_raised + lifting_tackle_weight
    if lifting_line_pull is None:
        raise MissingInput("lifting.line_pull")
    return lifting_raised + lifting_tackle_weight + lifting_line_pull


def point_wanted(
    track_tangent_height: Length,
    track_radius: Length,
    room_roof: Length,
    practice_hoist_above_track: Length,
    practice_hoist_under_ceiling: Length,
) -> Length:
    """Height wanted for the point the tackle hangs from

    Formula: height of the horizontal track + 2 ft where there is room, else a hand under the ceiling
    Unit: m
    Source: practice; the section has to swing in over the track

    >>> round(point_wanted(3.5, 0.4, 6.0, 0.6, 0.3), 6), round(point_wanted(3.5, 0.4, 4.6, 0.6, 0.3), 6)
    (4.5, 4.3)
    """
    return min(
        track_tangent_height + track_radius + practice_hoist_above_track, room_roof - practice_hoist_under_ceiling
    )

"""The counterweight boxes: what each should weigh, and what it weighs.

Box 1 is the top of the stack and carries the bottom section first. Boxes 1 to k hang when the joint above
the last section that box k serves stands at the pick-up point; half their weight then holds the door.
Boxes whose mark is not reached before the door is open hang from the start, as one group with the next.

A column of figures may hold None for a box that a figure does not apply to. A parameter of it is written
without ``| None``: an entry that is unknown shall make what is worked out from it unknown too.
"""

from __future__ import annotations

import math
from itertools import accumulate

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Length, Pull, Share, Weight
from doorlint.mechanics import rolling, stack


def mark_roller(box_sections: Each[tuple[str, ...]], section_height: Each[Length]) -> Each[Count]:
    """Roller that stands at the pick-up point at the mark of this box

    The one at the top of the last section that the box serves.

    Formula: number of that section from the floor
    Unit: 1
    Source: derived; the boxes take the sections in order

    >>> mark_roller({"b1": ("s1",), "b2": ("s2", "s3")}, {"s1": 0.5, "s2": 0.5, "s3": 0.5})
    {'b1': 1, 'b2': 3}
    """
    served = [key for keys in box_sections.values() for key in keys]
    if served != list(section_height):
        raise NotModelled("the boxes do not serve every section once, from the floor up")
    ends = accumulate(len(keys) for keys in box_sections.values())
    return dict(zip(box_sections, ends, strict=True))


def mark_travel(
    box_mark_roller: Each[Count], stack_first_group: Count, section_mark_travel: Each[Length]
) -> Each[Length | None]:
    """Travel of the door at the mark of this box

    None for a box above the last of those that always hang. Closed where no mark is reached.

    Formula: pick-up travel of its roller
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> mark_travel({"b1": 1, "b2": 2}, 1, {"s1": 1.75, "s2": 1.24})
    {'b1': 1.75, 'b2': 1.24}
    >>> mark_travel({"b1": 1, "b2": 2}, 2, {"s1": None, "s2": None})
    {'b1': None, 'b2': 0.0}
    """
    travels = list(section_mark_travel.values())
    at: dict[str, float | None] = {}
    for number, (key, roller) in enumerate(box_mark_roller.items(), start=1):
        travel = travels[roller - 1]
        at[key] = travel if travel is not None or number < stack_first_group else 0.0
    return at


def mark_height(
    box_mark_roller: Each[Count],
    box_mark_travel: Each[Length],
    section_mark_height: Each[Length],
    door_frame: rolling.Door,
) -> Each[Length | None]:
    """Bottom roller above the finished floor at the mark of this box

    Formula: height of the bottom roller with the roller of this box at the pick-up point, or closed
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)
    >>> mark_height({"b1": 1, "b2": 2}, {"b1": 1.75, "b2": 1.25}, {"s1": 1.875, "s2": 1.375}, door)
    {'b1': 1.875, 'b2': 1.375}
    """
    heights = list(section_mark_height.values())
    found: dict[str, float | None] = {}
    for key, roller in box_mark_roller.items():
        height: float | None = heights[roller - 1]
        found[key] = door_frame.bottom_roller if height is None and box_mark_travel[key] == 0.0 else height
    return found


@error_gain(by_curve={"moves": 0.0, "stays": 0.0})
def mark_pull(
    box_mark_roller: Each[Count],
    box_mark_travel: Each[Length],
    section_mark_pull: Each[Weight],
    door_pull_closed: Weight,
) -> Each[Weight | None]:
    """Pull of the door at the mark of this box

    Formula: pull of the door with the roller of this box at the pick-up point
    Unit: N
    Source: derived; virtual work, frictionless

    >>> mark_pull({"b1": 1, "b2": 2}, {"b1": None, "b2": 0.0}, {"s1": None, "s2": None}, 600.0)
    {'b1': None, 'b2': 600.0}
    """
    pulls = list(section_mark_pull.values())
    return {
        key: None if box_mark_travel[key] is None else door_pull_closed if pull is None else pull
        for key, pull in ((key, pulls[roller - 1]) for key, roller in box_mark_roller.items())
    }


def bias(box_mark_pull: Each[Weight], tower_bias: Pull | None, practice_balance_bias: Share) -> Each[Pull | None]:
    """How much lighter than balanced the door shall be at the mark of this box

    Formula: the force the spec asks for, else the shop's share of the door's pull
    Unit: N
    Source: practice; slightly light is right

    >>> bias({"b1": None, "b2": 600.0}, None, 0.01), bias({"b1": 200.0}, 15.0, 0.01)
    ({'b1': None, 'b2': 6.0}, {'b1': 15.0})
    """
    return {
        key: None if pull is None else practice_balance_bias * pull if tower_bias is None else tower_bias
        for key, pull in box_mark_pull.items()
    }


def target(
    box_mark_pull: Each[Weight],
    box_bias: Each[Pull],
    box_sections: Each[tuple[str, ...]],
    section_load: Each[Weight],
    stack_first_group: Count,
) -> Each[Weight]:
    """Weight wanted in this box and those above it

    Boxes that always hang share their common target by the weight of the sections they serve.

    Formula: 2 x (pull of the door at its mark + bias)
    Unit: N
    Source: derived; the hanging boxes pull the door with half their weight

    >>> target({"b1": 200.0, "b2": 400.0}, {"b1": 2.0, "b2": 4.0}, {"b1": ("s1",), "b2": ("s2",)},
    ...     {"s1": 300.0, "s2": 300.0}, 1)
    {'b1': 404.0, 'b2': 808.0}
    >>> target({"b1": None, "b2": 600.0}, {"b1": None, "b2": 0.0}, {"b1": ("s1",), "b2": ("s2",)},
    ...     {"s1": 200.0, "s2": 400.0}, 2)
    {'b1': 400.0, 'b2': 1200.0}
    """
    wanted: dict[str, float] = {}
    served = {key: sum(section_load[section] for section in sections) for key, sections in box_sections.items()}
    group = list(served)[:stack_first_group]
    last = group[-1]
    for key, pull in box_mark_pull.items():
        extra = box_bias[key]
        if pull is not None and extra is not None:
            wanted[key] = 2 * (pull + extra)
    shared, whole = 0.0, sum(served[key] for key in group)
    for number, key in enumerate(group[:-1], start=1):
        shared += served[key]
        wanted[key] = wanted[last] * (shared / whole if whole else number / len(group))
    return {key: wanted[key] for key in box_mark_pull}


def wanted(box_target: Each[Weight]) -> Each[Weight]:
    """Weight wanted in this box

    Formula: weight wanted to here - weight wanted to the box above
    Unit: N
    Source: derived; difference

    >>> wanted({"b1": 404.0, "b2": 808.0})
    {'b1': 404.0, 'b2': 404.0}
    """
    keys, targets = list(box_target), list(box_target.values())
    return dict(zip(keys, (here - above for here, above in zip(targets, [0.0, *targets], strict=False)), strict=True))


def plates_wanted(box_target: Each[Weight], box_tare: Each[Weight], tower_plate: Weight) -> Each[Count]:
    """Plates to load

    Plates come whole: each box is rounded on what the boxes above it left over. An empty box that weighs
    more than its target takes none.

    Formula: (weight wanted to here - weight of the boxes above - tare) / plate, rounded
    Unit: 1
    Source: derived; whole plates

    >>> plates_wanted({"b1": 404.0, "b2": 808.0}, {"b1": 120.0, "b2": 120.0}, 45.0)
    {'b1': 6, 'b2': 7}
    >>> plates_wanted({"b1": 100.0, "b2": 300.0}, {"b1": 120.0, "b2": 120.0}, 45.0)
    {'b1': 0, 'b2': 1}
    """
    if tower_plate <= 0.0:
        raise NotModelled("plates that weigh nothing balance nothing")
    plates, above = {}, 0.0
    for key, goal in box_target.items():
        plates[key] = max(math.floor((goal - above - box_tare[key]) / tower_plate + 0.5), 0)
        above += box_tare[key] + plates[key] * tower_plate
    return plates


def ballast(box_plates: Count | None, box_plates_wanted: Count | None, tower_plate: Weight) -> Weight:
    """Weight of the plates in this box

    Formula: plates x weight of a plate
    Unit: N
    Source: derived; the plates the spec gives, else those wanted

    >>> ballast(6, 7, 45.0), ballast(None, 7, 45.0)
    (270.0, 315.0)
    """
    plates = box_plates_wanted if box_plates is None else box_plates
    if plates is None:
        raise MissingInput("box.plates_wanted")
    return plates * tower_plate


def loaded(box_tare: Weight, box_ballast: Weight) -> Weight:
    """Weight of the loaded box

    Formula: tare + plates
    Unit: N
    Source: derived; sum of the parts

    >>> loaded(120.0, 270.0)
    390.0
    """
    return box_tare + box_ballast


def hanging(box_loaded: Each[Weight]) -> Each[Weight]:
    """Weight of this box and those above it

    Formula: sum of the loaded boxes to here
    Unit: N
    Source: derived; sum of the parts

    >>> hanging({"b1": 390.0, "b2": 410.0})
    {'b1': 390.0, 'b2': 800.0}
    """
    return dict(zip(box_loaded, accumulate(box_loaded.values()), strict=True))


def next_loaded(box_loaded: Each[Weight]) -> Each[Weight | None]:
    """Weight of the box that the chain below this box takes up

    None for the lowest box, which has no chain below it.

    Formula: weight of the next box
    Unit: N
    Source: derived; from the loaded boxes

    >>> next_loaded({"b1": 390.0, "b2": 410.0, "b3": 400.0})
    {'b1': 410.0, 'b2': 400.0, 'b3': None}
    """
    return dict(zip(box_loaded, [*list(box_loaded.values())[1:], None], strict=True))


def chain_load(box_loaded: Each[Weight]) -> Each[Weight | None]:
    """Weight that hangs on the chain below this box when the whole stack hangs

    None for the lowest box.

    Formula: sum of the loaded boxes below
    Unit: N
    Source: derived; a chain carries every box below it

    >>> chain_load({"b1": 390.0, "b2": 410.0, "b3": 400.0})
    {'b1': 810.0, 'b2': 400.0, 'b3': None}
    """
    below: dict[str, float | None] = {}
    weight = 0.0
    for key in reversed(box_loaded):
        below[key] = weight if below else None
        weight += box_loaded[key]
    return {key: below[key] for key in box_loaded}


def residual(
    box_mark_travel: Each[Length], box_mark_pull: Each[Weight], stack_law: stack.Law, tower_hook_up: Length
) -> Each[Pull | None]:
    """What the stack pulls more than the door at the mark of this box

    Positive: the door moves up. The stack pulls with what hangs there, not with what should.

    Formula: pull on box 1 / 2 - pull of the door
    Unit: N
    Source: derived; equilibrium of the hanging stack

    >>> law = stack.law([400.0, 500.0], [stack.Chain(0.25)])
    >>> residual({"b1": 1.75, "b2": 0.5}, {"b1": 190.0, "b2": 440.0}, law, 1.0)
    {'b1': 10.0, 'b2': 10.0}
    """
    return {
        key: None
        if travel is None or box_mark_pull[key] is None
        else stack.door_pull(stack_law, tower_hook_up, travel) - box_mark_pull[key]
        for key, travel in box_mark_travel.items()
    }


def plates_correction(
    box_mark_roller: Each[Count],
    box_mark_travel: Each[Length],
    box_bias: Each[Pull],
    box_plates: Each[Count],
    tower_plate: Weight,
    reading_roller: Each[Count],
    reading_imbalance: Each[Pull],
) -> Each[Count | None]:
    """Plates to put into this box after the readings; negative to take out

    None where its mark was not read. Each box is rounded on what the boxes above it left over; none gives up more
    plates than it holds.

    Formula: 2 x (imbalance + bias) / plate - plates changed above, rounded, at most the box's own plates taken out
    Unit: 1
    Source: derived; the hanging boxes pull the door with half their weight

    >>> plates_correction({"b1": 1, "b2": 2}, {"b1": 1.7, "b2": 1.2}, {"b1": 2.0, "b2": 4.0},
    ...     {"b1": 9, "b2": 9}, 45.0, {"r1": 1, "r2": 2}, {"r1": 43.0, "r2": 41.0})
    {'b1': 2, 'b2': 0}
    """
    if tower_plate <= 0.0:
        raise NotModelled("plates that weigh nothing balance nothing")
    read = {roller: reading_imbalance[key] for key, roller in reading_roller.items()}
    changes: dict[str, int | None] = {}
    changed = 0
    for key, roller in box_mark_roller.items():
        heavy = read.get(0 if box_mark_travel[key] == 0.0 else roller)
        extra = box_bias[key]
        if heavy is None or extra is None:
            changes[key] = None
        else:
            change = max(math.floor(2 * (heavy + extra) / tower_plate - changed + 0.5), -box_plates[key])
            changes[key] = change
            changed += change
    return changes

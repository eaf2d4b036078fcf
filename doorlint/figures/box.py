"""The counterweight boxes: what each should weigh, what it weighs, and the chain that hangs the next one.

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
from doorlint.figures.kinds import Count, Each, Length, Position, Pull, Share, SpringRate, Weight
from doorlint.mechanics import rolling


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


def rest_top(box_height: Each[Length], tower_base_stop: Length) -> Each[Length]:
    """Top of this box at rest, above the finished floor

    Formula: base stop + boxes from the lowest up to this one
    Unit: m
    Source: derived; sum

    >>> rest_top({"b1": 0.25, "b2": 0.5}, 0.125)
    {'b1': 0.875, 'b2': 0.625}
    """
    tops, top = {}, tower_base_stop
    for key in reversed(box_height):
        top += box_height[key]
        tops[key] = top
    return {key: tops[key] for key in box_height}


def mark_travel(
    box_mark_roller: Each[Count], tower_always_hanging: Count, section_mark_travel: Each[Length]
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
        at[key] = travel if travel is not None or number < tower_always_hanging else 0.0
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
    tower_always_hanging: Count,
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
    group = list(served)[:tower_always_hanging]
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


def residual(box_hanging: Each[Weight], box_mark_pull: Each[Weight]) -> Each[Pull | None]:
    """What the hanging boxes pull more than the door at the mark of this box

    Positive: the door moves up.

    Formula: weight of this box and those above it / 2 - pull of the door
    Unit: N
    Source: derived; the hanging boxes pull the door with half their weight

    >>> residual({"b1": 300.0, "b2": 808.0}, {"b1": None, "b2": 400.0})
    {'b1': None, 'b2': 4.0}
    """
    return {key: None if pull is None else box_hanging[key] / 2 - pull for key, pull in box_mark_pull.items()}


def widest_band(box_mark_pull: Each[Weight], tower_plate: Weight, practice_balance_most: Share) -> Each[Weight | None]:
    """How far from its aim the balance may be before nobody moves the door

    Formula: the shop's share of the door's pull, but no less than a plate's
    Unit: N
    Source: practice; what one person still holds

    >>> widest_band({"b1": 400.0, "b2": 200.0}, 45.0, 0.06)
    {'b1': 24.0, 'b2': 22.5}
    """
    return _share_of(box_mark_pull, practice_balance_most, tower_plate / 2)


def _share_of(pulls: Each[Weight], share: float, least: float) -> dict[str, float | None]:
    return {key: None if pull is None else max(share * pull, least) for key, pull in pulls.items()}


def band(box_mark_pull: Each[Weight], tower_plate: Weight, practice_balance_band: Share) -> Each[Weight | None]:
    """How far from its aim the balance may be at the mark of this box

    Formula: the shop's share of the door's pull, but no less than half a plate's
    Unit: N
    Source: practice; plates come whole

    >>> band({"b1": 400.0, "b2": 2000.0}, 45.0, 0.02)
    {'b1': 11.25, 'b2': 40.0}
    """
    return _share_of(box_mark_pull, practice_balance_band, tower_plate / 4)


def chain_load(box_loaded: Each[Weight]) -> Each[Weight | None]:
    """Weight that hangs on the chain below this box

    None for the lowest box.

    Formula: sum of the loaded boxes below
    Unit: N
    Source: derived; sum of the parts

    >>> chain_load({"b1": 390.0, "b2": 410.0, "b3": 400.0})
    {'b1': 810.0, 'b2': 400.0, 'b3': None}
    """
    below: dict[str, float | None] = {}
    weight = 0.0
    for key in reversed(box_loaded):
        below[key] = weight if below else None
        weight += box_loaded[key]
    return {key: below[key] for key in box_loaded}


def next_loaded(box_loaded: Each[Weight], tower_always_hanging: Count) -> Each[Weight | None]:
    """Weight of the box that the chain below this box takes up

    None for the lowest box, and for a chain whose box always hangs.

    Formula: weight of the next box
    Unit: N
    Source: derived; from the loaded boxes

    >>> next_loaded({"b1": 390.0, "b2": 410.0, "b3": 400.0}, 1)
    {'b1': 410.0, 'b2': 400.0, 'b3': None}
    """
    weights = list(box_loaded.values())
    taken_up = [None, *[None] * (tower_always_hanging - 1), *weights[tower_always_hanging:], None]
    return dict(zip(box_loaded, taken_up[1:], strict=True))


def full_stretch(box_next_loaded: Weight, box_chain_spring_rate: SpringRate) -> Length:
    """Stretch of the spring under the full weight of its own box

    Formula: weight of the next box / spring rate
    Unit: m
    Source: derived; Hooke's law

    >>> full_stretch(410.0, 4100.0)
    0.1
    """
    if box_chain_spring_rate <= 0.0:
        raise NotModelled("a spring without stiffness carries nothing")
    return box_next_loaded / box_chain_spring_rate


def stretch(box_full_stretch: Length, box_chain_spring_stretch_at_stop: Length | None) -> Length:
    """Stretch of the spring when the next box is off the stack

    Formula: stretch under the full weight of the box, or to the stop where that comes first
    Unit: m
    Source: derived; Hooke's law

    >>> stretch(0.1, None), stretch(0.1, 0.08)
    (0.1, 0.08)
    """
    if box_chain_spring_stretch_at_stop is None:
        return box_full_stretch
    return min(box_full_stretch, box_chain_spring_stretch_at_stop)


@error_gain(by_curve={"moves": 0.0, "stays": 0.0})
def stretch_wanted(
    box_mark_roller: Each[Count],
    box_mark_travel: Each[Length],
    box_next_loaded: Each[Weight],
    door_frame: rolling.Door,
    track_path: rolling.Path,
) -> Each[Length | None]:
    """Stretch of the spring that takes the next box up in time

    The next box shall weigh in full when the joint of its mark has run half the door travel from the end
    of the curve to its start; box 1 rises half as far as the door comes down.

    Formula: (pick-up travel - travel with the joint at the start of the curve) / 4
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)
    >>> found = stretch_wanted({"b1": 1, "b2": 2}, {"b1": 1.757786, "b2": 1.2}, {"b1": 400.0, "b2": None},
    ...     door, rolling.Path(2.0, 0.2))
    >>> round(found["b1"], 6), found["b2"]
    (0.064447, None)
    """
    joints = list(accumulate(door_frame.heights))
    stretches: dict[str, float | None] = {}
    for key, travel in box_mark_travel.items():
        if travel is None or box_next_loaded[key] is None:
            stretches[key] = None
        else:
            start = track_path.tangent - joints[box_mark_roller[key] - 1]
            stretches[key] = min((travel - start) / 4, travel / 2)
    return stretches


def rate_wanted(box_next_loaded: Each[Weight], box_stretch_wanted: Each[Length]) -> Each[SpringRate | None]:
    """Spring rate that takes the next box up in time

    Formula: weight of the next box / stretch wanted
    Unit: N/m
    Source: derived; Hooke's law

    >>> rate_wanted({"b1": 410.0, "b2": None}, {"b1": 0.1, "b2": None})
    {'b1': 4100.0, 'b2': None}
    """
    rates: dict[str, float | None] = {}
    for key, stretched in box_stretch_wanted.items():
        if stretched is not None and stretched <= 0.0:
            raise NotModelled("there is no travel in which the spring could stretch")
        rates[key] = None if stretched is None else box_next_loaded[key] / stretched
    return rates


def slack(
    box_mark_travel: Each[Length],
    box_next_loaded: Each[Weight],
    box_stretch: Each[Length],
    tower_hook_up: Length,
) -> Each[Position | None]:
    """Slack in the chain below this box, the boxes standing on each other

    The first chain that comes tight starts from the rest of box 1, which hangs above it with the door
    open by what the hook-up height leaves; the next ones start when the box above them is off the stack.

    Formula: rise of box 1 from the mark before to this mark - stretch of the spring above
    Unit: m
    Source: derived; box 1 moves half as far as the door

    >>> slack({"b1": 1.75, "b2": 1.25, "b3": 0.5}, {"b1": 400.0, "b2": 400.0, "b3": None},
    ...     {"b1": 0.125, "b2": 0.125, "b3": None}, 1.125)
    {'b1': 0.25, 'b2': 0.125, 'b3': None}
    """
    slacks: dict[str, float | None] = {}
    risen = 0.0
    for key, travel in box_mark_travel.items():
        if travel is None or box_next_loaded[key] is None:
            slacks[key] = None
            continue
        rise = tower_hook_up - travel / 2
        slacks[key] = rise - risen
        risen = rise + (box_stretch[key] or 0.0)
    return slacks


def links_wanted(box_slack: Position, box_chain_pitch: Length | None) -> Count:
    """Links of slack in the chain below this box

    Formula: slack / inside length of a link, rounded
    Unit: 1
    Source: derived; whole links

    >>> links_wanted(0.16, 0.025)
    6
    """
    if box_chain_pitch is None:  # asked for only of a box that has a chain below it
        raise MissingInput("box.chain.pitch")
    if box_chain_pitch <= 0.0:
        raise NotModelled("links without length make no chain")
    return max(math.floor(box_slack / box_chain_pitch + 0.5), 0)


def slack_made(box_chain_links: Count | None, box_links_wanted: Count, box_chain_pitch: Length | None) -> Length:
    """Slack that the chain's whole links make

    Does not apply to a chain without slack: the lowest box has none, nor has one that always hangs.

    Formula: links of slack x inside length of a link
    Unit: m
    Source: derived; the links the spec gives, else those wanted

    >>> slack_made(None, 8, 0.025), slack_made(5, 8, 0.025)
    (0.2, 0.125)
    """
    if box_chain_pitch is None:
        raise MissingInput("box.chain.pitch")
    return (box_links_wanted if box_chain_links is None else box_chain_links) * box_chain_pitch


def links_correction(box_chain_links: Count | None, box_links_wanted: Count) -> Count:
    """Links to put into the chain below this box; negative to take out

    Formula: links wanted - links given
    Unit: 1
    Source: derived; difference

    >>> links_correction(5, 6)
    1
    """
    if box_chain_links is None:
        raise MissingInput("box.chain.links")
    return box_links_wanted - box_chain_links


def timing(box_slack: Each[Position], box_slack_made: Each[Length]) -> Each[Position | None]:
    """How much later in the closing door's travel the next box comes on than it should

    Negative: too early. What one chain is off by shifts every box below it.

    Formula: 2 x sum of (slack made - slack) to here
    Unit: m
    Source: derived; box 1 moves half as far as the door

    >>> late = timing({"b1": 0.16, "b2": 0.16, "b3": None}, {"b1": 0.15, "b2": 0.175, "b3": None})
    >>> [None if late[key] is None else round(late[key], 6) for key in late]
    [-0.02, 0.01, None]
    """
    late: dict[str, float | None] = {}
    sum_off = 0.0
    for key, wanted_slack in box_slack.items():
        made = box_slack_made[key]
        if wanted_slack is None or made is None:
            late[key] = None
        else:
            sum_off += made - wanted_slack
            late[key] = 2 * sum_off
    return late


def tight_at(box_mark_travel: Each[Length], box_timing: Each[Position]) -> Each[Position | None]:
    """Travel of the door at which the chain below this box comes tight

    Formula: pick-up travel - how much later it comes on
    Unit: m
    Source: derived; from the whole links

    >>> tight_at({"b1": 1.5, "b2": 1.0}, {"b1": 0.25, "b2": None})
    {'b1': 1.25, 'b2': None}
    """
    return {key: None if late is None else box_mark_travel[key] - late for key, late in box_timing.items()}


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

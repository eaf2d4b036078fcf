"""The counterweight boxes: what each should weigh, what it weighs, and the chain that hangs the next one.

Box 1 is the top of the stack and carries the bottom section first. Boxes 1 to k hang when the joint above
the last section that box k serves stands at the pick-up point; half their weight then holds the door.
Boxes whose mark is not reached before the door is open hang from the start, as one group with the next.

A column of figures may hold None for a box that a figure does not apply to. A parameter of it is written
without ``| None``: an entry that is unknown shall make what is worked out from it unknown too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import accumulate

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Flag, Length, Position, Pull, Share, SpringRate, Text, Weight
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


def spring_end(box_chain_load: Weight, box_next_loaded: Weight, box_chain_spring_stop: Flag | None) -> Text | None:
    """What carries on when the spring below this box is fully stretched

    Does not apply where only one box hangs on it.

    Formula: a stop where the spec has one
    Unit: -
    Source: derived; a chain carries every box below it

    >>> spring_end(900.0, 500.0, True), spring_end(900.0, 500.0, False), spring_end(500.0, 500.0, False)
    ('a stop', 'no stop', None)
    """
    if box_chain_load <= box_next_loaded:
        return None
    if box_chain_spring_stop is None:
        raise MissingInput("box.chain.spring.stop")
    return "a stop" if box_chain_spring_stop else "no stop"


def chain_parts(
    box_next_loaded: Weight,
    box_chain_pitch: Length | None,
    box_chain_spring_rate: SpringRate | None,
    box_chain_spring_stop: Flag | None,
    box_chain_spring_stretch_at_stop: Length | None,
    box_rate_wanted: SpringRate | None,
) -> stack.ChainParts:
    """The chain below this box: inside length of a link, rate of its spring, and stretch at the spring's stop

    A chain without a spring is rigid. What the spec leaves open of a spring is taken as wanted: the rate that is in
    time with the door, and a stop at the full weight of the next box.

    Formula: as given, else as wanted
    Unit: -
    Source: derived; Hooke's law

    >>> chain_parts(400.0, 0.025, 4000.0, True, 0.12, None)
    ChainParts(link=0.025, rate=4000.0, stop=0.12)
    >>> chain_parts(400.0, 0.025, None, True, None, 5000.0)
    ChainParts(link=0.025, rate=5000.0, stop=0.08)
    >>> chain_parts(400.0, 0.025, None, None, None, 5000.0)
    ChainParts(link=0.025, rate=inf, stop=0.0)
    """
    if box_chain_pitch is None:
        raise MissingInput("box.chain.pitch")
    if box_chain_pitch <= 0.0:
        raise NotModelled("links without length make no chain")
    if box_chain_spring_rate is None and box_chain_spring_stop is None and box_chain_spring_stretch_at_stop is None:
        return stack.ChainParts(box_chain_pitch, math.inf, 0.0)
    rate = box_rate_wanted if box_chain_spring_rate is None else box_chain_spring_rate
    if rate is None:
        raise MissingInput("box.chain.spring.rate")
    if rate <= 0.0:
        raise NotModelled("a spring without stiffness carries nothing")
    stop = box_next_loaded / rate if box_chain_spring_stretch_at_stop is None else box_chain_spring_stretch_at_stop
    return stack.ChainParts(box_chain_pitch, rate, math.inf if box_chain_spring_stop is False else stop)


def full_stretch(box_next_loaded: Weight, box_chain_parts: stack.ChainParts) -> Length | None:
    """Stretch of the spring under the full weight of its own box

    Does not apply to a rigid chain.

    Formula: weight of the next box / spring rate
    Unit: m
    Source: derived; Hooke's law

    >>> full_stretch(410.0, stack.ChainParts(0.025, 4100.0, 0.11))
    0.1
    >>> full_stretch(410.0, stack.ChainParts(0.025, math.inf, 0.0))
    """
    return box_next_loaded / box_chain_parts.rate if box_chain_parts.rate < math.inf else None


def chain_plan(
    box_mark_travel: Each[Length],
    box_loaded: Each[Weight],
    box_chain_parts: Each[stack.ChainParts],
    box_chain_links: Each[Count | None] | None,
    tower_hook_up: Length,
) -> Each[stack.ChainPlan | None]:
    """The chain below this box: the slack wanted, its links, and the chain that they make

    From the top down: each chain makes up for the whole links and the springs of those above it. A chain within the
    first group is as short as it can be.

    Formula: height of box 1 at the mark - slack and stretch of the chains above, with the boxes as loaded
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> plan = chain_plan({"b1": 1.75, "b2": 1.25, "b3": 0.5}, {"b1": 300.0, "b2": 400.0, "b3": 400.0},
    ...     {"b1": stack.ChainParts(0.125, 4000.0, 0.0625), "b2": stack.ChainParts(0.125, 4000.0, 0.0625), "b3": None},
    ...     {"b1": None, "b2": 2, "b3": None}, 1.125)
    >>> [one and (one.wanted, one.links_wanted, one.chain.slack) for one in plan.values()]
    [(0.25, 2, 0.25), (0.1875, 2, 0.25), None]
    """
    plan: dict[str, stack.ChainPlan | None] = {}
    given = box_chain_links or {}
    weights, chains = tuple(box_loaded.values()), list[stack.Chain]()
    for (key, travel), lifted in zip(box_mark_travel.items(), accumulate(weights), strict=True):
        parts: stack.ChainParts | None = box_chain_parts[key]
        if parts is None:  # the lowest box
            plan[key] = None
            continue
        above = stack.rise(weights, chains, lifted)
        wanted = None if travel is None else tower_hook_up - travel / 2 - above
        links_wanted = max(math.floor((wanted or 0.0) / parts.link + 0.5), 0)
        links = given.get(key)
        slack = (links_wanted if links is None else links) * parts.link
        chains.append(stack.Chain(slack, parts.rate, parts.stop))
        plan[key] = stack.ChainPlan(wanted, links_wanted, chains[-1], above + slack)
    return plan


def slack(box_chain_plan: stack.ChainPlan) -> Position | None:
    """Slack wanted in the chain below this box, the boxes standing on each other

    Does not apply within the first group, whose chains are as short as they can be.

    Formula: height of box 1 at the mark - slack and stretch of the chains above, with the boxes as loaded
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> slack(stack.ChainPlan(0.16, 6, stack.Chain(0.15), 0.15))
    0.16
    """
    return box_chain_plan.wanted


def links_wanted(box_chain_plan: stack.ChainPlan) -> Count:
    """Links of slack in the chain below this box

    Formula: slack / inside length of a link, rounded
    Unit: 1
    Source: derived; whole links

    >>> links_wanted(stack.ChainPlan(0.16, 6, stack.Chain(0.15), 0.15))
    6
    """
    return box_chain_plan.links_wanted


def slack_made(box_chain_plan: stack.ChainPlan) -> Length:
    """Slack that the chain's whole links make

    Formula: links of slack x inside length of a link
    Unit: m
    Source: derived; the links the spec gives, else those wanted

    >>> slack_made(stack.ChainPlan(0.16, 6, stack.Chain(0.15), 0.15))
    0.15
    """
    return box_chain_plan.chain.slack


def links_correction(box_chain_plan: stack.ChainPlan, box_chain_links: Count | None) -> Count | None:
    """Links to put into the chain below this box; negative to take out

    Does not apply within the first group.

    Formula: links wanted - links given
    Unit: 1
    Source: derived; difference

    >>> links_correction(stack.ChainPlan(0.15, 6, stack.Chain(0.125), 0.125), 5)
    1
    """
    if box_chain_plan.wanted is None:
        return None
    if box_chain_links is None:
        raise MissingInput("box.chain.links")
    return box_chain_plan.links_wanted - box_chain_links


def tight_at(box_chain_plan: stack.ChainPlan, tower_hook_up: Length) -> Position:
    """Travel of the door at which the chain below this box comes tight

    Formula: 2 x (hook-up height - height of box 1 at which the chain comes tight)
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> tight_at(stack.ChainPlan(0.25, 2, stack.Chain(0.25), 0.25), 1.0)
    1.5
    """
    return 2 * (tower_hook_up - box_chain_plan.tight)


def lifts_at(
    box_loaded: Each[Weight], stack_chains: tuple[stack.Chain, ...], tower_hook_up: Length
) -> Each[Position | None]:
    """Travel of the door at which the box below this one leaves the stack; negative: it never does

    Formula: 2 x (hook-up height - height of box 1 at which the chain carries the whole next box)
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> lifts_at({"b1": 400.0, "b2": 500.0}, (stack.Chain(0.25, 4000.0),), 1.0)
    {'b1': 1.25, 'b2': None}
    """
    return _travels(stack.lifts(tuple(box_loaded.values()), stack_chains), box_loaded, tower_hook_up)


def timing(box_mark_travel: Length, box_tight_at: Position) -> Position:
    """How much later in the closing door's travel the next box comes on than it should

    Negative: too early. Does not apply within the first group.

    Formula: travel at the mark - travel at which the chain comes tight
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> timing(1.5, 1.25)
    0.25
    """
    return box_mark_travel - box_tight_at


def rise_open(
    box_loaded: Each[Weight], stack_chains: tuple[stack.Chain, ...], stack_law: stack.Law, tower_rest_gap: Position
) -> Each[Length]:
    """Height of this box over its nested place with the door open

    Formula: height of the box above - slack and stretch of the chain between; nothing for a box that stands
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> law, chains = stack.law([400.0, 500.0], [stack.Chain(0.25)]), (stack.Chain(0.25),)
    >>> rise_open({"b1": 400.0, "b2": 500.0}, chains, law, 0.05)
    {'b1': 0.05, 'b2': 0.0}
    """
    return _rises(box_loaded, stack_chains, stack_law, tower_rest_gap)


def rise_closed(
    box_loaded: Each[Weight], stack_chains: tuple[stack.Chain, ...], stack_law: stack.Law, tower_hook_up: Length
) -> Each[Length]:
    """Height of this box over its nested place with the door closed, loaded

    Formula: height of the box above - slack and stretch of the chain between; nothing for a box that stands
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> law, chains = stack.law([400.0, 500.0], [stack.Chain(0.25, 5000.0)]), (stack.Chain(0.25, 5000.0),)
    >>> rise_closed({"b1": 400.0, "b2": 500.0}, chains, law, 1.0)
    {'b1': 1.0, 'b2': 0.65}
    """
    return _rises(box_loaded, stack_chains, stack_law, tower_hook_up)


def rise_empty(box_tare: Each[Weight], stack_chains: tuple[stack.Chain, ...], tower_hook_up: Length) -> Each[Length]:
    """Height of this box over its nested place with the door closed, before plates are loaded

    The springs stretch less under empty boxes; loaded, the boxes sink.

    Formula: height of the box above - slack and stretch of the chain between; nothing for a box that stands
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> rise_empty({"b1": 120.0, "b2": 125.0}, (stack.Chain(0.25, 5000.0),), 1.0)
    {'b1': 1.0, 'b2': 0.725}
    """
    return _rises(box_tare, stack_chains, stack.law(tuple(box_tare.values()), stack_chains), tower_hook_up)


def top_empty(box_rest_top: Length, box_rise_empty: Length) -> Length:
    """Top of this box with the door closed, above the finished floor, before plates are loaded

    Formula: top at rest + height over its nested place
    Unit: m
    Source: derived; sum

    >>> top_empty(1.5, 0.75)
    2.25
    """
    return box_rest_top + box_rise_empty


def top_closed(box_rest_top: Length, box_rise_closed: Length) -> Length:
    """Top of this box with the door closed, above the finished floor, loaded

    Formula: top at rest + height over its nested place
    Unit: m
    Source: derived; sum

    >>> top_closed(1.5, 0.75)
    2.25
    """
    return box_rest_top + box_rise_closed


def _rises(boxes: Each[Weight], chains: tuple[stack.Chain, ...], law: stack.Law, height: float) -> dict[str, float]:
    risen = stack.heights(tuple(boxes.values()), chains, height, stack.pull(law, height))
    return dict(zip(boxes, risen, strict=True))


def _travels(heights: Iterable[float], boxes: Each[Weight], hook_up: float) -> dict[str, float | None]:
    """Travel of the door for heights of box 1, by the box above each chain; None for the lowest box."""
    travels: list[float | None] = [2 * (hook_up - height) for height in heights]
    return dict(zip(boxes, [*travels, None], strict=True))


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

"""The chains between the counterweight boxes: their springs, their links, and when each comes tight."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import accumulate

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Flag, Length, Position, Share, SpringRate, Text, Weight
from doorlint.mechanics import rolling, stack

SUBJECT = "box"


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


def _travels(heights: Iterable[float], boxes: Each[Weight], hook_up: float) -> dict[str, float | None]:
    """Travel of the door for heights of box 1, by the box above each chain; None for the lowest box."""
    travels: list[float | None] = [2 * (hook_up - height) for height in heights]
    return dict(zip(boxes, [*travels, None], strict=True))


def proved_strength(
    box_chain_strength: Weight,
    box_chain_grade: Count | None,
    box_chain_size: Length | None,
    practice_chain_claim: Share,
) -> Weight:
    """Breaking strength of a chain that the job works with

    A strength that no such chain has was read in the wrong line, so what is over grade and wire by more than the
    band does not count.

    Formula: the maker's, at most pi/2 x wire^2 x grade x 10 N/mm2 x (1 + band) where grade and wire are given
    Unit: N
    Source: published; NACM Welded Steel Chain Specifications; 2010; Annex A; the band is practice

    >>> round(proved_strength(52_000.0, 43, 0.0079375, 0.25)), round(proved_strength(52_000.0, 43, 0.0047625, 0.25))
    (52000, 19150)
    """
    if box_chain_grade is None or box_chain_size is None:
        return box_chain_strength
    most = math.pi / 2 * box_chain_size**2 * box_chain_grade * 10e6 * (1.0 + practice_chain_claim)
    return min(box_chain_strength, most)

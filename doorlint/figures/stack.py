"""The stack as a whole: the law of its pull, what hangs with the door open and closed, and what rests."""

from __future__ import annotations

from doorlint.errors import NotModelled
from doorlint.figures.kinds import Count, Each, Length, Position, Weight
from doorlint.mechanics import stack


def chains(box_chain_plan: Each[stack.ChainPlan]) -> tuple[stack.Chain, ...]:
    """The chains from the top of the stack

    Formula: slack, spring rate and stop of each
    Unit: -
    Source: derived; as given, else as wanted

    >>> chains({"b1": stack.ChainPlan(0.16, 6, stack.Chain(0.15), 0.15), "b2": None})
    (Chain(slack=0.15, rate=inf, stop=inf),)
    """
    return tuple(plan.chain for plan in box_chain_plan.values() if plan is not None)


def law(box_loaded: Each[Weight], stack_chains: tuple[stack.Chain, ...]) -> stack.Law:
    """Pull of the stack on the cables over the height of box 1

    Formula: the corners of the law, from the nested stack to the hanging one
    Unit: N
    Source: derived; equilibrium of every box with one-sided contact

    >>> [corner.pull for corner in law({"b1": 400.0, "b2": 500.0}, (stack.Chain(0.25),))]
    [0.0, 400.0, 400.0, 900.0]
    """
    return stack.law(tuple(box_loaded.values()), stack_chains)


def points(stack_law: stack.Law, tower_hook_up: Length, door_open_travel: Length) -> tuple[tuple[Length, Weight], ...]:
    """Pull of the stack on the door over its travel: the corners of the law

    Formula: pull on box 1 / 2 at each corner, closed and open; a travel that comes twice is a jump
    Unit: N
    Source: derived; statics of the moving pulley on box 1

    >>> points(stack.law([400.0, 500.0], [stack.Chain(0.25)]), 1.0, 1.75)
    ((0.0, 450.0), (1.5, 450.0), (1.5, 200.0), (1.75, 200.0))
    """
    return tuple(stack.over_travel(stack_law, tower_hook_up, door_open_travel))


def weight(box_loaded: Each[Weight]) -> Weight:
    """Weight of all loaded boxes

    Formula: sum of the loaded boxes
    Unit: N
    Source: derived; sum of the parts

    >>> weight({"b1": 1000.0, "b2": 1400.0})
    2400.0
    """
    return sum(box_loaded.values())


def pull_closed(stack_law: stack.Law, tower_hook_up: Length) -> Weight:
    """Pull of the cables on box 1 with the door closed

    Formula: the law at the hook-up height
    Unit: N
    Source: derived; equilibrium of the hanging stack

    >>> pull_closed(stack.law([400.0, 500.0], [stack.Chain(0.25)]), 1.0)
    900.0
    """
    return stack.pull(stack_law, tower_hook_up)


def pull_open(stack_law: stack.Law, tower_rest_gap: Position) -> Weight:
    """Pull of the cables on box 1 with the door open

    Formula: the law at the height of box 1 over its rest
    Unit: N
    Source: derived; equilibrium of the hanging stack

    >>> pull_open(stack.law([400.0, 500.0], [stack.Chain(0.25)]), 0.05)
    400.0
    """
    return stack.pull(stack_law, tower_rest_gap)


def hanging_open(box_loaded: Each[Weight], stack_pull_open: Weight) -> Count:
    """Boxes that hang with the door open

    Formula: boxes whose weight, with those above, the cables carry
    Unit: 1
    Source: derived; equilibrium of the hanging stack

    >>> hanging_open({"b1": 400.0, "b2": 500.0}, 400.0)
    1
    """
    return stack.hanging(tuple(box_loaded.values()), stack_pull_open)


def hanging_closed(box_loaded: Each[Weight], stack_pull_closed: Weight) -> Count:
    """Boxes that hang with the door closed

    Formula: boxes whose weight, with those above, the cables carry
    Unit: 1
    Source: derived; equilibrium of the hanging stack

    >>> hanging_closed({"b1": 400.0, "b2": 500.0}, 900.0)
    2
    """
    return stack.hanging(tuple(box_loaded.values()), stack_pull_closed)


def first_group(box_mark_roller: Each[Count], section_mark_travel: Each[Length]) -> Count:
    """Boxes that must hang with the door open

    Box 1 must. So must the boxes whose mark is not reached before the door is open, together with the next; where no
    mark is reached, all of them.

    Formula: boxes up to the first whose mark is reached
    Unit: 1
    Source: derived; rigid sections on the roller path

    >>> first_group({"b1": 1, "b2": 2, "b3": 3}, {"s1": None, "s2": 1.9, "s3": 1.2})
    2
    >>> first_group({"b1": 1, "b2": 2}, {"s1": None, "s2": None})
    2
    """
    travels = list(section_mark_travel.values())
    reached = [travels[roller - 1] is not None for roller in box_mark_roller.values()]
    if True not in reached:
        return len(reached)
    first = reached.index(True)
    if not all(reached[first:]):
        raise NotModelled("with the door closed a joint is beyond the curve already")
    return first + 1


def group_height(
    box_loaded: Each[Weight], stack_chains: tuple[stack.Chain, ...], stack_first_group: Count
) -> Length | None:
    """Height of box 1 at which all boxes of the first group hang

    Does not apply where box 1 alone holds the open door.

    Formula: sum of slack and stretch of the chains between them, the whole group hanging
    Unit: m
    Source: derived; equilibrium of the hanging stack

    >>> group_height({"b1": 400.0, "b2": 500.0}, (stack.Chain(0.25),), 2)
    0.25
    >>> group_height({"b1": 400.0, "b2": 500.0}, (stack.Chain(0.25),), 1)
    """
    if stack_first_group == 1:
        return None
    weights = tuple(box_loaded.values())
    return stack.rise(weights, stack_chains, sum(weights[:stack_first_group]))


def resting_open(stack_weight: Weight, stack_pull_open: Weight) -> Weight:
    """Weight that stands on the base stop with the door open

    Formula: all boxes - pull of the cables on box 1
    Unit: N
    Source: derived; equilibrium of the stack

    >>> resting_open(4000.0, 400.0)
    3600.0
    """
    return stack_weight - stack_pull_open


def pull_empty(box_tare: Each[Weight], stack_chains: tuple[stack.Chain, ...], tower_hook_up: Length) -> Weight:
    """Pull on box 1, empty, at the hook-up height

    What raises it there, before plates are loaded.

    Formula: the law of the empty boxes at the hook-up height
    Unit: N
    Source: derived; equilibrium of the hanging stack

    >>> pull_empty({"b1": 120.0, "b2": 125.0}, (stack.Chain(0.25),), 1.0)
    245.0
    """
    return stack.pull(stack.law(tuple(box_tare.values()), stack_chains), tower_hook_up)

"""How high each counterweight box stands or hangs: with the door open, closed, and before it is loaded."""

from __future__ import annotations

from doorlint.figures.kinds import Each, Length, Position, Weight
from doorlint.mechanics import stack

SUBJECT = "box"


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

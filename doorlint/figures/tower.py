"""The counterweight tower: what hangs, what it puts on tower, head and slab, and how high it must be.

From each bottom corner of the door a lift cable runs up over a pulley at the head, down to a moving pulley
on box 1 and up to an eye bolt on top of the tower; the far cable crosses above the opening first.
"""

from __future__ import annotations

from doorlint.figures.kinds import Count, Each, Length, Position, Weight


def hook_up_mark(door_height: Length, practice_hook_up_extra: Length) -> Length:
    """Usual hook-up height

    Door closed, the top of box 1 above where it stands at rest.

    Formula: half the height of the door + what the shop adds
    Unit: m
    Source: practice; box 1 moves half as far as the door, and hangs a little above its rest when it is open

    >>> hook_up_mark(3.6, 0.025)
    1.825
    """
    return door_height / 2 + practice_hook_up_extra


def hook_up(tower_hook_up_height: Length | None, tower_hook_up_mark: Length) -> Length:
    """Hook-up height

    Formula: that of the spec, else the usual one
    Unit: m
    Source: practice; from the spec or the shop's rule

    >>> hook_up(1.85, 1.825), hook_up(None, 1.825)
    (1.85, 1.825)
    """
    return tower_hook_up_mark if tower_hook_up_height is None else tower_hook_up_height


def rest_gap(tower_hook_up: Length, door_open_travel: Length) -> Position:
    """How far box 1 hangs above its rest with the door open

    Negative: it would nest before the door is open, and the cables go slack.

    Formula: hook-up height - travel of the open door / 2
    Unit: m
    Source: derived; box 1 moves half as far as the door

    >>> round(rest_gap(1.85, 3.6), 6)
    0.05
    """
    return tower_hook_up - door_open_travel / 2


def stack_height(box_height: Each[Length]) -> Length:
    """Height of the boxes at rest

    Formula: sum of the boxes
    Unit: m
    Source: derived; sum of the parts

    >>> stack_height({"b1": 0.3, "b2": 0.3})
    0.6
    """
    return sum(box_height.values())


def rest_height(tower_base_stop: Length, tower_stack_height: Length) -> Length:
    """Top of box 1 at rest, above the finished floor

    Formula: base stop + boxes at rest
    Unit: m
    Source: derived; sum

    >>> round(rest_height(0.1, 1.8), 6)
    1.9
    """
    return tower_base_stop + tower_stack_height


def hook_up_top(tower_rest_height: Length, tower_hook_up: Length) -> Length:
    """Top of box 1 with the door closed, above the finished floor: the hook-up mark

    Formula: top of box 1 at rest + hook-up height
    Unit: m
    Source: derived; sum

    >>> round(hook_up_top(1.9, 1.85), 6)
    3.75
    """
    return tower_rest_height + tower_hook_up


def open_top(tower_rest_height: Length, tower_rest_gap: Position) -> Length:
    """Top of box 1 with the door open, above the finished floor

    Formula: top of box 1 at rest + gap with the door open
    Unit: m
    Source: derived; sum

    >>> round(open_top(1.9, 0.05), 6)
    1.95
    """
    return tower_rest_height + tower_rest_gap


def box_pulley_top(tower_hook_up_top: Length, tower_box_pulley_rise: Length) -> Length:
    """Moving pulley with the door closed, above the finished floor

    Formula: top of box 1 with the door closed + rise of its pulley
    Unit: m
    Source: derived; sum

    >>> round(box_pulley_top(3.75, 0.1), 6)
    3.85
    """
    return tower_hook_up_top + tower_box_pulley_rise


def height_needed(tower_box_pulley_top: Length, tower_eye_bolt_takeup: Length, tower_over_travel: Length) -> Length:
    """Height of tower that boxes, hook-up and eye bolts need

    Formula: base stop + boxes at rest + hook-up height + box pulley + eye bolt take-up + over-travel
    Unit: m
    Source: derived; sum

    >>> round(height_needed(3.85, 0.15, 0.075), 6)
    4.075
    """
    return tower_box_pulley_top + tower_eye_bolt_takeup + tower_over_travel


def over_eye(tower_eye_bolt_height: Length, tower_box_pulley_top: Length, tower_eye_bolt_takeup: Length) -> Position:
    """Free height between the eye bolts, let right down, and the moving pulley with the door closed

    Formula: height of the eye bolts - half their take-up - moving pulley with the door closed
    Unit: m
    Source: derived; difference

    >>> round(over_eye(4.1, 3.85, 0.15), 6)
    0.175
    """
    return tower_eye_bolt_height - tower_eye_bolt_takeup / 2 - tower_box_pulley_top


def sections_served(box_sections: Each[tuple[str, ...]], section_height: Each[Length]) -> Count:
    """Sections that a box serves in its turn

    The boxes take the sections from the floor up, each once; the count stops at the first out of turn.

    Formula: sections named by the boxes in the order of the door, before the first that is not in its turn
    Unit: 1
    Source: derived; counted

    >>> sections_served({"b1": ("s1",), "b2": ("s2", "s3")}, {"s1": 0.5, "s2": 0.5, "s3": 0.5})
    3
    >>> sections_served({"b1": ("s1",), "b2": ("s3",)}, {"s1": 0.5, "s2": 0.5, "s3": 0.5})
    1
    """
    named = [key for keys in box_sections.values() for key in keys]
    right = 0
    for key, due in zip(named, section_height, strict=False):
        if key != due:
            break
        right += 1
    return right


def sections_named(box_sections: Each[tuple[str, ...]]) -> Count:
    """Sections that the boxes name together

    Formula: count of the names
    Unit: 1
    Source: derived; counted

    >>> sections_named({"b1": ("s1",), "b2": ("s1", "s2")})
    3
    """
    return sum(map(len, box_sections.values()))


def chains(
    box_chain_pitch: Each[Length | None], box_chain_links: Each[Count | None], box_chain_strength: Each[Weight | None]
) -> Count:
    """Boxes with a chain to the next one

    A chain of which something is missing is a chain.

    Formula: count of the boxes above the lowest of whose chain anything is given
    Unit: 1
    Source: derived; counted

    >>> none = {"b1": None, "b2": None, "b3": None}
    >>> chains({**none, "b1": 0.025}, {**none, "b1": 6, "b2": 7}, none)
    2
    """
    columns = (box_chain_pitch, box_chain_links, box_chain_strength)
    return sum(any(column[box] is not None for column in columns) for box in list(box_chain_pitch)[:-1])


def marks_unread(box_mark_roller: Each[Count], box_mark_travel: Each[Length], reading_roller: Each[Count]) -> Count:
    """Marks of the boxes that were not read

    Formula: marks without a reading
    Unit: 1
    Source: derived; counted

    >>> marks_unread({"b1": 1, "b2": 2}, {"b1": 1.7, "b2": 1.2}, {"r": 2})
    1
    """
    read = set(reading_roller.values())
    return sum(
        box_mark_travel[key] is not None and (0 if box_mark_travel[key] == 0.0 else roller) not in read
        for key, roller in box_mark_roller.items()
    )

"""The numbers on the end hinges: they tell how far each joint's roller stands off the section."""

from __future__ import annotations

from itertools import pairwise

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Count, Each, Length


def _joints(hinges: dict[str, int | None]) -> list[int]:
    """Numbers from the bottom joint up; the top section has no joint above it."""
    numbers = list(hinges.values())[:-1]
    if None in numbers:
        raise MissingInput("section.hinge")
    return [number for number in numbers if number is not None]


def most_step(section_hinge: Each[Count | None]) -> Count | None:
    """Greatest step of the hinge numbers from one joint to the next above it

    Formula: most of (number at a joint - number at the joint below)
    Unit: 1
    Source: derived; differences of what is stamped on the hinges

    >>> most_step({"s1": 1, "s2": 2, "s3": 4, "s4": None})
    2
    """
    return max((above - below for below, above in pairwise(_joints(section_hinge))), default=None)


def lowest(section_hinge: Each[Count | None]) -> Count | None:
    """Hinge number at the lowest joint

    Formula: number at the joint above the bottom section
    Unit: 1
    Source: derived; what is stamped on the hinge

    >>> lowest({"s1": 1, "s2": 2, "s3": None})
    1
    """
    return next(iter(_joints(section_hinge)), None)


def rollers(section_height: Each[Length]) -> Count:
    """Rollers of the door

    Formula: 2 x (sections + 1)
    Unit: 1
    Source: derived; a pair at the bottom, at every joint and at the top

    >>> rollers({"s1": 0.6, "s2": 0.6})
    6
    """
    return 2 * (len(section_height) + 1)

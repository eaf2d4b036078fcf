"""The steps of a design in their order, for each counterbalance."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from doorlint.proposals.draft import Draft
from doorlint.proposals.steps import cables, closed_fit, door, operation, sections, stack, tower, track

__all__ = ["Alternative", "alternatives", "design"]

Step = Callable[[Draft], Draft]


class Alternative(NamedTuple):
    """What one design chooses that another might choose otherwise."""

    counterbalance: str
    """tower or torsion"""
    side: str
    """where the tower stands; empty on a shaft"""
    lift: str
    radius: str

    @property
    def name(self) -> str:
        """A name for the command line.

        >>> Alternative("tower", "right", "standard", "15 in").name
        'tower-right-standard-15'
        """
        size = self.radius.partition(" ")[0]
        return "-".join(filter(None, (self.counterbalance, self.side, self.lift, size)))


def alternatives(draft: Draft) -> Iterator[Alternative]:
    """The designs to try, in the order in which they are preferred, with what is given kept."""
    values, made = draft.given.values, draft.made
    sides: tuple[str, ...] = ("left", "right")
    if "tower.side" in values:
        sides = (values["tower.side"],)
    elif values["room.side_right"] >= values["room.side_left"]:
        sides = ("right", "left")
    for lift in (values["track.lift"],) if "track.lift" in values else ("standard",):
        for side in sides:
            for radius in made.radii:
                yield Alternative("tower", side, lift, radius)


def design(draft: Draft, chosen: Alternative) -> Draft:
    """The draft with everything that follows; raises :class:`doorlint.proposals.draft.CannotDesign`."""
    for step in _steps(chosen):
        draft = step(draft)
    return draft


def _steps(chosen: Alternative) -> Iterator[Step]:
    yield from (sections.sections, door.door, door.weights)
    yield lambda draft: draft.choose({"tower.side": chosen.side}, "the side with room for it")
    yield operation.operation
    yield lambda draft: track.lift(draft, chosen.lift, chosen.radius)
    yield from (track.track, closed_fit.hinges, closed_fit.closed_fit, track.lengths, door.stiffness)
    yield lambda draft: tower.place(draft, chosen.side)
    yield from (
        tower.boxes, stack.plate, tower.heights, stack.chains, stack.capacities, cables.ropes, cables.lengths,
        stack.counts,
    )  # fmt: skip

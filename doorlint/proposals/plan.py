"""The steps of a design in their order, for each lift and counterbalance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from doorlint.proposals.draft import Draft
from doorlint.proposals.steps import cables, closed_fit, door, operation, sections, stack, torsion, tower, track

__all__ = ["Alternative", "alternatives", "begun", "finished"]


class Alternative(NamedTuple):
    """What one design chooses that another might choose otherwise."""

    counterbalance: str
    """tower or torsion"""
    side: str
    """where the tower stands; empty on a shaft"""
    lift: str
    radius: str
    """empty where nothing turns"""

    @property
    def name(self) -> str:
        """A name for the command line.

        >>> Alternative("tower", "right", "standard", "15 in").name
        'tower-right-standard-15'
        """
        size = self.radius.partition(" ")[0]
        return "-".join(filter(None, (self.counterbalance, self.side, self.lift, size)))


def alternatives(draft: Draft) -> Iterator[Alternative]:
    """The designs to try, in the order in which they are preferred, with what is given kept.

    The lift with the smoothest curve comes first, on each counterbalance; a tower on its narrower side comes last.
    """
    values = draft.given.values
    right_is_wider = values.get("room.side_right", 0.0) >= values.get("room.side_left", 0.0)
    sides: tuple[str, ...] = ("right", "left") if right_is_wider else ("left", "right")
    if "tower.side" in values:
        sides = (values["tower.side"],)
    lifts = list(_lifts(draft))
    for number, side in enumerate(sides):
        for lift, radius in lifts:
            if "torsion" not in values:
                yield Alternative("tower", side, lift, radius)
            if "tower" not in values and number == 0:
                yield Alternative("torsion", "", lift, radius)


def _lifts(draft: Draft) -> Iterator[tuple[str, str]]:
    values, radii = draft.given.values, draft.made.radii
    if "track.radius" in values:
        radii = (draft.given.text("/track/radius") or "",)
    lifts: tuple[str, ...] = ("standard", "high", "low-headroom", "vertical")
    if values.get("room.roof_slope", 0.0) > 0.0:
        lifts = ("follow-the-roof", *lifts)
    if "track.lift" in values:
        lifts = (values["track.lift"],)
    for lift in lifts:
        if lift == "vertical":
            yield lift, ""
        elif lift == "low-headroom" and "track.radius" not in values:
            yield lift, draft.made.low_radius
        else:
            yield from ((lift, radius) for radius in radii)


def begun(draft: Draft, lift: str, radius: str) -> Draft:
    """The draft with door and track: what every counterbalance of a lift shares."""
    for step in (sections.sections, door.door, door.weights, operation.worked_by):
        draft = step(draft)
    draft = track.lift(draft, lift, radius)
    for step in (
        track.track, track.low_headroom, track.high_lift, closed_fit.hinges, closed_fit.closed_fit, track.lengths,
        door.stiffness,
    ):  # fmt: skip
        draft = step(draft)
    return draft


def finished(draft: Draft, chosen: Alternative) -> Draft:
    """The draft with counterbalance and drive."""
    if chosen.counterbalance == "torsion":
        return operation.drive(torsion.torsion(draft))
    draft = operation.drive(tower.place(draft, chosen.side))
    for step in (
        tower.boxes, stack.plate, tower.heights, stack.chains, stack.capacities, cables.ropes, cables.lengths,
        stack.counts,
    ):  # fmt: skip
        draft = step(draft)
    return draft

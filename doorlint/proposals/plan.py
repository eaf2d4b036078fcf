"""The steps of a design in their order, for each lift and counterbalance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from doorlint.proposals.draft import Draft
from doorlint.proposals.steps import (
    cables,
    closed_fit,
    door,
    hangers,
    installing,
    operation,
    sections,
    stack,
    torsion,
    tower,
    track,
)  # fmt: skip

__all__ = ["Alternative", "alternatives", "begun", "finished", "placed"]


class Alternative(NamedTuple):
    """What one design chooses that another might choose otherwise."""

    counterbalance: str
    """tower or torsion"""
    side: str
    """where the tower stands; empty on a shaft"""
    lift: str
    radius: str
    """empty where nothing turns"""
    more: int = 0
    """sections more than the fewest: lower ones turn more smoothly"""
    duplex: bool = False
    """another spring inside each of the pair"""

    @property
    def name(self) -> str:
        """A name for the command line.

        >>> Alternative("tower", "right", "standard", "15 in").name
        'tower-right-standard-15'
        >>> Alternative("torsion", "", "vertical", "", duplex=True).name
        'torsion-vertical-duplex'
        """
        size = self.radius.partition(" ")[0]
        low, duplex = "low-sections" if self.more else "", "duplex" if self.duplex else ""
        return "-".join(filter(None, (self.counterbalance, self.side, self.lift, size, low, duplex)))


def alternatives(draft: Draft) -> Iterator[Alternative]:
    """The designs to try, in the order in which they are preferred, with what is given kept.

    The lift with the smoothest curve comes first, on each counterbalance; then the same with more and lower sections,
    a tower on its narrower side, and at last springs inside each other.
    """
    values = draft.given.values
    right_is_wider = values.get("room.side_right", 0.0) >= values.get("room.side_left", 0.0)
    sides: tuple[str, ...] = ("right", "left") if right_is_wider else ("left", "right")
    if "tower.side" in values:
        sides = (values["tower.side"],)
    lifts = [(lift, radius, more) for more in sections.extra(draft) for lift, radius in _lifts(draft)]
    ways = torsion.ways(draft)
    for number, side in enumerate(sides):
        for lift, radius, more in lifts:
            if "torsion" not in values and (number == 0 or more == lifts[0][2]):
                yield Alternative("tower", side, lift, radius, more)
            if "tower" not in values and number == 0:
                yield Alternative("torsion", "", lift, radius, more, ways[0])
    for lift, radius, more in lifts:
        if "tower" not in values and more == lifts[0][2] and len(ways) > 1:
            yield Alternative("torsion", "", lift, radius, more, duplex=True)


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
            yield from ((lift, radius) for radius in draft.made.low_radii)
        else:
            yield from ((lift, radius) for radius in radii)


def begun(draft: Draft, lift: str, radius: str, more: int, counterbalance: str) -> Draft:
    """The draft with door and track: what both sides of a counterbalance share."""
    draft = sections.sections(draft, more)
    draft = operation.worked_by(door.weights(door.door(draft)), counterbalance == "tower")
    draft = track.lift(draft, lift, radius)
    for step in (
        track.track, track.low_headroom, track.high_lift, closed_fit.hinges, closed_fit.closed_fit, track.lengths,
        door.stiffness,
    ):  # fmt: skip
        draft = step(draft)
    return draft


def placed(draft: Draft, chosen: Alternative) -> Draft:
    """The draft with the place of tower and drive beside the door."""
    if chosen.counterbalance == "tower":
        draft = tower.place(draft, chosen.side)
    return operation.drive(draft)


def finished(draft: Draft, chosen: Alternative) -> Draft:
    """The draft with its counterbalance and, from the stage of install, what holds it up."""
    draft = operation.pull(_counterbalanced(draft, chosen))
    if draft.given.stage != "install":
        return draft
    for step in (
        operation.held,
        hangers.hangers,
        installing.clips,
        installing.mounts,
        installing.parts,
        installing.ends,
        installing.lifting,
    ):
        draft = step(draft)
    return draft


def _counterbalanced(draft: Draft, chosen: Alternative) -> Draft:
    if chosen.counterbalance == "torsion":
        return torsion.torsion(draft, chosen.duplex)
    for step in (
        tower.boxes, stack.plate, tower.heights, stack.chains, stack.capacities, cables.ropes, cables.lengths,
        stack.counts,
    ):  # fmt: skip
        draft = step(draft)
    return draft

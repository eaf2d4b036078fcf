"""The track: its size by the door's weight, rise by the drive, lengths by where the door comes to rest."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import Draft

__all__ = ["lengths", "lift", "track"]


def lift(draft: Draft, lift: str, radius: str | None) -> Draft:
    """The lift and the radius of the curve that this variant tries."""
    draft = draft.choose({"track.lift": lift}, "one of the lifts that fit the room")
    return draft if radius is None else draft.choose({"track.radius": radius}, "one of the made radii that fit")


def track(draft: Draft) -> Draft:
    """Size, weight, rise and brackets."""
    made = draft.made
    heavy = draft.at("door.load") > quantities.read(made.heavy_from, "weight")
    size, weight = made.heavy_track if heavy else made.light_track
    draft = draft.choose({"track.size": size}, f"doors over {made.heavy_from} take {made.heavy_track[0]} track")
    if draft.at("track.size") > quantities.read(made.light_track[0], "length") * 1.01:
        weight = made.heavy_track[1]
    draft = draft.choose({"track.weight": weight}, "common weight of such a track with its angle")
    if draft.at("track.lift") != "vertical":
        draft = _rise(draft)
    spacing = ("24 in", "600 mm")[draft.given.system == "si"]
    return draft.choose({"track.bracket_spacing": spacing}, "brackets at most this far apart")


def _rise(draft: Draft) -> Draft:
    if draft.at("track.lift") == "follow-the-roof":
        if draft.gives("room.roof_slope"):
            return draft.derive(
                "track.rise", "room.roof_slope", draft.at("room.roof_slope"), ("1/16 in/ft", "1 mm/m"), "near"
            )
        return draft.leave_open("track.rise", "measure the slope of the roof", None)
    if draft.at("operation.by") == "hand":
        return draft.choose({"track.rise": "0 in/ft"}, "level for a door worked by hand")
    usual = ("1/4 in/ft", "20 mm/m")[draft.given.system == "si"]
    working, source = draft.told("practice.rise_most")
    return draft.propose("track.rise", usual, "choice", working, source)


def lengths(draft: Draft) -> Draft:
    """Wall angle and horizontal track."""
    draft = draft.derive(
        "track.angle_length", "track.angle_usual", draft.at("track.angle_usual"), ("1/2 in", "10 mm"), "down"
    )
    run = draft.at("door.track_run") if draft.at("track.lift") != "vertical" else None
    if run is None:
        return draft
    bumper = quantities.read(draft.made.bumper, "length")
    return draft.derive(
        "track.horizontal_length", "door.track_run", run + bumper, ("1 in", "25 mm"), "up",
        because=f"and {draft.made.bumper} for the bumper",
    )  # fmt: skip

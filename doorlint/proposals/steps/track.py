"""The track: its size by the door's weight, rise by the drive, lengths by where the door comes to rest."""

from __future__ import annotations

from doorlint import quantities
from doorlint.mechanics import upper_guide
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.steps import closed_fit

__all__ = ["high_lift", "lengths", "lift", "low_headroom", "track"]

LEAST_HIGH_LIFT = ("12 in", "300 mm")
OVER_TRACK = ("11 in", "280 mm")
"""room that shaft or head pulleys take over the horizontal roller line"""


def lift(draft: Draft, lift: str, radius: str) -> Draft:
    """The lift and the radius of the curve that this variant tries."""
    draft = draft.choose({"track.lift": lift}, "one of the lifts that fit the room")
    return draft if not radius else draft.choose({"track.radius": radius}, "one of the made radii that fit")


def track(draft: Draft) -> Draft:
    """Size, weight, rise and brackets."""
    made = draft.made
    load = draft.at("door.load")
    limit = made.heavy_from if _wide_enough(draft, made.heavy_track[0]) else made.heaviest_on_light
    size, weight = made.heavy_track if load > quantities.read(limit, "weight") else made.light_track
    draft = draft.choose({"track.size": size}, f"here doors over {limit} take {made.heavy_track[0]} track")
    if draft.at("track.size") > quantities.read(made.light_track[0], "length") * 1.01:
        weight = made.heavy_track[1]
    draft = draft.choose({"track.weight": weight}, "common weight of such a track with its angle")
    draft = _rise(draft)
    spacing = ("24 in", "600 mm")[draft.given.system == "si"]
    return draft.choose({"track.bracket_spacing": spacing}, "brackets at most this far apart")


def _wide_enough(draft: Draft, size: str) -> bool:
    """Whether both sides have room for track of this size."""
    needed = draft.choose({"track.size": size}, "").at("track.side_room")
    places = ("room.side_left", "room.side_right", "opening.jamb_face.left", "opening.jamb_face.right")
    return all(draft.at(place) >= needed for place in places)


def _rise(draft: Draft) -> Draft:
    if draft.at("track.lift") == "follow-the-roof":
        if draft.gives("room.roof_slope"):
            return draft.derive(
                "track.rise", "room.roof_slope", draft.at("room.roof_slope"), ("1/16 in/ft", "1 mm/m"), "nearest"
            )
        return draft.leave_open("track.rise", "measure the slope of the roof", None)
    if draft.at("track.lift") == "vertical":
        return draft.choose({"track.rise": "0 in/ft"}, "nothing lies level")
    if draft.at("operation.by") == "hand":
        return draft.choose({"track.rise": "0 in/ft"}, "level for a door worked by hand")
    usual = ("1/4 in/ft", "20 mm/m")[draft.given.system == "si"]
    working, source = draft.told("practice.rise_most")
    return draft.propose("track.rise", usual, "choice", working, source)


def low_headroom(draft: Draft) -> Draft:
    """The two guides of a low-headroom track, and the bracket that holds the top roller on the upper one.

    The main line runs just above the header, the upper one as near to it as two tracks go. Where the door would sweep
    higher than the room, the track lies level and lower.
    """
    made = draft.made
    if draft.at("track.lift") != "low-headroom":
        return draft.choose({"door.top_roller": made.roller}, "common place; put in that of the door you order")
    why = "an upper guide that lets the top section lie down early; put in the one you order"
    below, inward = made.low_bracket
    draft = draft.choose(
        {"door.top_roller": below, "door.top_inward": inward, "track.upper.radius": made.upper_radius}, why
    )
    weight = quantities.write(draft.at("track.weight"), "weight-per-length", draft.given.system)
    draft = draft.choose({"track.upper.weight": weight}, "as heavy as the main track")
    level = draft.put("track.rise", "0 in/ft", because="level: there is no headroom for a rise")
    for over, line in ((draft, made.low_lines[0]), *((level, line) for line in made.low_lines)):
        tried = _two_guides(over, line)
        if draft.at("room.headroom") >= closed_fit.hinges(tried).at("sweep.height") + draft.at(
            "practice.running_clearance"
        ):
            break
    return tried


def _two_guides(draft: Draft, line: str) -> Draft:
    """Both guides with the main line so far above the header; in the upper one the closed top section is upright."""
    made = draft.made
    start = draft.at("opening.finished_height") + quantities.read(line, "length") - draft.at("track.radius")
    draft = draft.derive(
        "track.vertical_length", "opening.finished_height", start, ("1/4 in", "5 mm"), "up",
        because=f"less the curve; the track runs {line} above the header",
    )  # fmt: skip
    above = draft.at("track.size") + quantities.read(made.between_guides, "length")
    draft = draft.derive(
        "track.upper.above", "track.size", above, ("1/4 in", "5 mm"), "up", because=f"and {made.between_guides} between"
    )
    main, roller = draft.at("track.main_path"), draft.at("door.height") - draft.at("door.top_roller")
    end, point = (main.end_y, main.end_z), (draft.at("door.top_inward"), roller)
    guide = (main.slope, draft.at("track.upper.above"), draft.at("track.upper.radius"))
    try:
        turn = upper_guide.turn_from(end, *guide, point)
    except ValueError:
        raise CannotDesign("the closed door stands higher than its upper guide", "/track/upper/above") from None
    upright = "the closed top section stands upright with its roller in the curve"
    draft = draft.derive("track.upper.turn", "door.height", turn, ("5 deg", "5 deg"), "up", because=upright)
    offset = upper_guide.offset_through(end, *guide, draft.at("track.upper.turn"), point)
    return draft.derive(
        "track.upper.offset", "door.height", offset, ("1/16 in", "1 mm"), "nearest", because=upright
    )  # fmt: skip


def high_lift(draft: Draft) -> Draft:
    """How much vertical track a high lift adds: as much as headroom and flat wall leave for it and the hardware."""
    if draft.at("track.lift") != "high":
        return draft
    metric = draft.given.system == "si"
    least = quantities.read(LEAST_HIGH_LIFT[metric], "length")
    over_track = quantities.read(OVER_TRACK[metric], "length")
    room = min(draft.at("room.headroom"), draft.at("opening.header_face"))
    line = draft.at("track.radius") - draft.at("practice.tangent_drop")
    lift = room - line - over_track
    lift = min(lift, draft.at("door.height") / 2)
    if lift < least:
        short = quantities.write(least - lift, "length", draft.given.system)
        raise CannotDesign(
            f"headroom and flat wall are {short} short of a high lift of {LEAST_HIGH_LIFT[metric]}", shortfall=1.0
        )
    return draft.derive(
        "track.high_lift", "room.headroom", lift, ("3 in", "75 mm"), "down",
        because=f"less the curve and {OVER_TRACK[metric]} for the hardware over the track; half the door at most",
    )  # fmt: skip


def lengths(draft: Draft) -> Draft:
    """Wall angle and horizontal track."""
    draft = draft.derive(
        "track.angle_length", "track.angle_usual", draft.at("track.angle_usual"), ("1/2 in", "10 mm"), "down"
    )
    if draft.at("track.lift") == "vertical":
        return draft
    bumper = quantities.read(draft.made.bumper, "length")
    figure, run = "door.track_run", draft.at("door.track_run")
    if run is None:  # the top roller lies on a guide of its own
        figure, path = "sweep.reach", draft.at("track.main_path")
        tried = draft.propose("track.horizontal_length", draft.made.bumper, "derived", "")
        run = tried.at("sweep.reach") - draft.at("track.wall_offset") - path.end_y
    return draft.derive(
        "track.horizontal_length", figure, run + bumper, ("1 in", "25 mm"), "up",
        because=f"and {draft.made.bumper} for the bumper",
    )  # fmt: skip

"""The hangers of both tracks: how many, where, how long and of which angle; what carries them is open."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["hangers"]

SIDES = ("left", "right")
FEWEST = 2
FROM_END = ("15 in", "380 mm")
"""the last hanger from the back end of its track, half way between the least and the most"""
STATION = ("1 in", "25 mm")
ANGLES = ("2x2x1/8", "2x2x3/16", "2-1/2x2-1/2x3/16", "2-1/2x2-1/2x1/4", "3x3x1/4")
RESERVE = 1.1
EVEN = Source("practice", note="the last near the back end, the others evenly between it and the wall")


def hangers(draft: Draft) -> Draft:
    """Hangers on both tracks; nothing where no track lies level."""
    if draft.at("track.lift") == "vertical" or draft.gives("hanger.station"):
        return draft
    draft = _stations(draft)
    for key in draft.keys("hanger"):
        under = draft.at("room.roof") - draft.at("hanger.track_height", key)
        if under <= 0.0:
            above = quantities.write(-under, "length", draft.given.system)
            raise CannotDesign(f"the track at hanger {key} is {above} above the ceiling", "/room/ceiling")
        draft = draft.derive(
            "hanger.drop", "hanger.track_height", under, ("1/2 in", "10 mm"), "down", key,
            because="from there up to the roof",
        )  # fmt: skip
        draft = draft.choose(
            {
                "hanger.braced_across": "true",
                "hanger.braced_along": "true",
                "hanger.hole": ("7/16 in", "11 mm")[draft.given.system == "si"],
                "hanger.eccentricity": ("1 in", "25 mm")[draft.given.system == "si"],
            },
            "brace every hanger both ways; put in hole and eccentricity of those you build",
            key,
        )
    return _carried(_angles(draft))


def _stations(draft: Draft) -> Draft:
    metric = draft.given.system == "si"
    end = draft.at("track.horizontal_length") - quantities.read(FROM_END[metric], "length")
    count = max(FEWEST, draft.at("overhead.hangers_wanted"))
    while end / count > draft.at("practice.hanger_span"):
        count += 1
    why = f"{count} on each track by the door's weight and the span, the last {FROM_END[metric]} from the back end"
    for side in SIDES:
        for number in range(1, count + 1):
            key = f"{side}-{number}"
            text = text_of(end * number / count, "length", draft.given.system, STATION, "nearest")
            draft = draft.propose("hanger.side", side, "derived", why, EVEN, key)
            draft = draft.propose("hanger.station", text, "derived", why, EVEN, key)
    return draft


def _angles(draft: Draft) -> Draft:
    """The lightest angle of the catalog in which every hanger is strong and stiff enough."""
    for size in ANGLES:
        part = draft.library.catalog[f"angle-{size}"].values
        tried = draft
        for key in draft.keys("hanger"):
            for name in ("leg_a", "leg_b", "leg_thickness"):
                why = "the lightest of these angles that carries the door and does not rattle"
                tried = tried.propose(f"hanger.{name}", str(part[name]), "choice", why, EVEN, key)
        strong = max(tried.at("hanger.stress").values()) * RESERVE <= tried.at("practice.hanger_stress")
        if strong and max(tried.at("hanger.slenderness").values()) <= tried.at("practice.hanger_slenderness"):
            return tried
    raise CannotDesign("no angle of the catalog carries the open door", "/hangers")


def _carried(draft: Draft) -> Draft:
    for key in draft.keys("hanger"):
        pull = quantities.write(draft.at("hanger.pull", key), "weight", draft.given.system)
        draft = draft.leave_open("hanger.ceiling_capacity", f"from the building's engineer; it pulls {pull}", None, key)
        draft = draft.leave_open("hanger.onto", "what it is fastened to", None, key)
        draft = draft.leave_open("hanger.fixing.kind", "how it is fastened", None, key)
        draft = draft.leave_open("hanger.fixing.count", "how many fasteners", None, key)
    return draft

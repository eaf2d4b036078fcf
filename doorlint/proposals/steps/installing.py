"""What an installer needs beside the hangers: clips, mountings and lifting; what the building carries is open."""

from __future__ import annotations

import math

from doorlint import quantities
from doorlint.counterbalance import named
from doorlint.proposals.draft import Draft
from doorlint.proposals.made import text_of
from doorlint.proposals.steps.cables import turn_back
from doorlint.rulebook.rule import Source

__all__ = ["clips", "ends", "lifting", "mounts", "parts"]

BY_PARTS = Source("derived", note="what track and counterbalance hang on")
ASKED = {
    "mount.onto": "what it is fastened to",
    "mount.reach": "how far up the backing goes",
    "mount.capacity": "what the building carries there, from its engineer",
    "mount.fixing.kind": "how it is fastened",
    "mount.fixing.count": "how many fasteners",
}
HAND = ("weight", "reach", "start", "end", "twist", "frequency", "duration", "grip")


def clips(draft: Draft) -> Draft:
    """Number, spacing and turn-back of the clips of each eye."""
    for key in draft.keys("cable"):
        if draft.at("cable.end", key) != "clips":
            continue
        wanted = draft.at("cable.clips_wanted", key)
        draft = draft.derive("cable.clips", "cable.clips_wanted", wanted, ("1", "1"), "up", key)
        pitch = draft.at("cable.clip_pitch", key)
        draft = draft.derive("cable.clip_spacing", "cable.clip_pitch", pitch, ("1/8 in", "1 mm"), "up", key)
        draft = turn_back(draft, key)
        draft = draft.leave_open("cable.saddle_on", "look at the clips: live or dead rope?", None, key)
    for key in draft.keys("pulley"):
        draft = draft.leave_open("pulley.keeper", "look at it: true or false?", None, key)
    return draft


def mounts(draft: Draft) -> Draft:
    """The mountings that this door has, each with its side; their backing and fasteners are open."""
    wanted = {
        "track-left-1": ("track", "left"),
        "track-right-1": ("track", "right"),
        "head-left": ("head-plate", "left"),
        "head-right": ("head-plate", "right"),
    }
    if "tower" in draft.job.values:
        wanted |= {part: (part, draft.at("tower.side")) for part in ("tower-head", "tower-foot")}
    else:
        wanted["pad"] = ("spring-pad", "centre")
    if draft.at("operation.by") != "hand":
        wanted["operator"] = ("operator", draft.at("operation.side"))
    if draft.gives("mount.part"):
        return draft
    for key, (part, side) in wanted.items():
        draft = draft.propose("mount.part", part, "derived", "this door hangs on it", BY_PARTS, key)
        draft = draft.propose("mount.side", side, "derived", "this door hangs on it", BY_PARTS, key)
        draft = _asked(draft, key)
    return _wall_brackets(draft) if draft.at("track.lift") == "vertical" else draft


def _asked(draft: Draft, key: str) -> Draft:
    for name, why in ASKED.items():
        draft = draft.leave_open(name, why, None, key)
    return draft


def _wall_brackets(draft: Draft) -> Draft:
    """The brackets that hold the guides of a vertical lift above the header, evenly up to the open top roller."""
    header, spacing = draft.at("opening.finished_height"), draft.at("track.bracket_spacing")
    top = draft.at("door.top_roller_open")
    step = ("1/2 in", "10 mm")
    count = math.ceil((top - header) / (spacing - quantities.read(step[0], "length")))
    why = "no stretch of the guide is longer than the bracket spacing"
    for side in ("left", "right"):
        for number in range(1, count + 1):
            key = f"bracket-{side}-{number}"
            at = header + (top - header) * number / count
            text = text_of(at, "length", draft.given.system, step, "down")
            draft = draft.propose("mount.part", "wall-bracket", "derived", "the guide stands free", BY_PARTS, key)
            draft = draft.propose("mount.side", side, "derived", "the guide stands free", BY_PARTS, key)
            draft = draft.propose("mount.height", text, "derived", why, BY_PARTS, key)
            draft = _asked(draft, key).leave_open("mount.section_modulus", "from its maker", None, key)
    return draft


def parts(draft: Draft) -> Draft:
    """What tower and shaft rest on, and what their fittings carry: for makers and engineers to say."""
    if "tower" not in draft.job.values:
        return draft.leave_open("torsion.hubs.set_screws", "count them", None)
    for name, figure in (("head_capacity", "head_load_alone"), ("slab_capacity", "head_load_alone")):
        load = quantities.write(draft.at(f"tower.{figure}"), "weight", draft.given.system)
        draft = draft.leave_open(f"tower.{name}", f"from its maker or engineer; it carries {load} and more", None)
    draft = draft.leave_open("tower.weight", "from its maker", None)
    for key in named("tower").example_keys["fitting"]:
        draft = draft.leave_open("fitting.capacity", "from its maker", None, key)
    for name in ("anchored", "base_stop_fitted"):
        draft = draft.leave_open(f"tower.{name}", "look at it: true or false?", None)
    return draft


def ends(draft: Draft) -> Draft:
    """What ends the track: on a slope a tie for the open door, on a vertical lift a stop."""
    lift = draft.at("track.lift")
    if lift == "follow-the-roof":
        draft = draft.leave_open("track.tie_off", "what the tie at the top of the track holds", None)
    if lift == "vertical":
        high = draft.at("door.top_roller_open") + draft.at("practice.guide_reserve")
        draft = draft.derive("track.vertical_length", "door.top_roller_open", high, ("1 in", "20 mm"), "up")
        draft = draft.leave_open("track.stop", "look at it: true or false?", None)
        draft = draft.leave_open("door.cable_offset", "measure where the cable is fixed to the door", None)
    return draft


def lifting(draft: Draft) -> Draft:
    """Where the tackle hangs; with what and by whom is open."""
    if draft.at("track.lift") == "vertical":
        draft = draft.leave_open("lifting.tackle.point_height", "where the tackle hangs", None)
    else:
        height = draft.at("lifting.point_wanted")
        draft = draft.derive("lifting.tackle.point_height", "lifting.point_wanted", height, ("1/4 in", "5 mm"), "up")
    draft = draft.choose({"lifting.crew": "2"}, "two people at least")
    for name in ("capacity", "point_capacity", "parts", "sheaves", "weight", "hangs_from"):
        draft = draft.leave_open(f"lifting.tackle.{name}", "of the tackle you use", None)
    if "tower" in draft.job.values:
        draft = draft.leave_open("lifting.clamp_capacity", "what the clamps on the track hold", None)
    for name in HAND:
        draft = draft.leave_open(f"lifting.hand.{name}", "of the hardest lift by hand", None)
    return draft

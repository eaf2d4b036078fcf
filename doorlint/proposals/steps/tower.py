"""The counterweight tower: its place, its boxes, and the heights of hook-up, pulleys and eye bolts."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import Draft
from doorlint.rulebook.rule import Source

__all__ = ["boxes", "heights", "place"]

WHOLE = ("1/2 in", "10 mm")
TURN = Source("derived", note="box 1 is the top one and serves the bottom section")


def place(draft: Draft, side: str) -> Draft:
    """Where the tower stands, and the parts that it is ordered with."""
    made = draft.made
    draft = draft.choose({"tower.side": side}, "the side with room for it")
    draft = draft.derive("tower.jamb_gap", "track.side_room", draft.at("track.side_room"), WHOLE, "up")
    draft = draft.choose(
        {
            "tower.width": made.tower_width,
            "tower.depth": made.tower_depth,
            "tower.base_stop": made.base_stop,
            "tower.box_pulley_rise": made.box_pulley_rise,
            "tower.eye_bolt_takeup": made.takeup,
            "tower.over_travel": made.over_travel,
        },
        "common size; put in that of the tower you order",
    )
    draft = draft.choose(
        {
            "tower.guides_clear": "true",
            "tower.weights_contained": "true",
            "tower.cover.material": "steel",
            "tower.cover.gage": "14",
            "tower.cover.height": made.cover_height,
        },
        "ordered so: what the rules ask of a tower",
    )
    crossing = draft.at("opening.finished_width") + quantities.read(made.crossing_over, "length")
    return draft.derive(
        "tower.crossing", "opening.finished_width", crossing, ("1 in", "25 mm"), "up",
        because=f"and {made.crossing_over} to the centers of the pulleys",
    )  # fmt: skip


def boxes(draft: Draft) -> Draft:
    """One box a section, in turn; sections whose marks are not reached between closed and open share box 1."""
    if draft.gives("box.sections"):
        return draft
    made = draft.made
    sections, marks = draft.keys("section"), draft.at("door.marks")
    first = next((number for number, mark in enumerate(marks, 1) if mark is not None), len(sections))
    groups = [sections[:first], *([key] for key in sections[first:])]
    height = quantities.read(made.box_height, "length")
    for number, served in enumerate(groups, 1):
        key = f"b{number}"
        why = "a box a section, from the top of the stack down"
        if len(served) > 1:
            why = f"the marks of {', '.join(served[:-1])} are not reached: box 1 balances them together"
        draft = draft.propose("box.sections", f"[{', '.join(served)}]", "derived", why, TURN, key)
        tall = quantities.write(height * len(served), "length", draft.given.system)
        draft = draft.choose(
            {"box.tare": made.tare, "box.height": tall}, "common size; put in that of the boxes you order", key
        )
    return draft


def heights(draft: Draft) -> Draft:
    """Hook-up height, then what it puts the head pulleys, the eye bolts and the top of the tower at."""
    rest = draft.at("door.open_travel") / 2 + draft.at("practice.box_gap_least")
    figure = "tower.hook_up_mark" if draft.at("tower.hook_up_mark") >= rest else "door.open_travel"
    draft = draft.derive(
        "tower.hook_up_height", figure, max(draft.at("tower.hook_up_mark"), rest), ("1/4 in", "5 mm"), "up",
        because="" if figure == "tower.hook_up_mark" else "half of it, and the gap that box 1 keeps over its rest",
    )  # fmt: skip
    over, takeup = draft.at("tower.over_travel"), draft.at("tower.eye_bolt_takeup")
    top, bracket = draft.at("tower.box_pulley_top"), draft.at("door.bracket_open")
    figure = "tower.box_pulley_top" if top + over >= bracket else "door.bracket_open"
    draft = draft.derive(
        "tower.head_pulley_height", figure, max(top + over, bracket), WHOLE, "up",
        because="and the over-travel" if figure == "tower.box_pulley_top" else "",
    )  # fmt: skip
    draft = draft.derive(
        "tower.eye_bolt_height", "tower.box_pulley_top", top + over + takeup / 2, WHOLE, "up",
        because="and over-travel and half the take-up",
    )  # fmt: skip
    needed = max(draft.at(f"tower.{name}") for name in ("height_needed", "eye_bolt_height", "head_pulley_height"))
    return draft.derive("tower.height", "tower.height_needed", needed, ("1 in", "25 mm"), "up")

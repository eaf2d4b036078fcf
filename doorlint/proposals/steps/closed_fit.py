"""The closed door on its jamb: hinges, and the clearances that leave an even gap."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["closed_fit", "hinges"]

SOURCE = Source("derived", note="the gap stays even when each stand-off step equals lean x spacing")
MEASURED = "measure a hinge of the door you order"
KICK_ROOM = 1.15
"""lean over the one that just lets the bottom corner kick out"""
FEWEST = 2
STEPS = ("1/16 in", "1 mm")


def hinges(draft: Draft) -> Draft:
    """The numbers of the end hinges, and the stand-offs of number 1 and of each further number.

    The track leans as far as the bottom corner kicks out near the header, or more; the hinges follow it.
    """
    keys = draft.keys("section")
    draft = draft.choose({"track.tapered": "true"}, "the closed door is to be loose on its jamb and close like a wedge")
    if draft.at("track.tapered") is not True:
        return draft
    for number, key in enumerate(keys[:-1], 1):
        draft = draft.propose(
            "section.hinge", str(number), "derived", "numbers rise from the bottom joint", SOURCE, key
        )
    if len(keys) < FEWEST:
        raise CannotDesign(f"a door of {len(keys)} section is not designed: it does not turn", "/door/sections")
    joints, clear = _stations(draft), quantities.read(draft.made.gap, "length")
    spacing = (joints[-1] - joints[0]) / (len(joints) - 1) if len(joints) > 1 else joints[0]
    lean = _lean(draft, clear)
    step = lean * spacing
    step_text = text_of(step, "length", draft.given.system, STEPS, "up")
    step = quantities.read(step_text, "length")
    first = draft.at("track.bottom_stand_off") + step * (joints[0] - draft.at("door.bottom_roller")) / spacing
    first_text = text_of(first, "length", draft.given.system, STEPS, "nearest")
    draft = draft.leave_open("door.hinges.first", MEASURED, first_text)
    return draft.leave_open("door.hinges.step", MEASURED, step_text)


def closed_fit(draft: Draft) -> Draft:
    """Jamb clearances at floor and top, and the roller line's distance from the wall."""
    system, clear = draft.given.system, quantities.read(draft.made.gap, "length")
    thickness, top = draft.at("door.thickness"), draft.at("track.tangent_height")
    offs = list(draft.at("jamb.joint_stand_offs").values())[:-1]
    points = [(draft.at("door.bottom_roller"), draft.at("track.bottom_stand_off"))]
    points += [(z, off) for z, off in zip(_stations(draft), offs, strict=True) if off is not None and z <= top]
    at_floor, lean = _line([(z, off + thickness + clear) for z, off in points])
    why = "stand-offs and thickness at every roller and an even gap, as a straight line"
    for name, amount in (("bottom", at_floor), ("top", at_floor + lean * top)):
        text = text_of(amount, "length", system, STEPS, "nearest")
        draft = draft.propose(f"track.jamb_clearance.{name}", text, "derived", why, SOURCE)
    return draft.derive(
        "track.wall_offset", "track.jamb_clearance.top", draft.at("track.jamb_clearance.top"), ("1/8 in", "1 mm"), "up",
        because="the roller line stands that far off where the curve starts",
    )  # fmt: skip


def _stations(draft: Draft) -> list[float]:
    """Heights of the joints of the closed door (m)."""
    total, found = 0.0, []
    for height in list(draft.at("section.height").values())[:-1]:
        total += height
        found.append(total)
    return found


def _lean(draft: Draft, clear: float) -> float:
    """How far the track leans for each meter of height, so that the bottom corner may kick out."""
    kick, below = draft.at("sweep.kick"), draft.at("sweep.kick_below")
    height = draft.at("opening.finished_height") - below
    above = height - draft.at("door.bottom_roller")
    least = draft.at("practice.lean_least") / draft.at("track.tangent_height")
    if kick <= clear or above <= 0.0:
        return float(2 * least)
    return float(max(KICK_ROOM * (kick - clear) / above, 2 * least))


def _line(points: list[tuple[float, float]]) -> tuple[float, float]:
    """Value at height 0 and rise of the straight line that lies nearest to some points (least squares).

    >>> [round(number, 6) for number in _line([(0.0, 1.0), (1.0, 2.0), (2.0, 3.0)])]
    [1.0, 1.0]
    """
    count = len(points)
    mean_x, mean_y = sum(x for x, _ in points) / count, sum(y for _, y in points) / count
    spread = sum((x - mean_x) ** 2 for x, _ in points)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in points) / spread if spread else 0.0
    return mean_y - slope * mean_x, slope

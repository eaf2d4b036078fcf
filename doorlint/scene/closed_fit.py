"""The gap between the closed door and its jamb along the height, enlarged across."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.scene.picture import Picture
from doorlint.scene.shapes import SIDE, Label, Line, Scene, Solid

__all__ = ["CLOSED_FIT", "ENLARGED", "closed_fit"]

ENLARGED = 60.0
"""How much wider than high the gap is drawn."""
WALL = 0.2
"""Depth at which the jamb is drawn (m)."""
LEAF = 0.25
"""Thickness at which the door is drawn behind its widest gap (m)."""
WIDEST = 0.0254
"""A wider gap is drawn as this wide (m); its label has its size."""
CLOSED_FIT = Picture(
    "closed-fit", f"The closed door on its jamb from the side (gap drawn {ENLARGED:.0f} times as wide)", SIDE,
    barred=False, air=0.1,
)  # fmt: skip


def closed_fit(facts: Facts) -> Scene | None:
    """The jamb, the outer face of the closed door, and the gap at each roller; ``None`` (and the reason noted) where
    it is not known."""
    if not (facts.given("door") and facts.given("track")):
        return None
    if not facts.needs("The gap between door and jamb", "jamb.gaps"):
        return None
    gaps = facts.known("jamb.gaps")
    scene, on = Scene(), (CLOSED_FIT.name,)
    top = max(sum(facts.column("section.height").values()), gaps[-1].height)
    face = [(ENLARGED * max(min(gap.width, WIDEST), -WIDEST), gap.height) for gap in gaps]
    face = [(face[0][0], 0.0), *face, (face[-1][0], top)]
    back = max(across for across, _ in face) + LEAF
    jamb = ((-WALL, 0.0), (0.0, 0.0), (0.0, top), (-WALL, top))
    scene.shapes.append(Solid("jamb", "wall", None, None, None, hatched=True, along=0, profile=jamb))
    leaf = (*face, (back, top), (back, 0.0))
    scene.shapes.append(Solid("outer face", "section", None, None, None, along=0, profile=leaf))
    limits = [facts.known(f"practice.closed_gap_{name}") for name in ("least", "most")]
    for limit in limits:
        line = ((None, ENLARGED * limit, 0.0), (None, ENLARGED * limit, top))
        scene.shapes.append(Line(f"gap of {limit}", "limit", line))
    wanted = f"gap should be {' to '.join(facts.write(limit, 'length') for limit in limits)}"
    scene.labels.append(Label((wanted,), (None, ENLARGED * sum(limits) / 2, top), on))
    scene.say(f"{wanted.capitalize()}.", *on)
    keys = facts.keys("section")
    for number, (gap, (across, up)) in enumerate(zip(gaps, face[1:-1], strict=True)):
        size = facts.write(abs(gap.width), "length")
        words = f"{size} at {gap.where}" if gap.width >= 0.0 else f"overlaps by {size} at {gap.where}"
        scene.labels.append(Label((words,), (None, max(across, 0.0), up), on))
        scene.say(f"{'Gap ' if gap.width >= 0.0 else ''}{words}.".capitalize(), *on)
        thing = f"/door/sections/{keys[number - 1]}" if number else "/door/stand_off"
        for part in ("", "/hinge", "/joint_stand_off") if number else ("",):
            scene.spot(f"{thing}{part}", None, across, up)
    for pointer, (across, up) in (
        ("/track/jamb_clearance/bottom", face[0]), ("/track/jamb_clearance/top", face[-1]),
        ("/track/jamb_clearance", face[1]), ("/door/hinges", face[len(face) // 2]),
    ):  # fmt: skip
        scene.spot(pointer, None, across, up)
    return scene

"""The door: closed, on its way and open, and what it sweeps."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.mechanics import rolling, sweep
from doorlint.mechanics.outline import outlines
from doorlint.scene.shapes import Dimension, Label, Line, Scene, Solid, circle, rectangle
from doorlint.scene.site import Site

__all__ = ["add"]

SAMPLES = 96
ROLLER = 0.02
"""Radius at which a roller is drawn (m)."""


def add(scene: Scene, site: Site, facts: Facts) -> None:
    """The door as far as it is known."""
    heights = facts.column("section.height")
    if heights and facts.needs("The closed door", "section.height"):
        _closed(scene, site, facts, heights)
    if facts.given("door") and facts.given("track"):
        facts.needs("The door on its way", "sweep.shape")
    if site.swept is not None:
        _on_its_way(scene, site, site.swept)
        _swept(scene, site, facts, site.swept)


def _closed(scene: Scene, site: Site, facts: Facts, heights: dict[str, float]) -> None:
    loads = facts.column("section.load")
    closed = () if site.swept is None else site.swept.closed
    up = 0.0
    for number, (key, height) in enumerate(heights.items()):
        profile = tuple((y + site.offset, z) for y, z in closed[number]) if number < len(closed) else ()
        pointer = f"/door/sections/{key}"
        words = f"{key} {facts.write(height, 'length')} high"
        scene.shapes.append(
            Solid(
                f"section {key}", "section", site.door, None, (up, up + height), pointer, words,
                along=0 if profile else None, profile=profile,
            )
        )  # fmt: skip
        name = f"{key}  {facts.write(loads[key], 'weight')}" if key in loads else key
        scene.labels.append(Label((name,), (site.middle, None, up + height / 2), ("wall",), centered=True))
        if site.door is not None:
            scene.spot(pointer, site.door[0] + (site.door[1] - site.door[0]) * 0.8, None, up + height / 2)
        if profile:
            left, low, right, high = rectangle(profile)
            scene.spot(pointer, None, (left + right) / 2, (low + high) / 2)
        up += height
    if site.door is not None:
        left, right = site.door
        across = right - left
        scene.spot("/door", left + across * 0.3, None, up * 0.8)
        scene.spot("/door/width", left + across * 0.25, None, 0.0)
        scene.spot("/door/weight", left + across * 0.3, None, up * 0.62)
    if facts.known("door.width") is not None and site.door is not None:
        words = f"door {facts.write(facts.known('door.width'), 'length')}"
        scene.dimensions.append(Dimension(words, (left, None, 0.0), (right, None, 0.0), "below", 2, ("wall",)))
    scene.say(f"Door of {len(heights)} sections, {facts.write(up, 'length')} high.", "wall", "side")


def _on_its_way(scene: Scene, site: Site, swept: sweep.Sweep) -> None:
    """Open, half way (in the header view: where it is highest), and the rollers of the closed door."""
    out = site.offset
    highest = sweep.free_height(swept, 0.0, sweep.depth(swept))
    poses = [("open", swept.open_at, ()), ("halfway", swept.open_at / 2, ("side",))]
    if highest is not None:
        poses.append(("halfway", highest.travel, ("header",)))
        at = (None, highest.distance + out, swept.opening_height + highest.height)
        scene.labels.append(Label(("at its highest here",), at, ("header",)))
    for kind, travel, on in poses:
        pose = outlines(swept.path, swept.door, swept.stand_offs, swept.thickness, travel)
        for number, outline in enumerate(pose, 1):
            profile = tuple((y + out, z) for y, z in outline)
            near, _, far, _ = rectangle(profile)
            lying = site.door if kind == "open" else None
            scene.shapes.append(
                Solid(f"{kind} {on} {number}", kind, lying, (near, far), None, along=0, profile=profile, on=on)
            )
    edge = outlines(swept.path, swept.door, swept.stand_offs, swept.thickness, swept.open_at / 2)[0][0]
    scene.labels.append(Label(("half way up",), (None, edge[0] + out, edge[1]), ("side",)))
    closed = [point for outline in swept.closed for point in outline]
    outermost, _, inmost, _ = rectangle(closed)
    scene.shapes.append(Solid("closed door in plan", "section", site.door, (outermost + out, inmost + out), None))
    stand = rolling.trace(swept.path, swept.door, 0.0)
    for number, (y, z) in enumerate(zip(stand.y, stand.z, strict=True)):
        profile = circle(y + out, z, ROLLER)
        scene.shapes.append(Solid(f"roller {number}", "roller", None, None, None, along=0, profile=profile, round=True))
    inner = swept.closed[len(swept.closed) // 4][3]
    under = swept.opened[len(swept.opened) // 2]
    middle = ((under[0][0] + under[3][0]) / 2 + out, (under[0][1] + under[3][1]) / 2)
    scene.labels += [
        Label(("closed",), (None, inner[0] + out, inner[1] - 0.3), ("side", "header")),
        Label(("door open",), (None, *middle), ("side", "header")),
        Label(("door open",), (site.middle, middle[0], None), ("plan",)),
        Label(("door closed",), (None if site.middle is None else site.middle * 0.5, inmost + out, None), ("plan",)),
    ]
    scene.spot("/door", None, closed[0][0] + out, closed[2][1])
    scene.say("Full line: the door closed. Broken line: open. Dots and dashes: on its way.", "side", "header")


def _swept(scene: Scene, site: Site, facts: Facts, swept: sweep.Sweep) -> None:
    """The highest that any part of the door comes at each distance from the wall, and the headroom it needs."""
    deep = sweep.depth(swept)
    outermost = min(y for outline in swept.closed for y, _ in outline)
    distances = [outermost + (deep - outermost) * (step / SAMPLES) ** 2 for step in range(SAMPLES + 1)]
    heights = zip(distances, sweep.envelope(swept, distances), strict=True)
    height = swept.opening_height
    points = tuple((None, distance + site.offset, height + up) for distance, up in heights if up is not None)
    under_roof = facts.known("guide.roof_headroom")
    needed = facts.known("sweep.headroom_needed") if under_roof is None else under_roof
    words = "" if needed is None else f"the door needs {facts.write(needed, 'length')} of headroom"
    scene.shapes.append(Line("sweep", "sweep", points, words=words))
    scene.labels += [
        Label(("highest the door reaches",), points[len(points) * 6 // 8], ("side",)),
        Label(("highest the door reaches",), points[len(points) * 3 // 8], ("header",)),
    ]
    scene.say("Dotted line: the highest that any part of the door reaches on its way.", "side", "header")
    if needed is None:
        return
    level = height + needed
    back = level + (0.0 if under_roof is None else facts.known("room.roof_slope") * site.back)
    scene.shapes.append(Line("headroom needed", "need", ((None, 0.0, level), (None, site.back, back)), on=("header",)))
    words = f"needs {facts.write(needed, 'length')}" + ("" if under_roof is None else " at the wall")
    scene.dimensions.append(Dimension(words, (None, 0.0, height), (None, 0.0, level), "right", 1, ("header",)))
    hardware, highest = facts.known("sweep.hardware_height"), facts.known("sweep.height")
    if under_roof is None and None not in (hardware, highest) and hardware > highest:
        scene.labels.append(Label(("needed for the hardware",), (None, 0.4, level), ("header",)))
    scene.say(f"Headroom: {words}.", "header")

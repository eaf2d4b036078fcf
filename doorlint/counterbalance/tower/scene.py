"""The tower in the scene of a job: steel, boxes, pulleys, cables, and its loads on the building."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.scene.shapes import Arrow, Dimension, Label, Line, Scene, Solid, circle
from doorlint.scene.site import Site

__all__ = ["add_to"]

PULLEY = 0.05
"""Radius at which a pulley is drawn where its diameter is not given (m)."""
LANE = 0.035
"""Distance of the two cables from the middle of the tower (m)."""
FAR_LIFT = 0.07
"""How much higher the crossing cable is drawn (m), so that both cables can be seen."""
LOADS = (
    ("near", "tower.head_load", "{} down on the tower head", (0.0, -1.0)),
    ("near", "tower.head_side_load", "{} toward the opening", (1.0, 0.0)),
    ("far", "tower.far_head_load", "{} down on the far head plate", (0.0, -1.0)),
    ("far", "tower.far_side_load", "{} inward", (1.0, 0.0)),
    ("foot", "tower.slab_load", "{} at most on the slab", (0.0, -1.0)),
)


def add_to(scene: Scene, site: Site, facts: Facts) -> None:
    """The tower as far as it is known."""
    needed = ("tower.side", "tower.jamb_gap", "tower.width", "tower.height")
    if site.width is None or not facts.needs("The tower", *needed):
        return
    gap, across, tall = (facts.known(f"tower.{name}") for name in ("jamb_gap", "width", "height"))
    side, write = facts.known("tower.side"), facts.write
    on_left = side == "left"
    left = -gap - across if on_left else site.width + gap
    span, middle = (left, left + across), left + across / 2
    deep = facts.known("tower.depth")
    words = f"tower {side}, {write(tall, 'length')} high"
    scene.shapes.append(Solid("tower", "tower", span, None if deep is None else (0.0, deep), (0.0, tall), "", words))
    near = 0.0 if on_left else site.width
    edges = sorted((near, left + across if on_left else left))
    gap_words = f"tower gap {write(gap, 'length')}"
    scene.labels += [
        Label(("tower", write(tall, "length")), (middle, None, tall), ("wall",)),
        Label(("tower",), (middle, None if deep is None else deep / 2, None), ("plan",), centered=True),
        Label(("tower",), (None, deep, tall * 0.6), ("side",)),
    ]
    scene.dimensions += [
        Dimension(gap_words, (edges[0], None, 0.0), (edges[1], None, 0.0), "below", 2, ("wall",)),
        Dimension(gap_words, (edges[0], 0.0, None), (edges[1], 0.0, None), "above", 2, ("plan",)),
    ]
    for pointer, x, z in (
        ("", middle, tall * 0.62), ("/height", middle, tall), ("/cover", middle, tall * 0.35),
        ("/jamb_gap", (edges[0] + edges[1]) / 2, tall * 0.2), ("/width", middle, 0.0),
        ("/slab_capacity", middle, 0.0), ("/anchored", left, 0.0),
    ):  # fmt: skip
        scene.spot(f"/tower{pointer}", x, None, z)
    scene.say(f"Tower on the {side}, {write(tall, 'length')} high, {gap_words}.", "wall", "plan")
    top = _boxes(scene, facts, span)
    if top is not None:
        _cables(scene, site, facts, middle, top)
    _loads(scene, site, facts, middle, tall)


def _boxes(scene: Scene, facts: Facts, span: tuple[float, float]) -> float | None:
    """The stack at rest, and box 1 where it hangs with the door closed; gives how high its top then is (m)."""
    heights = facts.column("box.height")
    if not heights or not facts.needs("The counterweight boxes", "box.height", "tower.base_stop"):
        return None
    write = facts.write
    inset = min((span[1] - span[0]) * 0.12, 0.05)
    inside, middle = (span[0] + inset, span[1] - inset), (span[0] + span[1]) / 2
    low = facts.known("tower.base_stop")
    scene.shapes.append(Line("base stop", "tower", ((span[0], None, low), (span[1], None, low)), "/tower/base_stop"))
    scene.spot("/tower/base_stop", middle, None, low)
    for key, height in reversed(heights.items()):
        scene.shapes.append(Solid(f"box {key}", "box", inside, None, (low, low + height)))
        scene.labels.append(Label((key,), (middle, None, low + height / 2), ("wall",), centered=True))
        for part in ("", "/plates"):
            scene.spot(f"/tower/boxes/{key}{part}", middle, None, low + height / 2)
        low += height
    scene.say(f"{len(heights)} boxes in it, drawn at rest; {next(iter(heights))} is the top one.", "wall")
    if not facts.needs("Box 1 at its hook-up mark", "tower.hook_up"):
        return None
    hook_up, first = facts.known("tower.hook_up"), next(iter(heights.values()))
    top: float = low + hook_up
    words = f"hook-up {write(hook_up, 'length')}"
    over = f"{words} over rest"
    scene.shapes.append(Solid("box 1 hooked up", "raised", inside, None, (top - first, top), words=over))
    scene.labels.append(Label((words, f"top at {write(top, 'length')}"), (middle, None, top), ("wall",)))
    scene.spot("/tower/hook_up_height", middle, None, top)
    scene.say(f"With the door closed the top of box 1 hangs {write(hook_up, 'length')} higher.", "wall")
    return top


def _cables(scene: Scene, site: Site, facts: Facts, tower: float, box_top: float) -> None:
    """Each lift cable from its bottom corner over the head pulleys to the moving pulley and up to its eye bolt."""
    if site.door is None or not facts.needs("The lift cables", "door.width", "tower.head_pulley_height"):
        return
    high, near = facts.known("tower.head_pulley_height"), facts.known("tower.side")
    far = "right" if near == "left" else "left"
    pulley = box_top + (facts.known("tower.box_pulley_rise") or 0.0)
    eye = facts.known("tower.eye_bolt_height") or facts.known("tower.height")
    sizes = dict.fromkeys(("head", "crossing", "box"), PULLEY)
    diameters = facts.column("pulley.diameter")
    for key, where in facts.column("pulley.at").items():
        sizes[where] = diameters.get(key, 2 * PULLEY) / 2
    toward = 1.0 if near == "left" else -1.0
    corners = dict(zip(("left", "right"), site.door, strict=True))
    foot = facts.known("door.bottom_roller") or 0.0
    for side, lane, lift in ((near, -LANE, 0.0), (far, LANE, FAR_LIFT)):
        corner, down, level = corners[side], tower + lane * toward, high + lift
        run = ((corner, None, foot), (corner, None, level), (down, None, level), (down, None, pulley))
        scene.shapes.append(Line(f"cable {side}", "cable", run))
        for name, x in ((f"head pulley {side}", corner), (f"turning pulley {side}", down)):
            scene.shapes.append(_pulley(name, x, level, sizes["head" if side == near else "crossing"]))
        for key, on in facts.column("cable.side").items():
            if on == side:
                scene.spot(f"/cables/{key}", corner, None, high * (0.92 if side == near else 0.86))
    scene.shapes += [
        _pulley("box pulley", tower, pulley, sizes["box"]),
        Line("eye bolt cable", "cable", ((tower, None, pulley), (tower, None, eye))),
    ]
    heights = f"head pulleys {facts.write(high, 'length')}"
    scene.labels += [
        Label(("far cable crosses",), (site.width * 0.62 if site.width else 0.0, None, high + FAR_LIFT), ("wall",)),
        Label((heights,), (corners[far], None, high + FAR_LIFT), ("wall",)),
    ]
    for pointer, x, z in (
        ("/tower/head_pulley_height", corners[near], high), ("/tower/eye_bolt_height", tower, eye),
        ("/tower/eye_bolt_takeup", tower, eye), ("/tower/box_pulley_rise", tower, pulley),
        ("/tower/crossing", (site.width or 0.0) * 0.4, high + FAR_LIFT),
        ("/cables", (site.width or 0.0) * 0.3, high + FAR_LIFT),
    ):  # fmt: skip
        scene.spot(pointer, x, None, z)
    for key, where in facts.column("pulley.at").items():
        x, z = {"box": (tower, pulley), "crossing": (corners[far], high + FAR_LIFT)}.get(where, (corners[near], high))
        scene.spot(f"/pulleys/{key}", x, None, z)
    scene.say(f"Lift cables over {heights} above the floor; the {far} one crosses.", "wall")


def _pulley(name: str, x: float, z: float, radius: float) -> Solid:
    span, rise = (x - radius, x + radius), (z - radius, z + radius)
    return Solid(name, "pulley", span, None, rise, along=1, profile=circle(x, z, radius), round=True)


def _loads(scene: Scene, site: Site, facts: Facts, tower: float, tall: float) -> None:
    """What the tower puts on the building, as arrows."""
    near = facts.known("tower.side")
    toward = 1.0 if near == "left" else -1.0
    high = facts.known("tower.head_pulley_height")
    far = site.edge("right" if near == "left" else "left")
    places = {"near": (tower, tall), "far": (far, high), "foot": (tower, 0.0)}
    for where, name, words, (across, up) in LOADS:
        force, (x, z) = facts.known(name), places[where]
        if force is not None and x is not None and z is not None:
            sense = toward if where == "near" else -toward
            text = words.format(facts.write(force, "weight"))
            scene.arrows.append(Arrow(text, (x, None, z), (across * sense, up), ("loads",)))
            scene.say(f"{text}.", "loads")

"""The torsion shaft in the scene of a job: shaft, drums, springs and cables."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.scene.shapes import Arrow, Label, Line, Scene, Solid, circle
from doorlint.scene.site import Site

__all__ = ["add_to"]

CENTER_GAP = 0.04
"""Distance of the springs from the middle bearing plate (m): the spec does not give it."""
AXLE = 0.015
"""Radius at which the shaft is drawn from the side where its diameter is not given (m)."""


def add_to(scene: Scene, site: Site, facts: Facts) -> None:
    """The shaft as far as it is known."""
    if site.width is None or not facts.needs("The torsion shaft", "torsion.shaft.height", "torsion.shaft.length"):
        return
    high, length = facts.known("torsion.shaft.height"), facts.known("torsion.shaft.length")
    facts.needs("The torsion shaft from the side", "torsion.shaft.from_wall")
    out, middle = facts.known("torsion.shaft.from_wall"), site.width / 2
    left, right = middle - length / 2, middle + length / 2
    words = f"shaft at {facts.write(high, 'length')}"
    scene.shapes.append(Line("shaft", "shaft", ((left, out, high), (right, out, high)), "", words))
    scene.labels += [
        Label((words,), (left + length * 0.1, None, high), ("wall", "loads")),
        Label((words,), (None, out, high), ("side", "header")),
        Label(("shaft",), (middle, out, None), ("plan",)),
    ]
    if out is not None:
        radius = (facts.known("torsion.shaft.diameter") or 2 * AXLE) / 2
        scene.shapes.append(
            Solid("shaft end", "roller", None, None, None, along=0, profile=circle(out, high, radius), round=True)
        )
    scene.spot("/torsion", right - length * 0.07, None, high)
    scene.spot("/torsion/shaft", left + length * 0.16, out, high)
    scene.say(f"Torsion {words} above the floor.", "wall", "side")
    _drums(scene, site, facts, high, out)
    _springs(scene, facts, middle, high, out)
    _loads(scene, site, facts, high)


def _drums(scene: Scene, site: Site, facts: Facts, high: float, out: float | None) -> None:
    if site.door is None or not facts.needs("The drums", "torsion.drum.diameter", "torsion.drum.width"):
        return
    size, wide = facts.known("torsion.drum.diameter"), facts.known("torsion.drum.width")
    foot = facts.known("door.bottom_roller") or 0.0
    deep = None if out is None else (out - size / 2, out + size / 2)
    profile = () if out is None else circle(out, high, size / 2)
    for side, cable in zip(("left", "right"), site.door, strict=True):
        inner = cable if side == "left" else cable - wide
        scene.shapes += [
            Solid(
                f"drum {side}", "drum", (inner, inner + wide), deep,
                (high - size / 2, high + size / 2), along=0 if profile else None, profile=profile, round=True,
            ),
            Line(f"cable {side}", "cable", ((cable, None, high - size / 2), (cable, None, foot))),
        ]  # fmt: skip
        for key, on in facts.column("cable.side").items():
            if on == side:
                scene.spot(f"/cables/{key}", cable, None, high * 0.8)
    scene.spot("/torsion/drum", site.door[1] - wide / 2, out, high)


def _springs(scene: Scene, facts: Facts, middle: float, high: float, out: float | None) -> None:
    for key, start, end, radius in spring_places(facts, middle):
        rise = (high - radius, high + radius)
        deep = None if out is None else (out - radius, out + radius)
        profile = () if out is None else circle(out, high, radius)
        scene.shapes.append(
            Solid(
                f"spring {key}", "spring", (start, end), deep, rise, hatched=True,
                along=0 if profile else None, profile=profile, round=True,
            )
        )  # fmt: skip
        scene.labels.append(Label((f"spring {key}",), ((start + end) / 2, None, high + radius), ("wall",)))
        scene.spot(f"/torsion/springs/{key}", (start + end) / 2, out, high)
    scene.spot("/torsion/springs", middle, out, high)


def spring_places(facts: Facts, middle: float) -> list[tuple[str, float, float, float]]:
    """Each spring with its left and right end (m) and its radius, outward from the middle bearing plate."""
    found = []
    starts = {"left": middle - CENTER_GAP, "right": middle + CENTER_GAP}
    for key, length in facts.column("spring.length").items():
        side, bore = facts.known("spring.side", key), facts.known("spring.inside_diameter", key)
        if side is None or bore is None:
            facts.needs(f"Spring {key}", "spring.side", "spring.inside_diameter", key=key)
            continue
        begin = starts[side]
        starts[side] = begin - length if side == "left" else begin + length
        start, end = sorted((begin, starts[side]))
        found.append((key, start, end, bore / 2 + (facts.known("spring.wire", key) or 0.0)))
    return found


def _loads(scene: Scene, site: Site, facts: Facts, high: float) -> None:
    """The pull of the cables on the end bearings, door closed."""
    pull = facts.known("torsion.pull_closed")
    if pull is None or site.door is None:
        return
    words = f"{facts.write(pull / 2, 'weight')} down at the bearing"
    for edge in site.door:
        scene.arrows.append(Arrow(words, (edge, None, high), (0.0, -1.0), ("loads",)))
    scene.say(f"{words.capitalize()}, each side.", "loads")

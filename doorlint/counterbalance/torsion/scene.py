"""The torsion shaft in the scene of a job: shaft, drums, springs and cables."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.scene.shapes import Arrow, Label, Line, Scene, Solid, circle
from doorlint.scene.site import Site

__all__ = ["add_to"]

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
    left_end = (site.width or 0.0) / 2 - facts.known("torsion.shaft.length") / 2
    rear = facts.known("torsion.mount") == "rear"
    for side, corner in zip(("left", "right"), site.door, strict=True):
        station = facts.known(f"torsion.drum.{side}")
        inner = (corner if side == "left" else corner - wide) if station is None else left_end + station - wide / 2
        cable = inner if side == "left" else inner + wide
        scene.shapes += [
            Solid(
                f"drum {side}", "drum", (inner, inner + wide), deep,
                (high - size / 2, high + size / 2), along=0 if profile else None, profile=profile, round=True,
            ),
        ]  # fmt: skip
        if not rear:
            run = ((cable, None, high - size / 2), (cable, None, foot))
            scene.shapes.append(Line(f"cable {side}", "cable", run))
        for key, on in facts.column("cable.side").items():
            if on == side:
                scene.spot(f"/cables/{key}", cable, None, high * 0.8)
    if rear and out is not None:
        _rear_cable(scene, site, facts, (out, high, size / 2, foot))
    scene.spot("/torsion/drum", site.door[1] - wide / 2, out, high)


def _rear_cable(scene: Scene, site: Site, facts: Facts, drum: tuple[float, float, float, float]) -> None:
    """The cable of a shaft behind the tracks: from the drum to the front pulley, and down to the bottom bracket."""
    out, high, radius, foot = drum
    names = ("torsion.front_pulley.height", "torsion.front_pulley.run", "torsion.front_pulley.diameter")
    if not facts.needs("The cable of the rear shaft", *names):
        return
    level, run, size = (facts.known(name) for name in names)
    leaves = high + radius if facts.known("torsion.drum.cable_leaves") == "top" else high - radius
    front = out - run
    points = (
        (None, out, leaves),
        (None, front, level + size / 2),
        (None, site.offset, level),
        (None, site.offset, foot),
    )
    scene.shapes += [
        Line("rear cable", "cable", points),
        Solid("front pulley", "pulley", None, None, None, along=0, profile=circle(front, level, size / 2), round=True),
    ]
    scene.labels.append(Label(("front pulley",), (None, front, level), ("side", "header")))
    scene.spot("/torsion/front_pulley", None, front, level)


def _springs(scene: Scene, facts: Facts, middle: float, high: float, out: float | None) -> None:
    left_end = middle - facts.known("torsion.shaft.length") / 2
    for key, anchor, cone, radius in spring_places(facts, left_end):
        start, end = sorted((anchor, cone))
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


def spring_places(facts: Facts, left_end: float) -> list[tuple[str, float, float, float]]:
    """Each spring on the shaft with its anchored end, its cone's end (m) and its radius; springs inside others left
    out. ``left_end`` is where the left end bearing is."""
    found = []
    for key in facts.keys("spring"):
        if facts.known("spring.inside", key) is not None:
            continue
        names = ("spring.anchor_station", "spring.cone_station", "spring.outside")
        if facts.needs(f"Spring {key}", *names, key=key):
            anchor, cone, outside = (facts.known(name, key) for name in names)
            found.append((key, left_end + anchor, left_end + cone, outside / 2))
    return found


def _loads(scene: Scene, site: Site, facts: Facts, high: float) -> None:
    """What the bearings put on the building, door closed."""
    left_end = (site.width or 0.0) / 2 - facts.known("torsion.shaft.length") / 2
    stations, loads = facts.column("bearing.station"), facts.column("bearing.load")
    for key, station in stations.items():
        if key in loads:
            words = f"{key} bearing {facts.write(loads[key], 'weight')}"
            scene.arrows.append(Arrow(words, (left_end + station, None, high), (0.0, -1.0), ("loads",)))
            scene.spot(f"/torsion/bearings/{key}", left_end + station, None, high)
            scene.say(f"{words.capitalize()}.", "loads")

"""The tracks and the hangers with their loads."""

from __future__ import annotations

import math

from doorlint.facts import Facts
from doorlint.mechanics import rolling
from doorlint.scene.shapes import Arrow, Dimension, Label, Line, Scene, Solid
from doorlint.scene.site import Site

__all__ = ["add"]

SPOTS = (
    ("vertical_length", 1.0), ("angle_length", 0.9), ("wall_offset", 0.3), ("jamb_clearance/bottom", 0.02),
    ("jamb_clearance/top", 1.0), ("jamb_clearance", 0.2),
)  # fmt: skip
"""Where findings about the vertical track are marked: shares of the height at which the curve starts."""
BELOW_ROLLER = 0.05
"""How far below its roller the front of an upper guide is drawn (m)."""
DOT = 0.03
"""Half the width at which a hanger is drawn from above (m)."""


def add(scene: Scene, site: Site, facts: Facts) -> None:
    """Tracks and hangers as far as they are known."""
    if facts.given("track"):
        facts.needs("The track", "track.path")
        _from_inside(scene, site, facts)
    if site.path is not None:
        _from_the_side(scene, site, facts, site.path)
        if math.isfinite(site.path.tangent):
            _hangers(scene, site, facts, site.path)


def _size(facts: Facts) -> float:
    return facts.known("track.size") or 0.05


def _from_inside(scene: Scene, site: Site, facts: Facts) -> None:
    if site.door is None or not facts.needs("The vertical tracks", "track.tangent_height"):
        return
    size, (left, right) = _size(facts), site.door
    start = facts.known("track.tangent_height")
    top = start + (facts.known("track.radius") or 0.0)
    words = f"curve starts at {facts.write(start, 'length')}"
    for side, edge in (("left", left - size), ("right", right)):
        scene.shapes.append(
            Solid(f"vertical track {side}", "track", (edge, edge + size), None, (0.0, top), words=words, thing=side)
        )
    scene.spot("/track", right + size / 2, None, top * 0.9)
    scene.say(f"Vertical tracks at both edges of the door, curve included up to {facts.write(top, 'length')}.", "wall")


def _from_the_side(scene: Scene, site: Site, facts: Facts, path: rolling.Path) -> None:
    """The line of the roller centers, from the floor to the back end of the track."""
    write, out = facts.write, site.offset
    if not math.isfinite(path.tangent):
        top = facts.known("track.tangent_height")
        if top is not None:
            scene.shapes.append(Line("track", "track-line", ((None, out, 0.0), (None, out, top)), "/track"))
        return
    length = facts.known("track.horizontal_length")
    if length is None:
        facts.needs("The horizontal track to its end", "track.horizontal_length")
        length = 0.0
    steps = [path.tangent + path.radius * path.arc * step / 24 for step in range(25)]
    spots = [rolling.spot(path, s) for s in (0.0, *steps, path.arc_end + length)]
    radius, start = f"radius {write(path.radius, 'length')}", f"curve starts at {write(path.tangent, 'length')}"
    points = tuple((None, y + out, z) for _, y, z, _, _ in spots)
    scene.shapes.append(Line("track", "track-line", points, words=f"track, {radius}, {start}"))
    if path.upper is not None:
        start_at = (0.0 if site.swept is None else min(site.swept.closed_s[-1], 0.0)) - BELOW_ROLLER
        upper = [path.upper.spot(path.upper.arc_end * step / 24) for step in range(25)]
        upper = [path.upper.spot(start_at), *upper, path.upper.spot(path.upper.arc_end + length)]
        line = tuple((None, y + out, z) for _, y, z, _, _ in upper)
        scene.shapes.append(Line("upper guide", "track-line", line, "/track/upper", "upper guide"))
        scene.labels.append(Label(("upper guide",), line[len(line) // 2], ("side", "header")))
    end = spots[-1]
    _note_curve(scene, facts, path, out)
    if site.door is not None:
        _add_in_plan(scene, site, facts, end[1] + out, length)
    scene.spot("/track/rise", None, (path.end_y + end[1]) / 2 + out, (path.end_z + end[2]) / 2)
    scene.spot("/track/horizontal_length", None, end[1] + out, end[2])
    scene.spot("/track", None, out, path.tangent * 0.7)
    rise = facts.known("track.rise")
    sentence = f"Curve of {radius} from {write(path.tangent, 'length')} up"
    if length and rise is not None:
        sentence += f", then {write(length, 'length')} of horizontal track rising {write(rise, 'slope')}"
    scene.say(f"{sentence}.", "side", "header", "step-track")


def _note_curve(scene: Scene, facts: Facts, path: rolling.Path, out: float) -> None:
    """The labels, the dimension and the spots of the curve and of the track below it."""
    start = facts.write(path.tangent, "length")
    _, y, z, _, _ = rolling.spot(path, path.tangent + path.radius * path.arc * 0.45)
    scene.labels += [
        Label((f"radius {facts.write(path.radius, 'length')}",), (None, y + out, z), ("header", "step-track")),
        Label((f"curve starts at {start}",), (None, out, path.tangent), ("header",)),
    ]
    ends = (None, out, 0.0), (None, out, path.tangent)
    scene.dimensions.append(Dimension(start, *ends, "left", 1, ("step-track",)))
    scene.spot("/track/radius", None, y + out, z)
    for part, share in SPOTS:
        scene.spot(f"/track/{part}", None, out, path.tangent * share)


def _add_in_plan(scene: Scene, site: Site, facts: Facts, end: float, length: float) -> None:
    """The tracks seen from above, from the wall to their end."""
    assert site.door is not None
    size, (left, right) = _size(facts), site.door
    for side, edge in (("left", left - size), ("right", right)):
        scene.shapes.append(Solid(f"track {side} in plan", "track", (edge, edge + size), (site.offset, end), None))
    if length:
        words = f"track end {facts.write(end, 'length')}"
        at = left - size
        scene.dimensions.append(Dimension(words, (at, 0.0, None), (at, end, None), "left", 1, ("plan",)))


def _hangers(scene: Scene, site: Site, facts: Facts, path: rolling.Path) -> None:
    """Every hanger as a line from the track up, with its load as an arrow and its station as a dimension."""
    write, out = facts.write, site.offset
    for key in facts.keys("hanger"):
        facts.needs(f"Hanger {key}", "hanger.station", key=key)
        facts.needs(f"Load of hanger {key}", "hanger.load", key=key)
    drops, loads, sides = (facts.column(f"hanger.{name}") for name in ("drop", "load", "side"))
    together: dict[float, list[str]] = {}
    for key, station in facts.column("hanger.station").items():
        together.setdefault(round(station, 3), []).append(key)
        _, y, z, _, _ = rolling.spot(path, path.arc_end + station)
        top = z + drops[key] if key in drops else max(site.top - 0.05, z + 0.2)
        words = f"at {write(station, 'length')}" + (f", {write(loads[key], 'weight')}" if key in loads else "")
        edge = site.edge(sides[key]) if key in sides else None
        scene.shapes.append(Line(f"hanger {key}", "hanger", ((None, y + out, z), (None, y + out, top)), "", words, key))
        if edge is not None:
            dot = (edge - DOT, edge + DOT), (y + out - DOT, y + out + DOT)
            scene.shapes.append(Solid(f"hanger {key} in plan", "hanger", *dot, None))
            text = (key, facts.write(loads[key], "weight")) if key in loads else (key,)
            scene.labels.append(Label(text, (edge, y + out, None), ("plan",)))
        for part, share in (("", 0.35), ("/station", 0.0), ("/fixing", 1.0), ("/ceiling_capacity", 1.0)):
            scene.spot(f"/hangers/{key}{part}", edge, y + out, z + (top - z) * share)
    before = 0.0
    for station, keys in sorted(together.items()):
        start, here = (rolling.spot(path, path.arc_end + at) for at in (before, station))
        lines = tuple(f"{key}  {write(loads[key], 'weight')}" if key in loads else key for key in keys)
        at = (None, here[1] + out, here[2] + 0.25)
        scene.labels.append(Label(lines, at, ("side",)))
        if any(key in loads for key in keys):
            scene.arrows.append(Arrow("", (None, here[1] + out, here[2]), (0.0, -1.0), ("side",)))
        scene.dimensions.append(
            Dimension(
                f"{'curve to hanger' if before == 0.0 else 'to the next'} {write(station - before, 'length')}",
                (None, start[1] + out, start[2]), (None, here[1] + out, here[2]), "below", 2, ("side",),
            )
        )  # fmt: skip
        ends = ((None, start[1] + out, start[2]), (None, here[1] + out, here[2]))
        scene.dimensions.append(Dimension(write(station - before, "length"), *ends, "below", 1, ("step-hangers",)))
        before = station
        scene.say(f"Hangers {write(station, 'length')} behind the curve: {', '.join(lines)}.", "side", "step-hangers")
    scene.spot("/hangers", None, path.end_y + out, path.end_z)

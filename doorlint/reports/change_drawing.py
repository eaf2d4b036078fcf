"""What was approved and what is proposed in one drawing: dashed what was, in full line what is, thin what stays.

Both are drawn to one scale from the left jamb edge, the finished floor and the inside wall face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple, TypeAlias

from doorlint.facts import Facts
from doorlint.mechanics import rolling, sweep
from doorlint.reports.drawing import Box, Canvas, Point, Scale, text_width
from doorlint.reports.view import Drawn, View, scale_bar

__all__ = ["Part", "drawings"]

WIDTH, LEFT, RIGHT, TOP, BOTTOM = 700.0, 40.0, 40.0, 44.0, 66.0
TALLEST = 520.0
SIDE = 2.5
"""Height to which a side wall is drawn where no ceiling is known (m)."""
WALL = 0.2
"""Depth at which the wall is drawn (m): the spec does not give it."""
SAMPLES = 64
STILL = 1e-6
"""Outlines nearer to each other than this (m) are one."""


class Part(NamedTuple):
    """One outline of a scene, in metres."""

    points: tuple[Point, ...]
    closed: bool = False
    words: str = ""
    """what is written beside it where it moves"""
    thing: str = ""
    """which of several it is; those with the same words at the same place are named together"""


Scene: TypeAlias = Mapping[str, Part]
"""The parts of one side by name."""


class Frame(NamedTuple):
    """What a drawing shows, in metres."""

    left: float
    bottom: float
    right: float
    top: float


def drawings(approved: Facts, proposed: Facts) -> list[Drawn]:
    """The wall from inside, the side view and the header enlarged, as far as they are known.

    A view of which nothing is known on either side is left out.
    """
    wall = dict(_wall(approved)), dict(_wall(proposed))
    side = dict(_side(approved)), dict(_side(proposed))
    found = []
    if any(wall):
        found.append(_drawing("wall", "The wall seen from inside, door closed", *wall, _whole(*wall), proposed))
    if any(side):
        found.append(_drawing("side", "The side view, door closed and open", *side, _whole(*side), proposed))
        found.append(_drawing("header", "The header from the side, enlarged", *side, _header(*side), proposed))
    return found


def _whole(was: Scene, now: Scene) -> Frame:
    xs, zs = zip(*(point for scene in (was, now) for part in scene.values() for point in part.points), strict=True)
    return Frame(min(xs) - 0.15, 0.0, max(xs) + 0.15, max(zs) + 0.1)


def _header(was: Scene, now: Scene) -> Frame:
    """Header, headroom and what sweeps below it."""
    heights = [scene["header"].points[1][1] for scene in (was, now) if "header" in scene]
    levels = [z for scene in (was, now) for name in ("headroom", "sweep") if name in scene
              for _, z in scene[name].points]  # fmt: skip
    low, high = min(heights) - 0.5, max([*levels, max(heights) + 0.3]) + 0.15
    return Frame(-WALL - 0.1, low, (high - low) * 1.3, high)


def _drawing(name: str, title: str, was: Scene, now: Scene, frame: Frame, facts: Facts) -> Drawn:
    unit = min((WIDTH - LEFT - RIGHT) / (frame.right - frame.left), TALLEST / (frame.top - frame.bottom))
    scale = Scale(unit, WIDTH / 2 - (frame.left + frame.right) / 2 * unit, TOP + frame.top * unit)
    view = View(name, title, Canvas(WIDTH, scale(0.0, frame.bottom)[1] + BOTTOM), scale, facts)
    _legend(view)
    view.canvas.window = Box(*scale(frame.left, frame.top), *scale(frame.right, frame.bottom - 0.01))
    view.canvas.line((scale(frame.left, 0.0), scale(frame.right, 0.0)), "same")
    moved = [key for key in {**was, **now} if not _alike(was.get(key), now.get(key))]
    for key, part in now.items():
        if key not in moved:
            _draw(view, part, "same")
    for scene, kind in ((was, "was"), (now, "now")):
        for key in moved:
            if key in scene:
                _draw(view, scene[key], kind)
    together: dict[tuple[Part | None, Part | None], list[str]] = {}
    for key in moved:
        parts = was.get(key), now.get(key)
        alike = tuple(None if part is None else part._replace(thing="") for part in parts)
        together.setdefault((alike[0], alike[1]), []).extend(dict.fromkeys(part.thing for part in parts if part))
    for (before, after), things in together.items():
        _label(view, before, after, ", ".join(filter(None, things)))
    scale_bar(view, (LEFT, view.canvas.height - 14))
    if not moved:
        view.says.append("Nothing that is drawn here moves.")
    return Drawn(name, title, view.canvas.svg(name, title, " ".join(view.says)), ())


def _alike(one: Part | None, other: Part | None) -> bool:
    if one is None or other is None or len(one.points) != len(other.points):
        return one is other
    return all(math.dist(*pair) < STILL for pair in zip(one.points, other.points, strict=True))


def _draw(view: View, part: Part, kind: str) -> None:
    view.canvas.line([view.scale(*point) for point in part.points], kind, closed=part.closed)


def _label(view: View, was: Part | None, now: Part | None, things: str) -> None:
    """What a part is, beside where it is now, or where it was when it is gone; one that only moved along has none."""
    part = now or was
    assert part is not None
    if not part.words or (was is not None and now is not None and was.words == now.words):
        return
    more = "taken away" if now is None else "added" if was is None else f"{was.words} before"
    xs, zs = zip(*part.points, strict=True)
    middle = ((min(xs) + max(xs)) / 2, max(zs)) if part.closed else part.points[len(part.points) // 2]
    for at in (middle, *part.points):
        if view.canvas.shows(view.scale(*at)):
            words = f"{things} {part.words}" if things else part.words
            view.canvas.label((words, more), view.scale(*at))
            view.says.append(f"{words}, {more}.")
            return


def _legend(view: View) -> None:
    x = LEFT
    for kind, words in (("was", "approved"), ("now", "proposed"), ("same", "unchanged")):
        view.canvas.line(((x, 18), (x + 34, 18)), kind)
        view.canvas.text(words, (x + 40, 22.5), anchor="start")
        x += 64 + text_width(words)


def _box(left: float, bottom: float, right: float, top: float, words: str = "") -> Part:
    return Part(((left, bottom), (right, bottom), (right, top), (left, top)), True, words)


def _wall(facts: Facts) -> Iterator[tuple[str, Part]]:
    """The wall from inside: x from the left jamb edge, z from the floor."""
    width = facts.first("opening.finished_width", "opening.least_width")
    height = facts.first("opening.finished_height", "opening.least_height")
    if width is None or height is None:
        return
    write = facts.write
    words = f"opening {write(width, 'length')} by {write(height, 'length')}"
    yield "opening", Part(((0.0, 0.0), (0.0, height), (width, height), (width, 0.0)), False, words)
    yield from _levels(facts, height, -0.25, width + 0.25)
    for side, edge, sign in (("left", 0.0, -1.0), ("right", width, 1.0)):
        room = facts.known(f"room.side_{side}")
        if room is not None:
            wall = edge + sign * room
            line = ((wall, 0.0), (wall, facts.known("room.roof") or SIDE))
            yield f"side room {side}", Part(line, False, f"side room {side} {write(room, 'length')}")
    across, up = facts.known("door.width"), 0.0
    for key, tall in facts.column("section.height").items():
        left = (width - (across or width)) / 2
        yield f"section {key}", _box(left, up, width - left, up + tall, f"{key} {write(tall, 'length')} high")
        up += tall
    top = facts.known("track.tangent_height") if facts.given("track") else None
    if top is not None:
        for side, at in (("left", -((across or width) - width) / 2), ("right", ((across or width) + width) / 2)):
            words = f"curve starts at {write(top, 'length')}" if side == "left" else ""
            yield f"track {side}", Part(((at, 0.0), (at, top)), False, words)
    yield from _obstructions(facts, ("obstruction.starts", "obstruction.ends"), height)
    if facts.given("tower"):
        yield from _tower(facts, width)
    if facts.given("torsion"):
        high, length = facts.known("torsion.shaft.height"), facts.known("torsion.shaft.length")
        if high is not None and length is not None:
            line = (((width - length) / 2, high), ((width + length) / 2, high))
            yield "shaft", Part(line, False, f"shaft at {write(high, 'length')}")


def _tower(facts: Facts, width: float) -> Iterator[tuple[str, Part]]:
    side, gap, across, tall = (facts.known(f"tower.{name}") for name in ("side", "jamb_gap", "width", "height"))
    if None in (side, gap, across, tall):
        return
    left = -gap - across if side == "left" else width + gap
    yield "tower", _box(left, 0.0, left + across, tall, f"tower {side}, {facts.write(tall, 'length')} high")
    for name, words in (("tower.hook_up_top", "hook-up mark"), ("tower.open_top", "box 1 with the door open")):
        level = facts.known(name)
        if level is not None:
            line = ((left, level), (left + across, level))
            yield name, Part(line, False, f"{words} {facts.write(level, 'length')}")
    pulleys = facts.known("tower.head_pulley_height")
    if pulleys is not None:
        line = ((0.0, pulleys), (width, pulleys))
        yield "head pulleys", Part(line, False, f"head pulleys {facts.write(pulleys, 'length')}")


def _levels(facts: Facts, height: float, near: float, far: float) -> Iterator[tuple[str, Part]]:
    """Headroom and ceiling as lines across."""
    headroom, ceiling = facts.known("room.headroom"), facts.known("room.roof")
    if headroom is not None:
        line = ((near, height + headroom), (far, height + headroom))
        yield "headroom", Part(line, False, f"headroom {facts.write(headroom, 'length')}")
    if ceiling is not None:
        yield "ceiling", Part(((near, ceiling), (far, ceiling)), False, f"ceiling {facts.write(ceiling, 'length')}")


def _obstructions(facts: Facts, across: tuple[str, str], height: float) -> Iterator[tuple[str, Part]]:
    for key in facts.job.keys.get("obstruction", ()):
        near, far, under = (facts.known(name, key) for name in (*across, "obstruction.low"))
        if None in (near, far, under):
            continue
        over = facts.known("obstruction.high", key) or max(under, facts.known("room.roof") or height)
        yield f"obstruction {key}", _box(near, under, far, over, f"{key} {facts.write(under, 'length')}")


def _side(facts: Facts) -> Iterator[tuple[str, Part]]:
    """The side view: y from the inside wall face into the room, z from the floor."""
    height = facts.first("opening.finished_height", "opening.least_height")
    if height is None:
        return
    write = facts.write
    path = facts.known("track.path") if facts.given("track") else None
    turn = facts.known("sweep.shape") if facts.given("door") and path is not None else None
    reach = max([1.2, *facts.all_known("sweep.reach", "track.back_end")])
    top = max([height + 0.6, *facts.all_known("room.roof")])
    wall = ((-WALL, top), (-WALL, height), (0.0, height), (0.0, top))
    yield "header", Part(wall, False, f"header {write(height, 'length')}")
    yield from _levels(facts, height, 0.0, reach)
    for key in facts.job.keys.get("obstruction", ()):
        near, deep, under = (facts.known(f"obstruction.{name}", key) for name in ("from_wall", "depth", "underside"))
        if None not in (near, deep, under):
            over = facts.known("obstruction.high", key) or max(under, facts.known("room.roof") or top)
            yield f"obstruction {key}", _box(near, under, near + deep, over, f"{key} {write(under, 'length')}")
    out = facts.known("track.wall_offset") or 0.0
    if path is not None and math.isfinite(path.tangent):
        yield "track", _track(facts, path, out)
        yield from _hangers(facts, path, out)
    if turn is not None:
        for pose, outlines in (("closed", turn.closed), ("open", turn.opened)):
            for key, outline in zip(facts.column("section.height"), outlines, strict=False):
                yield f"section {key} {pose}", Part(tuple((y + out, z) for y, z in outline), True)
        yield "sweep", _swept(facts, turn, out, height)
    shaft = facts.all_known("torsion.shaft.from_wall", "torsion.shaft.height") if facts.given("torsion") else []
    if len(shaft) == 2:
        y, z = shaft
        yield "shaft", _box(y - 0.02, z - 0.02, y + 0.02, z + 0.02, f"shaft at {write(z, 'length')}")


def _track(facts: Facts, path: rolling.Path, out: float) -> Part:
    length = facts.known("track.horizontal_length") or 0.0
    steps = [path.tangent + path.radius * path.arc * step / 24 for step in range(25)]
    spots = [rolling.spot(path, s) for s in (0.0, *steps, path.arc_end + length)]
    words = f"track, radius {facts.write(path.radius, 'length')}, curve starts at {facts.write(path.tangent, 'length')}"
    return Part(tuple((y + out, z) for _, y, z, _, _ in spots), False, words)


def _hangers(facts: Facts, path: rolling.Path, out: float) -> Iterator[tuple[str, Part]]:
    """Every hanger as a line from the track up."""
    drops, loads = facts.column("hanger.drop"), facts.column("hanger.load")
    for key, station in facts.column("hanger.station").items():
        _, y, z, _, _ = rolling.spot(path, path.arc_end + station)
        words = f"at {facts.write(station, 'length')}"
        if key in loads:
            words += f", {facts.write(loads[key], 'weight')}"
        yield f"hanger {key}", Part(((y + out, z), (y + out, z + drops.get(key, 0.4))), False, words, key)


def _swept(facts: Facts, turn: sweep.Sweep, out: float, height: float) -> Part:
    """The highest that any part of the door comes at each distance from the wall."""
    outermost = min(y for outline in turn.closed for y, _ in outline)
    deep = sweep.depth(turn)
    distances = [outermost + (deep - outermost) * (step / SAMPLES) ** 2 for step in range(SAMPLES + 1)]
    heights = zip(distances, sweep.envelope(turn, distances), strict=True)
    points = tuple((distance + out, height + up) for distance, up in heights if up is not None)
    needed = facts.known("sweep.headroom_needed")
    words = "" if needed is None else f"the door needs {facts.write(needed, 'length')} of headroom"
    return Part(points, False, words)

"""The side view, to scale: the door closed, half way and open on its track, what it sweeps, and what hangs above."""

from __future__ import annotations

import math

from doorlint.mechanics import rolling, sweep
from doorlint.reports.drawing import Box, Canvas, Scale
from doorlint.reports.facts import Facts
from doorlint.reports.view import View, scale_bar

__all__ = ["side_view"]

WIDTH = 700.0
LEFT, RIGHT, TOP, BOTTOM = 118.0, 66.0, 30.0, 74.0
TALLEST = 560.0
WALL = 0.2
"""Depth at which the wall is drawn (m): the spec does not give it."""
SAMPLES = 72


def side_view(facts: Facts) -> View | None:
    """The side view; ``None`` (and the reason noted) where neither opening height nor track is known."""
    height = facts.first("opening.finished_height", "opening.least_height", "opening.height.middle")
    if height is None:
        facts.needs("The side view", "opening.least_height")
        return None
    offset = facts.known("track.wall_offset") or 0.0
    path: rolling.Path | None = facts.known("track.path") if facts.given("track") else None
    turn: sweep.Sweep | None = facts.known("sweep.shape") if facts.given("door") and path else None
    back, top = _extent(facts, height, path, turn)
    unit = min((WIDTH - LEFT - RIGHT) / (back + WALL + 0.1), TALLEST / top)
    scale = Scale(unit, LEFT + (WALL + 0.1) * unit, TOP + top * unit)
    canvas = Canvas(WIDTH, TOP + top * unit + BOTTOM)
    view = View("side-view", "The side view: door closed, half way and open", canvas, scale, facts)
    _building(view, height, back, top)
    _obstructions(view, back, top)
    if facts.given("door") and facts.given("track"):
        facts.needs("The door on its way", "sweep.shape")
    if path is not None:
        _track(view, path, offset)
    elif facts.given("track"):
        facts.needs("The track", "track.path")
    if turn is not None:
        _door(view, turn, offset)
        _swept(view, turn, offset, height)
    _shaft(view)
    if path is not None and math.isfinite(path.tangent):
        _hangers(view, path, offset)
    _headroom(view, height, back)
    scale_bar(view, (LEFT, canvas.height - 14))
    return view


def _extent(
    facts: Facts, height: float, path: rolling.Path | None, turn: sweep.Sweep | None
) -> tuple[float, float]:
    """How far the drawing reaches into the room and up (m)."""
    deep, up = [1.2], [height + 0.5]
    if path is not None:
        deep += facts.all_known("track.back_end", "sweep.reach")
    if turn is not None:
        deep.append(sweep.depth(turn) + (facts.known("track.wall_offset") or 0.0))
        up.append(max(z for outline in turn.opened for _, z in outline) + 0.1)
    behind = facts.known("room.back")
    reach = max(deep)
    if behind is not None:
        reach = max(reach, min(behind, reach * 1.3))
    up += [height + headroom for headroom in facts.all_known("room.headroom")]
    up += facts.all_known("room.ceiling", "torsion.shaft.height", "tower.head_pulley_height")
    return reach + 0.12, max(up) + 0.05


def _building(view: View, height: float, back: float, top: float) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    wall = Box(*scale(-WALL, top), *scale(0.0, height))
    canvas.rectangle(wall, "wall")
    canvas.hatch(wall, 6.0)
    canvas.line((scale(-WALL - 0.1, 0.0), scale(back, 0.0)), "floor")
    canvas.text("outdoors", (scale(-WALL, 0)[0] - 8, scale(0, height * 0.5)[1]), anchor="end")
    view.place("/opening/height", -WALL, height)
    write = facts.write
    lane = LEFT - 40
    canvas.dimension(
        (lane, scale(0, 0)[1]), (lane, scale(0, height)[1]), write(height, "length"),
        from_start=scale(-WALL - 0.1, 0), from_end=scale(-WALL, height),
    )  # fmt: skip
    view.says.append(f"Header {write(height, 'length')} above the floor.")
    ceiling = facts.known("room.ceiling")
    if ceiling is not None:
        canvas.line((scale(0, ceiling), scale(back, ceiling)), "ceiling")
        canvas.label("ceiling", scale(back * 0.82, ceiling))
        view.place("/room/ceiling", back * 0.9, ceiling)
    behind = facts.known("room.back")
    if behind is None:
        return
    lane = scale(0, 0)[1] + 28
    shown = min(behind, back)
    if behind <= back:
        canvas.line((scale(behind, 0), scale(behind, facts.known("room.ceiling") or top)), "limit")
    canvas.dimension(
        (scale(0, 0)[0], lane), (scale(shown, 0)[0], lane),
        f"{write(behind, 'length')} free to the back{'' if behind <= back else ', not all drawn'}",
        from_start=scale(0, 0), from_end=scale(shown, 0),
    )  # fmt: skip
    view.place("/room/back", shown, height * 0.4)


def _obstructions(view: View, back: float, top: float) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    for key in facts.job.keys.get("obstruction", ()):
        needed = ("obstruction.from_wall", "obstruction.depth", "obstruction.underside")
        if not facts.needs(f"Obstruction {key}", *needed, key=key):
            continue
        near, deep, under = (facts.known(name, key) for name in needed)
        over = min(facts.known("obstruction.topside", key) or facts.known("room.ceiling") or top, top)
        far = min(near + deep, back)
        if near < far and under < over:
            box = Box(*scale(near, over), *scale(far, under))
            canvas.rectangle(box, "obstruction")
            canvas.hatch(box)
            canvas.label((key, facts.write(under, "length")), scale((near + far) / 2, under))
            view.place(f"/room/obstructions/{key}", (near + far) / 2, (under + over) / 2)
            view.says.append(f"{key} from {facts.write(near, 'length')} off the wall.")


def _track(view: View, path: rolling.Path, offset: float) -> None:
    """The line of the roller centres, from the floor to the back end of the track."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    length = facts.known("track.horizontal_length")
    if not math.isfinite(path.tangent):
        top = facts.known("track.tangent_height")
        canvas.line((scale(offset, 0.0), scale(offset, top)), "track")
        view.place("/track", offset, top * 0.9)
        return
    if length is None:
        facts.needs("The horizontal track to its end", "track.horizontal_length")
        length = 0.0
    steps = [path.tangent + path.radius * path.arc * step / 24 for step in range(25)]
    spots = [rolling.spot(path, s) for s in (0.0, *steps, path.arc_end + length)]
    canvas.line([scale(y + offset, z) for _, y, z, _, _ in spots], "track")
    middle = rolling.spot(path, path.tangent + path.radius * path.arc / 2)
    text = f"radius {facts.write(path.radius, 'length')}"
    canvas.label(text, scale(middle[1] + offset + path.radius * 0.25, middle[2] - path.radius * 0.25))
    view.place("/track/radius", middle[1] + offset, middle[2])
    view.place("/track/vertical_length", offset, path.tangent)
    view.place("/track/angle_length", offset, path.tangent * 0.9)
    view.place("/track/wall_offset", offset, path.tangent * 0.3)
    view.place("/track/jamb_clearance/bottom", offset, 0.05)
    view.place("/track/jamb_clearance/top", offset, path.tangent)
    view.place("/track/jamb_clearance", offset, path.tangent * 0.2)
    view.place("/track", offset, path.tangent * 0.7)
    end = spots[-1]
    view.places["/track/rise"] = [scale((path.end_y + end[1]) / 2 + offset, (path.end_z + end[2]) / 2)]
    view.place("/track/horizontal_length", end[1] + offset, end[2])
    rise = facts.known("track.rise")
    words = f"Curve of radius {facts.write(path.radius, 'length')} from {facts.write(path.tangent, 'length')} up"
    if length and rise is not None:
        words += f", then {facts.write(length, 'length')} of horizontal track rising {facts.write(rise, 'slope')}"
    view.says.append(words + ".")


def _door(view: View, turn: sweep.Sweep, offset: float) -> None:
    """The door open, half way, and closed with its rollers; the closed one lies on top."""
    canvas, scale = view.canvas, view.scale
    for travel, kind in ((turn.open_at, "open"), (turn.open_at / 2, "halfway"), (0.0, "section")):
        for outline in sweep.outlines(turn.path, turn.door, turn.stand_offs, turn.thickness, travel):
            canvas.line([scale(y + offset, z) for y, z in outline], kind, closed=True)
    stand = rolling.trace(turn.path, turn.door, 0.0)
    for y, z in zip(stand.y, stand.z, strict=True):
        canvas.circle(scale(y + offset, z), 2.2, "roller")
    for key, outline in zip(view.facts.column("section.height"), turn.closed, strict=False):
        corners = [(y + offset, z) for y, z in outline]
        view.place(f"/door/sections/{key}", sum(y for y, _ in corners) / 4, sum(z for _, z in corners) / 4)
    half = sweep.outlines(turn.path, turn.door, turn.stand_offs, turn.thickness, turn.open_at / 2)
    canvas.label("closed", scale(turn.closed[1][0][0] + offset, turn.closed[1][0][1]))
    canvas.label("half way", scale(half[0][0][0] + offset, half[0][0][1]))
    low = turn.opened[len(turn.opened) // 2][0]
    canvas.label("open", scale(low[0] + offset, low[1]))
    view.place("/door", turn.closed[0][0][0] + offset, turn.closed[0][2][1])
    view.says.append("Heavy line: the door closed. Broken line: open. Line of dots and dashes: half way.")


def _swept(view: View, turn: sweep.Sweep, offset: float, height: float) -> None:
    """The highest that any part of the door comes at each distance from the wall."""
    canvas, scale = view.canvas, view.scale
    deep = sweep.depth(turn)
    outermost = min(y for outline in turn.closed for y, _ in outline)
    distances = [outermost + (deep - outermost) * step / SAMPLES for step in range(SAMPLES + 1)]
    heights = sweep.envelope(turn, distances)
    points = [
        scale(distance + offset, height + up) for distance, up in zip(distances, heights, strict=True) if up is not None
    ]
    canvas.line(points, "sweep")
    at = points[len(points) * 3 // 5]
    canvas.label("highest the door reaches", at)
    view.says.append("Dotted line: the highest that any part of the door reaches on its way.")


def _shaft(view: View) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    if not facts.given("torsion"):
        return
    if facts.needs("The torsion shaft from the side", "torsion.shaft.height", "torsion.shaft.from_wall"):
        high, out = facts.known("torsion.shaft.height"), facts.known("torsion.shaft.from_wall")
        drum = facts.known("torsion.drum.diameter")
        if drum is not None:
            canvas.circle(scale(out, high), drum / 2 * scale.unit, "box")
        canvas.circle(scale(out, high), 2.5, "shaft")
        canvas.label(("shaft", facts.write(high, "length")), scale(out, high))
        view.place("/torsion/shaft", out, high)
        view.place("/torsion/drum", out, high)


def _hangers(view: View, path: rolling.Path, offset: float) -> None:
    """Every hanger at its station, with what it carries; both sides of the door in one."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    stations = facts.column("hanger.station")
    for key in facts.job.keys.get("hanger", ()):
        facts.needs(f"Hanger {key}", "hanger.station", key=key)
        facts.needs(f"Load of hanger {key}", "hanger.load", key=key)
    loads, drops = facts.column("hanger.load"), facts.column("hanger.drop")
    together: dict[float, list[str]] = {}
    for key, station in stations.items():
        together.setdefault(round(station, 3), []).append(key)
    lane = scale(0, path.end_z)[1] + 62
    before = 0.0
    for station, keys in sorted(together.items()):
        _, y, z, _, _ = rolling.spot(path, path.arc_end + station)
        drop = next((drops[key] for key in keys if key in drops), None)
        ceiling = facts.known("room.ceiling")
        top = z + drop if drop is not None else ceiling if ceiling is not None else z + 0.3
        canvas.line((scale(y + offset, z), scale(y + offset, top)), "hanger")
        lines = [f"{key}  {facts.write(loads[key], 'weight')}" if key in loads else key for key in keys]
        canvas.label(lines, scale(y + offset, (z + top) / 2))
        _, start, _, _, _ = rolling.spot(path, path.arc_end + before)
        canvas.dimension(
            (scale(start + offset, 0)[0], lane), (scale(y + offset, 0)[0], lane),
            facts.write(station - before, "length"),
            from_start=scale(start + offset, rolling.spot(path, path.arc_end + before)[2]), from_end=scale(y + offset, z),
        )  # fmt: skip
        before = station
        for key in keys:
            view.place(f"/hangers/{key}", y + offset, z + (top - z) * 0.35)
            view.place(f"/hangers/{key}/station", y + offset, z)
            view.place(f"/hangers/{key}/fixing", y + offset, top)
            view.place(f"/hangers/{key}/ceiling_capacity", y + offset, top)
        words = ", ".join(lines)
        view.says.append(f"At {facts.write(station, 'length')} behind the curve: {words}.")
    view.place("/hangers", path.end_y + offset, path.end_z)


def _headroom(view: View, height: float, back: float) -> None:
    """What there is above the header, and beside it what the door needs."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    lane = LEFT - 40
    have, need = facts.known("room.headroom"), None
    if facts.given("door") and facts.given("track"):
        need = facts.known("sweep.headroom_needed")
    if have is not None:
        level = height + have
        canvas.line((scale(0.0, level), scale(back, level)), "limit")
        canvas.dimension(
            (lane, scale(0, height)[1]), (lane, scale(0, level)[1]), f"{facts.write(have, 'length')} free",
            from_start=scale(-WALL, height), from_end=scale(0.0, level),
        )  # fmt: skip
        view.place("/room/headroom", back * 0.3, level)
        view.says.append(f"Headroom {facts.write(have, 'length')}.")
    if need is not None:
        level = height + need
        x = scale(back, 0)[0] + 14
        canvas.line((scale(0.05, level), (x, scale(0, level)[1])), "need")
        canvas.dimension(
            (x, scale(0, height)[1]), (x, scale(0, level)[1]), f"needs {facts.write(need, 'length')}",
            from_start=(x - 10, scale(0, height)[1]), from_end=scale(back, level),
        )  # fmt: skip
        view.says.append(f"The door needs {facts.write(need, 'length')}.")

"""The side view, to scale: the door closed, on its way and open on its track, what it sweeps, what hangs above.

Two drawings of one scene: the whole of it, and the header enlarged, where inches decide.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from doorlint.facts import Facts
from doorlint.mechanics import rolling, sweep
from doorlint.reports.drawing import Box, Canvas, Scale
from doorlint.reports.view import View, scale_bar

__all__ = ["header_view", "side_view"]

WIDTH = 700.0
LEFT, RIGHT, TOP, BOTTOM = 104.0, 40.0, 24.0, 74.0
HEADER_LEFT, HEADER_RIGHT, HEADER_BOTTOM = 150.0, 120.0, 36.0
TALLEST, HEADER_TALLEST = 560.0, 470.0
WALL = 0.2
"""Depth at which the wall is drawn (m): the spec does not give it."""
SAMPLES = 96


class Scene(NamedTuple):
    """What is known of the side view: header height, path, door, how far the roller line stands off the wall (m)."""

    height: float
    path: rolling.Path | None
    turn: sweep.Sweep | None
    offset: float


def side_view(facts: Facts) -> View | None:
    """The whole scene; ``None`` (and the reason noted) where not even the height of the opening is known."""
    scene = _scene(facts)
    if scene is None:
        facts.needs("The side view", "opening.least_height")
        return None
    title = "The side view" if scene.turn is None else "The side view: door closed, half way and open"
    back, top = _extent(facts, scene)
    unit = min((WIDTH - LEFT - RIGHT) / (back + WALL + 0.1), TALLEST / top)
    view = View(
        "side-view", title, Canvas(WIDTH, TOP + top * unit + BOTTOM),
        Scale(unit, LEFT + (WALL + 0.1) * unit, TOP + top * unit), facts,
    )  # fmt: skip
    _wall(view, scene, top)
    _floor(view, scene, back, top)
    _ceiling(view, back)
    _obstructions(view, back, top)
    if facts.given("door") and facts.given("track"):
        facts.needs("The door on its way", "sweep.shape")
    if facts.given("track"):
        facts.needs("The track", "track.path")
    if scene.path is not None:
        _track(view, scene.path, scene.offset)
    if scene.turn is not None:
        half = scene.turn.open_at / 2
        _door(view, scene.turn, scene.offset, half)
        edge = sweep.outlines(scene.turn.path, scene.turn.door, scene.turn.stand_offs, scene.turn.thickness, half)[0]
        view.canvas.label("half way: bottom edge here", view.scale(edge[0][0] + scene.offset, edge[0][1]))
        _swept(view, scene.turn, scene.offset, scene.height)
    _shaft(view)
    if scene.path is not None and math.isfinite(scene.path.tangent):
        _hangers(view, scene.path, scene.offset)
    headroom = facts.known("room.headroom")
    if headroom is not None:
        view.canvas.line((view.scale(0.0, scene.height + headroom), view.scale(back, scene.height + headroom)), "limit")
    scale_bar(view, (LEFT, view.canvas.height - 14))
    return view


def header_view(facts: Facts) -> View | None:
    """The header enlarged; ``None`` where there is no door or track to draw above it."""
    scene = _scene(facts)
    if scene is None or scene.path is None or not math.isfinite(scene.path.tangent):
        return None
    height, turn, offset, path = scene.height, scene.turn, scene.offset, scene.path
    up = [path.end_z, *(height + room for room in facts.all_known("room.headroom", "sweep.headroom_needed"))]
    up += facts.all_known("torsion.shaft.height")
    ceiling = facts.known("room.roof")
    high = max(up) + 0.18
    high = high if ceiling is None else min(high, max(ceiling + 0.03, max(up) + 0.03))
    low = min(path.tangent, height) - 0.4
    far = max(path.radius * 2 + offset + 0.25, (high - low) * 0.9)
    unit = min((WIDTH - HEADER_LEFT - HEADER_RIGHT) / (far + WALL), HEADER_TALLEST / (high - low))
    middle = (WIDTH + HEADER_LEFT - HEADER_RIGHT) / 2
    scale = Scale(unit, middle - (far - WALL) / 2 * unit, TOP + high * unit)
    view = View(
        "header-view", "The header from the side, enlarged", Canvas(WIDTH, TOP + (high - low) * unit + HEADER_BOTTOM),
        scale, facts,
    )  # fmt: skip
    view.canvas.window = Box(*scale(-WALL, high), *scale(far, low))
    _wall(view, scene, high + 1)
    _ceiling(view, far + 1)
    _obstructions(view, far + 1, high + 1)
    _track(view, path, offset)
    middle_of_curve = rolling.spot(path, path.tangent + path.radius * path.arc * 0.45)
    view.canvas.label(
        f"radius {facts.write(path.radius, 'length')}", scale(middle_of_curve[1] + offset, middle_of_curve[2])
    )
    view.canvas.label(f"curve starts at {facts.write(path.tangent, 'length')}", scale(offset, path.tangent))
    if turn is not None:
        highest = sweep.free_height(turn, 0.0, far - offset)
        if highest is not None:
            _door(view, turn, offset, highest.travel)
            view.canvas.label("at its highest here", scale(highest.distance + offset, height + highest.height))
        _swept(view, turn, offset, height)
    _shaft(view)
    _hanger_lines(view, path, offset)
    _headroom(view, scene, far)
    scale_bar(view, (view.canvas.window.left, view.canvas.height - 12))
    return view


def _scene(facts: Facts) -> Scene | None:
    height = facts.first("opening.finished_height", "opening.least_height", "opening.height.middle")
    if height is None:
        return None
    path = facts.known("track.path") if facts.given("track") else None
    turn = facts.known("sweep.shape") if facts.given("door") and path is not None else None
    return Scene(height, path, turn, facts.known("track.wall_offset") or 0.0)


def _extent(facts: Facts, scene: Scene) -> tuple[float, float]:
    """How far the whole scene reaches into the room and up (m)."""
    deep, up = [1.2], [scene.height + 0.5]
    if scene.path is not None:
        deep += facts.all_known("track.back_end", "sweep.reach")
    if scene.turn is not None:
        deep.append(sweep.depth(scene.turn) + scene.offset)
        up.append(max(z for outline in scene.turn.opened for _, z in outline) + 0.1)
    reach = max(deep)
    for behind in facts.all_known("room.back"):
        reach = max(reach, min(behind, reach * 1.3))
    up += [scene.height + headroom for headroom in facts.all_known("room.headroom")]
    up += facts.all_known("room.roof", "torsion.shaft.height", "tower.head_pulley_height")
    return reach + 0.12, max(up) + 0.05


def _wall(view: View, scene: Scene, top: float) -> None:
    canvas, scale = view.canvas, view.scale
    wall = Box(*scale(-WALL, top), *scale(0.0, scene.height))
    canvas.rectangle(wall, "wall")
    shown = wall if canvas.window is None else wall._replace(top=max(wall.top, canvas.window.top))
    canvas.hatch(shown, 7.0)
    view.place("/opening/height", -WALL / 2, scene.height)
    view.place("/opening/header_face", 0.0, scene.height + 0.1)


def _floor(view: View, scene: Scene, back: float, top: float) -> None:
    """Floor, the height of the opening, and the free depth behind it."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    write = facts.write
    canvas.line((scale(-WALL - 0.1, 0.0), scale(back, 0.0)), "floor")
    canvas.text("outdoors", (scale(-WALL, 0)[0] - 6, scale(0, 0.25)[1]), anchor="end")
    lane = LEFT - 56
    canvas.dimension(
        (lane, scale(0, 0)[1]), (lane, scale(0, scene.height)[1]), write(scene.height, "length"),
        from_start=scale(-WALL - 0.1, 0), from_end=scale(-WALL, scene.height),
    )  # fmt: skip
    view.says.append(f"Header {write(scene.height, 'length')} above the floor.")
    behind = facts.known("room.back")
    if behind is None:
        return
    lane, shown = scale(0, 0)[1] + 28, min(behind, back)
    if behind <= back:
        canvas.line((scale(behind, 0), scale(behind, facts.known("room.roof") or top)), "limit")
    canvas.dimension(
        (scale(0, 0)[0], lane), (scale(shown, 0)[0], lane),
        f"{write(behind, 'length')} free to the back{'' if behind <= back else ', not all drawn'}",
        from_start=scale(0, 0), from_end=scale(shown, 0),
    )  # fmt: skip
    view.place("/room/back", shown, scene.height * 0.4)


def _ceiling(view: View, back: float) -> None:
    ceiling = view.facts.known("room.roof")
    if ceiling is not None:
        view.canvas.line((view.scale(0, ceiling), view.scale(back, ceiling)), "ceiling")
        view.canvas.label("ceiling", view.scale(back * 0.82, ceiling))
        view.place("/room/ceiling", back * 0.9, ceiling)


def _obstructions(view: View, back: float, top: float) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    for key in facts.job.keys.get("obstruction", ()):
        needed = ("obstruction.from_wall", "obstruction.depth", "obstruction.low")
        if not facts.needs(f"Obstruction {key}", *needed, key=key):
            continue
        near, deep, under = (facts.known(name, key) for name in needed)
        over = min(facts.known("obstruction.high", key) or facts.known("room.roof") or top, top)
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
    if not math.isfinite(path.tangent):
        top = facts.known("track.tangent_height")
        canvas.line((scale(offset, 0.0), scale(offset, top)), "track")
        view.place("/track", offset, top * 0.9)
        return
    length = facts.known("track.horizontal_length")
    if length is None:
        facts.needs("The horizontal track to its end", "track.horizontal_length")
        length = 0.0
    steps = [path.tangent + path.radius * path.arc * step / 24 for step in range(25)]
    spots = [rolling.spot(path, s) for s in (0.0, *steps, path.arc_end + length)]
    canvas.line([scale(y + offset, z) for _, y, z, _, _ in spots], "track")
    middle = rolling.spot(path, path.tangent + path.radius * path.arc / 2)
    view.place("/track/radius", middle[1] + offset, middle[2])
    for part, up in (
        ("vertical_length", 1.0), ("angle_length", 0.9), ("wall_offset", 0.3), ("jamb_clearance/bottom", 0.02),
        ("jamb_clearance/top", 1.0), ("jamb_clearance", 0.2),
    ):  # fmt: skip
        view.place(f"/track/{part}", offset, path.tangent * up)
    end = spots[-1]
    view.place("/track/rise", (path.end_y + end[1]) / 2 + offset, (path.end_z + end[2]) / 2)
    view.place("/track/horizontal_length", end[1] + offset, end[2])
    view.place("/track", offset, path.tangent * 0.7)
    rise = facts.known("track.rise")
    words = f"Curve of radius {facts.write(path.radius, 'length')} from {facts.write(path.tangent, 'length')} up"
    if length and rise is not None:
        words += f", then {facts.write(length, 'length')} of horizontal track rising {facts.write(rise, 'slope')}"
    view.says.append(words + ".")


def _door(view: View, turn: sweep.Sweep, offset: float, between: float) -> None:
    """The door open, at a travel in between, and closed with its rollers; the closed one lies on top."""
    canvas, scale = view.canvas, view.scale
    for travel, kind in ((turn.open_at, "open"), (between, "halfway"), (0.0, "section")):
        for outline in sweep.outlines(turn.path, turn.door, turn.stand_offs, turn.thickness, travel):
            canvas.line([scale(y + offset, z) for y, z in outline], kind, closed=True)
    stand = rolling.trace(turn.path, turn.door, 0.0)
    for y, z in zip(stand.y, stand.z, strict=True):
        if canvas.shows(scale(y + offset, z)):
            canvas.circle(scale(y + offset, z), 2.2, "roller")
    for key, outline in zip(view.facts.column("section.height"), turn.closed, strict=False):
        corners = [(y + offset, z) for y, z in outline]
        view.place(f"/door/sections/{key}", sum(y for y, _ in corners) / 4, sum(z for _, z in corners) / 4)
    inner = turn.closed[len(turn.closed) // 4][3]
    canvas.label("closed", scale(inner[0] + offset, inner[1] - 0.3))
    under = turn.opened[len(turn.opened) // 2]
    canvas.label("open", scale((under[0][0] + under[3][0]) / 2 + offset, (under[0][1] + under[3][1]) / 2))
    view.place("/door", turn.closed[0][0][0] + offset, turn.closed[0][2][1])
    view.says.append("Full line: the door closed. Broken line: open. Line of dots and dashes: on its way.")


def _swept(view: View, turn: sweep.Sweep, offset: float, height: float) -> None:
    """The highest that any part of the door comes at each distance from the wall."""
    canvas, scale = view.canvas, view.scale
    deep = sweep.depth(turn)
    outermost = min(y for outline in turn.closed for y, _ in outline)
    distances = [outermost + (deep - outermost) * (step / SAMPLES) ** 2 for step in range(SAMPLES + 1)]
    heights = sweep.envelope(turn, distances)
    points = [
        scale(distance + offset, height + up) for distance, up in zip(distances, heights, strict=True) if up is not None
    ]
    canvas.line(points, "sweep")
    canvas.label("highest the door reaches", points[len(points) * (3 if canvas.window else 6) // 8])
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
        canvas.circle(scale(out, high), 2.5, "roller")
        canvas.label(("shaft", facts.write(high, "length")), scale(out, high))
        view.place("/torsion/shaft", out, high)
        view.place("/torsion/drum", out, high)


def _hanger_lines(view: View, path: rolling.Path, offset: float) -> dict[float, list[str]]:
    """Every hanger as a line from the track up; gives the hangers of both sides by their station (m)."""
    facts, scale = view.facts, view.scale
    drops = facts.column("hanger.drop")
    together: dict[float, list[str]] = {}
    for key, station in facts.column("hanger.station").items():
        together.setdefault(round(station, 3), []).append(key)
    for station, keys in sorted(together.items()):
        _, y, z, _, _ = rolling.spot(path, path.arc_end + station)
        top = z + next((drops[key] for key in keys if key in drops), facts.known("room.roof") or 0.3)
        view.canvas.line((scale(y + offset, z), scale(y + offset, top)), "hanger")
        for key in keys:
            view.place(f"/hangers/{key}", y + offset, z + (top - z) * 0.35)
            view.place(f"/hangers/{key}/station", y + offset, z)
            view.place(f"/hangers/{key}/fixing", y + offset, top)
            view.place(f"/hangers/{key}/ceiling_capacity", y + offset, top)
    return dict(sorted(together.items()))


def _hangers(view: View, path: rolling.Path, offset: float) -> None:
    """The hangers with what each carries, and their stations as dimensions below the track."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    for key in facts.job.keys.get("hanger", ()):
        facts.needs(f"Hanger {key}", "hanger.station", key=key)
        facts.needs(f"Load of hanger {key}", "hanger.load", key=key)
    loads = facts.column("hanger.load")
    lane = scale(0, path.end_z)[1] + 62
    before = rolling.spot(path, path.arc_end)
    for station, keys in _hanger_lines(view, path, offset).items():
        here = rolling.spot(path, path.arc_end + station)
        lines = [f"{key}  {facts.write(loads[key], 'weight')}" if key in loads else key for key in keys]
        canvas.label(lines, scale(here[1] + offset, here[2] + 0.25))
        canvas.dimension(
            (scale(before[1] + offset, 0)[0], lane), (scale(here[1] + offset, 0)[0], lane),
            facts.write(here[0] - before[0], "length"),
            from_start=scale(before[1] + offset, before[2]), from_end=scale(here[1] + offset, here[2]),
        )  # fmt: skip
        before = here
        view.says.append(f"At {facts.write(station, 'length')} behind the curve: {', '.join(lines)}.")
    view.place("/hangers", path.end_y + offset, path.end_z)


def _headroom(view: View, scene: Scene, far: float) -> None:
    """What there is above the header on the left, and what the door needs on the right."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    have, need = facts.known("room.headroom"), None
    if scene.turn is not None:
        need = facts.known("sweep.headroom_needed")
        if need is not None and facts.known("sweep.hardware_height") > facts.known("sweep.height"):
            canvas.label("needed for the hardware", scale(far * 0.6, scene.height + need))
    header = scale(0, scene.height)[1]
    for room, words, x, near, kind in (
        (have, "{} free", scale(-WALL, 0)[0] - 44, scale(-WALL, 0)[0], "limit"),
        (need, "{} needed", scale(far, 0)[0] + 56, scale(far, 0)[0], "need"),
    ):
        if room is not None:
            level = scene.height + room
            canvas.line((scale(0.0, level), scale(far, level)), kind)
            canvas.dimension(
                (x, header), (x, scale(0, level)[1]), words.format(facts.write(room, "length")),
                from_start=(near, header), from_end=(near, scale(0, level)[1]),
            )  # fmt: skip
            view.says.append(f"Headroom {words.format(facts.write(room, 'length'))}.")
    if have is not None:
        view.place("/room/headroom", far * 0.5, scene.height + have)

"""The wall seen from inside, to scale: opening, closed door, room at the sides, and the counterbalance."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.reports.drawing import Box, Canvas, Scale
from doorlint.reports.view import View, scale_bar

__all__ = ["elevation"]

WIDTH = 700.0
LEFT, RIGHT, TOP, BOTTOM = 78.0, 78.0, 26.0, 96.0
TALLEST = 560.0

Hole = tuple[float, float]
"""Width and height of the opening (m)."""


def elevation(facts: Facts) -> View | None:
    """The elevation; ``None`` (and the reason noted) where not even the opening is known."""
    hole = _hole(facts)
    if hole is None:
        facts.needs("The wall seen from inside", "opening.least_width", "opening.least_height")
        return None
    low, high, top = _extent(facts, hole)
    unit = min((WIDTH - LEFT - RIGHT) / (high - low), TALLEST / top)
    middle = (LEFT + WIDTH - RIGHT) / 2
    scale = Scale(unit, middle - (low + high) / 2 * unit, TOP + top * unit)
    title = "The wall seen from inside" + (", door closed" if facts.column("section.height") else "")
    view = View("elevation", title, Canvas(WIDTH, TOP + top * unit + BOTTOM), scale, facts)
    _opening(view, hole)
    _obstructions(view, low, high, top)
    _door(view, hole)
    if facts.given("tower"):
        _tower(view, hole)
    if facts.given("torsion"):
        _torsion(view, hole)
    _mounts(view, hole)
    _room(view, hole, low, high, top)
    scale_bar(view, (LEFT, view.canvas.height - 14))
    return view


def _hole(facts: Facts) -> Hole | None:
    width = facts.first("opening.finished_width", "opening.least_width", "opening.width.bottom", "opening.width.top")
    height = facts.first("opening.finished_height", "opening.least_height", "opening.height.middle")
    return None if width is None or height is None else (width, height)


def _extent(facts: Facts, hole: Hole) -> tuple[float, float, float]:
    """How far the drawing reaches: left and right from the left jamb edge, up from the floor (m)."""
    width, height = hole
    left = [0.35, *facts.all_known("room.side_left")]
    right = [0.35, *facts.all_known("room.side_right")]
    bay = facts.all_known("room.tower_bay")
    (left if facts.known("tower.side") == "left" else right).extend(bay)
    up = [height + 0.5, *(height + room for room in facts.all_known("room.headroom"))]
    up += facts.all_known("room.roof", "tower.height", "tower.eye_bolt_height", "torsion.shaft.height")
    return -max(left) - 0.1, width + max(right) + 0.1, max(up) + 0.05


def _opening(view: View, hole: Hole) -> None:
    width, height = hole
    canvas, scale = view.canvas, view.scale
    canvas.line((scale(0, 0), scale(0, height), scale(width, height), scale(width, 0)), "opening")
    write = view.facts.write
    view.says.append(f"Opening {write(width, 'length')} wide and {write(height, 'length')} high.")
    for side, at in (("left", 0.0), ("right", width)):
        for part in ("jamb_plumb", "jamb_face", "height"):
            view.place(f"/opening/{part}/{side}", at, height * {"jamb_plumb": 0.62, "jamb_face": 0.5}.get(part, 0.74))
    for part, across, up in (
        ("width/top", 0.5, 0.99), ("width/middle", 0.5, 0.5), ("width/bottom", 0.5, 0.0), ("width", 0.5, 0.0),
        ("height/middle", 0.5, 0.6), ("height", 0.0, 0.5), ("diagonal", 0.3, 0.3), ("diagonal/rising", 0.3, 0.3),
        ("diagonal/falling", 0.7, 0.3), ("floor_fall", 0.8, 0.0), ("floor_finished", 0.3, 0.0),
        ("floor_to_come", 0.3, 0.0), ("jamb_material", 0.0, 0.35), ("header_face", 0.3, 1.0),
    ):  # fmt: skip
        view.place(f"/opening/{part}", width * across, height * up)
    view.place("/opening", width * 0.42, height)


def _door(view: View, hole: Hole) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    heights = facts.column("section.height")
    if not heights or not facts.needs("The closed door", "section.height"):
        return
    across = facts.known("door.width") or hole[0]
    left, right = (hole[0] - across) / 2, (hole[0] + across) / 2
    loads = facts.column("section.load")
    up = 0.0
    for key, height in heights.items():
        canvas.rectangle(Box(*scale(left, up + height), *scale(right, up)), "section")
        text = f"{key}  {facts.write(loads[key], 'weight')}" if key in loads else key
        x, y = scale(hole[0] / 2, up + height / 2)
        if height * scale.unit > 16:
            canvas.text(text, (x, y + 4.5))
        else:
            canvas.label(text, (x, y))
        view.place(f"/door/sections/{key}", left + across * 0.8, up + height / 2)
        up += height
    view.place("/door", left + across * 0.3, up * 0.8)
    view.place("/door/width", left + across * 0.25, 0.0)
    view.place("/door/weight", left + across * 0.3, up * 0.62)
    view.says.append(f"Door of {len(heights)} sections, {facts.write(up, 'length')} high.")
    _track(view, left, right)


def _track(view: View, left: float, right: float) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    if not facts.given("track") or not facts.needs("The vertical tracks", "track.tangent_height"):
        return
    size = facts.known("track.size") or 0.05
    top = facts.known("track.tangent_height") + (facts.known("track.radius") or 0.0)
    for edge in (left - size, right):
        canvas.rectangle(Box(*scale(edge, top), *scale(edge + size, 0.0)), "track")
    view.place("/track", right + size / 2, top * 0.9)
    view.says.append(f"Vertical tracks at both edges of the door, curve included up to {facts.write(top, 'length')}.")


def _tower(view: View, hole: Hole) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    if not facts.needs("The tower", "tower.side", "tower.jamb_gap", "tower.width", "tower.height"):
        return
    gap, across, tall = (facts.known(f"tower.{name}") for name in ("jamb_gap", "width", "height"))
    on_left = facts.known("tower.side") == "left"
    left = -gap - across if on_left else hole[0] + gap
    canvas.rectangle(Box(*scale(left, tall), *scale(left + across, 0.0)), "tower")
    canvas.label(("tower", facts.write(tall, "length")), scale(left + across / 2, tall))
    view.places["/tower"] = [scale(left + across / 2, tall * 0.62)]
    view.place("/tower/height", left + across / 2, tall)
    view.place("/tower/cover", left + across / 2, tall * 0.35)
    view.place("/tower/jamb_gap", -gap / 2 if on_left else hole[0] + gap / 2, tall * 0.2)
    view.place("/tower/width", left + across / 2, 0.0)
    view.place("/tower/slab_capacity", left + across / 2, 0.0)
    view.place("/tower/anchored", left, 0.0)
    view.says.append(f"Tower on the {'left' if on_left else 'right'}, {facts.write(tall, 'length')} high.")
    top = _boxes(view, left, across)
    if top is not None:
        _cables(view, hole, left + across / 2, top)


def _boxes(view: View, left: float, across: float) -> float | None:
    """The stack at rest, and box 1 where it hangs with the door closed; gives how high its top then is (m)."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    heights = facts.column("box.height")
    if not heights or not facts.needs("The counterweight boxes", "box.height", "tower.base_stop"):
        return None
    inset = min(across * 0.12, 0.05)
    low = facts.known("tower.base_stop")
    view.place("/tower/base_stop", left + across / 2, low)
    canvas.line((scale(left, low), scale(left + across, low)), "tower")
    for key, height in reversed(heights.items()):
        canvas.rectangle(Box(*scale(left + inset, low + height), *scale(left + across - inset, low)), "box")
        x, y = scale(left + across / 2, low + height / 2)
        if height * view.scale.unit > 16:
            canvas.text(key, (x, y + 4.5))
        for part in ("", "/plates"):
            view.place(f"/tower/boxes/{key}{part}", left + across / 2, low + height / 2)
        low += height
    view.says.append(f"{len(heights)} boxes in it, drawn at rest; {next(iter(heights))} is the top one.")
    if not facts.needs("Box 1 at its hook-up mark", "tower.hook_up_height"):
        return None
    top: float = low + facts.known("tower.hook_up_height")
    first = next(iter(heights.values()))
    canvas.rectangle(Box(*scale(left + inset, top), *scale(left + across - inset, top - first)), "raised")
    on_left = facts.known("tower.side") == "left"
    x = scale(left if on_left else left + across, 0)[0] + (-26 if on_left else 26)
    ends = [scale(left + inset if on_left else left + across - inset, z) for z in (low, top)]
    canvas.dimension(
        (x, ends[0][1]), (x, ends[1][1]), facts.write(top - low, "length"), from_start=ends[0], from_end=ends[1]
    )
    view.place("/tower/hook_up_height", left + across / 2, top)
    view.says.append(f"With the door closed the top of box 1 hangs {facts.write(top - low, 'length')} higher.")
    return top


def _cables(view: View, hole: Hole, tower: float, box_top: float) -> None:
    """Each lift cable from its bottom corner over the head pulleys to the moving pulley and up to its eye bolt."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    if not facts.needs("The lift cables", "door.width", "tower.head_pulley_height"):
        return
    high = facts.known("tower.head_pulley_height")
    half = facts.known("door.width") / 2
    corners = {"left": hole[0] / 2 - half, "right": hole[0] / 2 + half}
    near = facts.known("tower.side")
    far = "right" if near == "left" else "left"
    pulley = box_top + (facts.known("tower.box_pulley_rise") or 0.0)
    eye = facts.known("tower.eye_bolt_height") or facts.known("tower.height")
    apart = 0.035
    for side, lane, lift in ((near, -apart, 0.0), (far, apart, 0.07)):
        down = tower + (lane if near == "left" else -lane)
        canvas.line(
            (scale(corners[side], facts.known("door.bottom_roller") or 0.0), scale(corners[side], high + lift),
             scale(down, high + lift), scale(down, pulley)),
            "cable",
        )  # fmt: skip
        canvas.circle(scale(corners[side], high + lift), 4.0, "pulley")
        canvas.circle(scale(down, high + lift), 4.0, "pulley")
        for key, on in facts.column("cable.side").items():
            if on == side:
                view.place(f"/cables/{key}", corners[side], high * (0.92 if side == near else 0.86))
    canvas.circle(scale(tower, pulley), 5.0, "pulley")
    canvas.line((scale(tower, pulley), scale(tower, eye)), "cable")
    canvas.label("far cable crosses", scale(hole[0] * 0.62, high + 0.07))
    view.place("/tower/head_pulley_height", corners[near], high)
    view.place("/tower/eye_bolt_height", tower, eye)
    view.place("/tower/eye_bolt_takeup", tower, eye)
    view.place("/tower/box_pulley_rise", tower, pulley)
    view.place("/tower/crossing", hole[0] * 0.4, high + 0.07)
    view.place("/cables", hole[0] * 0.3, high + 0.07)
    for key, where in facts.column("pulley.at").items():
        spot = {"box": (tower, pulley), "crossing": (corners[far], high + 0.07)}.get(where, (corners[near], high))
        view.place(f"/pulleys/{key}", *spot)
    text = facts.write(high, "length")
    view.says.append(f"Lift cables over head pulleys {text} above the floor; the {far} one crosses.")


def _torsion(view: View, hole: Hole) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    if not facts.needs("The torsion shaft", "torsion.shaft.height", "torsion.shaft.length"):
        return
    high, length = facts.known("torsion.shaft.height"), facts.known("torsion.shaft.length")
    left, right, middle = (hole[0] - length) / 2, (hole[0] + length) / 2, hole[0] / 2
    canvas.line((scale(left, high), scale(right, high)), "shaft")
    view.place("/torsion", right - length * 0.07, high)
    view.place("/torsion/shaft", left + length * 0.16, high)
    canvas.label(("shaft", facts.write(high, "length")), scale(left + length * 0.1, high))
    view.says.append(f"Torsion shaft {facts.write(high, 'length')} above the floor.")
    drum, across = facts.known("torsion.drum.diameter"), facts.known("torsion.drum.width")
    half = (facts.known("door.width") or hole[0]) / 2
    foot = facts.known("door.bottom_roller") or 0.0
    if facts.needs("The drums", "torsion.drum.diameter", "torsion.drum.width"):
        for side, inner in (("left", middle - half), ("right", middle + half - across)):
            canvas.rectangle(Box(*scale(inner, high + drum / 2), *scale(inner + across, high - drum / 2)), "box")
            cable = inner if side == "left" else inner + across
            canvas.line((scale(cable, high - drum / 2), scale(cable, foot)), "cable")
            for key, on in facts.column("cable.side").items():
                if on == side:
                    view.place(f"/cables/{key}", cable, high * 0.8)
        view.place("/torsion/drum", middle + half - across / 2, high)
    starts = {"left": middle - 0.04, "right": middle + 0.04}
    for key, length in facts.column("spring.length").items():
        side, bore = facts.known("spring.side", key), facts.known("spring.inside_diameter", key)
        if side is None or bore is None:
            facts.needs(f"Spring {key}", "spring.side", "spring.inside_diameter", key=key)
            continue
        thick = bore + 2 * (facts.known("spring.wire", key) or 0.0)
        begin = starts[side]
        end = begin - length if side == "left" else begin + length
        starts[side] = end
        box = Box(*scale(min(begin, end), high + thick / 2), *scale(max(begin, end), high - thick / 2))
        canvas.rectangle(box, "box")
        canvas.hatch(box, 9.0)
        canvas.label(f"spring {key}", scale((begin + end) / 2, high + thick / 2))
        view.place(f"/torsion/springs/{key}", (begin + end) / 2, high)
    view.place("/torsion/springs", middle, high)


def _mounts(view: View, hole: Hole) -> None:
    """Where each mounting is, for the findings that point at it; they are not drawn."""
    facts = view.facts
    reach = (facts.known("door.width") or hole[0]) / 2
    tower = view.places.get("/tower/width")
    for key, part in facts.column("mount.part").items():
        side = facts.known("mount.side", key)
        across = hole[0] / 2 + {"left": -reach, "right": reach}.get(side or "", 0.0)
        up = {"track": hole[1] * 0.5, "head-plate": hole[1] * 1.06, "pulley": hole[1] * 1.1}.get(part, hole[1] * 1.08)
        if part in {"tower-head", "tower-foot"} and tower:
            foot = tower[0]
            top = view.places["/tower/height"][0]
            view.places[f"/mounts/{key}"] = [foot if part == "tower-foot" else top]
        else:
            view.place(f"/mounts/{key}", across, up)
    side = facts.known("operation.side")
    if side is not None:
        view.place("/operation", hole[0] / 2 + {"left": -reach, "right": reach, "centre": 0.0}[side], hole[1] * 0.9)


def _obstructions(view: View, low: float, high: float, top: float) -> None:
    facts, canvas, scale = view.facts, view.canvas, view.scale
    for key in facts.job.keys.get("obstruction", ()):
        needed = ("obstruction.starts", "obstruction.ends", "obstruction.low")
        if not facts.needs(f"Obstruction {key}", *needed, key=key):
            continue
        left, right, under = (facts.known(name, key) for name in needed)
        over = facts.known("obstruction.high", key) or facts.known("room.roof") or top
        left, right, over = max(left, low), min(right, high), min(over, top)
        if left < right and under < over:
            box = Box(*scale(left, over), *scale(right, under))
            canvas.rectangle(box, "obstruction")
            canvas.hatch(box)
            canvas.label(_named(facts, key), scale((left + right) / 2, under))
            view.place(f"/room/obstructions/{key}", (left + right) / 2, (under + over) / 2)
            view.says.append(f"{_named(facts, key)}, underside {facts.write(under, 'length')} above the floor.")


def _named(facts: Facts, key: str) -> str:
    kind = facts.known("obstruction.kind", key)
    return key if kind is None or kind in key else f"{key} ({kind})"


def _room(view: View, hole: Hole, low: float, high: float, top: float) -> None:
    """Floor, sides, ceiling and headroom, with the dimensions round the drawing."""
    facts, canvas, scale = view.facts, view.canvas, view.scale
    width, height = hole
    write = facts.write
    canvas.line((scale(low, 0), scale(high, 0)), "floor")
    lanes = (scale(0, 0)[1] + 26, scale(0, 0)[1] + 52)
    left_lane = LEFT - 34
    canvas.dimension(
        (scale(0, 0)[0], lanes[0]), (scale(width, 0)[0], lanes[0]), write(width, "length"),
        from_start=scale(0, 0), from_end=scale(width, 0),
    )  # fmt: skip
    for side, edge, sign in (("left", 0.0, -1), ("right", width, 1)):
        room = facts.known(f"room.side_{side}")
        if room is not None:
            wall = edge + sign * room
            canvas.line((scale(wall, 0), scale(wall, facts.known("room.roof") or top)), "limit")
            ends = sorted(((scale(edge, 0)[0], lanes[0]), (scale(wall, 0)[0], lanes[0])))
            canvas.dimension(
                ends[0], ends[1], write(room, "length"),
                from_start=(ends[0][0], scale(0, 0)[1]), from_end=(ends[1][0], scale(0, 0)[1]),
            )  # fmt: skip
            view.place(f"/room/side_{side}", edge + sign * room / 2, height * 0.12)
    across = facts.known("door.width")
    if across is not None:
        ends = [(scale((width - across) / 2, 0)[0], lanes[1]), (scale((width + across) / 2, 0)[0], lanes[1])]
        canvas.dimension(
            ends[0], ends[1], f"door {write(across, 'length')}",
            from_start=(ends[0][0], scale(0, 0)[1]), from_end=(ends[1][0], scale(0, 0)[1]),
        )  # fmt: skip
    canvas.dimension(
        (left_lane, scale(0, 0)[1]), (left_lane, scale(0, height)[1]), write(height, "length"),
        from_start=scale(low, 0), from_end=scale(0, height),
    )  # fmt: skip
    headroom = facts.known("room.headroom")
    if headroom is not None:
        level = height + headroom
        canvas.line((scale(max(low, -0.2), level), scale(min(high, width + 0.2), level)), "limit")
        canvas.dimension(
            (left_lane, scale(0, height)[1]), (left_lane, scale(0, level)[1]), write(headroom, "length"),
            from_start=scale(0, height), from_end=scale(max(low, -0.2), level),
        )  # fmt: skip
        view.place("/room/headroom", width * 0.5, height + headroom / 2)
        view.says.append(f"Headroom {write(headroom, 'length')}.")
    ceiling = facts.known("room.roof")
    if ceiling is not None:
        right_lane = WIDTH - RIGHT + 34
        canvas.line((scale(low, ceiling), scale(high, ceiling)), "ceiling")
        canvas.dimension(
            (right_lane, scale(0, 0)[1]), (right_lane, scale(0, ceiling)[1]), write(ceiling, "length"),
            from_start=scale(high, 0), from_end=scale(high, ceiling),
        )  # fmt: skip
        view.place("/room/ceiling", width * 0.7, ceiling)

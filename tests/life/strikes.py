"""What the moving door, its tracks, its tower and its shaft run into."""

from __future__ import annotations

import math
from collections.abc import Iterator

from life.door import Point
from life.job import Job
from life.looks import Look
from life.sizes import INCH, given, need, of

Outline = tuple[Point, Point, Point, Point]
Box = tuple[float, float, float, float]


def edges(outline: Outline) -> Iterator[Point]:
    """Five points on each of its edges."""
    for number in range(4):
        (y0, z0), (y1, z1) = outline[number], outline[(number + 1) % 4]
        for share in (0.0, 0.2, 0.4, 0.6, 0.8):
            yield (y0 + share * (y1 - y0), z0 + share * (z1 - z0))


def depth_in(point: Point, outline: Outline) -> float:
    """How deep a point is inside an outline; negative outside."""
    deep = math.inf
    area = sum(outline[i][0] * outline[(i + 1) % 4][1] - outline[(i + 1) % 4][0] * outline[i][1] for i in range(4))
    turn = 1 if area > 0 else -1
    for number in range(4):
        (y0, z0), (y1, z1) = outline[number], outline[(number + 1) % 4]
        long = math.hypot(y1 - y0, z1 - z0)
        if long:
            deep = min(deep, turn * ((y1 - y0) * (point[1] - z0) - (z1 - z0) * (point[0] - y0)) / long)
    return deep


def away(point: Point, outline: Outline) -> float:
    """Distance from a point to an outline; negative inside."""
    best = math.inf
    for number in range(4):
        (y0, z0), (y1, z1) = outline[number], outline[(number + 1) % 4]
        square = (y1 - y0) ** 2 + (z1 - z0) ** 2
        share = (
            max(0.0, min(1.0, ((point[0] - y0) * (y1 - y0) + (point[1] - z0) * (z1 - z0)) / square)) if square else 0.0
        )
        best = min(best, math.hypot(point[0] - y0 - share * (y1 - y0), point[1] - z0 - share * (z1 - z0)))
    deep = depth_in(point, outline)
    return -best if deep > 0 else best


def depth_in_box(point: Point, box: Box) -> float:
    y0, y1, z0, z1 = box
    return min(point[0] - y0, y1 - point[0], point[1] - z0, z1 - point[1])


def overlap(outline: Outline, box: Box) -> float:
    """How deep an outline reaches into an upright box; negative where it stays outside, and then roughly."""
    ys, zs = [y for y, _ in outline], [z for _, z in outline]
    free = max(box[0] - max(ys), min(ys) - box[1], box[2] - max(zs), min(zs) - box[3])
    if free > 0:
        return -free
    corners = [(y, z) for y in box[:2] for z in box[2:]]
    deep = max(depth_in_box(point, box) for point in edges(outline))
    return max(deep, *(depth_in(corner, outline) for corner in corners))


def gap(kind: str, thing: str, size: float, words: str) -> Look:
    return Look(kind, thing, size / INCH, f"{words}: {size / INCH:.2f} in free")


def guide_points(job: Job) -> list[Point]:
    """Points along the tracks from the floor to their ends."""
    door = job.door
    length = of(job.tree, "track.horizontal_length", 0.0) or 0.0
    if job.lift == "vertical":
        top = of(job.tree, "track.angle_length") or door.points(door.open_at)[-1][1]
        return [(0.0, top * share / 20) for share in range(21)]
    points = []
    for guide in {door.guide, door.upper}:
        start = -max(0.0, guide.start[1]) if guide is door.guide else 0.0
        stop = guide.arc + length
        points += [guide.at(start + (stop - start) * share / 60) for share in range(61)]
    return points


def overhead(job: Job) -> list[Look]:
    """Headroom and ceiling over the whole of door and tracks."""
    headroom, ceiling = of(job.tree, "room.headroom"), of(job.tree, "room.ceiling")
    slope = of(job.tree, "room.roof_slope", 0.0) or 0.0
    half = (of(job.tree, "track.size") or 0.0) / 2
    corners = [corner for _, pose in job.poses for outline in pose for corner in outline]
    tracks = [(y, z + half) for y, z in guide_points(job)]
    looks = []
    for kind, points in (("door strikes above", corners), ("track strikes above", tracks)):
        high = max(z - (y + job.off_wall) * slope for y, z in points)
        if headroom is not None:
            looks.append(gap(kind, "headroom", job.opening + headroom - high, "headroom"))
        if ceiling is not None and not slope:
            looks.append(gap(kind, "ceiling", ceiling - job.to_come - high, "ceiling"))
    return looks


def wall(job: Job) -> list[Look]:
    """Outdoor corners at jambs and header: the door is wider than its opening."""
    wide = of(job.tree, "door.width")
    if wide is None or wide <= job.width:
        return []
    least = min(
        (job.jamb_at(corner[1]) + corner[0], x) for x, pose in job.poses for outline in pose for corner in outline
    )
    return [gap("strikes the jamb", "jamb", least[0], f"jamb, door up {least[1] / INCH:.0f} in")]


def room(job: Job) -> list[Look]:
    looks = []
    back, length = of(job.tree, "room.back"), of(job.tree, "track.horizontal_length")
    if back is not None and length is not None and job.lift != "vertical":
        reach = max(y for y, _ in guide_points(job)) + job.off_wall
        door = max(corner[0] for outline in job.door.outlines(job.door.open_at) for corner in outline) + job.off_wall
        looks.append(gap("track strikes the back", "room.back", back - reach, "back of the track"))
        looks.append(gap("door strikes the back", "room.back", back - door, "back of the open door"))
    side = given(job.tree, "tower.side")
    if side:
        free = of(job.tree, f"room.side_{side}")
        if free is not None:
            taken = need(job.tree, "tower.jamb_gap") + need(job.tree, "tower.width")
            looks.append(gap("tower strikes the side", "tower", free - job.jambs_to_come - taken, "beside the tower"))
    return looks


def obstructions(job: Job) -> list[Look]:
    tree = job.tree
    found = given(tree, "room.obstructions") or {}
    wide = of(tree, "door.width", job.width) or job.width
    lap = (wide - job.width) / 2
    size = of(tree, "track.size") or 0.0
    looks = []
    for name, thing in found.items():
        left, right = of(thing, "left"), of(thing, "right")
        near, low = of(thing, "from_wall"), of(thing, "underside")
        if left is None or right is None or near is None or low is None:
            continue
        left, right = left - job.jambs_to_come, right - job.jambs_to_come
        y0 = near - job.off_wall
        y1 = y0 + (of(thing, "depth") or 0.0)
        z0 = low - job.to_come
        top = of(thing, "topside")
        z1 = 1e3 if top is None else top - job.to_come
        box = (y0, y1, z0, z1)
        if right > -lap and left < job.width + lap:
            deep = max(overlap(outline, box) for _, pose in job.poses for outline in pose)
            looks.append(gap("door strikes an obstruction", name, -deep, f"door and {name}"))
        if any(right > at - size / 2 and left < at + size / 2 for at in (-lap - size / 2, job.width + lap + size / 2)):
            deep = max(depth_in_box(point, box) for point in guide_points(job))
            looks.append(gap("track strikes an obstruction", name, -deep, f"track and {name}"))
        if job.tower and given(tree, "tower.side"):
            first = need(tree, "tower.jamb_gap")
            last = first + need(tree, "tower.width")
            span = (job.width + first, job.width + last) if given(tree, "tower.side") == "right" else (-last, -first)
            deep = min(
                span[1] - left, right - span[0], need(tree, "tower.depth") - near, need(tree, "tower.height") - z0, z1
            )
            if deep > 0:
                looks.append(gap("tower strikes an obstruction", name, -deep, f"tower and {name}"))
    return looks


def crossing(job: Job) -> list[Look]:
    """The far cable above the door, over the head pulleys, in the plane of the rollers."""
    height = of(job.tree, "tower.head_pulley_height")
    if height is None:
        return []
    nearest = min((away((0.0, height), outline), x) for x, pose in job.poses for outline in pose)
    return [gap("door strikes the crossing cable", "tower", nearest[0], f"cable, door up {nearest[1] / INCH:.0f} in")]


def tower_height(job: Job) -> list[Look]:
    """Box pulley and box 1 at the top of their way, door closed."""
    tree = job.tree
    top = (of(tree, "tower.base_stop") or 0.0) + job.nested + job.hook_up
    looks = []
    height, eyes = of(tree, "tower.height"), of(tree, "tower.eye_bolt_height")
    pulley = top + (of(tree, "tower.box_pulley_rise") or 0.0)
    if height is not None:
        looks.append(gap("box strikes the head", "box 1", height - pulley, "box pulley under the head"))
    if eyes is not None:
        half = (of(tree, "tower.eye_bolt_takeup") or 0.0) / 2
        looks.append(gap("box strikes the head", "box 1", eyes - half - pulley, "box pulley under the eye bolts"))
    return looks


def shaft(job: Job) -> list[Look]:
    tree = job.tree
    height, wall_away = of(tree, "torsion.shaft.height"), of(tree, "torsion.shaft.from_wall")
    if height is None or wall_away is None:
        return []
    flange = (of(tree, "torsion.drum.diameter") or 0.0) / 2
    largest = max([flange, *(spring.outside / 2 for spring in job.springs)])
    center = (wall_away - job.off_wall, height)
    nearest = min((away(center, outline), x) for x, pose in job.poses for outline in pose)
    looks = [
        gap("door strikes the shaft", "shaft", nearest[0] - largest, f"shaft, door up {nearest[1] / INCH:.0f} in"),
        gap("shaft strikes the wall", "shaft", wall_away - largest, "shaft and wall"),
    ]
    ceiling = of(tree, "room.ceiling")
    if ceiling is not None and not of(tree, "room.roof_slope"):
        looks.append(gap("shaft strikes above", "shaft", ceiling - job.to_come - height - largest, "shaft and ceiling"))
    headroom = of(tree, "room.headroom")
    if headroom is not None and given(tree, "torsion.mount") == "front":
        looks.append(
            gap("shaft strikes above", "shaft", job.opening + headroom - height - largest, "shaft and headroom")
        )
    if given(tree, "torsion.mount") == "front":
        looks.append(gap("shaft in the opening", "shaft", height - largest - job.opening, "shaft over the opening"))
    return looks

"""The scene of a job: room, door, track and counterbalance, each added by its own module."""

from __future__ import annotations

import math

from doorlint import counterbalance
from doorlint.facts import Facts
from doorlint.mechanics import sweep
from doorlint.scene import door, mounts, room, track
from doorlint.scene.shapes import Scene
from doorlint.scene.site import Site

__all__ = ["scene_of"]


def scene_of(facts: Facts) -> tuple[Scene, Site]:
    """The scene of a job and the site that it is placed by; what is missing for it is noted in the facts."""
    scene, here = Scene(), site_of(facts)
    if here.width is None or here.height is None:
        facts.needs("The wall seen from inside", "opening.least_width", "opening.least_height")
    for part, name in (("door", "The door"), ("track", "The track")):
        if not facts.given(part):
            facts.left_out.append(f"{name}: the spec gives none yet")
    kinds = counterbalance.described(facts.job.values)
    if not kinds:
        facts.left_out.append("The counterbalance: the spec gives none yet")
    room.add(scene, here, facts)
    door.add(scene, here, facts)
    track.add(scene, here, facts)
    mounts.add(scene, here, facts)
    for kind in kinds:
        kind.add_to(scene, here, facts)
    return scene, here


def site_of(facts: Facts) -> Site:
    """The site of a job, as far as it is known."""
    width = facts.first("opening.finished_width", "opening.least_width", "opening.width.bottom", "opening.width.top")
    height = facts.first("opening.finished_height", "opening.least_height", "opening.height.middle")
    across = facts.known("door.width") or width
    door = None if width is None or across is None else ((width - across) / 2, (width + across) / 2)
    path = facts.known("track.path") if facts.given("track") else None
    swept = facts.known("sweep.shape") if facts.given("door") and path is not None else None
    offset = facts.known("track.wall_offset") or 0.0
    sides = {side: [0.35, *facts.all_known(f"room.side_{side}")] for side in ("left", "right")}
    reaches = [kind.reach(facts) for kind in counterbalance.described(facts.job.values)]
    sides["left"] += [room.left for room in reaches]
    sides["right"] += [room.right for room in reaches]
    deep = [1.2]
    up = [(height or 0.0) + 0.5, *((height or 0.0) + room for room in facts.all_known("room.headroom"))]
    up += [*facts.all_known("room.roof"), *(room.up for room in reaches)]
    if path is not None:
        deep += facts.all_known("track.back_end", "sweep.reach")
        if math.isfinite(path.tangent):
            up.append(path.end_z + (facts.known("track.horizontal_length") or 0.0) * path.sin + 0.3)
    if swept is not None:
        deep.append(sweep.depth(swept) + offset)
        up.append(max(z for outline in swept.opened for _, z in outline) + 0.1)
    reach = max(deep)
    for behind in facts.all_known("room.back"):
        reach = max(reach, min(behind, reach * 1.3))
    return Site(
        width, height, door, -max(sides["left"]) - 0.1, (width or 0.0) + max(sides["right"]) + 0.1, reach + 0.12,
        max(up) + 0.05, path, swept, offset,
    )  # fmt: skip

"""Where the mountings and the drive are, and what a mounting has to hold."""

from __future__ import annotations

from doorlint.counterbalance import described
from doorlint.facts import Facts
from doorlint.scene.shapes import Label, Scene
from doorlint.scene.site import Site

__all__ = ["add"]

MOUNT_HEIGHTS = {"track": 0.5, "head-plate": 1.06, "pulley": 1.1}
"""Where a mounting is marked, as a share of the height of the opening; others at ``OTHER_MOUNTS``."""
OTHER_MOUNTS = 1.08


def add(scene: Scene, site: Site, facts: Facts) -> None:
    """A place for every mounting and for the drive, and the forces as labels."""
    if site.height is None or site.middle is None:
        return
    forces_of = (("carries", facts.column("mount.bearing")), ("wind pulls", facts.column("mount.wind_pull")))
    for key, part in facts.column("mount.part").items():
        side = facts.known("mount.side", key)
        edge = site.edge(side) if side in ("left", "right") else site.middle
        up = site.height * MOUNT_HEIGHTS.get(part, OTHER_MOUNTS)
        for kind in described(facts.job.values):
            place = kind.mount_place(part, facts)
            if place is not None:
                edge, up = -place[0] if side == "left" else (site.width or 0.0) + place[0], place[1]
        scene.spot(f"/mounts/{key}", edge, None, up)
        words = tuple(f"{does} {facts.write(forces[key], 'weight')}" for does, forces in forces_of if forces.get(key))
        if words:
            scene.labels.append(Label((key, *words), (edge, None, up), ("loads",)))
            scene.say(f"{key} {', '.join(words)}.", "loads")
    side = facts.known("operation.side")
    if side is not None:
        at = site.middle if side == "centre" else site.edge(side)
        scene.spot("/operation", at, None, site.height * 0.9)

"""Where the mountings and the drive are, and what a mounting has to hold."""

from __future__ import annotations

from doorlint.counterbalance import described
from doorlint.facts import Facts
from doorlint.scene.shapes import Arrow, Label, Scene, Solid
from doorlint.scene.site import Site

__all__ = ["add"]

MOUNT_HEIGHTS = {"track": 0.5, "head-plate": 1.06, "pulley": 1.1}
"""Where a mounting is marked, as a share of the height of the opening; others at ``OTHER_MOUNTS``."""
OTHER_MOUNTS = 1.08
BRACKET = 0.03
"""Half the height at which a wall bracket is drawn (m)."""


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
        if part == "wall-bracket":
            up = facts.known("mount.height", key) or up
        scene.spot(f"/mounts/{key}", edge, None, up)
        words = tuple(f"{does} {facts.write(forces[key], 'weight')}" for does, forces in forces_of if forces.get(key))
        if words:
            scene.labels.append(Label((key, *words), (edge, None, up), ("loads",)))
            scene.say(f"{key} {', '.join(words)}.", "loads")
    _wall_brackets(scene, site, facts)
    side = facts.known("operation.side")
    if side is not None:
        at = site.middle if side == "centre" else site.edge(side)
        scene.spot("/operation", at, None, site.height * 0.9)


def _wall_brackets(scene: Scene, site: Site, facts: Facts) -> None:
    """The brackets that hold the guide of a vertical lift above the header, each with what it carries."""
    heights, loads, sides = (facts.column(f"mount.{name}") for name in ("height", "bracket_loads", "side"))
    together: dict[float, list[str]] = {}
    for key, part in facts.column("mount.part").items():
        if part == "wall-bracket" and key in heights:
            together.setdefault(round(heights[key], 3), []).append(key)
    for up, keys in sorted(together.items()):
        lines = []
        for key in keys:
            off, onto, down = loads.get(key, (0.0, 0.0, 0.0))
            larger = max(off, onto)
            way = f"{facts.write(larger, 'weight')} {'off' if off >= onto else 'onto'} the wall"
            words = f"{way}, {facts.write(down, 'weight')} down" if key in loads else ""
            lines.append(f"{key}  {words}".strip())
            tall, edge = (up - BRACKET, up + BRACKET), site.edge(sides[key]) if key in sides else None
            name, pointer = f"bracket {key}", f"/mounts/{key}"
            scene.shapes.append(
                Solid(f"{name} from the side", "bracket", None, (0.0, site.offset), tall, pointer, words)
            )
            if edge is not None:
                wide = (edge - BRACKET, edge + BRACKET)
                scene.shapes.append(Solid(name, "bracket", wide, None, tall, pointer, words))
                scene.labels.append(Label((f"{key}, at most", *words.split(", ")), (edge, None, up), ("loads",)))
            if larger:
                toward = (1.0 if off >= onto else -1.0, 0.0)
                scene.arrows.append(Arrow("", (None, site.offset, up), toward, ("side",)))
        scene.labels.append(Label(tuple(lines), (None, site.offset, up), ("side",)))
        scene.say(f"Wall brackets at {facts.write(up, 'length')}: {'; '.join(lines)}.", "side", "loads")

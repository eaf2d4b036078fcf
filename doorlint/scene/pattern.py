"""The fasteners of one mounting, enlarged: where each is, what it carries, and which is the worst."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.mechanics.connections import mounting
from doorlint.scene.picture import Picture
from doorlint.scene.shapes import WALL, Arrow, Dimension, Label, Scene, Solid

__all__ = ["patterns"]

LEAST = 0.004
"""Least radius at which a fastener is drawn (m)."""
AROUND = 0.035
"""Free edge round a pattern (m)."""
FROM = {"tower-foot": "seen from above", "hoist-point": "seen from below"}
"""Where the face of a mounting is seen from; that of any other from the room."""


def patterns(facts: Facts) -> list[tuple[Picture, Scene]]:
    """A picture for each mounting whose fasteners and loads are known."""
    found = ((_picture(facts, key), _scene(facts, key)) for key in facts.keys("mount"))
    return [(picture, scene) for picture, scene in found if scene is not None]


def _picture(facts: Facts, key: str) -> Picture:
    title = f"{key}, {FROM.get(facts.known('mount.part', key), 'seen from the room')}"
    distances = (("edge", "mount.fixing.edge"), ("heel", "mount.fixing.pattern.heel"))
    known = [(words, facts.known(name, key)) for words, name in distances]
    title += "".join(f", {words} {facts.write(far, 'length')}" for words, far in known if far is not None)
    return Picture(f"fasteners-{key}", title, WALL, barred=False, air=AROUND)


def _scene(facts: Facts, key: str) -> Scene | None:
    points, loads = facts.known("mount.points", key), facts.known("mount.loads", key)
    governing, kind = facts.known("mount.governing", key), facts.known("mount.fixing.kind", key)
    if None in (points, loads, governing) or kind == "weld" or facts.known("mount.part", key) == "track":
        return None
    heel = facts.known("mount.fixing.pattern.heel", key)
    carried = mounting.carried(points, loads, heel, governing.duration)
    if governing.share not in carried:
        return None
    scene, on, write = Scene(), (f"fasteners-{key}",), facts.write
    radius = max((facts.known("mount.fixing.diameter", key) or 0.0) / 2, LEAST)
    worst = carried.index(governing.share)
    for number, ((u, v), share) in enumerate(zip(points, carried, strict=True)):
        corners = (
            (u - radius, v - radius),
            (u + radius, v - radius),
            (u + radius, v + radius),
            (u - radius, v + radius),
        )
        scene.shapes.append(
            Solid(f"fastener {number}", "fastener", None, None, None, along=1, profile=corners, round=True)
        )
        lines = [f"{write(share.shear, 'weight')} across"] if share.shear else []
        lines += [f"{write(share.pull, 'weight')} out"] if share.pull else []
        lines += [f"worst, {_share(governing.use)} used"] if number == worst else []
        scene.labels.append(Label(tuple(lines) or ("carries nothing",), (u, None, v), on))
        scene.say(f"Fastener {number + 1}: {', '.join(lines) or 'carries nothing'}.", *on)
        if share.shear:
            way = (share.along_u / share.shear, share.along_v / share.shear)
            scene.arrows.append(Arrow("", (u, None, v), way, on))
    _dimensions(scene, facts, points, on)
    return scene


def _dimensions(scene: Scene, facts: Facts, points: tuple[tuple[float, float], ...], on: tuple[str, ...]) -> None:
    """How wide and how high the pattern is."""
    across, up = sorted({u for u, _ in points}), sorted({v for _, v in points})
    start = (across[0], None, up[0])
    if across[0] < across[-1]:
        words = facts.write(across[-1] - across[0], "length")
        scene.dimensions.append(Dimension(words, start, (across[-1], None, up[0]), "below", 1, on))
    if up[0] < up[-1]:
        words = facts.write(up[-1] - up[0], "length")
        scene.dimensions.append(Dimension(words, start, (across[0], None, up[-1]), "left", 1, on))


def _share(use: float) -> str:
    """A share in words.

    >>> _share(0.2449), _share(0.002)
    ('24%', 'less than 1%')
    """
    return "less than 1%" if use < 0.01 else f"{use:.0%}"

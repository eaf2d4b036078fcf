"""A picture: one view of a scene within a frame. The registry lists those of every job."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from doorlint.scene.shapes import PLAN, SIDE, WALL, Scene, View, rectangle
from doorlint.scene.site import WALL_DEPTH, Site

__all__ = ["PICTURES", "STEPS", "Frame", "Picture", "frame_of", "shows"]


class Frame(NamedTuple):
    """The part of a view that a picture shows (m)."""

    left: float
    low: float
    right: float
    high: float


class Picture(NamedTuple):
    """One drawing of a scene."""

    name: str
    title: str
    view: View
    frame: Callable[[Scene, Site], Frame | None] | None = None
    """what it shows of the scene, which may be nothing; left out: all of it"""
    kinds: frozenset[str] | None = None
    """the kinds of shapes that it shows; ``None`` for all"""
    clipped: bool = False
    """whether shapes reach beyond the frame and are cut off there"""
    scaled: bool = True
    """whether it is to scale in both directions"""
    barred: bool = True
    """whether it carries a scale bar"""
    beside: float = 0.0
    """px beside a small picture for its labels"""
    air: float = 0.05
    """free edge round a picture of a whole scene (m)"""
    overlaid: bool = False
    """whether a change shows it with both jobs laid over each other"""


def frame_of(picture: Picture, scene: Scene, site: Site) -> Frame | None:
    """What a picture shows; ``None`` where that is nothing."""
    if picture.frame is not None:
        return picture.frame(scene, site)
    outlines = (shape.seen(picture.view) for shape in scene.shapes if shows(picture, shape.kind, shape.on))
    points = [point for seen in outlines if seen is not None for point in seen.points]
    if not points:
        return None
    left, low, right, high = rectangle(points)
    return Frame(left - picture.air, low - picture.air, right + picture.air, high + picture.air)


def shows(picture: Picture, kind: str, on: tuple[str, ...]) -> bool:
    """Whether a picture shows shapes of a kind that are for some pictures only."""
    return (not on or picture.name in on) and (picture.kinds is None or kind in picture.kinds)


def _wall(_: Scene, site: Site) -> Frame | None:
    return None if site.width is None or site.height is None else Frame(site.left, 0.0, site.right, site.top)


def _side(_: Scene, site: Site) -> Frame | None:
    return None if site.height is None else Frame(-WALL_DEPTH - 0.1, 0.0, site.back, site.top)


def _header(scene: Scene, site: Site) -> Frame | None:
    """Header, headroom, and what sweeps below it."""
    if site.height is None or site.path is None or site.path.tangent == float("inf"):
        return None
    names = ("headroom from the side", "headroom needed", "sweep", "shaft end")
    outlines = (shape.seen(SIDE) for shape in scene.shapes if shape.name in names)
    levels = [z for seen in outlines if seen is not None for _, z in seen.points]
    high = max([site.path.end_z, site.height + 0.3, *levels]) + 0.18
    low = min(site.path.tangent, site.height) - 0.4
    far = max(site.path.radius * 2 + site.offset + 0.25, (high - low) * 0.9)
    return Frame(-WALL_DEPTH, low, far, high)


def _track(_: Scene, site: Site) -> Frame | None:
    if site.height is None or site.path is None or site.path.tangent == float("inf"):
        return None
    reach = site.offset + site.path.radius * 3
    return Frame(-WALL_DEPTH, 0.0, reach, site.path.end_z + 0.3)


def _hangers(_: Scene, site: Site) -> Frame | None:
    if site.path is None or site.path.tangent == float("inf"):
        return None
    return Frame(-WALL_DEPTH, site.path.tangent - 0.2, site.back, site.top)


def _opening(_: Scene, site: Site) -> Frame | None:
    return None if site.width is None or site.height is None else Frame(-0.2, 0.0, site.width + 0.2, site.height + 0.1)


def _plan(_: Scene, site: Site) -> Frame | None:
    return None if site.width is None else Frame(site.left, -site.back, site.right, WALL_DEPTH * 2)


PICTURES: tuple[Picture, ...] = (
    Picture("wall", "The wall seen from inside, door closed", WALL, _wall, overlaid=True),
    Picture("side", "The side view: door closed, half way and open", SIDE, _side, overlaid=True),
    Picture("header", "The header from the side, enlarged", SIDE, _header, clipped=True, overlaid=True),
    Picture("plan", "The room from above", PLAN, _plan, overlaid=True),
    Picture(
        "loads", "What the building carries, door closed", WALL, _wall,
        kinds=frozenset({"opening", "floor", "ceiling", "bracket", "tower", "shaft", "drum", "cable", "pulley"}),
    ),
)  # fmt: skip
"""The pictures of every job, in the order of a report. A counterbalance adds its own."""

STEPS: tuple[Picture, ...] = (
    Picture(
        "step-opening", "The opening", WALL, _opening, kinds=frozenset({"opening", "floor"}), clipped=True,
        barred=False, beside=40.0,
    ),
    Picture(
        "step-track", "The curve", SIDE, _track, kinds=frozenset({"track-line", "floor", "wall"}), clipped=True,
        barred=False, beside=70.0,
    ),
    Picture(
        "step-hangers", "The hangers", SIDE, _hangers, kinds=frozenset({"track-line", "hanger", "ceiling", "wall"}),
        clipped=True, barred=False,
    ),
)  # fmt: skip
"""The small pictures beside the steps of every job's sheet. A counterbalance adds its own."""

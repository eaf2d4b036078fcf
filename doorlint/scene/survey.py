"""Where each measure of a survey is taken: lines and spots on an opening, each with the pointer of its value."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from doorlint.facts import Facts
from doorlint.scene import room
from doorlint.scene.job import site_of
from doorlint.scene.picture import Frame, Picture
from doorlint.scene.shapes import PLAN, SIDE, WALL, Label, Point, Scene
from doorlint.scene.site import WALL_DEPTH, Site

__all__ = ["SURVEY_PICTURES", "Measure", "example_survey", "measures", "survey_scene"]

_EXAMPLE = """
doorlint: 1
stage: survey
job: {number: J-0}
opening:
  width: {top: 12 ft, middle: 12 ft, bottom: 12 ft}
  height: {left: 12 ft, middle: 12 ft, right: 12 ft}
  diagonal: {rising: 16'-11 5/8", falling: 16'-11 5/8"}
  floor_finished: true
  jambs_finished: true
  jamb_face: {left: 20 in, right: 20 in}
  header_face: 24 in
  handing: inside
room:
  headroom: 44 in
  side_left: 36 in
  side_right: 52 in
  back: 10 ft
  ceiling: 17'-6"
  obstructions: {%s: {kind: duct, from_wall: 4 ft, depth: 30 in, underside: 15'-8", topside: 17 ft, left: 30 in,
    right: 9 ft}}
"""

_BARE = frozenset({"opening", "floor", "ceiling", "limit", "obstruction", "wall"})


class Measure(NamedTuple):
    """Where a value is taken, from ``start`` to ``end`` on the pictures named; both are one for what has no length."""

    pointer: str
    start: Point
    end: Point
    on: tuple[str, ...]


def _wall(_: Scene, site: Site) -> Frame | None:
    return None if site.width is None else Frame(site.left, -0.25, site.right, site.top)


def _side(_: Scene, site: Site) -> Frame | None:
    return Frame(-WALL_DEPTH - 0.3, -0.1, site.back, site.top)


def _plan(_: Scene, site: Site) -> Frame | None:
    return None if site.width is None else Frame(site.left, -site.back, site.right, WALL_DEPTH * 2)


SURVEY_PICTURES: tuple[Picture, ...] = (
    Picture("survey-wall", "The wall, seen from inside", WALL, _wall, kinds=_BARE, barred=False),
    Picture("survey-side", "From the side", SIDE, _side, kinds=_BARE, barred=False),
    Picture("survey-plan", "From above", PLAN, _plan, kinds=_BARE, barred=False),
)
"""The drawings of a survey sheet."""
_WALL, _SIDE, _PLAN = (picture.name for picture in SURVEY_PICTURES)


def example_survey(obstruction: str) -> str:
    """A survey to show the measures on, with one obstruction of that name; none of its sizes is written on a sheet."""
    return _EXAMPLE % obstruction


def survey_scene(facts: Facts) -> tuple[Scene, Site]:
    """The opening and its room, as deep as it is, with the sides named."""
    scene, site = Scene(), site_of(facts)
    site = site._replace(back=(facts.known("room.back") or site.back) + 0.3)
    room.add(scene, site, facts)
    assert site.width is not None
    assert site.height is not None
    scene.labels += [
        Label(("left",), (site.left + 0.35, None, 0.5), (_WALL,), centered=True),
        Label(("right",), (site.right - 0.35, None, 0.5), (_WALL,), centered=True),
        Label(("out-", "doors"), (None, -WALL_DEPTH - 0.15, site.height * 0.4), (_SIDE,), centered=True),
        Label(("outdoors",), (site.width / 2, -WALL_DEPTH, None), (_PLAN,), centered=True),
        Label(("left",), (site.left + 0.35, site.back * 0.9, None), (_PLAN,), centered=True),
        Label(("right",), (site.right - 0.35, site.back * 0.9, None), (_PLAN,), centered=True),
    ]  # fmt: skip
    scene.say("An opening and its room; each number is that of a line of the sheet.", _WALL, _SIDE, _PLAN)
    return scene, site


def measures(site: Site, facts: Facts) -> Iterator[Measure]:
    """The measures of a survey that can be drawn."""
    width, height = site.width, site.height
    assert width is not None
    assert height is not None
    yield from _opening(width, height, facts)
    yield from _room(site, width, height, facts)
    for key in facts.keys("obstruction")[:1]:
        yield from _obstruction(facts, key)


def _opening(width: float, height: float, facts: Facts) -> Iterator[Measure]:
    on = (_WALL,)
    for part, share in (("top", 0.95), ("middle", 0.66), ("bottom", 0.04)):
        yield Measure(f"/opening/width/{part}", (0.0, None, height * share), (width, None, height * share), on)
    for part, share in (("left", 0.06), ("middle", 0.3), ("right", 0.94)):
        yield Measure(f"/opening/height/{part}", (width * share, None, 0.0), (width * share, None, height), on)
    yield Measure("/opening/diagonal/rising", (0.0, None, 0.0), (width, None, height), on)
    yield Measure("/opening/diagonal/falling", (0.0, None, height), (width, None, 0.0), on)
    for side, edge, sign in (("left", 0.0, -1.0), ("right", width, 1.0)):
        face = facts.known(f"opening.jamb_face.{side}") or 0.3
        at = (edge, None, height * 0.72)
        yield Measure(f"/opening/jamb_plumb/{side}", at, at, on)
        level = height * 0.34
        ends = sorted((edge, edge + sign * face))
        yield Measure(f"/opening/jamb_face/{side}", (ends[0], None, level), (ends[1], None, level), on)
    above = height + (facts.known("opening.header_face") or 0.3)
    yield Measure("/opening/header_face", (width * 0.3, None, height), (width * 0.3, None, above), on)
    for name, share in (("floor_fall", 0.7), ("floor_to_come", 0.3)):
        yield Measure(f"/opening/{name}", (width * share, None, 0.0), (width * share, None, 0.0), on)
    yield Measure("/opening/jambs_to_come", (0.0, None, height * 0.85), (0.0, None, height * 0.85), on)
    yield Measure("/opening/jamb_material", (width, None, height * 0.85), (width, None, height * 0.85), on)


def _room(site: Site, width: float, height: float, facts: Facts) -> Iterator[Measure]:
    head, ceiling, back = (facts.known(f"room.{name}") for name in ("headroom", "ceiling", "back"))
    for side, edge, sign in (("left", 0.0, -1.0), ("right", width, 1.0)):
        room = facts.known(f"room.side_{side}")
        if room is not None:
            ends = sorted((edge, edge + sign * room))
            level, deep = height * 0.16, 0.4
            yield Measure(f"/room/side_{side}", (ends[0], deep, level), (ends[1], deep, level), (_WALL, _PLAN))
    if head is not None:
        yield Measure(
            "/room/headroom", (width * 0.75, 0.25, height), (width * 0.75, 0.25, height + head), (_WALL, _SIDE)
        )
    if ceiling is not None:
        yield Measure("/room/ceiling", (None, site.back * 0.84, 0.0), (None, site.back * 0.84, ceiling), (_SIDE,))
    if back is not None:
        far = min(back, site.back)
        yield Measure(
            "/room/back", (width * 0.92, 0.0, height * 0.2), (width * 0.92, far, height * 0.2), (_SIDE, _PLAN)
        )


def _obstruction(facts: Facts, key: str) -> Iterator[Measure]:
    names = ("from_wall", "depth", "underside", "topside", "left", "right")
    near, deep, low, high, left, right = (facts.known(f"obstruction.{name}", key) for name in names)
    if None in (near, deep, low, high, left, right):
        return
    place, middle = f"/room/obstructions/{key}", near + deep / 2
    aside = left + (right - left) * 0.75
    yield Measure(f"{place}/from_wall", (aside, 0.0, low + 0.2), (aside, near, low + 0.2), (_SIDE, _PLAN))
    yield Measure(f"{place}/depth", (aside, near, low - 0.2), (aside, near + deep, low - 0.2), (_SIDE,))
    yield Measure(f"{place}/underside", (None, near + deep * 0.3, 0.0), (None, near + deep * 0.3, low), (_SIDE,))
    yield Measure(f"{place}/topside", (None, near + deep * 1.3, 0.0), (None, near + deep * 1.3, high), (_SIDE,))
    yield Measure(f"{place}/left", (0.0, middle - 0.25, None), (left, middle - 0.25, None), (_PLAN,))
    yield Measure(f"{place}/right", (0.0, middle + 0.55, None), (right, middle + 0.55, None), (_PLAN,))

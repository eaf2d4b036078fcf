"""The opening, the wall round it, the room and what hangs in it."""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.scene.shapes import Dimension, Label, Line, Scene, Solid
from doorlint.scene.site import WALL_DEPTH, Site

__all__ = ["add"]

JAMB_HEIGHTS = {"jamb_plumb": 0.62, "jamb_face": 0.5, "height": 0.74}
"""Where findings about a jamb are marked, as a share of the height of the opening."""
SPOTS = (
    ("width/top", 0.5, 0.99), ("width/middle", 0.5, 0.5), ("width/bottom", 0.5, 0.0), ("width", 0.5, 0.0),
    ("height/middle", 0.5, 0.6), ("height", 0.0, 0.5), ("diagonal", 0.3, 0.3), ("diagonal/rising", 0.3, 0.3),
    ("diagonal/falling", 0.7, 0.3), ("floor_fall", 0.8, 0.0), ("floor_finished", 0.3, 0.0),
    ("floor_to_come", 0.3, 0.0), ("jamb_material", 0.0, 0.35), ("header_face", 0.3, 1.0),
)  # fmt: skip
"""Where findings about the opening are marked: shares of its width and height."""


def add(scene: Scene, site: Site, facts: Facts) -> None:
    """Everything that is there before the door."""
    _wall(scene, site, facts)
    _opening(scene, site, facts)
    _floor_and_ceiling(scene, site, facts)
    _sides(scene, site, facts)
    _headroom(scene, site, facts)
    _behind(scene, site, facts)
    for key in facts.keys("obstruction"):
        _obstruction(scene, site, facts, key)


def _wall(scene: Scene, site: Site, facts: Facts) -> None:
    width, height = site.width, site.height
    if height is not None:
        header = f"header {facts.write(height, 'length')}"
        scene.shapes.append(
            Solid("header", "wall", None, (-WALL_DEPTH, 0.0), (height, site.top), words=header, hatched=True)
        )
        scene.labels.append(Label(("outdoors",), (None, -WALL_DEPTH / 2, height * 0.12), ("side",)))
        scene.spot("/opening/header_face", None, 0.0, height + 0.1)
        scene.spot("/opening/height", None, -WALL_DEPTH / 2, height)
    if width is not None:
        for side, span in (("left", (site.left, 0.0)), ("right", (width, site.right))):
            scene.shapes.append(Solid(f"wall {side}", "wall", span, (-WALL_DEPTH, 0.0), None, hatched=True))
        scene.labels.append(Label(("outdoors",), (width / 2, -WALL_DEPTH * 0.8, None), ("plan",), centered=True))


def _opening(scene: Scene, site: Site, facts: Facts) -> None:
    width, height = site.width, site.height
    if width is None or height is None:
        return
    write = facts.write
    words = f"opening {write(width, 'length')} by {write(height, 'length')}"
    corners = ((0.0, None, 0.0), (0.0, None, height), (width, None, height), (width, None, 0.0))
    scene.shapes.append(Line("opening", "opening", corners, words=words))
    scene.say(
        f"Opening {write(width, 'length')} wide and {write(height, 'length')} high.", "wall", "plan", "step-opening"
    )
    for side, at in (("left", 0.0), ("right", width)):
        for part, share in JAMB_HEIGHTS.items():
            scene.spot(f"/opening/{part}/{side}", at, None, height * share)
    for part, across, up in SPOTS:
        scene.spot(f"/opening/{part}", width * across, None, height * up)
    scene.spot("/opening", width * 0.42, None, height)
    opening, tall = f"opening {write(width, 'length')}", f"opening {write(height, 'length')}"
    scene.dimensions += [
        Dimension(opening, (0.0, None, 0.0), (width, None, 0.0), "below", 1, ("wall",)),
        Dimension(write(width, "length"), (0.0, None, 0.0), (width, None, 0.0), "below", 1, ("step-opening",)),
        Dimension(write(height, "length"), (0.0, None, 0.0), (0.0, None, height), "left", 1, ("step-opening",)),
        Dimension(opening, (0.0, 0.0, None), (width, 0.0, None), "above", 1, ("plan",)),
        Dimension(tall, (0.0, None, 0.0), (0.0, None, height), "left", 1, ("wall",)),
        Dimension(tall, (None, 0.0, 0.0), (None, 0.0, height), "left", 1, ("side",)),
    ]  # fmt: skip


def _floor_and_ceiling(scene: Scene, site: Site, facts: Facts) -> None:
    front, back = -WALL_DEPTH - 0.1, site.back
    scene.shapes += [
        Line("floor", "floor", ((site.left, None, 0.0), (site.right, None, 0.0))),
        Line("floor from the side", "floor", ((None, front, 0.0), (None, back, 0.0))),
    ]
    ceiling = facts.known("room.roof")
    if ceiling is None:
        return
    _sloped_roof(scene, site, facts)
    words = f"ceiling {facts.write(ceiling, 'length')}"
    scene.shapes += [
        Line("ceiling", "ceiling", ((site.left, None, ceiling), (site.right, None, ceiling)), words=words),
        Line("ceiling from the side", "ceiling", ((None, 0.0, ceiling), (None, back, ceiling)), words=words),
    ]
    scene.dimensions.append(
        Dimension(words, (site.right, None, 0.0), (site.right, None, ceiling), "right", 1, ("wall",))
    )
    scene.labels.append(Label((words,), (None, back * 0.82, ceiling), ("side",)))
    scene.spot("/room/ceiling", (site.width or 0.0) * 0.7, back * 0.9, ceiling)


def _sloped_roof(scene: Scene, site: Site, facts: Facts) -> None:
    """The underside of the roof that a track follows, from the wall over the door into the room."""
    start, slope = facts.known("guide.roof_there"), facts.known("room.roof_slope")
    if start is None or slope is None:
        return
    words = f"roof {facts.write(start, 'length')} at the wall, rising {facts.write(slope, 'slope')}"
    end = start + slope * site.back
    scene.shapes.append(
        Line("roof", "ceiling", ((None, 0.0, start), (None, site.back, end)), "/room/roof_slope", words)
    )
    at = site.back * 0.5
    scene.labels.append(
        Label(("roof", f"rising {facts.write(slope, 'slope')}"), (None, at, start + slope * at), ("side",))
    )
    scene.spot("/room/roof_slope", None, site.back * 0.6, start + slope * site.back * 0.6)
    scene.say(f"{words[0].upper()}{words[1:]}.", "side", "header")


def _sides(scene: Scene, site: Site, facts: Facts) -> None:
    if site.width is None:
        return
    top = facts.known("room.roof") or site.top
    for side, edge, sign in (("left", 0.0, -1.0), ("right", site.width, 1.0)):
        room = facts.known(f"room.side_{side}")
        if room is None:
            continue
        wall = edge + sign * room
        words = f"side room {facts.write(room, 'length')}"
        scene.shapes += [
            Line(f"side room {side}", "limit", ((wall, None, 0.0), (wall, None, top)), words=f"{side} {words}"),
            Line(f"side room {side} in plan", "limit", ((wall, 0.0, None), (wall, site.back, None))),
        ]
        start, end = sorted((edge, wall))
        scene.dimensions += [
            Dimension(words, (start, None, 0.0), (end, None, 0.0), "below", 1, ("wall",)),
            Dimension(words, (start, 0.0, None), (end, 0.0, None), "above", 1, ("plan",)),
        ]
        scene.spot(f"/room/side_{side}", edge + sign * room / 2, 0.15, (site.height or 1.0) * 0.12)
        scene.say(f"{words.capitalize()} on the {side}.", "wall", "plan")


def _headroom(scene: Scene, site: Site, facts: Facts) -> None:
    height, headroom = site.height, facts.known("room.headroom")
    if height is None or headroom is None:
        return
    level, words = height + headroom, f"headroom {facts.write(headroom, 'length')}"
    along = ((None, 0.0, level), (None, site.back, level))
    scene.shapes.append(Line("headroom from the side", "limit", along, words=words))
    scene.dimensions.append(Dimension(words, (None, 0.0, height), (None, 0.0, level), "left", 1, ("side", "header")))
    if site.width is not None:
        line = ((max(site.left, -0.2), None, level), (min(site.right, site.width + 0.2), None, level))
        scene.shapes.append(Line("headroom", "limit", line, words=words))
        scene.dimensions.append(Dimension(words, (0.0, None, height), (line[0][0], None, level), "left", 1, ("wall",)))
    scene.spot("/room/headroom", (site.width or 0.0) * 0.5, 0.3, height + headroom / 2)
    scene.say(f"{words.capitalize()}.", "wall", "side", "header")


def _behind(scene: Scene, site: Site, facts: Facts) -> None:
    behind = facts.known("room.back")
    if behind is None:
        return
    shown = min(behind, site.back)
    words = f"back room {facts.write(behind, 'length')}" + ("" if behind <= site.back else ", not all drawn")
    if behind <= site.back:
        top = facts.known("room.roof") or site.top
        scene.shapes.append(Line("back", "limit", ((None, behind, 0.0), (None, behind, top))))
        scene.shapes.append(Line("back in plan", "limit", ((site.left, behind, None), (site.right, behind, None))))
    scene.dimensions += [
        Dimension(words, (None, 0.0, 0.0), (None, shown, 0.0), "below", 1, ("side",)),
        Dimension(words, (site.right, 0.0, None), (site.right, shown, None), "right", 1, ("plan",)),
    ]
    scene.spot("/room/back", None, shown, (site.height or 1.0) * 0.4)


def _obstruction(scene: Scene, site: Site, facts: Facts, key: str) -> None:
    needed = ("starts", "ends", "from_wall", "depth", "low")
    facts.needs(f"Obstruction {key}", *(f"obstruction.{name}" for name in needed), key=key)
    starts, ends, near, deep, low = (facts.known(f"obstruction.{name}", key) for name in needed)
    if low is None:
        return
    high = facts.known("obstruction.high", key) or max(low, facts.known("room.roof") or site.top)
    x = None if starts is None or ends is None else (max(starts, site.left), min(ends, site.right))
    y = None if near is None or deep is None else (near, min(near + deep, site.back))
    x, y = (span if span is not None and span[0] < span[1] else None for span in (x, y))
    kind = facts.known("obstruction.kind", key)
    name = key if kind is None or kind in key else f"{key} ({kind})"
    bottom = f"{name}, underside {facts.write(low, 'length')}"
    pointer = f"/room/obstructions/{key}"
    scene.shapes.append(
        Solid(f"obstruction {key}", "obstruction", x, y, (low, min(high, site.top)), pointer, bottom, hatched=True)
    )
    middle = tuple(None if span is None else (span[0] + span[1]) / 2 for span in (x, y))
    lines = (name, f"underside {facts.write(low, 'length')}")
    scene.labels += [
        Label(lines, (middle[0], middle[1], low), ("wall", "side", "header")),
        Label((name,), (middle[0], middle[1], low), ("plan",)),
    ]
    wall = "" if near is None else f", {facts.write(near, 'length')} off the wall"
    scene.say(f"{bottom} above the floor{wall}.", "wall", "side", "plan")

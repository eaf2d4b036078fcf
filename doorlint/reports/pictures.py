"""Scenes drawn on paper: one job with its findings marked, or two jobs laid over each other."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, Protocol, TypeAlias

from doorlint.counterbalance import described
from doorlint.facts import Facts
from doorlint.findings import Numbered
from doorlint.reports.drawing import Canvas, Number
from doorlint.reports.paper import Box, Point, Scale, text_width
from doorlint.scene.closed_fit import CLOSED_FIT, closed_fit
from doorlint.scene.job import scene_of, site_of
from doorlint.scene.pattern import patterns
from doorlint.scene.picture import PICTURES, STEPS, Frame, Picture, frame_of, shows
from doorlint.scene.shapes import Dimension, Flat, Line, Outline, Scene, Solid, rectangle
from doorlint.scene.site import Site

__all__ = [
    "NARROW",
    "PATTERN",
    "SMALL",
    "WIDE",
    "Drawn",
    "Marked",
    "View",
    "beside_steps",
    "fasteners",
    "marked",
    "overlaid",
    "pictured",
    "views",
]

System: TypeAlias = Literal["us", "si"]


class Size(NamedTuple):
    """The paper of a drawing (px): its width, how tall a drawing may be, and how much more a drawing that is not to
    scale may be stretched up than across."""

    width: float
    tallest: float
    stretch: float = 1.0


WIDE, NARROW, SMALL = Size(700.0, 540.0), Size(360.0, 540.0, 2.2), Size(170.0, 62.0)
"""A large screen or a page, a phone, and beside a step of a sheet."""
PATTERN = Size(350.0, 230.0)
"""The fasteners of a mounting, on any screen."""
EDGE, LANE, LEGEND = 12.0, 24.0, 30.0
"""Free edge of the paper, distance of dimension lines from each other, height of the legend (px)."""
STILL = 1e-6
"""Outlines nearer to each other than this (m) are one."""
EDGES = ("left", "right", "below", "above")
_BARS = {
    "us": ((0.3048, "1 ft"), (0.6096, "2 ft"), (1.524, "5 ft")),
    "si": ((0.5, "500 mm"), (1.0, "1 m"), (2.0, "2 m")),
}


@dataclass(slots=True)
class View:
    """A picture on its canvas, with the places that findings may point at."""

    name: str
    title: str
    canvas: Canvas
    scale: Scale
    places: dict[str, list[Point]] = field(default_factory=dict)
    """by JSON pointer; several where the thing is seen more than once"""
    says: list[str] = field(default_factory=list)
    """what the drawing shows, a sentence each, for those who cannot see it"""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished drawing for wide paper and for a phone, and the findings marked on it."""

    name: str
    title: str
    svg: str
    narrow: str
    marked: tuple[int, ...] = ()
    papers: dict[str, Scale] = field(default_factory=dict)
    """by the end of the name of its ids: where the world lies on the paper of a view"""


class Marked(Protocol):
    """What findings can be marked on: a view, or a chart."""

    name: str
    title: str
    canvas: Canvas
    places: dict[str, list[Point]]
    says: list[str]


def pictured(facts: Facts) -> list[tuple[Picture, Scene, Site]]:
    """The pictures of a job, each with the scene that it shows; what is not drawn is noted in the facts."""
    scene, site = scene_of(facts)
    fit = closed_fit(facts)
    own = [] if fit is None else [(CLOSED_FIT, fit)]
    own += [pair for kind in described(facts.job.values) for pair in kind.own_drawings(facts)]
    return [*((picture, scene, site) for picture in PICTURES), *((picture, made, site) for picture, made in own)]


def views(pictures: Iterable[tuple[Picture, Scene, Site]], system: System, size: Size = WIDE) -> list[View]:
    """The pictures that are not empty, on paper of that size."""
    found = (view_of(picture, scene, site, system, size) for picture, scene, site in pictures)
    return [view for view in found if view is not None]


def beside_steps(facts: Facts, wanted: Iterable[str]) -> dict[str, str]:
    """Small drawings for the steps of a sheet, as SVG by the name of the picture; those that are not empty."""
    names = set(wanted)
    scene, site = scene_of(facts)
    own = [pair for kind in described(facts.job.values) for pair in kind.step_drawings(facts)]
    pictures = [*((picture, scene, site) for picture in STEPS), *((picture, made, site) for picture, made in own)]
    return {view.name: _svg(view) for view in views(pictures, facts.system, SMALL) if view.name in names}


def fasteners(facts: Facts) -> list[Drawn]:
    """The pattern of every mounting, enlarged, with what each fastener carries."""
    site = site_of(facts)
    pictures = [(picture, scene, site) for picture, scene in patterns(facts)]
    return marked(views(pictures, facts.system, PATTERN), views(pictures, facts.system, PATTERN), [])


def marked(wide: Sequence[Marked], narrow: Sequence[Marked], findings: Sequence[Numbered]) -> list[Drawn]:
    """The views of both widths finished, with the number of every finding that has a place in one of them.

    A finding is marked at the part of the spec that its pointer names, or the nearest part above it that is drawn;
    where two views draw that part, on both.
    """
    numbers = _mark(wide, findings)
    _mark(narrow, findings)
    return [
        Drawn(view.name, view.title, _svg(view), _svg(other, "-narrow"), numbers[view.name], _papers(view, other))
        for view, other in zip(wide, narrow, strict=True)
    ]


def _papers(wide: Marked, narrow: Marked) -> dict[str, Scale]:
    return {end: view.scale for end, view in (("", wide), ("-narrow", narrow)) if isinstance(view, View)}


def _svg(view: Marked, suffix: str = "") -> str:
    return view.canvas.svg(f"{view.name}{suffix}", view.title, " ".join(view.says))


def _mark(views: Sequence[Marked], findings: Sequence[Numbered]) -> dict[str, tuple[int, ...]]:
    """Put the numbers of findings on the views; gives those on each."""
    on: dict[str, dict[Point, list[Number]]] = {view.name: {} for view in views}
    for number, finding in findings:
        pointer = finding.pointer
        while pointer and not any(pointer in view.places for view in views):
            pointer = pointer.rpartition("/")[0]
        for view in views:
            for at in view.places.get(pointer, ())[:1]:
                on[view.name].setdefault(at, []).append((number, finding.severity))
    for view in views:
        for at, numbers in on[view.name].items():
            view.canvas.marks(numbers, at)
    return {name: tuple(number for at in places.values() for number, _ in at) for name, places in on.items()}


def overlaid(approved: Facts, proposed: Facts) -> list[Drawn]:
    """The drawings of a change: dashed what was approved, in full line what is proposed, thin what stays.

    A drawing of which nothing moves is left out.
    """
    (before, site_before), (after, site_after) = scene_of(approved), scene_of(proposed)
    found = []
    for picture in PICTURES:
        frames = [frame_of(picture, before, site_before), frame_of(picture, after, site_after)]
        known = [frame for frame in frames if frame is not None]
        if picture.overlaid and known:
            left, low, right, high = zip(*known, strict=True)
            frame = Frame(min(left), min(low), max(right), max(high))
            pairs = _pairs(picture, before, after)
            if any(not _alike(picture, pair) for pair in pairs):
                wide, narrow = (_overlay(picture, pairs, frame, proposed.system, size) for size in (WIDE, NARROW))
                found.append(Drawn(picture.name, picture.title, _svg(wide), _svg(narrow, "-narrow")))
    return found


# one job


def view_of(picture: Picture, scene: Scene, site: Site, system: System, size: Size) -> View | None:
    """A picture on paper of that size; ``None`` where there is nothing on it."""
    frame = frame_of(picture, scene, site)
    says = [sentence for sentence, on in scene.says if picture.name in on]
    if frame is None or not says:
        return None
    measures = [measure for measure in scene.dimensions if picture.name in measure.on and _both(picture, measure)]
    lanes = {edge: max((m.lane for m in measures if m.edge == edge), default=0) for edge in EDGES}
    view = _paper(picture, frame, size, lanes)
    canvas, scale = view.canvas, view.scale
    _clip(view, picture, frame)
    _shapes(view, picture, scene.shapes)
    for measure in measures:
        _measure(view, picture, frame, measure)
    for arrow in scene.arrows:
        at = picture.view.see(arrow.at)
        if picture.name in arrow.on and at is not None and canvas.shows(scale(*at)):
            canvas.arrow(scale(*at), arrow.toward, arrow.words)
    for label in scene.labels:
        at = picture.view.see(label.at)
        if picture.name in label.on and at is not None:
            canvas.label(label.lines, scale(*at), centered=label.centered)
    for spot in scene.spots:
        at = picture.view.see(spot.at)
        if at is not None and canvas.shows(scale(*at)):
            view.places.setdefault(spot.pointer, []).append(scale(*at))
    view.says += says
    if picture.barred:
        _scale_bar(view, system)
    return view


def _both(picture: Picture, measure: Dimension) -> bool:
    return picture.view.see(measure.start) is not None and picture.view.see(measure.end) is not None


def _paper(picture: Picture, frame: Frame, size: Size, lanes: dict[str, int], top: float = EDGE) -> View:
    """Paper for a picture, its frame in the middle of the width; small paper is only as wide as the picture needs."""
    room = {edge: EDGE + LANE * lanes.get(edge, 0) for edge in ("left", "right", "below")}
    top += LANE * lanes.get("above", 0)
    across, up = frame.right - frame.left, frame.high - frame.low
    wide = size.width - room["left"] - room["right"]
    unit = min(wide / across, size.tallest / up)
    unit_up = unit if picture.scaled else min(size.tallest / up, size.stretch * unit)
    if size is SMALL:
        wide = across * unit + picture.beside
    left = room["left"] + (0.0 if size is SMALL else (wide - across * unit) / 2)
    scale = Scale(unit, left - frame.left * unit, top + frame.high * unit_up, unit_up)
    below = room["below"] + (LANE if picture.barred else 0.0)
    canvas = Canvas(wide + room["left"] + room["right"], top + up * unit_up + below)
    return View(picture.name, picture.title, canvas, scale)


def _clip(view: View, picture: Picture, frame: Frame) -> None:
    """Cut off at the frame what is drawn from now on, where the picture wants that."""
    if picture.clipped:
        view.canvas.window = Box(*view.scale(frame.left, frame.high), *view.scale(frame.right, frame.low))


def _shapes(view: View, picture: Picture, shapes: Iterable[Solid | Line], kind: str = "") -> None:
    """Shapes of a scene, each as its own kind or all as one."""
    for shape in shapes:
        seen = shape.seen(picture.view) if shows(picture, shape.kind, shape.on) else None
        if seen is None:
            continue
        _outline(view, seen, kind or shape.kind)
        left, low, right, high = rectangle(view.scale(*point) for point in seen.points)
        if isinstance(shape, Solid) and shape.hatched and not seen.round and not kind:
            box = Box(left, low, right, high)
            window = view.canvas.window
            if window is not None:
                box = Box(
                    max(left, window.left), max(low, window.top), min(right, window.right), min(high, window.bottom)
                )
            if box.left < box.right and box.top < box.bottom:
                view.canvas.hatch(box)
        middle = ((left + right) / 2, (low + high) / 2)
        if shape.pointer and view.canvas.shows(middle):
            view.places.setdefault(shape.pointer, []).append(middle)


def _outline(view: View, seen: Outline, kind: str) -> None:
    points = [view.scale(*point) for point in seen.points]
    if seen.round:
        left, low, right, high = rectangle(points)
        view.canvas.circle(((left + right) / 2, (low + high) / 2), max((right - left) / 2, 2.2), kind)
    else:
        view.canvas.line(points, kind, closed=seen.closed)


def _measure(view: View, picture: Picture, frame: Frame, measure: Dimension) -> None:
    start, end = picture.view.see(measure.start), picture.view.see(measure.end)
    assert start is not None
    assert end is not None
    away = EDGE / 2 + LANE * (measure.lane - 0.4)
    if measure.edge in ("below", "above"):
        below, above = view.scale(0.0, frame.low)[1] + away, view.scale(0.0, frame.high)[1] - away
        lane = below if measure.edge == "below" else above
        tips = [(view.scale(*point)[0], lane) for point in (start, end)]
    else:
        left, right = view.scale(frame.left, 0.0)[0] - away, view.scale(frame.right, 0.0)[0] + away
        lane = left if measure.edge == "left" else right
        tips = [(lane, view.scale(*point)[1]) for point in (start, end)]
    view.canvas.dimension(tips[0], tips[1], measure.words, from_start=view.scale(*start), from_end=view.scale(*end))


def _scale_bar(view: View, system: System) -> None:
    """A length of the drawing with its true size beside it, at the bottom left."""
    bars = _BARS[system]
    length, text = next((bar for bar in bars if bar[0] * view.scale.unit >= 50), bars[-1])
    left, y = EDGE, view.canvas.height - 10
    right = left + length * view.scale.unit
    view.canvas.line(((left, y), (right, y)), "dimension")
    for x in (left, right):
        view.canvas.line(((x, y - 4), (x, y + 4)), "dimension")
    view.canvas.text(text, (right + 6, y + 4.5), anchor="start")


# two jobs


class _Pair(NamedTuple):
    """The same part of both scenes; ``None`` where a scene has no such part."""

    before: Solid | Line | None
    after: Solid | Line | None


def _overlay(picture: Picture, pairs: Sequence[_Pair], frame: Frame, system: System, size: Size) -> View:
    moved = [pair for pair in pairs if not _alike(picture, pair)]
    view = _paper(picture, frame, size, {}, top=LEGEND)
    _legend(view)
    _clip(view, picture, frame)
    _shapes(view, picture, [pair.after for pair in pairs if pair not in moved and pair.after is not None], "same")
    for kind in ("before", "after"):
        _shapes(
            view, picture, [shape for pair in moved if (shape := getattr(pair, kind)) is not None],
            {"before": "was", "after": "now"}[kind],
        )  # fmt: skip
    together: dict[_Pair, list[str]] = {}
    for pair in moved:
        words = _Pair(*(None if one is None else one._replace(name="", thing="") for one in pair))
        together.setdefault(words, []).extend(dict.fromkeys(one.thing for one in pair if one is not None))
    for pair, things in together.items():
        _moved(view, picture, pair, ", ".join(filter(None, things)))
    _scale_bar(view, system)
    return view


def _pairs(picture: Picture, before: Scene, after: Scene) -> list[_Pair]:
    """The parts of both scenes that a picture shows, by name."""
    sides = [
        {
            shape.name: shape
            for shape in scene.shapes
            if shows(picture, shape.kind, shape.on) and shape.seen(picture.view) is not None and shape.kind != "roller"
        }
        for scene in (before, after)
    ]
    return [_Pair(*(side.get(name) for side in sides)) for name in dict.fromkeys([*sides[0], *sides[1]])]


def _alike(picture: Picture, pair: _Pair) -> bool:
    if pair.before is None or pair.after is None:
        return False
    one, other = pair.before.seen(picture.view), pair.after.seen(picture.view)
    if one is None or other is None or len(one.points) != len(other.points):
        return one is other
    return all(math.dist(*points) < STILL for points in zip(one.points, other.points, strict=True))


def _moved(view: View, picture: Picture, pair: _Pair, things: str) -> None:
    """What a part is, beside where it is now, or where it was when it is gone; one that only moved along has none."""
    part = pair.after or pair.before
    assert part is not None
    if not part.words or (pair.before is not None and pair.after is not None and pair.before.words == pair.after.words):
        return
    seen = part.seen(picture.view)
    assert seen is not None
    more = "taken away" if pair.after is None else "added" if pair.before is None else f"{pair.before.words} before"
    for at in _label_points(seen):
        if view.canvas.shows(view.scale(*at)):
            words = f"{things} {part.words}" if things else part.words
            view.canvas.label((words, more), view.scale(*at))
            view.says.append(f"{words}, {more}.")
            return


def _label_points(seen: Outline) -> list[Flat]:
    left, _, right, high = rectangle(seen.points)
    middle = ((left + right) / 2, high) if seen.closed else seen.points[len(seen.points) // 2]
    return [middle, *seen.points]


def _legend(view: View) -> None:
    x = EDGE
    for kind, words in (("was", "approved"), ("now", "proposed"), ("same", "unchanged")):
        view.canvas.line(((x, 14), (x + 26, 14)), kind)
        view.canvas.text(words, (x + 31, 18.5), anchor="start")
        x += 48 + text_width(words)

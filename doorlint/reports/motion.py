"""The moving door on a page: a slider, the frames worked out beforehand, and what moves in each drawing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from markupsafe import Markup

from doorlint.facts import Facts
from doorlint.named_tuple import NamedTuple
from doorlint.reports.page_scripts import as_data, script
from doorlint.reports.pictures import NARROW, WIDE, Drawn, marked, pictured, views
from doorlint.scene.job import site_of
from doorlint.scene.motion import Motion, Position, Stretch, motion
from doorlint.scene.site import Site

__all__ = ["Moving", "moving", "moving_drawings"]


class Bar(NamedTuple):
    """A stretch marked on the slider: where it begins and how long it is (%), what happens there."""

    left: float
    width: float
    kind: str
    words: str


class Moving(NamedTuple):
    """What the template fills in."""

    last: int
    bars: tuple[Bar, ...]
    data: Markup
    script: Markup


def moving(facts: Facts, drawings: Iterable[Drawn]) -> Moving | None:
    """The slider of a job; ``None`` where its door is not known well enough to move."""
    site = site_of(facts)
    found = motion(facts, site)
    if found is None:
        return None
    first = found.positions[0]
    papers = {
        one.name: {end: [round(number, 3) for number in paper] for end, paper in one.papers.items()}
        for one in drawings
        if one.name in _shapes(site, first)
    }
    labels = ["travel", "door pulls", *(["counterbalance pulls", "imbalance"] if first.other is not None else [])]
    labels += [name for name, _, _ in first.words]
    frames = [_frame(facts, site, at) for at in found.positions]
    data = {"papers": papers, "labels": labels, "frames": frames}
    return Moving(len(frames) - 1, tuple(_bars(facts, found)), as_data(data), script("travel.js"))


def moving_drawings(facts: Facts) -> list[Drawn]:
    """The drawings in which something moves, without findings."""
    shown = [one for one in pictured(facts) if one[0].name in ("side", "wall", "tower")]
    return marked(views(shown, facts.system, WIDE), views(shown, facts.system, NARROW), [])


def _frame(facts: Facts, site: Site, at: Position) -> dict[str, Any]:
    travel = facts.write(at.travel, "length")
    cells = [travel, facts.write(at.door, "weight")]
    if at.other is not None:
        cells += [facts.write(at.other, "weight"), _imbalance(facts, at.other - at.door)]
    cells += [facts.write(value, dimension) for _, value, dimension in at.words]
    return {"says": f"door up {travel}", "cells": cells, "shapes": _shapes(site, at)}


def _imbalance(facts: Facts, over: float) -> str:
    way = "light" if over > 0 else "heavy"
    return f"{facts.write(abs(over), 'weight')} {way}"


def _shapes(site: Site, at: Position) -> dict[str, list[list[float]]]:
    """What moves in each view, as coordinates one after the other (m)."""
    shapes = {"side": [_flat(section) for section in at.sections]}
    if site.door is not None:
        rises = [(min(z for _, z in section), max(z for _, z in section)) for section in at.sections]
        shapes["wall"] = [_box(*site.door, low, high) for low, high in rises]
    for picture, (left, low, right, high) in at.moved:
        shapes.setdefault(picture, []).append(_box(left, right, low, high))
    return shapes


def _box(left: float, right: float, low: float, high: float) -> list[float]:
    return _flat(((left, low), (right, low), (right, high), (left, high)))


def _flat(points: Sequence[tuple[float, float]]) -> list[float]:
    return [round(value, 4) for point in points for value in point]


def _bars(facts: Facts, found: Motion) -> list[Bar]:
    most = found.positions[-1].travel
    bars = []
    for kind, stretches in (("drifts", found.drifts), ("near", found.near)):
        for stretch in stretches:
            left = 100 * stretch.start / most
            width = max(100 * (stretch.end - stretch.start) / most, 0.8)
            bars.append(Bar(round(left, 2), round(min(width, 100 - left), 2), kind, _words(facts, kind, stretch)))
    return bars


def _words(facts: Facts, kind: str, stretch: Stretch) -> str:
    start, end = facts.write(stretch.start, "length"), facts.write(stretch.end, "length")
    where = f"at {start}" if stretch.start == stretch.end else f"from {start} to {end}"
    if kind == "drifts":
        return f"let go, it moves {stretch.kind} {where}, out of balance by up to {facts.write(stretch.most, 'weight')}"
    if stretch.most <= 0:
        return f"it strikes {stretch.kind} {where}"
    return f"it comes within {facts.write(stretch.most, 'length')} of {stretch.kind} {where}"

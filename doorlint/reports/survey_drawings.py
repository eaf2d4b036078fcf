"""The drawings of a survey sheet: an opening with the number of each line where its measure is taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from doorlint.facts import Facts
from doorlint.reports.pictures import Drawn, Size, View, view_of
from doorlint.scene.survey import SURVEY_PICTURES, Measure, measures, survey_scene

__all__ = ["numbered"]

WIDE, NARROW = Size(440.0, 470.0), Size(360.0, 540.0, 1.2)


def numbered(facts: Facts, numbers: Mapping[str, int], labels: Mapping[str, str]) -> list[Drawn]:
    """The drawings of an opening, each measure with its number by pointer; ``labels`` name them for the description."""
    scene, site = survey_scene(facts)
    taken = [measure for measure in measures(site, facts) if measure.pointer in numbers]
    found = []
    for picture in SURVEY_PICTURES:
        views = [view_of(picture, scene, site, facts.system, size) for size in (WIDE, NARROW)]
        here = [measure for measure in taken if picture.name in measure.on]
        wide, narrow = (
            _svg(view, here, numbers, labels, suffix)
            for view, suffix in zip(views, ("", "-narrow"), strict=True)
            if view
        )
        found.append(Drawn(picture.name, picture.title, wide, narrow))
    return found


def _svg(
    view: View, taken: Sequence[Measure], numbers: Mapping[str, int], labels: Mapping[str, str], suffix: str
) -> str:
    picture = next(picture for picture in SURVEY_PICTURES if picture.name == view.name)
    for measure in taken:
        start, end = picture.view.see(measure.start), picture.view.see(measure.end)
        if start is None or end is None:
            continue
        text, tips = str(numbers[measure.pointer]), (view.scale(*start), view.scale(*end))
        if start == end:
            view.canvas.label(text, tips[0])
        else:
            view.canvas.dimension(*tips, text, from_start=tips[0], from_end=tips[1])
        view.says.append(f"{text}: {labels[measure.pointer]}.")
    return view.canvas.svg(f"{view.name}{suffix}", view.title, " ".join(view.says))

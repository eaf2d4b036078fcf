"""The slider of a page: its frames against a second calculation, its positions against the drawings."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
import yaml
from every_page import PAGES, SHEETS
from life.job import Job
from life.sizes import size, spread
from reviews import of
from shared import SAMPLES

from doorlint.api import review as reviewed
from doorlint.api import setout
from doorlint.reports import html, sheet_html

ELEVEN = range(0, 41, 4)


def text_of(name: str) -> str:
    return next(path for path in SAMPLES if path.stem == name).read_text("utf-8")


def page_of(name: str) -> str:
    return html.render(of(reviewed(text_of(name), on="2026-03-17")))


def data_of(page: str) -> dict[str, Any]:
    found = re.search(r'<script type="application/json" id="motion">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    data = json.loads(found[1])
    assert isinstance(data, dict)
    return data


def job_of(name: str) -> Job:
    return Job(spread(yaml.load(text_of(name), yaml.CBaseLoader)))


TAPER = 0.009
"""How much nearer one end of a section may stand than the other (m), which a drawing leaves out."""


def assert_outside(drawn: Sequence[float], outline: Sequence[tuple[float, float]], off_wall: float) -> None:
    """The outdoor corners of a drawn section, lower and upper, against those of the second calculation."""
    for (y, z), at in zip((outline[3], outline[2]), (2, 4), strict=True):
        assert drawn[at] - off_wall == pytest.approx(y, abs=TAPER)
        assert drawn[at + 1] == pytest.approx(z, abs=TAPER)


@pytest.mark.parametrize("name", ["tower-install", "torsion-high-lift"])
def test_frames_are_where_a_second_calculation_has_the_door(name: str) -> None:
    data, job = data_of(page_of(name)), job_of(name)
    assert len(data["frames"]) == 41
    for step in ELEVEN:
        frame, x = data["frames"][step], job.door.open_at * step / 40
        read = dict(zip(data["labels"], frame["cells"], strict=True))
        assert size(read["travel"]) == pytest.approx(x, abs=0.0009)
        assert size(read["door pulls"]) == pytest.approx(job.door.forces(x).pull, abs=3.0)
        assert size(read["counterbalance pulls"]) == pytest.approx(job.pull(x), abs=3.0)
        for section, outline in zip(frame["shapes"]["side"], job.door.outlines(x), strict=True):
            assert_outside(section, outline, job.off_wall)
        if job.tower:
            rises = job.stack.hang(job.hook_up - x / 2).rises
            boxes = frame["shapes"]["tower"]
            closed = job.stack.hang(job.hook_up).rises
            for box, first, now, before in zip(boxes, data["frames"][0]["shapes"]["tower"], rises, closed, strict=True):
                assert box[1] - first[1] == pytest.approx(now - before, abs=0.001)
        else:
            left = [size(read[f"turns on {spring.name}"]) for spring in job.springs]
            phi = job.drum.turn_at(x)
            assert left == pytest.approx([spring.turns - phi for spring in job.springs], abs=0.01)


def test_stretches_say_where_the_door_drifts_or_comes_near_something() -> None:
    page = page_of("tower-order")
    assert "let go, it moves down from 0 in" in page.casefold()
    assert re.search(r'<rect class="drifts" x="0.0" width="\d', page)
    assert "it comes within 5/8 in of the shaft" in page_of("torsion-order").casefold()
    assert "it strikes the shaft" in page_of("shaft-in-the-curve").casefold()


def test_a_job_without_a_door_has_no_slider() -> None:
    assert 'id="travel"' not in page_of("survey-clean")
    sheet = sheet_html.render(setout(text_of("tower-install"), on="2026-03-17"), "0.1.0", "2026-03-17")
    assert 'id="travel"' in sheet


MOVED = """
step => {
  const slider = document.getElementById('travel');
  slider.value = step;
  slider.dispatchEvent(new Event('input'));
  return Object.fromEntries(['side', 'wall', 'tower', 'side-narrow', 'wall-narrow', 'tower-narrow'].map(name => {
    const title = document.getElementById(name + '-title');
    const shapes = title ? [...title.parentNode.querySelectorAll('.moving polygon')] : [];
    return [name, shapes.map(one => one.getAttribute('points'))];
  }));
}
"""
STANDING = """
kind => [...document.getElementById('side-title').parentNode.querySelectorAll('.' + kind)]
  .map(one => one.getAttribute('points')).filter(one => one)
"""


def numbers(points: str) -> list[float]:
    return [float(number) for number in re.split(r"[ ,]+", points.strip())]


@pytest.mark.slow
@pytest.mark.parametrize("width", [1280, 390])
def test_what_the_slider_moves_stands_where_the_drawings_have_it(browser: Any, tmp_path: Path, width: int) -> None:
    path = tmp_path / "page.html"
    path.write_text(page_of("tower-install"), "utf-8")
    page = browser.new_page(viewport={"width": width, "height": 900})
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(path.as_uri())
    data, job = data_of(path.read_text("utf-8")), job_of("tower-install")
    ends = "" if width > 512 else "-narrow"
    for step in ELEVEN:
        moved = page.evaluate(MOVED, step)
        unit, left, top, up = data["papers"]["side"][ends]
        outlines = job.door.outlines(job.door.open_at * step / 40)
        assert len(moved[f"side{ends}"]) == len(outlines) == 6
        assert len(moved[f"wall{ends}"]) == 12
        assert len(moved[f"tower{ends}"]) == 6
        for points, outline in zip(moved[f"side{ends}"], outlines, strict=True):
            found = numbers(points)
            back = [(left, unit), (top, -up)] * 4
            meters = [(number - zero) / scale for number, (zero, scale) in zip(found, back, strict=True)]
            assert_outside(meters, outline, job.off_wall)
    for step, kind in ((0, "section"), (20, "halfway"), (40, "open")):
        standing = sorted(numbers(one) for one in page.evaluate(STANDING, kind))
        if standing:
            moved = sorted(numbers(one) for one in page.evaluate(MOVED, step)["side"])
            for one, other in zip(moved, standing, strict=True):
                assert one == pytest.approx(other, abs=0.2)
    assert page.locator("#motion-panel").is_visible()
    assert page.get_attribute("#travel", "aria-valuetext") == data["frames"][40]["says"]
    page.emulate_media(media="print")
    assert not page.locator("#motion-panel").is_visible()
    assert not page.locator(f"#side{ends}-title ~ .moving").is_visible()
    assert complaints == []
    page.close()


@pytest.mark.slow
def test_without_script_the_closed_half_and_open_door_stand_there(
    browser: Any, page_file: Callable[[str], Path]
) -> None:
    assert "tower-clear" in {**PAGES, **SHEETS}
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto(page_file("tower-clear").as_uri())
    assert not page.locator("#motion-panel").is_visible()
    for kind in ("section", "halfway", "open"):
        assert page.locator(f"svg[aria-labelledby^='side-title'] .{kind}").count() >= 1
    page.context.close()

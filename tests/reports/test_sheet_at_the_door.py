"""The setting-out page takes readings and says what doorlint says of them: the same plates, the same turns."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from reviews import DAY, text_of

from doorlint.api import review
from doorlint.facts import Facts
from doorlint.figures.graph import Unknown
from doorlint.findings import SpecReview
from doorlint.reports import sheet_html
from doorlint.rulebook.library import load
from doorlint.sheet import set_out
from doorlint.sheet.readings import adjusting, reading_places

pytestmark = pytest.mark.slow

POUND = 4.4482216152605
SETS = 200
TOWERS = ("tower-install", "tower-high-lift", "tower-order-metric", "tower-commissioned")
SHAFTS = ("torsion-install", "torsion-duplex", "torsion-high-lift", "torsion-rear", "torsion-vertical", "torsion-en")
PLATES = """
sets => sets.map(readings => {
  const heavy = new Map(readings.map(([roller, up, down]) => [roller, imbalance(up, down)]));
  return [...platesToPutIn(SHEET, heavy)];
})
"""
TURNS = """
sets => sets.map(readings => {
  const found = readings.map(([n, up, down]) =>
    ({ off: imbalance(up, down) - SHEET.places[n].wanted, gain: SHEET.gains[n] }));
  const turns = turnsToAdd(found, SHEET.more);
  return [turns, turnsAdvice(turns)];
})
"""


@pytest.fixture
def sheet(browser: Any, tmp_path: Path) -> Iterator[Callable[[str], tuple[Any, SpecReview]]]:
    """The page of a sample, with its review."""
    pages = []

    def call(name: str) -> tuple[Any, SpecReview]:
        spec = review(text_of(name), name=f"{name}.yaml", on=DAY)
        path = tmp_path / f"{name}.html"
        path.write_text(sheet_html.render(set_out(spec, load(), shown_working=False), "0.1.0", DAY), "utf-8")
        page = browser.new_page(viewport={"width": 390, "height": 844})
        pages.append(page)
        page.complaints = []
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.goto(path.as_uri())
        return page, spec

    yield call
    for page in pages:
        page.close()


def rolled(places: list[Any], seed: str) -> list[dict[int, tuple[float, float]]]:
    """Sets of readings (N, up and down) at some or all of the places, each by its number."""
    dice = random.Random(seed)
    sets = []
    for _ in range(SETS):
        at = [n for n in range(len(places)) if dice.random() < 0.8] or [0]
        middle = {n: (places[n].wanted or 0.0) + dice.choice((0.0, dice.gauss(0.0, 90.0))) for n in at}
        rub = dice.uniform(0.0, 150.0)
        sets.append({n: (middle[n] + rub, middle[n] - rub) for n in at})
    return sets


def with_readings(spec: SpecReview, places: list[Any], readings: dict[int, tuple[float, float]]) -> Any:
    """The job with these readings and no others."""
    assert spec.job is not None
    none = {name: None for name in spec.job.values if name == "reading" or name.startswith("reading.")}
    names = {n: f"page-{n}" for n in readings}
    given: dict[str, dict[str, Any]] = {"reading.up": {}, "reading.down": {}, "reading.roller": {}, "reading.up_by": {}}
    for n, (up, down) in readings.items():
        key, place = names[n], places[n]
        given["reading.up"][key], given["reading.down"][key] = up, down
        where = ("reading.up_by", place.travel) if place.roller is None else ("reading.roller", place.roller)
        given[where[0]][key] = where[1]
    return spec.job.with_changes(none).with_changes({name: column for name, column in given.items() if column})


@pytest.mark.parametrize("name", TOWERS)
def test_the_page_gives_the_plates_that_doorlint_gives(sheet: Any, name: str) -> None:
    page, spec = sheet(name)
    assert spec.job is not None
    facts = Facts(spec.job, "us")
    plates = facts.column("box.plates") or facts.column("box.plates_wanted")
    job = spec._replace(job=spec.job.with_changes({"box.plates": plates}))
    places = reading_places(facts)
    sets = rolled(places, name)
    own = []
    for readings in sets:
        cell = with_readings(job, places, readings).cell("box.plates_correction")
        assert not isinstance(cell, Unknown)
        own.append([[key, change] for key, change in cell.items()])
    asked = [[[places[n].roller, *both] for n, both in readings.items()] for readings in sets]
    assert page.evaluate(PLATES, asked) == own
    changes = [change for found in own for _, change in found if change is not None]
    assert len({*changes}) > 5
    assert page.complaints == []


@pytest.mark.parametrize("name", SHAFTS)
def test_the_page_gives_the_turns_that_doorlint_gives(sheet: Any, name: str) -> None:
    page, spec = sheet(name)
    assert spec.job is not None
    places = reading_places(Facts(spec.job, "us"))
    assert len(places) > 3
    sets = rolled(places, name)
    own = []
    for readings in sets:
        job = with_readings(spec, places, readings)
        own.append((job.cell("torsion.turns_to_add"), job.cell("torsion.turns_advice")))
    found = page.evaluate(TURNS, [[[n, *both] for n, both in readings.items()] for readings in sets])
    assert [turns for turns, _ in found] == pytest.approx([turns for turns, _ in own], abs=1e-9)
    apart = [pair for pair in zip(found, own, strict=True) if pair[0][1] != pair[1][1]]
    assert all(abs((turns * 4) % 1 - 0.5) < 1e-6 for (turns, _), _ in apart), "only at the half of a quarter"
    assert len({advice for _, advice in own}) >= 3


def read_at(page: Any, name: str, up: str, down: str) -> str:
    for way, text in (("up", up), ("down", down)):
        page.locator(f"#{name}-{way}").fill(text)
        page.locator(f"#{name}-{way}").blur()
    text = page.locator(f"#{name}-says").inner_text()
    assert isinstance(text, str)
    return text


def test_readings_say_at_once_what_they_mean_and_are_kept(sheet: Any) -> None:
    page, _ = sheet("tower-install")
    assert page.locator("#to-do").inner_text() == "Nothing is worked out before a place is read both ways."
    said = read_at(page, "mark-1", "14", "-16.4 lb")
    assert said == "Door is 1.2 lb light, friction 15.2 lb. Wanted: 1.2 lb light."
    assert page.locator("#mark-1-up").input_value() == "14 lb"
    read_at(page, "mark-2", "40", "10")
    todo = page.locator("#to-do").inner_text().split("\n")
    assert todo[:3] == ["b1: leave", "b2: put in 6 plates", "b3: its mark is not read"]  # 2 x (25 + 2.6) / 10 = 5.5
    assert "unit is missing" not in read_at(page, "mark-3", "20 in", "10")
    assert "does not measure a pull" in page.locator("#mark-3-says").inner_text()
    assert "swapped" in read_at(page, "mark-3", "-20", "10")
    page.reload()
    assert page.locator("#mark-1-up").input_value() == "14 lb"
    assert page.locator("#to-do").inner_text().split("\n") == todo
    page.get_by_role("button", name="Clear the readings").click()
    assert page.locator("#mark-1-up").input_value() == ""
    assert page.complaints == []


def test_a_box_without_a_mark_is_named_as_such(sheet: Any) -> None:
    page, _ = sheet("tower-high-lift")
    read_at(page, "mark-3", "10", "-20")
    todo = page.locator("#to-do").inner_text().split("\n")
    assert todo[0] == "b1: no mark of its own; it hangs with the next box"
    assert todo[1].startswith("b2: put in")


def test_without_a_counterbalance_nothing_is_worked_out() -> None:
    spec = review("doorlint: 1\nstage: survey\njob: {number: J-1}\n", name="a.yaml", on=DAY)
    assert spec.job is not None
    assert adjusting(Facts(spec.job, "us"), None)["places"] == []


def test_nothing_of_it_is_printed(sheet: Any) -> None:
    page, _ = sheet("tower-install")
    assert page.locator(".readings").is_visible()
    page.emulate_media(media="print")
    assert page.locator(".readings").is_hidden()

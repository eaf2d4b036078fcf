"""The pages in a real browser: wide and narrow, light, dark and printed, by keyboard and without script."""

from __future__ import annotations

import itertools
import re
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import needs
import pytest
from every_page import PAGES, SHEETS
from reviews import TOWER, of, reviewed

from doorlint.reports import html

pytestmark = pytest.mark.slow

Open = Callable[..., Any]

BOXES = """
() => [...document.querySelectorAll('svg.drawing')].filter(svg => svg.getBoundingClientRect().width).map(svg => {
  const all = [...svg.querySelectorAll('text.words, g.mark rect')];
  const paper = svg.getBoundingClientRect();
  return {
    paper: [paper.left, paper.top, paper.right, paper.bottom],
    boxes: all.map(one => [one.getBoundingClientRect(), one.textContent])
      .map(([box, text]) => [box.left, box.top, box.right, box.bottom, text]),
  };
})
"""

WIDTHS = """
() => [...document.querySelectorAll('.wide svg.drawing text.words')].map(text => {
  const set = parseFloat(text.getAttribute('textLength'));
  text.removeAttribute('textLength');
  return [text.textContent, set, text.getComputedTextLength()];
})
"""


@pytest.fixture
def opened(browser: Any, page_file: Callable[[str], Path]) -> Iterator[Open]:
    """``opened("summary", width=375)``: the page in a window of its own, with what it asked for and complained of."""
    windows = []

    def call(name: str, *, width: int = 1100, **more: Any) -> Any:
        window = browser.new_context(viewport={"width": width, "height": 900}, **more)
        windows.append(window)
        page = window.new_page()
        page.asked = []
        page.complaints = []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.complaints.append(message.text))
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.on("dialog", lambda dialog: page.complaints.append(dialog.message))
        page.goto(page_file(name).as_uri())
        return page

    yield call
    for window in windows:
        window.close()


@pytest.mark.parametrize("name", PAGES)
def test_asks_for_nothing_and_complains_of_nothing(opened: Open, name: str) -> None:
    page = opened(name)
    assert page.asked == [page.url]
    assert page.complaints == []
    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.title() != "x"


LOOKS = [(name, "wide") for name in PAGES]
LOOKS += [("torsion-held", "narrow"), ("torsion-held", "dark"), ("summary", "narrow"), ("sheet-held", "dark")]


@pytest.mark.parametrize(("name", "look"), LOOKS)
def test_has_no_barrier(opened: Open, axe: str, name: str, look: str) -> None:
    page = opened(name, width=375 if look == "narrow" else 1100, color_scheme="dark" if look == "dark" else "light")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    page.evaluate(axe)
    found = page.evaluate("axe.run({resultTypes: ['violations']})")
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    assert len(found["passes"]) > 10


@pytest.mark.parametrize("name", PAGES)
def test_never_scrolls_sideways_as_a_whole(opened: Open, name: str) -> None:
    page = opened(name)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    for width in (1100, 768, 375, 320):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize(
    "name", ["tower-held", "tower-clear", "torsion-held", "metric", "survey", "change-held", "change-clear"]
)
def test_nothing_in_a_drawing_is_written_over_anything_else(opened: Open, name: str) -> None:
    drawings = opened(name).evaluate(BOXES)
    assert len(drawings) >= 2
    for drawing in drawings:
        left, top, right, bottom = drawing["paper"]
        boxes = drawing["boxes"]
        assert len(boxes) >= 4
        for number, one in enumerate(boxes):
            assert left <= one[0] <= one[2] <= right, one
            assert top <= one[1] <= one[3] <= bottom, one
            for other in boxes[number + 1 :]:
                across = min(one[2], other[2]) - max(one[0], other[0])
                down = min(one[3], other[3]) - max(one[1], other[1])
                assert across <= 0.5 or down <= 2.0, (one, other)  # line boxes stand higher than their letters


@pytest.mark.parametrize("name", ["tower-held", "torsion-held"])
def test_letters_are_as_wide_as_reckoned(opened: Open, name: str) -> None:
    for text, reckoned, natural in opened(name).evaluate(WIDTHS):
        assert natural == pytest.approx(reckoned, rel=0.15, abs=3.0), text


@pytest.mark.parametrize("name", PAGES)
def test_reads_without_script(opened: Open, name: str) -> None:
    """But for what a script alone can do, which does not show without it."""
    page = opened(name)
    page.evaluate("document.querySelectorAll('.scripted').forEach(one => one.remove())")
    with_script = page.inner_text("body")
    assert opened(name, java_script_enabled=False).inner_text("body") == with_script
    assert len(with_script) > 500


def test_is_used_by_keyboard_alone(opened: Open) -> None:
    page = opened("tower-held")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to what to do first"
    reached = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.tagName"))
    assert {"A", "SUMMARY"} <= reached
    page.locator("summary").first.focus()
    assert not page.locator("details").first.evaluate("one => one.open")
    page.keyboard.press("Enter")
    assert page.locator("details").first.evaluate("one => one.open")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


def test_a_link_of_the_working_opens_the_table_of_figures(opened: Open) -> None:
    page = opened("torsion-held")
    page.locator("article .fold > summary").first.click()
    page.locator("article .fold details > summary").first.click()
    page.locator("article .working a").first.click()
    assert page.locator("section:has(> #working) details").evaluate("one => one.open")


def test_a_link_from_a_finding_opens_its_rule(opened: Open) -> None:
    page = opened("rulebook")
    shown = page.locator("[id='balance.light'] h3")
    assert not shown.is_visible()
    page.goto("about:blank")
    page.goto(f"{page.asked[0]}#balance.light")
    shown.wait_for(state="visible", timeout=5000)


@pytest.mark.parametrize("name", PAGES)
def test_every_link_leads_somewhere(opened: Open, name: str) -> None:
    page = opened(name)
    targets = page.evaluate("[...document.querySelectorAll('a')].map(one => one.getAttribute('href'))")
    ids = set(page.evaluate("[...document.querySelectorAll('[id]')].map(one => '#' + one.id)"))
    assert {target for target in targets if target not in ids} == set()


@pytest.mark.parametrize("name", PAGES)
def test_ids_are_unique_and_headings_follow_each_other(opened: Open, name: str) -> None:
    page = opened(name)
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(ids) == len(set(ids))
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(one => +one.tagName[1])")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def sheets_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", ["sheet-held", *SHEETS])
def test_the_setting_out_sheet_is_one_or_two_pages(opened: Open, name: str, paper: str) -> None:
    assert 1 <= sheets_of(opened(name).pdf(format=paper)) <= 2


SIZES = """
() => [...document.querySelectorAll('.job dd, .job tbody td, .job tbody th, .job p, .job h3, .job dt, .job thead th')]
  .filter(one => one.textContent.trim())
  .map(one => [one.matches('dd:not(.gap), td:not(.gap), tbody th'), parseFloat(getComputedStyle(one).fontSize) * 0.75])
"""


@pytest.mark.parametrize("name", SHEETS)
def test_the_printed_sheet_is_read_at_arms_length(opened: Open, name: str) -> None:
    """A capital of 11 pt stands about 8 pt high, 15 minutes of arc at 26 in: three times what a good eye needs."""
    page = opened(name)
    page.emulate_media(media="print")
    sizes = page.evaluate(SIZES)
    assert len(sizes) > 50
    assert min(size for figure, size in sizes if figure) >= 11
    assert min(size for _, size in sizes) >= 8


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", SHEETS)
def test_no_figure_on_the_printed_sheet_leaves_its_job(opened: Open, name: str, paper: str) -> None:
    page = opened(name, width={"Letter": 816, "A4": 794}[paper] - 68)
    page.emulate_media(media="print")
    over = page.evaluate("""
      () => [...document.querySelectorAll('.job table, .job dd, .job h3')].map(one =>
        one.getBoundingClientRect().right - one.closest('.job').getBoundingClientRect().right)
    """)
    assert len(over) > 40
    assert max(over) < 0.1


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", ["tower-held", "summary", "sheet-clear", "sheet-torsion"])
def test_nothing_is_cut_off_in_print(opened: Open, name: str, paper: str) -> None:
    margins = 68 if name.startswith("sheet") else 98
    width = {"Letter": 816, "A4": 794}[paper] - margins  # px at 96 to the inch
    page = opened(name, width=width, color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    boxes = page.evaluate(
        "[...document.querySelectorAll('svg, table, article')].map(one => one.getBoundingClientRect().right)"
    )
    assert max(boxes) <= width
    assert sheets_of(page.pdf(format=paper)) >= 2


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", ["tower-held", "torsion-held", "metric", "survey", "summary", "change-held"])
def test_no_printed_page_holds_only_a_footer(opened: Open, tmp_path: Path, name: str, paper: str) -> None:
    program = needs.command("pdftotext")
    page = opened(name)
    page.pdf(path=str(tmp_path / "page.pdf"), format=paper)
    text = subprocess.run([program, str(tmp_path / "page.pdf"), "-"], capture_output=True, text=True, check=True).stdout
    pages = [" ".join(part.split()) for part in text.split("\f")][:-1]
    assert "Made from" in pages[-1]
    assert "Cautions" in pages[-1]
    headings = page.evaluate("[...document.querySelectorAll('h2')].map(one => one.textContent.trim())")
    for part in pages:
        assert not any(part.endswith(heading) for heading in headings), part[-80:]


def test_words_in_drawings_can_be_read_on_a_phone(opened: Open) -> None:
    for name in ("tower-held", "torsion-held", "change-held"):
        sizes = opened(name, width=390).evaluate("""
          () => [...document.querySelectorAll('svg.drawing')].filter(one => one.getBoundingClientRect().width)
            .map(one => 13 * one.getBoundingClientRect().width / one.viewBox.baseVal.width)
        """)
        assert len(sizes) >= 3
        assert min(sizes) >= 11.5


def test_a_folder_of_two_hundred_is_one_short_page(browser: Any, tmp_path: Path) -> None:
    held = reviewed("tower-commissioned", *TOWER)
    page = html.render(of(*(held._replace(file=f"jobs/{number:03}.yaml") for number in range(200))))
    assert len(page.encode()) < 3_000_000
    (tmp_path / "page.html").write_text(page, "utf-8")
    window = browser.new_page(viewport={"width": 1280, "height": 900})
    window.goto((tmp_path / "page.html").as_uri())
    assert window.evaluate("document.documentElement.scrollHeight") < 48_000
    window.close()


def test_print_is_dark_on_white_whatever_the_screen(opened: Open) -> None:
    page = opened("tower-held", color_scheme="dark")
    read = "getComputedStyle(document.documentElement).getPropertyValue('--paper').trim()"
    assert page.evaluate(read) != "#fff"
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(read) == "#fff"
    assert page.evaluate("getComputedStyle(document.querySelector('nav')).display") == "none"


def test_a_held_sheet_says_hold_across_itself(opened: Open) -> None:
    held = opened("sheet-held")
    box = held.locator(".across").bounding_box()
    assert held.locator(".across").inner_text() == "HOLD"
    assert box["width"] > 600
    assert "Do not build from this sheet" in held.inner_text("header")
    assert opened("sheet-clear").locator(".across").count() == 0


def test_boxes_on_the_sheet_can_be_ticked(opened: Open) -> None:
    page = opened("sheet-clear", width=375)
    box = page.get_by_role("checkbox", name="1. Bar the opening")
    box.check()
    assert box.is_checked()

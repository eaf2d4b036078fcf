"""The page to fill in, in a real browser: printed, and as a form on a phone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from doorlint.blank_page import page_of
from doorlint.reports import blank_html
from doorlint.rulebook.library import load

pytestmark = pytest.mark.slow

PHONE = {"width": 390, "height": 844}
Open = Callable[..., Any]


@pytest.fixture(scope="module")
def form_file(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """The file of a page to fill in, made once."""
    place = tmp_path_factory.mktemp("forms")

    def file(stage: str, kind: str = "tower") -> Path:
        path = place / f"{stage}-{kind}.html"
        if not path.exists():
            path.write_text(blank_html.render(page_of(load(), stage, kind, None, "us"), "0.1.0"), "utf-8")
        return path

    return file


@pytest.fixture
def opened(browser: Any, form_file: Callable[..., Path]) -> Iterator[Open]:
    """The page of a stage in a window of its own, with what it asked for and complained of."""
    windows = []

    def call(stage: str, kind: str = "tower", viewport: dict[str, int] | None = None, **more: Any) -> Any:
        window = browser.new_context(viewport=viewport or PHONE, **more)
        windows.append(window)
        page = window.new_page()
        page.asked, page.complaints = [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.complaints.append(message.text))
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.goto(form_file(stage, kind).as_uri())
        return page

    yield call
    for window in windows:
        window.close()


def sheets_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_survey_prints_on_two_pages(opened: Open, paper: str) -> None:
    assert sheets_of(opened("survey").pdf(format=paper)) == 2


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("stage", ["survey", "commissioned"])
def test_nothing_is_cut_off_in_print(opened: Open, stage: str, paper: str) -> None:
    width = {"Letter": 816, "A4": 794}[paper] - 76
    page = opened(stage, viewport={"width": width, "height": 1000}, color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    sizes = page.evaluate("""
      () => [...document.querySelectorAll('.line label, .help')]
        .map(one => parseFloat(getComputedStyle(one).fontSize) * 0.75)
    """)
    assert min(sizes) >= 6.99


@pytest.mark.parametrize(
    ("stage", "look"), [("survey", "phone"), ("survey", "wide"), ("survey", "dark"), ("commissioned", "phone")]
)
def test_has_no_barrier(opened: Open, axe: str, stage: str, look: str) -> None:
    viewport = {"width": 1100, "height": 900} if look == "wide" else PHONE
    page = opened(stage, viewport=viewport, color_scheme="dark" if look == "dark" else "light")
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    assert len(found["passes"]) > 10


@pytest.mark.parametrize("stage", ["survey", "order", "install", "commissioned"])
def test_asks_for_nothing_and_never_scrolls_sideways(opened: Open, stage: str) -> None:
    page = opened(stage)
    assert page.asked == [page.url]
    assert page.complaints == []
    for width in (390, 320, 768, 1100):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_words_in_drawings_can_be_read_on_a_phone(opened: Open) -> None:
    sizes = opened("survey").evaluate("""
      () => [...document.querySelectorAll('svg.drawing')].filter(one => one.getBoundingClientRect().width)
        .map(one => 13 * one.getBoundingClientRect().width / one.viewBox.baseVal.width)
    """)
    assert len(sizes) == 3
    assert min(sizes) >= 11.5

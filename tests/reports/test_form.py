"""The page to fill in, in a real browser: printed, and as a form on a phone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from reviews import text_of

from doorlint.api import review
from doorlint.blank_page import page_of
from doorlint.reports import blank_html
from doorlint.rulebook.library import load, own_catalog
from doorlint.spec import parse, read
from doorlint.spec.pointer import pointer

pytestmark = pytest.mark.slow

PHONE = {"width": 390, "height": 844}
Open = Callable[..., Any]


@pytest.fixture(scope="module")
def form_file(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """The file of a page to fill in, made once."""
    place = tmp_path_factory.mktemp("forms")

    def file(stage: str, kind: str = "tower", start: str | None = None) -> Path:
        path = place / f"{stage}-{kind}-{start}.html"
        if not path.exists():
            known = None if start is None else read(text_of(start), own_catalog())
            path.write_text(blank_html.render(page_of(load(), stage, kind, known, "us"), "0.1.0"), "utf-8")
        return path

    return file


@pytest.fixture
def opened(browser: Any, form_file: Callable[..., Path]) -> Iterator[Open]:
    """The page of a stage in a window of its own, with what it asked for and complained of."""
    windows = []

    def call(
        stage: str, kind: str = "tower", start: str | None = None, viewport: dict[str, int] | None = None, **more: Any
    ) -> Any:
        window = browser.new_context(viewport=viewport or PHONE, **more)
        windows.append(window)
        page = window.new_page()
        page.asked, page.complaints = [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.complaints.append(message.text))
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.goto(form_file(stage, kind, start).as_uri())
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
    ("stage", "look"), [("survey", "phone"), ("survey", "wide"), ("survey", "dark"), ("order", "phone")]
)
def test_has_no_barrier(opened: Open, axe: str, stage: str, look: str) -> None:
    viewport = {"width": 1100, "height": 900} if look == "wide" else PHONE
    page = opened(stage, viewport=viewport, color_scheme="dark" if look == "dark" else "light")
    page.evaluate(axe)
    without = ["color-contrast"] if stage != "survey" else []  # the same style sheet; it takes most of the time
    found = page.evaluate(
        "without => axe.run({ rules: Object.fromEntries(without.map(id => [id, { enabled: false }])) })", without
    )
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    assert len(found["passes"]) > 10


@pytest.mark.parametrize("stage", ["survey", "commissioned"])
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


# --- the form ------------------------------------------------------------------------------------------------------


def field(page: Any, pointer: str) -> Any:
    return page.locator(f'[data-kind][data-pointer="{pointer}"]')


def put(page: Any, pointer: str, text: str) -> None:
    """Type a value as a person does, and go on."""
    place = field(page, pointer)
    if place.evaluate("one => one.tagName") == "SELECT":
        place.select_option(text)
    else:
        place.fill(text)
        place.blur()


def noted(page: Any, pointer: str) -> str:
    text: str = page.locator(f"#{field(page, pointer).get_attribute('id')}-note").inner_text()
    return text


def yaml(page: Any) -> str:
    text: str = page.locator("#yaml").input_value()
    return text


SURVEY = {
    "/job/number": "J-2050", "/job/site": "paint shop: south wall", "/job/opening": "D-2",
    "/opening/width/top": "10'-0 1/8", "/opening/width/middle": "120", "/opening/width/bottom": "120 in",
    "/opening/height/left": "144", "/opening/height/middle": "12'-0\"", "/opening/height/right": "144 1/8",
    "/opening/diagonal/rising": "15'-7 1/2\"", "/opening/diagonal/falling": "187 3/8",
    "/opening/floor_fall": "1/4", "/opening/floor_finished": "true", "/opening/jambs_finished": "true",
    "/opening/jamb_material": "masonry", "/opening/jamb_plumb/left": "1/8", "/opening/jamb_plumb/right": "1/8",
    "/opening/jamb_face/left": "12", "/opening/jamb_face/right": "30", "/opening/header_face": "24",
    "/opening/measured/by": "MK", "/opening/measured/on": "2026-03-11", "/opening/measured/tool": "laser",
    "/opening/handing": "inside", "/room/headroom": "30", "/room/side_left": "16", "/room/side_right": "36",
    "/room/back": "18 ft", "/room/ceiling": "16'-6", "/job/notes": "Dog in the yard.\nAsk for #2: \"the key\".",
    "/room/obstructions/first/kind": "sprinkler", "/room/obstructions/first/from_wall": "8 ft",
    "/room/obstructions/first/depth": "4", "/room/obstructions/first/underside": "14'-10",
    "/room/obstructions/first/left": "20", "/room/obstructions/first/right": "24",
}  # fmt: skip


def test_a_survey_from_the_phone_is_clear(opened: Open) -> None:
    page = opened("survey")
    for name, text in SURVEY.items():
        put(page, name, text)
    assert page.locator("#count").inner_text().endswith("given")
    found = review(yaml(page), on="2026-03-12")
    assert found.verdict == "clear"
    assert found.findings == ()
    assert found.not_checked == ()
    values = read(yaml(page)).values
    assert values["opening.width.top"] == pytest.approx(120.125 * 0.0254, rel=1e-15)
    assert values["job.notes"] == SURVEY["/job/notes"]
    assert page.complaints == []


def test_without_an_obstruction_nothing_of_it_is_needed(opened: Open) -> None:
    page = opened("survey")
    for name, text in SURVEY.items():
        if "obstructions" not in name:
            put(page, name, text)
    assert page.locator("#missing li").count() == 0
    assert review(yaml(page), on="2026-03-12").verdict == "clear"


def test_what_is_missing_is_listed_and_led_to(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/obstructions/first/kind", "beam")
    texts = page.locator("#missing li").all_inner_texts()
    assert any("room headroom" in text for text in texts)
    assert any("room obstructions first underside" in text for text in texts)
    page.locator("#missing a", has_text="room headroom").click()
    assert page.evaluate("document.activeElement.dataset.pointer") == "/room/headroom"


def test_an_entry_is_checked_at_once(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/headroom", "26")
    assert field(page, "/room/headroom").input_value() == "26 in"
    assert noted(page, "/room/headroom") == ""
    put(page, "/room/headroom", "26 lb")
    assert "does not measure a length" in noted(page, "/room/headroom")
    assert field(page, "/room/headroom").get_attribute("aria-invalid") == "true"
    put(page, "/opening/width/top", "12 m")
    put(page, "/opening/width/top", "13 m")
    assert "look at the unit" in noted(page, "/opening/width/top")
    put(page, "/opening/width/top", "12'-0\"")
    put(page, "/opening/width/middle", "12'-0 1/8\"")
    put(page, "/opening/width/bottom", "11'-0\"")
    assert "differs by 12 1/8 in from the others" in noted(page, "/opening/width/bottom")
    assert noted(page, "/opening/width/top") == ""
    put(page, "/opening/measured/on", "2026-02-30")
    assert "no such day" in noted(page, "/opening/measured/on")


def test_what_was_typed_is_kept_over_a_reload(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/headroom", "26 1/2")
    put(page, "/opening/handing", "inside")
    page.get_by_role("button", name="Add to obstructions").click()
    put(page, "/room/obstructions/first-2/kind", "duct")
    before = yaml(page)
    page.reload()
    assert yaml(page) == before
    assert field(page, "/room/headroom").input_value() == "26 1/2 in"
    assert field(page, "/room/obstructions/first-2/kind").input_value() == "duct"


def test_what_was_typed_into_a_page_goes_into_no_page_of_another_spec(browser: Any, tmp_path: Path) -> None:
    window = browser.new_context(viewport=PHONE)
    path, page = tmp_path / "form.html", window.new_page()
    for headroom, told in (("26 in", "26 in"), ("30 in", "30 in"), ("26 in", "99 in")):
        known = read(f"doorlint: 1\nstage: survey\njob: {{number: J-1}}\nroom: {{headroom: {headroom}}}\n")
        path.write_text(blank_html.render(page_of(load(), None, None, known, "us"), "0.1.0"), "utf-8")
        page.goto(path.as_uri())
        assert field(page, "/room/headroom").input_value() == told
        if headroom == "26 in":
            put(page, "/room/headroom", "99")
    window.close()


def test_a_spec_is_read_into_the_form_and_given_again(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/headroom", "99")
    text = text_of("tower-commissioned")
    page.get_by_text("Read a spec into the form").click()
    page.get_by_label("Or from text").fill(text)
    page.get_by_role("button", name="Read", exact=True).click()
    assert field(page, "/room/headroom").input_value() == "26 in"
    assert "The spec was of stage commissioned" in page.locator("#said").inner_text()
    assert "more values" in page.locator("#others").inner_text()
    own, given = read(text, own_catalog()), read(yaml(page), own_catalog())
    assert given.values == {**own.values, "stage": "survey"}
    page.get_by_role("button", name="Undo").click()
    assert field(page, "/room/headroom").input_value() == "99 in"
    assert "tower" not in yaml(page)


def test_what_is_no_spec_changes_nothing(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/headroom", "99")
    page.get_by_text("Read a spec into the form").click()
    for text, said in (("room: {headroom: 3 in}", "no spec"), ("doorlint: 1\nroom: &x {a: b}", "line 2")):
        page.get_by_label("Or from text").fill(text)
        page.get_by_role("button", name="Read", exact=True).click()
        assert said in page.locator("#said").inner_text()
        assert field(page, "/room/headroom").input_value() == "99 in"


def test_the_spec_is_saved_as_a_file_and_copied(opened: Open) -> None:
    page = opened("survey", permissions=["clipboard-read", "clipboard-write"])
    put(page, "/job/number", "J-7 / b")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save").click()
    assert waiting.value.suggested_filename == "j-7-b.yaml"
    assert Path(waiting.value.path()).read_text("utf-8") == yaml(page)
    page.get_by_role("button", name="Copy").click()
    page.get_by_text("Copied.").wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == yaml(page)


def test_cleared_is_empty_and_can_be_undone(opened: Open) -> None:
    page = opened("survey")
    put(page, "/room/headroom", "26")
    page.get_by_role("button", name="Clear").click()
    assert yaml(page) == "doorlint: 1\nstage: survey\n"
    page.get_by_role("button", name="Undo").click()
    assert "headroom: 26 in" in yaml(page)


def test_the_form_is_filled_in_by_keyboard_alone(opened: Open) -> None:
    page = opened("survey", viewport={"width": 1100, "height": 900})
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the lines"
    page.keyboard.press("Enter")
    typed = []
    for _ in range(12):
        page.keyboard.press("Tab")
        pointer = page.evaluate("document.activeElement.dataset.pointer")
        kind = page.evaluate("document.activeElement.dataset.kind")
        if kind == "quantity":
            page.keyboard.type("144")
            typed.append(pointer)
    assert typed[:3] == ["/opening/width/top", "/opening/width/middle", "/opening/width/bottom"]
    assert "top: 144 in" in yaml(page)
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_a_number_pad_has_the_marks_it_lacks(opened: Open) -> None:
    page = opened("survey")
    place = field(page, "/opening/height/left")
    assert place.get_attribute("inputmode") == "decimal"
    place.focus()
    page.keyboard.type("12")
    for key in ("'-", "space", '"'):
        page.get_by_role("toolbar").get_by_role("button", name=key, exact=True).click()
        if key == "'-":
            page.keyboard.type("2")
            page.get_by_role("toolbar").get_by_role("button", name="1/2", exact=True).click()
    assert place.input_value() == "12'-2 1/2 \""
    place.blur()
    assert page.locator("#pad").is_hidden()
    assert noted(page, "/opening/height/left") == ""


# --- commissioning -------------------------------------------------------------------------------------------------


def flat(node: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """The values of a spec by pointer, as they are written."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from flat(value, (*path, key))
    elif node is not None:
        yield pointer(path), ", ".join(node) if isinstance(node, list) else str(node)


@pytest.mark.parametrize("kind", ["tower", "torsion"])
def test_a_commissioning_record_from_the_phone_is_clear(opened: Open, kind: str) -> None:
    """The sheet of a job at install, with what the sample of the finished door has more."""
    page = opened("commissioned", kind, f"{kind}-install")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    assert review(yaml(page), on="2026-05-20").verdict == "hold"
    finished = dict(flat(parse(text_of(f"{kind}-commissioned")).tree))
    empty = page.evaluate("fields().filter(one => !one.value).map(one => one.dataset.pointer)")
    typed = [name for name in finished if name in empty]
    for name in typed:
        put(page, name, finished[name].removesuffix(" lb"))
    assert len(typed) > 20
    found = review(yaml(page), on="2026-05-20")
    assert (found.verdict, found.stage) == ("clear", "commissioned")
    assert [gap.rule for gap in found.not_checked if gap.severity == "error"] == []
    own = read(text_of(f"{kind}-commissioned"), own_catalog()).values
    apart = {"job.number", "install.on"}  # the samples are two jobs; no rule asks for the day of the work
    assert {name: value for name, value in read(yaml(page), own_catalog()).values.items() if name not in apart} == {
        name: value for name, value in own.items() if name not in apart
    }
    assert page.complaints == []


def test_readings_say_at_once_what_they_mean(opened: Open) -> None:
    page = opened("commissioned", "tower", "tower-install")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    put(page, "/as_built/readings/mark-2/up", "40")
    balance = page.locator('section[data-pointer="/as_built/readings/mark-2"] .balance')
    assert balance.inner_text() == ""
    put(page, "/as_built/readings/mark-2/down", "10")
    assert balance.inner_text() == "Door is 25 lb heavy, friction 15 lb. Wanted: 2.6 lb light."
    assert "roller: 2" in yaml(page)
    assert "mark-3" not in yaml(page), "the number of a roller alone is no reading"
    put(page, "/as_built/readings/mark-2/down", "-50")
    assert balance.inner_text() == "Door is 5 lb light, friction 45 lb. Wanted: 2.6 lb light."


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_commissioning_record_prints_on_two_pages(opened: Open, paper: str) -> None:
    """What is known already stays off the paper."""
    assert sheets_of(opened("commissioned", "tower", "tower-install").pdf(format=paper)) == 2


def test_a_long_form_shows_how_far_each_group_is(opened: Open) -> None:
    page = opened("commissioned", "tower", "tower-install")
    group = page.locator('section[data-pointer="/install"] > details')
    assert not group.evaluate("one => one.open")
    assert "0 of 10 given, 9 needed" in group.locator("summary").inner_text()
    page.locator("#missing a", has_text="install by").click()
    assert group.evaluate("one => one.open")
    assert page.evaluate("document.activeElement.dataset.pointer") == "/install/by"


def test_what_each_thing_or_a_part_gives_is_not_missing(opened: Open) -> None:
    page = opened("commissioned", "tower")
    page.get_by_text("Read a spec into the form").click()
    page.get_by_label("Or from text").fill(text_of("balance-read-one-way"))
    page.get_by_role("button", name="Read", exact=True).click()
    missing = [text.strip() for text in page.locator("#missing li").all_inner_texts()]
    assert missing == ["as built readings mark-3 down", "as built readings mark-5 down"]
    text = text_of("hanger-unbraced").replace("    part: angle-2x2x1/8\n", "", 1)
    page.get_by_label("Or from text").fill(text)
    page.get_by_role("button", name="Read", exact=True).click()
    missing = [text.strip() for text in page.locator("#missing li").all_inner_texts()]
    assert any("hangers each leg thickness" in text for text in missing), "the part gave it"
    text = text_of("tower-commissioned").replace("capacity: 3000 lb, ", "", 1)
    page.get_by_label("Or from text").fill(text)
    page.get_by_role("button", name="Read", exact=True).click()
    missing = [text.strip() for text in page.locator("#missing li").all_inner_texts()]
    assert [text.partition(" ")[2] for text in missing] == ["mounts head-left capacity"], "no part of a catalog"

"""The setting-out sheet as a page: every number of the work is on it, and what is not known is said."""

from __future__ import annotations

import re
from html import unescape

import pytest
from reviews import HOSTILE, reviewed
from shared import thinned

from doorlint.counterbalance import every
from doorlint.findings import SpecReview
from doorlint.reports.sheet_html import render
from doorlint.rulebook.library import load
from doorlint.sheet import set_out

CLOSED = {figure for kind in every() for figure in kind.closed.values()}


def page_of(review: SpecReview) -> str:
    return render(set_out(review, load()), "0.1.0", "2026-05-20")


def words(page: str) -> str:
    return " ".join(unescape(re.sub("<[^>]*>", " ", page[page.index("</style>") :])).split())


@pytest.mark.parametrize("name", ["tower-install", "tower-order-metric", "torsion-install"])
def test_every_number_of_the_work_is_on_the_sheet(name: str) -> None:
    sheet = set_out(reviewed(name), load())
    text = words(render(sheet, "0.1.0", "2026-05-20"))
    steps = sheet.data["order_of_work"]
    assert len(steps) > 10
    for step in steps:
        assert step["do"] in text
        for number in step["numbers"]:
            assert number["text"] in text, number
            assert number["label"] in text or number["name"] in CLOSED


def test_boxes_are_loaded_one_after_the_other_with_room_for_readings() -> None:
    page = page_of(reviewed("tower-install"))
    assert re.search(r"\d+-\d+\. Balance b1 to b6, one after the other", page)
    body = page[page.index("Balance b1 to b6") :]
    table = body[: body.index("</table>")]
    assert table.count("<tr>") == 7
    assert table.count('<td class="blank"></td>') == 12
    assert table.count('type="checkbox"') == 6


@pytest.mark.parametrize(
    ("name", "row"), [("tower-install", ["", "", "965.7 lb"]), ("torsion-install", ["", "", "481.8 lb", "17 lb"])]
)
def test_the_closed_door_is_read_like_a_mark(name: str, row: list[str]) -> None:
    page = page_of(reviewed(name))
    cells = re.search(r'<th scope="row"><span class="whole">closed</span></th>(.*?)</tr>', page)
    assert cells is not None
    assert re.findall(r"<td>(.*?)</td>", cells[1]) == row
    assert cells[1].count('class="blank"') == 2


def named(page: str) -> list[str]:
    """The things that the rows of all tables are about."""
    rows = re.findall(r'<th scope="row">(.*?)</th>', page)
    return [re.sub("<[^>]*>", "", row) for row in rows]


def test_hangers_that_say_the_same_share_a_row() -> None:
    assert {"left-1, right-1", "left-2, right-2"} <= set(named(page_of(reviewed("tower-install"))))
    moved = ("  right-1:\n    side: right\n    station: 6'-0\"", "  right-1:\n    side: right\n    station: 5'-9\"")
    assert {"left-1", "right-1"} <= set(named(page_of(reviewed("tower-install", moved))))


def test_what_is_locked_off_first_says_so() -> None:
    sheet = set_out(reviewed("tower-install"), load())
    page = render(sheet, "0.1.0", "2026-05-20")
    locked = {step["do"] for step in sheet.data["order_of_work"] if step["lock_off"]}
    assert page.count("Lock off first") == len(locked) > 4


def test_what_is_not_known_is_said_and_asked_for() -> None:
    text = words(page_of(reviewed("tower-install", ("  plate: 10 lb\n", ""))))
    assert "not known: give /tower/plate" in text


def test_a_held_job_says_hold_and_why() -> None:
    page = page_of(reviewed("tower-install", ("headroom: 26 in", "headroom: 12 in")))
    assert '<div class="across" aria-hidden="true">HOLD</div>' in page
    assert "Headroom is 12 in" in words(page)
    assert 'class="across"' not in page_of(reviewed("tower-install"))


def test_of_many_errors_the_first_are_told_and_the_others_counted() -> None:
    review = reviewed("tower-install", ("headroom: 26 in", "headroom: 12 in"))
    error = next(finding for finding in review.findings if finding.severity == "error")
    for count, more in ((4, None), (5, "And 1 more error; the review has them all."), (9, "And 5 more errors; the")):
        many = review._replace(findings=(error,) * count)
        page = page_of(many)
        listed = page[page.index('<ul class="errors">') : page.index("</ul>")]
        assert listed.count("<li>") == min(count, 4) + (more is not None)
        assert more is None or more in words(page)


@pytest.mark.parametrize("text", thinned([text for text in HOSTILE if text.isprintable()], 4))
def test_hostile_text_is_only_text(text: str) -> None:
    quoted = text.replace("'", "''")
    wild = page_of(reviewed("tower-install", ("site: cold store, north dock", f"site: '{quoted}'")))
    calm = page_of(reviewed("tower-install"))
    assert re.findall(r"<(\w+)", wild) == re.findall(r"<(\w+)", calm)
    assert " ".join(text.split()) in words(wild)

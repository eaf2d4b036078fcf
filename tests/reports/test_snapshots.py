"""What the forms say of sample specs, kept word for word: a change of wording or layout shows in its review."""

from __future__ import annotations

import re
from html import unescape
from xml.etree import ElementTree as ET

import pytest
from reviews import TORSION, of, reviewed
from shared import FORMS, review_text, steady
from syrupy.assertion import SnapshotAssertion

from doorlint.facts import Facts
from doorlint.reports import sheet_html, sheet_text
from doorlint.reports.html import drawings
from doorlint.rulebook.library import load
from doorlint.sheet import set_out

LOW = ("tower-order", ("headroom: 26 in", "headroom: 12 in"))
"""A door under too low a ceiling: two errors, whose whole text is kept in every form."""
SLACK = ("torsion-install", *TORSION, ("    rating: 600 lb\n", ""))
"""A door with findings of every severity and rules that were not checked."""

SVG = "{http://www.w3.org/2000/svg}"


def words(page: str) -> str:
    """A page's words, a line for every block."""
    body = page[page.index("<body>") :]
    body = re.sub(r"<(svg|desc|title|script)\b.*?</\1>", "", body, flags=re.DOTALL)
    body = re.sub(r"</?(p|li|h\d|dt|dd|td|th|tr|summary|caption|figcaption|article)\b[^>]*>", "\n", body)
    lines = (" ".join(line.split()) for line in unescape(re.sub("<[^>]*>", "", body)).splitlines())
    return "\n".join(line for line in lines if line)


@pytest.mark.parametrize("form", ["sarif", "junit", "markdown"])
def test_form(snapshot: SnapshotAssertion, form: str) -> None:
    assert steady(review_text(form, of(reviewed(*LOW)))) == snapshot


def test_words_of_the_page_down_to_its_first_finding(snapshot: SnapshotAssertion) -> None:
    page = steady(words(review_text("html", of(reviewed(*LOW)))))
    assert page[: page.index("\nWorking of 1\n")] == snapshot


OF_ONE_LINE = ("short", "github")
"""Forms of a line a finding, which tell what was not checked by its number."""


@pytest.mark.parametrize("form", FORMS["review"])
def test_every_form_says_everything_that_was_found(form: str) -> None:
    review = reviewed(*SLACK)
    assert {found.severity for found in review.findings} >= {"error", "warning"}
    assert review.not_checked
    said = " ".join(unescape(re.sub(r"\\(?=[^\w\s])|\u200b", "", review_text(form, of(review)))).split()).lower()
    for found in review.findings:
        assert found.rule in said
        assert found.message.lower() in said
        assert found.pointer in said or form in OF_ONE_LINE
        assert f"{found.line}" in said
    for gap in review.not_checked:
        assert gap.rule in said or form in OF_ONE_LINE


@pytest.mark.parametrize("name", ["tower-install", "torsion-install"])
def test_the_sheet_says_the_same_as_a_page_and_as_text(name: str) -> None:
    sheet = set_out(reviewed(name), load())
    page = " ".join(words(sheet_html.render(sheet, "0.1.0", "2026-05-20")).split())
    text = " ".join(sheet_text.render(sheet, "0.1.0", "2026-05-20").split())
    for step in sheet.data["order_of_work"]:
        for said in (step["do"], *(number["text"] for number in step["numbers"])):
            assert said in page
            assert said in text


@pytest.mark.parametrize("name", ["tower-order", "torsion-install"])
def test_the_words_of_the_drawings(snapshot: SnapshotAssertion, name: str) -> None:
    review = reviewed(name)
    assert review.job is not None
    drawn = drawings(Facts(review.job, review.system), review.numbered)
    words = {one.title: [text.text for text in ET.fromstring(one.svg).iterfind(f".//{SVG}text")] for one in drawn}
    assert "\n".join(f"{title}: {' | '.join(map(str, texts))}" for title, texts in words.items()) == snapshot

"""Markdown: it reads as it should on a forge, and nothing that a spec says does anything there."""

from __future__ import annotations

import re
from typing import Any

import needs
import pytest
from reviews import HOSTILE, everything, finding, gap, hostile, of, spec

from doorlint.reports.markdown import MOST, code, escaped, render


@pytest.fixture(scope="module")
def forge() -> Any:
    """Tables, strikethrough and raw HTML, as forges have them."""
    return needs.module("markdown_it").MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])


def words(html: str) -> str:
    """The text of some HTML."""
    import html as entities

    return " ".join(entities.unescape(re.sub("<[^>]*>", " ", html)).replace("\u200b", "").split())


def test_says_verdict_first_step_and_findings(forge: Any) -> None:
    text = render(of(spec(not_checked=(gap(),))))
    assert text.splitlines()[0] == "## Hold: do not order, build or hand over this job"
    assert text.index("**Do first**") < text.index("| No. |") < text.index("<details>")
    html = forge.render(text)
    assert html.count("<table>") == 2
    assert "<code>jobs/door.yaml:12</code>" in html
    assert "not given: /track/weight" in words(html)


def test_details_hold_what_is_folded(forge: Any) -> None:
    html = forge.render(render(everything()))
    assert html.count("<details>") == html.count("</details>") > 2
    assert "|" not in words(html)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_does_nothing(forge: Any, text: str) -> None:
    source = render(hostile(text))
    html = forge.render(source)
    allowed = {"h2", "p", "strong", "em", "code", "ol", "ul", "li", "details", "summary"}
    allowed |= {"table", "thead", "tbody", "tr", "th", "td"}
    assert {tag.lower() for tag in re.findall(r"</?([A-Za-z][A-Za-z0-9]*)", html)} <= allowed
    assert not re.search(r"(?<![`\w])@\w|#\d|https?://|www\.", re.sub(r"(`+).*?\1", "", source))
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", source)
    plain = " ".join(text.split(" ")).replace("\r\n", " ").replace("\n", " ")
    if plain.isprintable():
        assert " ".join(plain.split()) in words(html)


@pytest.mark.parametrize("text", HOSTILE)
def test_escaped_text_reads_the_same(forge: Any, text: str) -> None:
    one_line = " ".join(text.split())
    if one_line.isprintable():
        assert words(forge.render(f"| a |\n| --- |\n| {escaped(text)} |")) == f"a {one_line}"
        assert words(forge.render(f"1. {escaped(text)}")) == one_line


@pytest.mark.parametrize("text", ["plain", "a|b", "x`y", "`", "``x", " "])
def test_code_spans_hold_any_text(forge: Any, text: str) -> None:
    html = forge.render(f"| a |\n| --- |\n| {code(text)} |")
    assert html.count("<td>") == 1
    assert "<code>" in html


def test_a_long_review_fits_a_comment_and_says_what_is_left_out() -> None:
    many = of(*(spec(file=f"jobs/{number}.yaml", findings=(finding(),) * 60) for number in range(40)))
    text = render(many)
    assert len(text) <= MOST + 200
    assert "did not fit a comment" in text
    assert "**Cautions**" in text
    assert "10 more findings" in text

"""The page of a review and that of many: what stands where, and that it needs nothing but itself."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from every_page import PAGES
from reviews import HOSTILE, TOWER, everything, finding, gap, hostile, of, reviewed, spec
from shared import FORMS, review_text, thinned

from doorlint.counterbalance import named
from doorlint.findings import Measure, Review
from doorlint.reports import cautions as said
from doorlint.reports.html import render
from doorlint.reports.summary import MOST_TOLD, worst


class Reader(HTMLParser):
    """The elements of a page with their attributes, and its words."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self._quiet = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        self._quiet += tag in ("style", "title", "desc")

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in ("style", "title", "desc")

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@pytest.mark.parametrize("name", thinned(PAGES, 6))
def test_needs_nothing_but_itself(name: str) -> None:
    page = PAGES[name]()
    reader = Reader(page)
    tags = {tag for tag, _ in reader.elements}
    assert not {"link", "img", "iframe", "object", "embed", "base", "form"} & tags
    # a sheet works with readings, and a page with a door moves it
    assert ("script" in tags) == (name.startswith("sheet") or 'id="travel"' in page)
    for tag, attributes in reader.elements:
        assert not {"src", "srcset", "action", "data", "style"} & attributes.keys() or tag == "svg", (tag, attributes)
        assert not [key for key in attributes if key.startswith("on")]
        assert attributes.get("href", "#").startswith("#")
    style = page[page.index("<style>") : page.index("</style>")]
    assert "url(" not in style
    assert "@import" not in style


@pytest.mark.parametrize("name", thinned(PAGES, 6))
def test_is_the_same_page_every_time(name: str) -> None:
    page = PAGES[name]()
    reviewed.cache_clear()
    assert PAGES[name]() == page


def test_verdict_first_then_what_to_do_then_the_rest_in_its_order() -> None:
    page = render(of(reviewed("tower-commissioned", *TOWER)))
    marks = [page.index(f'id="{name}"') for name in (
        "first", "drawings", "forces", "findings", "working", "not-checked", "cautions", "provenance",
    )]  # fmt: skip
    assert marks == sorted(marks)
    assert page.index('class="verdict hold"') < marks[0]


def test_tells_every_finding_with_its_figures_source_and_place() -> None:
    review = of(reviewed("tower-commissioned", *TOWER))
    text = Reader(render(review)).text
    assert len(review.specs[0].findings) > 12
    for one in review.specs[0].findings:
        assert f"{one.line}:{one.column}" in text
        assert one.pointer in text
        assert one.rule in text
        for figure in (one.measured, one.limit):
            assert figure is None or figure.text in text
        assert one.source.clause in text


def test_working_goes_down_to_what_was_given() -> None:
    review = of(reviewed("torsion-install", ("headroom: 20 in", "headroom: 13 in")))
    text = Reader(render(review)).text
    assert "given, /room/headroom" in text
    assert "given, /torsion/shaft/height" in text
    assert "shop figure" in text
    assert "higher of sweep and hardware + running clearance" in text or "highest of the shop's usual height" in text


def test_provenance_names_spec_rules_program_and_day() -> None:
    review = of(spec())
    page = render(review)
    end = Reader(page[page.index('id="provenance"') :]).text
    for part in ("0123456789ab", review.library.digest, "doorlint 0.1.0", "2026-05-20"):
        assert part in end


def test_marginal_findings_say_so() -> None:
    assert "Marginal:" in render(of(spec(findings=(finding(marginal=True),))))
    assert "Marginal:" not in render(of(spec()))


def test_a_value_over_its_limit_is_over_and_one_under_it_short() -> None:
    assert "Short by" in render(of(spec()))
    over = finding(measured=Measure(0.5, "m", "20 in"), limit=Measure(0.4, "m", "16 in"), short_by="4 in")
    page = render(of(spec(findings=(over,))))
    assert "Over by" in page
    assert "Short by" not in page


def test_one_rule_at_several_places_is_told_once() -> None:
    places = tuple(finding(pointer=f"/hangers/left-{number}/station", line=number) for number in (1, 2, 3))
    page = render(of(spec(findings=places)))
    assert page.count("Not met: The door sweeps clear.") == 1
    assert all(f'id="f{number}"' in page for number in (1, 2, 3))


def test_an_unreadable_file_is_not_said_to_be_checked() -> None:
    text = Reader(PAGES["unreadable"]()).text
    assert "Nothing in this file was checked." in text
    assert "Every rule that this stage asks was checked." not in text
    assert "checks met" not in text


def test_what_was_not_checked_is_grouped_by_what_it_wants() -> None:
    lacking = (
        gap(),
        gap(pointer="/hangers/left-2"),
        gap(rule="hangers.span", title="Spans are short", severity="warning"),
    )
    text = Reader(render(of(spec(not_checked=lacking)))).text
    assert text.count("not given: /track/weight") == 1
    assert "( hangers.load , error, 2 places)" in text
    assert "Spans are short ( hangers.span , warning)" in text


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_only_text(text: str) -> None:
    calm, wild = Reader(render(hostile("calm"))), Reader(render(hostile(text)))
    assert [tag for tag, _ in wild.elements] == [tag for tag, _ in calm.elements]
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", wild.text)
    one_line = " ".join(text.split())
    if one_line.isprintable():
        assert one_line in wild.text


def test_the_summary_puts_what_cannot_be_read_first_and_links_to_findings() -> None:
    review = everything()
    reader = Reader(render(review))
    order = [reader.text.index(file) for file in ("jobs/unreadable.yaml", "jobs/door.yaml", "jobs/clear.yaml")]
    assert order == sorted(order)
    assert "6 specs: 1 unreadable, 3 on hold, 2 clear" in reader.text
    links = {attributes["href"] for tag, attributes in reader.elements if tag == "a"}
    assert {"#spec-1", "#spec-2"} <= links


def test_the_worst_margin_is_the_largest_share_of_its_limit() -> None:
    near = finding(margin=-1.0, limit=Measure(100.0, "m", "100 m"), short_by="1 m", rule="a.near")
    far = finding(margin=-0.2, limit=Measure(0.4, "m", "0.4 m"), short_by="0.2 m", rule="a.far")
    none = finding(margin=None, limit=None, rule="a.none")
    assert worst([near, far, none]) == "short by 0.2 m, 50% of the limit (a.far)"
    assert worst([none]) == ""


@pytest.mark.parametrize("form", [form for form in FORMS["review"] if form not in ("json", "short", "github")])
@pytest.mark.parametrize("kind", ["tower", "torsion"])
def test_every_report_carries_the_cautions(form: str, kind: str) -> None:
    review: Review = of(reviewed(f"{kind}-order"))
    report = review_text(form, review).replace("&#39;", "'").replace("\u200b", "")
    report = " ".join(re.sub(r"\\(?=[^\w\s])", "", report).split())
    for caution in said.cautions(named(kind)):
        assert caution in report


def test_a_summary_is_sorted_worst_first_and_says_why_each_is_held() -> None:
    mild = spec(file="jobs/a.yaml", verdict="clear", findings=(finding(severity="warning"),))
    one = spec(file="jobs/b.yaml", findings=(finding(message="one is short"),))
    three = spec(file="jobs/c.yaml", findings=(finding(message="first is short"), *[finding()] * 2))
    text = Reader(render(of(mild, one, three))).text
    places = [text.index(words) for words in ("First is short (and 2 more).", "One is short.", "jobs/a.yaml")]
    assert places == sorted(places)


def test_a_summary_of_very_many_says_whose_findings_it_does_not_tell() -> None:
    text = Reader(render(of(*(spec(file=f"jobs/{number}.yaml") for number in range(MOST_TOLD + 7))))).text
    assert "The findings of 7 more specs are not told on this page." in text
    assert all(f"jobs/{number}.yaml" in text for number in range(MOST_TOLD + 7))


def test_a_tower_without_its_side_is_said_not_to_be_drawn() -> None:
    text = Reader(PAGES["missing"]()).text
    assert "The tower: not given: /tower/side" in text
    assert "Give what is missing: tower side" in text

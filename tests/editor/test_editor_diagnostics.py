"""What stands in the margin of a spec: every finding of a review, at its place, with where it comes from."""

from __future__ import annotations

from pathlib import Path

import pytest
from opened import opened, sample, written_at
from shared import SAMPLES, thinned

import doorlint
from doorlint.editor.diagnostics import diagnostics, not_reviewed
from doorlint.reports.short import held_gaps
from doorlint.reports.words import sentence


@pytest.mark.parametrize("path", thinned(SAMPLES, 5), ids=lambda path: path.stem)
def test_diagnostics_are_the_findings_of_a_review(path: Path) -> None:
    text = path.read_text("utf-8")
    document = opened(text, path=str(path))
    review = doorlint.review(text, name=str(path))
    found = diagnostics(document)
    waits = [one for one in found if "Not checked" in one.message]
    said = {(one.rule, one.severity, one.message.partition("\n")[0]) for one in found if one not in waits}
    assert said == {(one.rule, one.severity, sentence(one.message)) for one in review.findings}
    assert bool(waits) == bool(held_gaps(review))
    assert all("Waiting: " in one.message for one in waits)
    for one in found:
        line = document.lines.lines[one.range.start.line]
        assert one.range.start.character < len(line), "it underlines something"
        for place in one.related:
            assert place.range != one.range or place.message.startswith("Follows from: ")


def test_a_finding_leads_to_its_rule_and_to_the_values_it_rests_on() -> None:
    document = opened(sample("duct-behind-header"))
    (one,) = [one for one in diagnostics(document) if one.rule == "sweep.obstruction"]
    path, _, line = one.link.partition("#L")
    rules = Path(path.removeprefix("file://")).read_text("utf-8").splitlines()
    assert rules[int(line) - 1] == "- id: sweep.obstruction"
    assert written_at(document, one.range) == """underside: 13'-0\""""
    assert {written_at(document, place.range) for place in one.related} == {
        "from_wall: 36 in", "depth: 18 in", "wall_offset: 3 in",
    }  # fmt: skip


def test_what_follows_from_a_finding_leads_to_it() -> None:
    document = opened(sample("duct-behind-header"))
    cause, follows, *others = document.review.findings
    review = document.review._replace(findings=(cause, follows._replace(causes=(cause.place,)), *others))
    first, second, *rest = diagnostics(document._replace(review=review))
    led = [place for place in second.related if place.message.startswith("Follows from: ")]
    assert [(place.range, place.message) for place in led] == [
        (first.range, f"Follows from: {sentence(cause.message)}")
    ]
    assert not [place for one in [first, *rest] for place in one.related if "Follows from" in place.message]


def test_what_waits_for_one_value_is_one_line() -> None:
    text = sample("tower-install").replace("  radius: 15 in\n", "")
    found = [one for one in diagnostics(opened(text)) if one.severity == "error"]
    assert len(found) < 6, [one.message for one in found]
    assert any("track radius" in one.message.casefold() for one in found)


def test_a_text_that_cannot_be_read_says_where() -> None:
    text = sample("survey-clean").replace("headroom: 30 in", "headroom: 30")
    document = opened(text)
    (one,) = diagnostics(document)
    assert one.rule == "spec.quantity"
    assert written_at(document, one.range).startswith("headroom")


def test_settings_that_cannot_be_used_are_said_on_the_first_line() -> None:
    one = not_reviewed("shop/.doorlint.yaml:1:1: found nonsense")
    assert (one.range.start, one.severity) == ((0, 0), "error")
    assert one.message == "Not reviewed: shop/.doorlint.yaml:1:1: found nonsense"

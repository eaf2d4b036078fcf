"""The text report of a spec that is hardly filled in: what is missing stands together, and all of it."""

from __future__ import annotations

import json
import re
from collections import Counter

import pytest
from reviews import DAY, of, reviewed
from shared import filled_in, review_text

from doorlint.api import review
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library


def blank(library: Library, stage: str) -> SpecReview:
    return review(filled_in(library, stage, "tower"), name="blank.yaml", on=DAY)


def said(spec: SpecReview) -> str:
    return review_text("text", of(spec))


@pytest.mark.parametrize("stage", ["survey", "order", "install", "commissioned"])
def test_everything_that_is_missing_is_named(stage: str, library: Library) -> None:
    spec = blank(library, stage)
    words = set(re.split(r"[\s,;]+", said(spec)))
    assert {finding.pointer for finding in spec.findings} <= words
    assert {gap.rule for gap in spec.not_checked} <= words


def test_what_one_rule_finds_missing_stands_under_one_heading(library: Library) -> None:
    spec = blank(library, "survey")
    text = said(spec)
    many = {rule: count for rule, count in Counter(finding.rule for finding in spec.findings).items() if count > 1}
    assert many["completeness.opening"] == 11
    for rule, count in many.items():
        heading = re.search(
            rf"^  \[(\d+)-(\d+)\] {re.escape(rule)}  blank\.yaml:\d+:\d+\n +(\d+) values are missing", text, re.M
        )
        assert heading is not None, rule
        assert int(heading[2]) - int(heading[1]) + 1 == int(heading[3]) == count
        assert text.count(f"] {rule}  ") == 1
    assert len(text.splitlines()) < 130


def test_a_machine_still_gets_every_finding_by_itself(library: Library) -> None:
    spec = blank(library, "survey")
    told = json.loads(review_text("json", of(spec)))["specs"][0]
    assert len(told["findings"]) == len(spec.findings) == 35


def test_one_missing_value_is_a_finding_like_any_other() -> None:
    text = said(reviewed("survey-clean", (", falling: 15'-7 3/8\"", "")))
    assert re.search(r"^  \[1\] completeness\.opening  .*\n +opening diagonal falling is missing$", text, re.M)


def test_few_missing_values_are_named_again_where_a_rule_waits_for_them() -> None:
    text = said(reviewed("survey-clean", (", falling: 15'-7 3/8\"", "")))
    assert "not given: /opening/diagonal/falling" in text
    assert "missing above" not in text

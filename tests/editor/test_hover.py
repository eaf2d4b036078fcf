"""What is said of a value where the pointer rests on it: checked against a review and against the value moved."""

from __future__ import annotations

import re

import pytest
from opened import SIGNED, WIDE, at, opened, sample

from doorlint import quantities
from doorlint.editor.hover import hover
from doorlint.rulebook.library import load


def said(text: str, mark: str, behind: int = 0) -> str:
    found = hover(opened(text), at(text, mark, behind))
    assert found is not None
    return found.markdown


def test_a_value_says_what_it_is_becomes_and_meets() -> None:
    text = sample("tower-order")
    told = said(text, "plates: 21")
    assert told.startswith("**Box b1: plates**")
    assert "Weight of the plates in this box: 210 lb" in told
    assert re.search(r"`tower\.\w[\w-]*`", told)


@pytest.mark.parametrize("mark", ["headroom: 26 in", "radius: 15 in", "tare: 28 lb"])
def test_as_far_as_a_value_may_move_no_verdict_changes_and_then_one_does(mark: str) -> None:
    text = sample("tower-order")
    told = said(text, mark)
    key, _, value = mark.partition(": ")
    dimension = "weight" if value.endswith("lb") else "length"
    found = re.search(r"May move down (.*?) \(then `(.*?)` changes\), up (.*?) \(then `(.*?)` changes\)", told)
    assert found is not None, told
    start, step = quantities.read(value, dimension), 0.25 * 4.4482216 if dimension == "weight" else 0.0254 / 64
    before = standing(text)
    for sign, amount, rule in ((-1, found[1], found[2]), (1, found[3], found[4])):
        moved = 0.0 if amount == "not at all" else quantities.read(amount, dimension)
        still, beyond = (
            standing(text.replace(mark, f"{key}: {quantities.write_exact(start + sign * by, dimension, 'us')}", 1))
            for by in (moved, moved + step)
        )
        assert rule not in {one for one, _ in before ^ still}
        assert rule in {one for one, _ in before ^ beyond}


def standing(text: str) -> set[tuple[str, str]]:
    """Errors and warnings of a spec, each with its place."""
    review = opened(text).review
    return {(one.rule, one.pointer) for one in review.findings if one.severity != "advisory"} | {
        (one.rule, one.pointer) for one in review.not_checked if one.severity == "error"
    }


def test_keys_groups_parts_and_each_say_what_they_are() -> None:
    text = sample("hanger-unbraced")
    assert "gives the values that are left empty" in said(text, "part: angle")
    assert "leg a: 2 in" in said(text, "angle-2x2")
    assert "Holds for each of them" in said(text, "each:")
    assert said(text, "hangers:").startswith("**Hangers**")
    assert "for each" not in said(text, "station:")


def test_what_each_gives_is_worked_out_for_the_first_that_takes_it() -> None:
    text = sample("hanger-unbraced")
    assert "`1200 lb` = 544" in said(text, "ceiling_capacity: 1200 lb")


def test_a_value_below_zero_is_told_in_both_units() -> None:
    assert "`-53.5 lb` = -24" in said(sample("tower-commissioned"), "-53.5 lb")


def test_a_value_that_is_not_given_says_so() -> None:
    text = sample("survey-clean").replace("headroom: 30 in", "headroom:")
    assert "Not given." in said(text, "headroom")


def test_remarks_and_unknown_words_say_nothing() -> None:
    text = sample("survey-clean") + "# a remark\n"
    document = opened(text)
    assert hover(document, at(text, "a remark")) is None
    other = text.replace("headroom", "hedroom")
    assert hover(opened(other), at(other, "hedroom")) is None


def test_while_a_text_is_broken_the_last_figures_say_that_they_are_old() -> None:
    text = sample("survey-clean")
    broken = text.replace("headroom: 30 in", "headroom: {30 in")
    document = opened(broken, before=opened(text))
    found = hover(document, at(broken, "ceiling"))
    assert found is not None
    assert "cannot be read at present" in found.markdown
    assert " = " in found.markdown


def test_a_thing_says_what_each_and_its_part_give_it() -> None:
    told = said(sample("hanger-unbraced"), "left-2: {")
    assert "- ceiling_capacity: 1200 lb" in told
    assert "- leg_a: 2 in" in told, "from the part that `each` names"
    assert "station" not in told, "that is its own"
    assert "braced_along" not in told, "it says so itself"


def test_a_sign_off_says_what_its_rule_asks() -> None:
    told = said(WIDE + f"approvals:\n  a: {{rule: {SIGNED}}}\n", SIGNED)
    assert told.startswith(f"**{load().rules[SIGNED].title}**")
    assert "A supervisor may sign it off." in told

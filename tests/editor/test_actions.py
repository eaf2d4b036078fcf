"""What an editor offers to do: each action taken, and the spec that comes of it reviewed again."""

from __future__ import annotations

import re

import pytest
from opened import SIGNED, WIDE, at, opened, sample, span

from doorlint.editor.actions import actions
from doorlint.editor.document import Document
from doorlint.editor.fill_in import with_empty_keys
from doorlint.editor.protocol import Action, Range
from doorlint.editor.text_changes import changed_to, text_edits
from doorlint.editor.text_lines import TextLines
from doorlint.spec import Node, parse


def offered(text: str, mark: str, search: bool = True) -> tuple[Document, tuple[Action, ...]]:
    document = opened(text)
    return document, actions(document, span(text, mark), lambda: False, search)


def taken(text: str, action: Action) -> Document:
    """The spec once somebody takes an action."""
    return opened(changed_to(text, action.edits))


def found(document: Document) -> set[tuple[str, str]]:
    return {(one.rule, one.pointer) for one in document.review.findings}


def test_a_remedy_clears_what_it_says_and_brings_no_error() -> None:
    text = sample("hook-up-from-the-angle")
    document, made = offered(text, "hook_up_height:")
    remedies = [action for action in made if action.title.startswith("Remedy: ")]
    assert remedies
    for action in remedies:
        after = taken(text, action)
        assert action.rules, action.title
        assert not {one for one, _ in found(after)} & set(action.rules), action.title
        assert {one for one, _ in found(after)} <= {one for one, _ in found(document)}, action.title
    most = taken(text, remedies[0])
    assert most.review.verdict == "clear", "the one that clears most comes first"


@pytest.mark.slow
def test_no_action_writes_a_reading_that_only_building_work_changes() -> None:
    text = sample("duct-behind-header")
    _, made = offered(text, "underside:")
    assert any(action.title.startswith("Remedy: ") for action in made)
    for action in made:
        assert opened(changed_to(text, action.edits)).review.spec is not None
        assert "underside: 13'-0\"" in changed_to(text, action.edits)


@pytest.mark.slow
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_likely_slip_is_noted_beside_the_reading_and_changes_none(end: str) -> None:
    text = sample("duct-behind-header").replace("\n", end)
    document, made = offered(text, "underside:")
    action = next(action for action in made if action.title.startswith("Likely slip: "))
    after = taken(text, action)
    assert after.review.spec is not None
    assert document.review.spec is not None
    assert after.review.spec.values == document.review.spec.values
    (line,) = set(after.text.splitlines()) - set(text.splitlines())
    assert line.startswith(next(one for one in text.splitlines() if "underside:" in one) + "  # ")
    assert re.search(r": \S.* would clear [2-9] findings$", line)
    again = actions(after, span(after.text, "underside:"), lambda: False)
    assert action.title not in {other.title for other in again}, "it is noted once"


def test_nothing_is_searched_before_somebody_asks() -> None:
    text = sample("hook-up-from-the-angle")
    _, made = offered(text, "hook_up_height:", search=False)
    assert made
    assert not any(action.title.startswith(("Remedy: ", "Likely slip: ")) for action in made)


@pytest.mark.slow
def test_a_search_that_is_stopped_offers_less_and_fails_nowhere() -> None:
    document = opened(sample("hook-up-from-the-angle"))
    place = span(document.text, "hook_up_height:")
    asked = []
    for most in (0, 1, 5):
        left = iter(range(most))
        asked.append(actions(document, place, lambda left=left: next(left, None) is None))
    assert len(asked[0]) <= len(asked[2])


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    "more", ["", "approvals:\n  other: {rule: a, pointer: /b}\n", "approvals:\n    other:\n        rule: a\n"]
)
def test_a_sign_off_is_drafted_under_the_others(more: str, end: str) -> None:
    text = (WIDE + more).replace("\n", end)
    document, made = offered(text, "bracket_spacing:")
    (action,) = [action for action in made if action.title == f"Draft the sign-off of {SIGNED}"]
    after = changed_to(text, action.edits)
    assert after.startswith(text[: text.index("approvals:")] if more else text)
    assert after.replace(end, "").find("\n") == -1
    tree = parse(after).tree
    assert isinstance(tree, dict)
    draft = tree["approvals"][SIGNED.replace(".", "-")]
    assert (draft["rule"], draft["pointer"], draft["reason"]) == (SIGNED, "/track/bracket_spacing", None)
    assert (SIGNED, "/track/bracket_spacing") in found(document)
    assert (SIGNED, "/track/bracket_spacing") in found(opened(after)), "a draft signs nothing off"


@pytest.mark.slow
def test_what_nobody_may_sign_off_is_not_drafted() -> None:
    document, made = offered(sample("duct-behind-header"), "underside:")
    signable = {one.rule for one in document.review.findings if one.sign_off != "never"}
    drafted = {action.rules[0] for action in made if "sign-off" in action.title}
    assert drafted <= signable
    assert "sweep.obstruction" not in drafted


def test_missing_values_get_lines_to_fill_in() -> None:
    text = sample("tower-order").replace("  headroom: 26 in\n", "").replace("  radius: 15 in\n", "")
    document, made = offered(text, "room:")
    one, every = (action for action in made if "fill in" in action.title)
    assert changed_to(text, one.edits) == text.replace("room:\n", "room:\n  headroom:\n", 1)
    after = opened(changed_to(text, every.edits))
    assert found(after) == found(document), "an empty line is not a value"
    assert "  headroom:\n" in after.text
    assert "  radius:\n" in after.text


@pytest.mark.parametrize(
    ("text", "missing", "made"),
    [
        ("door: {width: 9 ft}\n", ["/door/thickness"], "door: {thickness: , width: 9 ft}\n"),
        (
            "door:\n  width: 9 ft\n  # of steel\n  sections:\n    s1: {height: 24 in}\n",
            ["/door/thickness", "/door/sections/s1/weight"],
            "door:\n  width: 9 ft\n  thickness:\n  # of steel\n  sections:\n    s1: {weight: , height: 24 in}\n",
        ),
        ("door:\n  width: 9 ft\n", ["/tower/cover/material", "/tower/cover/gage"],
         "tower:\n  cover:\n    material:\n    gage:\ndoor:\n  width: 9 ft\n"),
        ("door:\r\n  width: 9 ft\r\n", ["/door/thickness"], "door:\r\n  thickness:\r\n  width: 9 ft\r\n"),
        ("door:\n  width: 9 ft\n", ["/door/width"], None),
        ("door:\n", ["/door/width"], None),
        ("- a\n", ["/door/width"], None),
    ],
)  # fmt: skip
def test_empty_keys_stand_where_the_vocabulary_has_them(text: str, missing: list[str], made: str | None) -> None:
    assert with_empty_keys(text, missing) == made
    if made is not None:
        assert values(parse(made).tree) == values(parse(text).tree)


def values(node: Node, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], str]:
    """Every value that is given, by its path."""
    if isinstance(node, dict):
        return {step: text for key, inner in node.items() for step, text in values(inner, (*path, key)).items()}
    return {path: node} if isinstance(node, str) else {}


def test_a_part_that_agrees_with_what_is_written_is_offered() -> None:
    text = sample("tower-order")
    document, made = offered(text, "diameter: 1/4 in, construction")
    (action,) = [action for action in made if action.title.startswith("Use the part ")]
    assert "rope-7x19-galvanized-1/4" in action.title
    after = taken(text, action)
    assert after.review.spec is not None
    assert after.review.spec.parts
    assert after.review.verdict == document.review.verdict == "clear"


@pytest.mark.slow
def test_the_next_stage_is_proposed_where_the_stage_stands() -> None:
    text = sample("survey-clean")
    _, made = offered(text, "stage:")
    designs = [action for action in made if action.title.startswith("Propose the order stage: ")]
    assert designs
    after = taken(text, designs[0])
    assert after.review.stage == "order"
    assert all(line in after.text.splitlines() for line in text.splitlines() if not line.startswith("stage:"))
    _, elsewhere = offered(text, "headroom:")
    assert not any("Propose" in action.title for action in elsewhere)


def test_a_broken_text_is_offered_nothing() -> None:
    text = sample("survey-clean")
    document = opened(text + "room: {", before=opened(text))
    assert actions(document, Range(at(text, "room"), at(text, "room")), lambda: False) == ()


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_edits_make_the_other_text(end: str) -> None:
    old = sample("tower-order").replace("\n", end)
    new = old.replace("radius: 15 in", "radius: 12 in \U0001f6aa").replace("stage: order", "stage: install")
    edits = text_edits(old, new)
    assert 1 < len(edits) < 4
    assert changed_to(old, edits) == new
    assert all(edit.range.end.line < len(TextLines(old).lines) for edit in edits)

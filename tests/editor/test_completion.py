"""What an editor offers where somebody types."""

from __future__ import annotations

import pytest
from opened import SIGNED, WIDE, at, opened, sample
from shared import ROOT

from doorlint.editor.completion import completions
from doorlint.editor.definition import definitions
from doorlint.editor.document import Document
from doorlint.editor.protocol import Item
from doorlint.editor.text_changes import changed_to
from doorlint.editor.text_lines import TextLines
from doorlint.rulebook.library import Library
from doorlint.spec import VOCABULARY, parse

ORDER = sample("tower-order")


def offered(library: Library, typed: str, document: Document | None = None, with_keys: bool = True) -> list[Item]:
    """The completions at the bar in a text."""
    offset = typed.rindex("|")
    text = typed[:offset] + typed[offset + 1 :]
    place = TextLines(text).at_offset(offset)
    return list(completions(document, library, text, place, "2026-03-17", with_keys))


HEAD = "doorlint: 1\n"


@pytest.mark.parametrize(
    ("typed", "wanted", "unwanted"),
    [
        ("|", {"doorlint"}, set()),
        (HEAD + "stage: |", {"survey", "order", "install", "commissioned"}, {"true"}),
        (HEAD + "opening:\n  |", {"width", "height", "floor_fall", "jamb_material"}, {"doorlint"}),
        (HEAD + "opening:\n  jamb_material: |", {"wood", "concrete", "masonry", "steel"}, set()),
        (HEAD + "door:\n  sections:\n    s1:\n      |", {"height", "weight", "hinge"}, {"part"}),
        (HEAD + "door:\n  sections:\n    s1: {height: 24 in, |}", {"weight", "hinge"}, set()),
        (HEAD + "hangers:\n  |", {"each"}, set()),
        (HEAD + "hangers:\n  each:\n    |", {"part", "leg_a", "braced_along"}, set()),
        (HEAD + "fittings:\n  |", {"roller", "bumper"}, {"each"}),
        (HEAD + "cables:\n  near:\n    part: |", {"rope-7x19-galvanized-1/4"}, {"box-12"}),
        (HEAD + "mounts:\n  a:\n    |", {"hardware", "part"}, set()),
        (HEAD + "mounts:\n  a:\n    part: |", {"head-plate"}, {"bolt-3/8"}),
        (HEAD + "track: {tapered: |", {"true", "false"}, set()),
        (HEAD + "room:\n  headroom: 24 |", {"24 in", "24 ft", "24 mm"}, {"24 lb"}),
        (HEAD + "room:\n  headroom: 24 i|", {"24 in"}, {"24 ft"}),
        (HEAD + "room:\n  headroom: 2'-6|", {"2'-6\""}, {"2'-6 mm"}),
        (HEAD + "hangers:\n  |", {"left-1", "right-1"}, set()),
        (HEAD + "door:\n  sections:\n    |", {"s1", "each"}, set()),
        (HEAD + "tower:\n  plate: 10|", {"10 lb", "10 kg"}, {"10 in"}),
        (HEAD + "tower:\n  boxes:\n    b1:\n      chain: {spring: {rate: 40 |", {"40 lbf/in", "40 N/mm"}, set()),
        (HEAD + "opening: {measured: {on: |", {'"2026-03-17"'}, set()),
        (HEAD + "room:\n  # hea|", set(), {"headroom"}),
        ("services:\n  |", set(), {"doorlint", "room"}),
    ],
)
def test_what_fits_the_place_is_offered(library: Library, typed: str, wanted: set[str], unwanted: set[str]) -> None:
    labels = {item.label for item in offered(library, typed)}
    assert wanted <= labels
    assert not unwanted & labels


def test_what_is_written_already_is_not_offered_again(library: Library) -> None:
    text = ORDER.replace("room:\n", "room:\n  |\n", 1)
    labels = {item.label for item in offered(library, text, opened(ORDER))}
    assert not {"headroom", "back", "ceiling"} & labels
    assert labels <= {*VOCABULARY.containers["room"].parts}


def test_what_the_stage_still_asks_for_comes_first(library: Library) -> None:
    text = ORDER.replace("  horizontal_length: 12'-6\"\n", "").replace("  radius: 15 in\n", "")
    typed = text.replace("track:\n", "track:\n  |\n", 1)
    first = [item.label for item in offered(library, typed, opened(text))][:2]
    assert "radius" in first


def test_one_more_thing_gets_the_next_name(library: Library) -> None:
    text = ORDER.replace("  sections:\n    s1", "  sections:\n    |\n    s1", 1)
    assert "s7" in {item.label for item in offered(library, text, opened(ORDER))}


def test_names_of_sections_are_offered_to_a_box(library: Library) -> None:
    text = ORDER.replace("sections: [s6]", "sections: [|]", 1)
    assert [item.label for item in offered(library, text, opened(ORDER))] == ["s1", "s2", "s3", "s4", "s5", "s6"]


def test_a_sign_off_is_offered_the_findings(library: Library) -> None:
    typed = WIDE + "approvals:\n  a: {rule: |}\n"
    assert SIGNED in [item.label for item in offered(library, typed, opened(WIDE))]
    held = sample("duct-behind-header")
    typed = held + "approvals:\n  a: {rule: |}\n"
    assert "sweep.obstruction" not in [item.label for item in offered(library, typed, opened(held))]


def test_keys_may_be_left_to_another_server(library: Library) -> None:
    assert offered(library, HEAD + "room:\n  |", with_keys=False) == []
    assert offered(library, HEAD + "stage: |", with_keys=False)


@pytest.mark.parametrize(
    ("typed", "label", "made"),
    [
        (HEAD + "room:\n  hea|", "headroom", HEAD + "room:\n  headroom: "),
        (HEAD + "room:\n  hea|: 24 in", "headroom", HEAD + "room:\n  headroom: 24 in"),
        (HEAD + "door:\n  sec|", "sections", HEAD + "door:\n  sections:"),
        (HEAD + "room: {headroom: 2|4}", "24 in", HEAD + "room: {headroom: 24 in}"),
        (HEAD + "job: {site: '\U0001f6aa'}\ntrack: {lift: '\U0001f6aa', tapered: |}", "true", None),
    ],
)
def test_taking_one_puts_it_in_the_place_of_the_word(
    library: Library, typed: str, label: str, made: str | None
) -> None:
    (item,) = [item for item in offered(library, typed) if item.label == label]
    text = typed.replace("|", "")
    assert changed_to(text, (item.edit,)) == (made or typed.replace("|", label))


def test_every_example_that_is_offered_reads(library: Library) -> None:
    for key in ("opening: {width: {top: |", "tower: {plate: |", "track: {rise: |", "wind: {required_pressure: |"):
        for item in offered(library, HEAD + key):
            text = HEAD + key.replace("|", item.edit.text) + "}" * key.count("{")
            assert parse(text).problem is None
            assert not [one for one in opened(text).review.findings if one.rule == "spec.quantity"], item


def test_definitions_lead_to_parts_things_and_each() -> None:
    signed = "approvals:\n  a: {rule: hangers.braced-along, pointer: /hangers/left-2/braced_along}\n"
    text = sample("hanger-unbraced") + signed
    document = opened(text)
    (part,) = definitions(document, at(text, "angle-2x2"))
    file = (ROOT / "rules" / "parts" / "angles.yaml").read_text("utf-8").splitlines()
    assert part.path == str(ROOT / "rules" / "parts" / "angles.yaml")
    assert file[part.range.start.line].lstrip().startswith("angle-2x2x1/8:")
    (each,) = definitions(document, at(text, "left-1: {"))
    assert text.splitlines()[each.range.start.line].lstrip().startswith("each:")
    (section,) = definitions(document, at(text, "sections: [s1]", 11))
    assert text.splitlines()[section.range.start.line].lstrip().startswith("s1:")
    rule, place = definitions(document, at(text, "rule: hangers", 6))
    assert rule.path.endswith("hangers.yaml")
    assert place.range.start == at(text, "braced_along: false")
    (same,) = definitions(document, at(text, "/hangers/left-2/braced"))
    assert same == place
    assert definitions(document, at(text, "headroom")) == ()

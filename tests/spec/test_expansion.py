"""What `each` and `part` stand for, where it is written, and what is refused."""

from __future__ import annotations

import re

import pytest

from doorlint.spec import Part, Spec, read

HEAD = "doorlint: 1\nstage: order\njob: {}\n"


def part(name: str, of: str, **values: object) -> Part:
    return Part(name, of, "", values, {}, "", None, "")


CATALOG = {
    one.name: one
    for one in (
        part("rope-a", "rope", diameter="1/4 in", strength="7000 lb"),
        part("rope-b", "rope", diameter="5/16 in"),
        part("angle-a", "angle", leg_a="2 in", leg_b="2 in", fixing={"kind": "bolt", "count": "2"}),
        part("bolt-a", "fixing", kind="lag", diameter="3/8 in"),
        part("drum-a", "drum", radius="2 in"),
    )
}


def spec(text: str) -> Spec:
    return read(HEAD + text, CATALOG)


def hanger(text: str, name: str) -> object:
    made = spec(text)
    assert made.problems == (), made.problems
    return made.values[f"hanger.{name}"]["left-1"]


@pytest.mark.parametrize(
    ("own", "each", "name", "value"),
    [
        ("{leg_b: 3 in}", "{}", "leg_b", 0.0762),
        ("{leg_b: 3 in, part: angle-a}", "{leg_b: 4 in}", "leg_b", 0.0762),
        ("{part: angle-a}", "{leg_b: 4 in}", "leg_b", 0.0508),
        ("{}", "{leg_b: 4 in, part: angle-a}", "leg_b", 0.1016),
        ("{}", "{part: angle-a}", "leg_b", 0.0508),
        ("{leg_b: }", "{part: angle-a}", "leg_b", 0.0508),
        ("{leg_b: ~}", "{leg_b: 4 in}", "leg_b", 0.1016),
        ("{part: ~}", "{part: angle-a}", "leg_b", 0.0508),
        ("{fixing: {count: 3}}", "{fixing: {count: 4, kind: weld}}", "fixing.count", 3),
        ("{fixing: {count: 3}}", "{fixing: {count: 4, kind: weld}}", "fixing.kind", "weld"),
        ("{fixing: {part: bolt-a}}", "{fixing: {kind: weld}}", "fixing.kind", "lag"),
        ("{fixing: {part: bolt-a}, part: angle-a}", "{}", "fixing.kind", "lag"),
        ("{fixing: {part: bolt-a}, part: angle-a}", "{}", "fixing.count", 2),
        ("{fixing: }", "{fixing: {part: bolt-a}}", "fixing.kind", "lag"),
        ("{part: angle-a}", "{fixing: {kind: weld}}", "fixing.kind", "bolt"),
    ],
)
def test_own_goes_before_its_part_before_each_before_the_part_of_each(
    own: str, each: str, name: str, value: object
) -> None:
    found = hanger(f"hangers: {{left-1: {own}, each: {each}}}", name)
    assert found == pytest.approx(value) if isinstance(value, float) else found == value


def test_a_part_in_a_group_that_is_no_thing() -> None:
    made = spec("torsion: {drum: {part: drum-a, width: 3 in}}")
    assert made.values["torsion.drum.radius"] == pytest.approx(0.0508)
    assert [(use.pointer, use.part) for use in made.parts] == [("/torsion/drum", "drum-a")]


def test_each_is_no_thing_and_part_is_no_value() -> None:
    made = spec("cables: {each: {part: rope-a}, near: {}, far: {part: rope-b}}")
    assert made.keys["cable"] == ("far", "near")
    assert not [name for name in made.values if name.endswith((".part", "each"))]
    assert {(use.pointer, use.part) for use in made.parts} == {("/cables/near", "rope-a"), ("/cables/far", "rope-b")}
    assert spec("cables: {each: {part: rope-a}}").keys["cable"] == ()
    assert "cables" not in spec("cables: {each: {part: rope-a}}").values


def test_a_pointer_leads_to_where_the_value_is_written() -> None:
    text = "cables:\n  each: {part: rope-a, clips: 3}\n  near:\n    part: rope-b\n    clips: 4\n  far: {}\n"
    made = spec(text)
    assert made.position("/cables/near/clips") == (8, 5)
    assert made.position("/cables/far/clips") == (5, 24)
    assert made.position("/cables/near/diameter") == (7, 5)
    assert made.position("/cables/near/strength") == (5, 10)
    assert made.position("/cables/far") == (9, 3)
    assert made.text("/cables/near/diameter") == "5/16 in"
    assert made.text("/cables/each/clips") is None


def test_what_is_written_out_is_read_as_it_was() -> None:
    made = spec("cables: {near: {clips: 3}}")
    assert made.tree is made.written
    assert made.parts == ()


@pytest.mark.parametrize("axis", ["approvals", "as_built: {readings"])
def test_a_record_may_be_called_each(axis: str) -> None:
    made = spec(f"{axis}: {{each: {{}}, two: {{}}}}" + "}" * axis.count("{"))
    assert made.problems == ()
    assert made.keys["approval" if axis == "approvals" else "reading"] == ("each", "two")


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("cables: {near: {part: rope-c}}", "/cables/near/part", "the part rope-c; expected a rope .* write rope-"),
        ("cables: {each: {part: drum-a}}", "/cables/each/part", "found drum-a, which is a part for drum; expected"),
        ("cables: {near: {part: Rope A}}", "/cables/near/part", "found Rope A; expected the name of a rope"),
        ("cables: {near: {part: [rope-a]}}", "/cables/near/part", "found a list of 1; expected the name of a rope"),
        ("cables: {each: {clip: 3}, near: {}}", "/cables/each/clip", "found the key clip in cables.each; .* clips"),
        ("cables: {each: {clips: x}, near: {clips: 3}}", "/cables/each/clips", "found x; expected a whole number"),
        ("cables: {each: 3}", "/cables/each", "found 3; expected a group of keys"),
        ("track: {part: rope-a}", "/track/part", "rope-a, which is a part for rope; expected a track of a catalog"),
        ("room: {part: rope-a}", "/room/part", "found the key part in room"),
        ("room: {each: 3}", "/room/each", "found the key each in room"),
    ],
)
def test_what_is_wrong_with_each_or_part(text: str, place: str, said: str) -> None:
    (problem,) = spec(text).problems
    assert problem.pointer == place
    assert problem.line == 4
    assert re.search(said, problem.message), problem.message


TEXT = "cables:\n  each: {part: rope-a, clips: 3}\n  near: {end: clips}\n  far: {clips: 4}\n"


def test_a_patch_is_joined_with_what_is_written() -> None:
    made = spec(TEXT)
    wider = made.patched({"cables": {"each": {"clips": "5"}}})
    assert wider.values["cable.clips"] == {"far": 4, "near": 5}
    assert made.patched({"cables": {"near": {"part": "rope-b"}}}).values["cable.diameter"]["near"] > 0.0079
    assert made.patched({"cables": {"far": {"clips": None}}}).problems[0].line == 5
    assert made.patched({"cables": {"each": {"clips": None}}}).values["cable.clips"] == {"far": 4}
    assert made.patched({"cables": {"near": None}}).keys["cable"] == ("far",)
    assert made.patched({"cables": {"each": {"part": None}}}).parts == ()


@pytest.mark.parametrize(
    ("thing", "key", "column"), [("near", "clips", 24), ("near", "strength", 10), ("far", "diameter", 10)]
)
def test_a_patch_cannot_take_out_what_stands_elsewhere(thing: str, key: str, column: int) -> None:
    (problem,) = spec(TEXT).patched({"cables": {thing: {key: None}}}).problems
    assert (problem.rule, problem.pointer) == ("spec.each", f"/cables/{thing}/{key}")
    assert (problem.line, problem.column) == (5, column)
    assert f"found {key} taken out of /cables/{thing}, but line 5 still gives it" in problem.message

"""What is said of an example: whether it holds, whether it is close to the limit, and what it came to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.rulebook.examples import Example, base, run_examples
from doorlint.rulebook.library import load

RULE: dict[str, Any] = {
    "id": "shop.own", "title": "t", "severity": "warning", "from": "survey", "message": "{value} {limit}", "why": "w",
    "safety": "s", "sign_off": "supervisor", "source": {"standing": "practice", "note": "n"},
    "check": {"value": "room.headroom", "at_least": "100 in"},
}  # fmt: skip


def headroom(size: str | None) -> dict[str, Any]:
    return {"room": {"headroom": size}}


def told(folder: Path, inside: dict[str, Any], outside: dict[str, Any], **said: Any) -> list[Example]:
    examples = {"base": said.pop("base", "survey-clean"), "inside": inside, "outside": outside}
    house = folder / f"house-{len(list(folder.iterdir()))}"
    house.mkdir()
    (house / "shop.yaml").write_text(json.dumps([{**RULE, **said, "examples": examples}]), "utf-8")
    library = load((house,))
    return run_examples(library, library.rules["shop.own"])


@pytest.mark.parametrize(
    ("inside", "outside", "holds", "close"),
    [
        ("100 in", "99.999 in", (True, True), (True, True)),
        ("100.9 in", "99.1 in", (True, True), (True, True)),
        ("101 in", "99 in", (True, True), (True, True)),  # 1 % of what is more
        ("101.05 in", "98.95 in", (True, True), (False, False)),
        ("99.5 in", "100.5 in", (False, False), (True, True)),
        ("20 in", "200 in", (False, False), (False, False)),
        (None, None, (False, False), (False, False)),
        ("a hand", "-1 in", (False, False), (False, False)),
    ],
)
def test_an_example_holds_on_its_side_of_the_limit_and_close_to_it(
    inside: str | None, outside: str | None, holds: tuple[bool, bool], close: tuple[bool, bool], tmp_path: Path
) -> None:
    found = told(tmp_path, headroom(inside), headroom(outside))
    assert [one.side for one in found] == ["inside", "outside"]
    assert tuple(one.holds for one in found) == holds
    assert tuple(one.close for one in found) == close


def test_an_example_says_what_it_came_to(tmp_path: Path) -> None:
    inside, outside = told(tmp_path, headroom("101 in"), headroom("101 in"))
    assert inside.text.startswith("met at /room/headroom: 8'-5\"")
    assert outside.text == f"{inside.text}; expected short"
    inside, outside = told(tmp_path, headroom("99 in"), headroom(None))
    assert inside.text.startswith("short at /room/headroom: 8'-3\"")
    assert inside.text.endswith("; expected met")
    assert outside.text == "not short: input missing /room/headroom"
    inside, outside = told(tmp_path, headroom("a hand"), {}, when={"tower": "given"})
    assert inside.text.startswith("cannot be read: ")
    assert outside.text == "not short: the rule does not apply"


@pytest.mark.parametrize(("least", "close"), [("6", True), ("5", True), ("4", False)])
def test_of_a_count_one_apart_is_close(least: str, close: bool, tmp_path: Path) -> None:
    check = {"value": "count(section.height)", "at_least": least}
    inside, _ = told(tmp_path, {}, {}, base="tower-order", check=check, at="door.sections")
    assert (inside.holds, inside.close) == (True, close)


def test_of_many_things_the_nearest_to_its_limit_tells(tmp_path: Path) -> None:
    def sections(**sizes: str | None) -> dict[str, Any]:
        return {"door": {"sections": {key: {"height": size} for key, size in sizes.items()}}}

    def each(inside: dict[str, Any], outside: dict[str, Any], least: str) -> list[Example]:
        check = {"value": "section.height", "at_least": least}
        return told(tmp_path, inside, outside, base="tower-order", each="section", check=check)

    inside, outside = each(sections(s3="20 in"), sections(s3="10 in", s4="19.9 in"), "20 in")
    assert (inside.holds, inside.close, outside.holds, outside.close) == (True, True, True, True)
    assert inside.text.startswith("met at /door/sections/s3/height")
    assert outside.text.startswith("short at /door/sections/s4/height")
    inside, outside = each(sections(s3="19.9 in"), sections(s3="19.9 in", s4=None), "20 in")
    assert (inside.holds, outside.holds) == (False, False)  # one is short; of one it is not known


def test_where_there_is_no_figure_an_example_is_close(tmp_path: Path) -> None:
    inside, outside = told(tmp_path, {}, headroom(None), check={"present": ["room.headroom"]}, message="{missing}")
    assert inside == Example("inside", True, True, "met at /room/headroom")
    assert outside == Example("outside", True, True, "short at /room/headroom")


@pytest.mark.parametrize("name", ["nothing", "../sample_specs/survey-clean", ""])
def test_examples_stand_on_a_sample_by_its_name(name: str) -> None:
    with pytest.raises(BrokenRules, match="examples: base: there is no sample"):
        base(name)

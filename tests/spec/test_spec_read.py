"""A spec as a whole: from bytes to values with places, patched, declared."""

from __future__ import annotations

import gc
import time
from statistics import median

import pytest
import yaml
from job_specs import SMALLEST, TOWER_INSTALL

from doorlint.spec import declares, merge_patch, parse, read
from doorlint.spec.yaml_positions import Mapping, Node


def tree(text: str) -> Node:
    return parse(text).tree


class TestSpec:
    def test_a_job_as_a_person_writes_it(self) -> None:
        spec = read(TOWER_INSTALL)
        assert spec.problems == ()
        assert (spec.system, spec.stage) == ("us", "install")
        assert spec.keys["section"] == ("s1", "s2", "s3", "s4")
        assert spec.keys["hanger"] == ("left-1", "right-1")
        assert spec.values["opening.width.middle"] == pytest.approx((144 + 1 / 8) * 0.0254, rel=1e-15)
        assert spec.values["section.weight_from"]["s4"] == "maker"
        assert spec.values["box.chain.links"] == {"b1": 18}
        assert spec.values["obstruction.left"] == {"duct": -0.1524}

    def test_its_values_stand_where_they_were_written(self) -> None:
        spec = read(TOWER_INSTALL)
        lines = TOWER_INSTALL.decode().splitlines()
        for pointer in ("/stage", "/room/headroom", "/door/sections/s3/weight", "/hangers/left-1/fixing/gravity"):
            line, column = spec.position(pointer)
            key = pointer.rpartition("/")[2]
            assert lines[line - 1][column - 1 :].startswith(f"{key}: {spec.text(pointer)}")
        line, column = spec.position("/tower/boxes/b3/sections/1")
        assert lines[line - 1][column - 1 :] == "s4]"

    def test_what_is_missing_stands_at_its_parent(self) -> None:
        spec = read(TOWER_INSTALL)
        assert spec.position("/door/sections/s1/glass/area") == spec.position("/door/sections/s1")
        assert spec.position("/wind/speed") == spec.position("") == (2, 1)

    def test_text_is_as_written(self) -> None:
        spec = read(SMALLEST + "room: {headroom: 2 ft}\ntower: {boxes: {b1: {sections: [s1, s2]}}}")
        assert spec.text("/room/headroom") == "2 ft"
        assert spec.text("/tower/boxes/b1/sections/1") == "s2"
        for nothing in ("/room", "/room/back", "/room/headroom/x", "/tower/boxes/b1/sections/2", ""):
            assert spec.text(nothing) is None

    def test_a_pointer_escapes_slash_and_tilde(self) -> None:
        spec = read("a/b: {c~d: x}\n'~1': y")
        assert (spec.text("/a~1b/c~0d"), spec.text("/~01")) == ("x", "y")
        assert spec.position("/a~1b/c~0d") == (1, 7)
        with pytest.raises(ValueError, match="'room' is no JSON pointer; it must be empty or start with /"):
            spec.position("room")
        with pytest.raises(ValueError, match="is no JSON pointer"):
            spec.text("room")

    @pytest.mark.parametrize(
        ("width", "system"),
        [
            ("{top: 3660 mm, middle: 12 ft}", "si"),
            ("{bottom: 12 ft, top: 3660 mm}", "us"),
            ("{top: oops, middle: 3.66 m}", "si"),
            ("{top: {}, middle: , bottom: 3.66 m}", "si"),
            ("{}", "us"),
            ("3660 mm", "us"),
        ],
    )
    def test_its_system_is_that_of_the_first_width(self, width: str, system: str) -> None:
        assert read(f"{SMALLEST}opening: {{width: {width}}}").system == system

    def test_without_a_width_it_is_us(self) -> None:
        assert read(SMALLEST + "room: {headroom: 600 mm}").system == "us"

    @pytest.mark.parametrize(
        ("text", "stage"),
        [
            ("stage: order", "order"),
            ("stage: x", None),
            ("stage: [order]", None),
            ("a: 1", None),
            ("order", None),
            ("", None),
        ],
    )
    def test_the_stage_is_known_even_if_the_rest_is_not_in_order(self, text: str, stage: str | None) -> None:
        spec = read(text)
        assert spec.stage == stage
        assert spec.problems
        assert (spec.values, spec.keys) == ({}, {})

    def test_a_text_that_is_not_yaml_has_no_tree(self) -> None:
        spec = read("a: [")
        assert spec.tree is None
        assert [problem.rule for problem in spec.problems] == ["spec.yaml"]
        assert spec.position("/a") == (1, 1)
        assert spec.text("/a") is None
        assert spec.patched({"stage": "order"}) is spec

    def test_bytes_and_text_read_alike(self) -> None:
        text = SMALLEST.replace("{}", "{site: Größe ½}")
        assert read(text).values == read(text.encode()).values == read("\ufeff" + text).values


class TestMergePatch:
    # RFC 7396, appendix A, with numbers as text; null in a target cannot be told from a missing value there.
    @pytest.mark.parametrize(
        ("target", "patch", "result"),
        [
            ({"a": "b"}, {"a": "c"}, {"a": "c"}),
            ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
            ({"a": "b"}, {"a": None}, {}),
            ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
            ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
            ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
            ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
            ({"a": [{"b": "c"}]}, {"a": ["1"]}, {"a": ["1"]}),
            (["a", "b"], ["c", "d"], ["c", "d"]),
            ({"a": "b"}, ["c"], ["c"]),
            ({"a": "foo"}, None, None),
            ({"a": "foo"}, "bar", "bar"),
            ({"e": None}, {"a": "1"}, {"e": None, "a": "1"}),
            (["1", "2"], {"a": "b", "c": None}, {"a": "b"}),
            ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
        ],
    )
    def test_the_examples_of_the_rfc(self, target: Node, patch: Node, result: Node) -> None:
        marked = tree(yaml.safe_dump(target))
        before = yaml.safe_dump(target)
        assert merge_patch(marked, patch) == result
        assert marked == yaml.safe_load(before)

    def test_what_is_left_alone_is_the_same_and_keeps_its_marks(self) -> None:
        whole = tree("a: {b: 1}\nc: {d: 2, e: [3]}\n")
        assert isinstance(whole, Mapping)
        merged = merge_patch(whole, {"c": {"d": "5"}})
        assert isinstance(merged, Mapping)
        assert merged["a"] is whole["a"]
        assert isinstance(merged["c"], Mapping)
        assert merged["c"].marks["d"].column == 4


class TestPatched:
    spec = read(TOWER_INSTALL)

    def test_a_value_changes_and_keeps_its_place(self) -> None:
        other = self.spec.patched({"room": {"headroom": "18 in"}})
        assert other.problems == ()
        assert other.values["room.headroom"] == 0.4572
        assert other.text("/room/headroom") == "18 in"
        assert other.position("/room/headroom") == self.spec.position("/room/headroom")
        assert self.spec.values["room.headroom"] == 0.762

    def test_what_goes_is_gone_and_what_comes_stands_at_its_parent(self) -> None:
        other = self.spec.patched(
            {"wind": {"speed": "90 mph"}, "tower": None, "hangers": {"left-10": {"side": "left"}, "left-2": {}}}
        )
        assert "tower" not in other.values
        assert other.keys["box"] == ()
        assert other.keys["hanger"] == ("left-1", "left-2", "left-10", "right-1")
        assert other.position("/hangers/left-10/side") == self.spec.position("/hangers")
        assert other.position("/wind/speed") == (2, 1)
        assert other.position("/tower") == (2, 1)

    def test_a_list_is_replaced_whole(self) -> None:
        other = self.spec.patched({"tower": {"boxes": {"b3": {"sections": ["s3"]}}}})
        assert other.values["box.sections"]["b3"] == ("s3",)
        assert other.position("/tower/boxes/b3/sections/0") == self.spec.position("/tower/boxes/b3/sections")

    def test_it_is_read_again(self) -> None:
        other = self.spec.patched({"room": {"headroom": "18", "hight": "1"}, "stage": None, "opening": {"width": None}})
        assert [(problem.rule, problem.pointer) for problem in other.problems] == [
            ("spec.shape", "/stage"),
            ("spec.shape", "/room/hight"),
            ("spec.quantity", "/room/headroom"),
        ]
        assert other.values == {}

    def test_system_and_stage_follow(self) -> None:
        other = self.spec.patched({"opening": {"width": {"top": "3660 mm"}}, "stage": "order"})
        assert (other.system, other.stage) == ("si", "order")

    def test_a_patch_may_come_from_a_file(self) -> None:
        other = self.spec.patched(parse("room: {headroom: 18 in, back: ~}\n").tree)
        assert other.values["room.headroom"] == 0.4572
        assert "room.back" not in other.values
        assert other.position("/room/headroom") == self.spec.position("/room/headroom")


@pytest.mark.parametrize(
    ("head", "says"),
    [
        (b"doorlint: 1\n", True),
        (b"# a job\n\ndoorlint: 1\n", True),
        (b"stage: order\r\ndoorlint: 1\r\n", True),
        (b"stage: order\rdoorlint: 1\r", True),
        (b"\xef\xbb\xbfdoorlint: 1\n", True),
        (b"doorlint:", True),
        (b" doorlint: 1\n", False),
        (b"# doorlint: 1\n", False),
        (b"doorlint : 1\n", True),
        (b"Door-Lint: 1\n", True),
        (b"'doorlint': 1\n", True),
        (b"doorlint 1\n", True),
        ("stage: order\ndoorlint: 1\n".encode("utf-16-le"), True),
        ("doorlint: 1\n".encode("utf-16-be"), True),
        ("\ufeffdoorlint: 1\n".encode("utf-16-be"), True),
        (b"doorlint checks our doors\n", False),
        (b"- doorlint: 1\n", False),
        (b"doorlints: 1\n", False),
        (b"", False),
        (b"#" * 4087 + b"\ndoorlint: 1", True),
        (b"# far\n" * 100_000 + b"doorlint: 1", True),
    ],
)
def test_a_spec_declares_itself_wherever_it_does(head: bytes, says: bool) -> None:
    assert declares(head) is says


def test_reading_costs_less_than_loading_without_places() -> None:
    """The whole of reading against PyYAML's C loader on the same text, alternately; generous to a busy machine."""

    def seconds(work: object) -> float:
        start = time.perf_counter()
        work()  # type: ignore[operator]
        return time.perf_counter() - start

    read(TOWER_INSTALL)
    gc.collect()
    pairs = [
        (seconds(lambda: read(TOWER_INSTALL)), seconds(lambda: yaml.load(TOWER_INSTALL, yaml.CSafeLoader)))
        for _ in range(60)
    ]
    assert median(ours / theirs for ours, theirs in pairs) < 0.8


def test_a_key_with_nothing_behind_it_is_a_value_not_given() -> None:
    spec = read("doorlint: 1\nstage: survey\njob: {}\nroom:\n  headroom:\n  back: ~\ntower:\n")
    assert spec.problems == ()
    assert spec.values == {"doorlint": 1, "stage": "survey", "job": True, "room": True}
    assert spec.position("/room/headroom") == (5, 3)

"""The walk: what it makes of a tree, and that it never accepts what jsonschema or the quantities refuse."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from job_specs import SMALLEST, everything, example, marked
from jsonschema import Draft202012Validator
from shared import SOME_OR_ALL

from doorlint.quantities import QuantityError
from doorlint.quantities import read as read_quantity
from doorlint.spec import read
from doorlint.spec.schema_errors import explained
from doorlint.spec.typed_reader import accepted
from doorlint.spec.vocabulary import VOCABULARY


def values(text: str) -> dict[str, Any]:
    spec = read(SMALLEST + text)
    assert spec.problems == ()
    return spec.values


class TestValues:
    def test_a_quantity_is_a_float_in_si(self) -> None:
        got = values("room: {headroom: 24 in, back: 16 ft}\ntrack: {rise: 1/4 in/ft}\noperation: {pull: 100 N}\n")
        assert got["room.headroom"] == 0.6096
        assert got["track.rise"] == 1 / 48
        assert (got["operation.pull"], type(got["operation.pull"])) == (100.0, float)

    def test_flags_and_choices(self) -> None:
        got = values("opening: {floor_finished: true, jambs_finished: false, handing: inside}")
        assert got["opening.floor_finished"] is True
        assert got["opening.jambs_finished"] is False
        assert got["opening.handing"] == "inside"

    def test_words_and_days_stay_text(self) -> None:
        got = values("opening: {measured: {by: 012, on: 2024-02-29}}")
        assert got["opening.measured.by"] == "012"
        assert got["opening.measured.on"] == "2024-02-29"

    def test_words_may_run_over_lines(self) -> None:
        assert (
            values("lifting:\n  tackle:\n    hangs_from: |\n      beam\n      no. 3\n")["lifting.tackle.hangs_from"]
            == "beam\nno. 3\n"
        )

    def test_counts_and_numbers(self) -> None:
        got = values("hangers: {h: {fixing: {count: 2, gravity: .5}}}\ntorsion: {springs: {s: {coils: 40}}}")
        assert (got["hanger.fixing.count"], type(got["hanger.fixing.count"]["h"])) == ({"h": 2}, int)
        assert got["hanger.fixing.gravity"] == {"h": 0.5}
        assert (got["spring.coils"], type(got["spring.coils"]["s"])) == ({"s": 40.0}, float)

    def test_lists_are_tuples(self) -> None:
        got = values("tower: {boxes: {b1: {sections: [s1, s3]}}}\ntorsion: {drum: {radii: [2 in, 50.8 mm]}}")
        assert got["box.sections"] == {"b1": ("s1", "s3")}
        assert got["torsion.drum.radii"] == (0.0508, 0.0508)

    def test_a_container_that_is_given_is_true(self) -> None:
        got = values("operation: {lock: {}}\ndoor: {sections: {s2: {}, s1: {glass: {area: 2 sq ft}}}}")
        assert {name: got[name] for name in ("operation", "operation.lock", "door", "door.sections")} == {
            "operation": True,
            "operation.lock": True,
            "door": True,
            "door.sections": True,
        }
        assert got["section"] == {"s1": True, "s2": True}
        assert got["section.glass"] == {"s1": True}
        assert "operation.supply" not in got

    def test_a_map_without_things_is_not_given(self) -> None:
        got = values("hangers: {}")
        assert "hangers" not in got
        assert "hanger" not in got

    def test_a_spec_that_says_everything_has_every_name(self) -> None:
        spec = accepted(marked(everything()))
        assert spec is not None
        assert set(spec[0]) == {term.name for term in VOCABULARY.terms()}
        for name, value in spec[0].items():
            assert isinstance(value, dict) == (VOCABULARY.term(name).axis is not None), name


class TestKeys:
    def test_they_stand_in_natural_order_whatever_the_file_says(self) -> None:
        spec = read(
            SMALLEST + "door: {sections: {s10: {height: 1 ft}, s2: {height: 2 ft}, s1: {}, s9: {height: 3 ft}}}"
        )
        assert spec.keys["section"] == ("s1", "s2", "s9", "s10")
        assert list(spec.values["section.height"]) == ["s2", "s9", "s10"]

    @pytest.mark.parametrize(
        ("written", "natural"),
        [
            (["right-2", "left-10", "left-9"], ("left-9", "left-10", "right-2")),
            (["a10b2", "a10b10", "a9"], ("a9", "a10b2", "a10b10")),
            (["a1", "a01", "a", "A"], ("A", "a", "a01", "a1")),
        ],
    )
    def test_numbers_inside_names_count_as_numbers(self, written: list[str], natural: tuple[str, ...]) -> None:
        hangers = ", ".join(f"{key}: {{}}" for key in written)
        assert read(f"{SMALLEST}hangers: {{{hangers}}}").keys["hanger"] == natural

    def test_every_axis_has_its_keys_if_only_none(self) -> None:
        assert read(SMALLEST).keys == dict.fromkeys(VOCABULARY.axes, ())


# --- the walk against jsonschema -----------------------------------------------------------------------------------

_VALIDATOR = Draft202012Validator(VOCABULARY.schema)


def judged(schema: Any, node: Any, positive: bool = False) -> Iterator[bool]:
    """Whether each measure and day of a tree reads; by the schema alone, not by the vocabulary."""
    positive = positive or schema.get("x-positive", False)
    schema = VOCABULARY.schema["$defs"][schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema
    if isinstance(node, dict):
        for key, value in node.items():
            inner = schema.get("properties", {}).get(key) or schema.get("additionalProperties") or {}
            yield from judged(inner, value)
            yield one_line(schema.get("propertyNames", {}), key)
    elif isinstance(node, list):
        for item in node:
            yield from judged(schema.get("items", {}), item, positive)
    elif isinstance(node, str):
        if "x-dimension" in schema:
            try:
                yield read_quantity(node, schema["x-dimension"]) > 0 or not positive
            except QuantityError:
                yield False
        elif schema == VOCABULARY.schema["$defs"]["date"]:
            try:
                date.fromisoformat(node)
            except ValueError:
                yield False
        else:
            yield one_line(schema, node)


def one_line(schema: Any, text: str) -> bool:
    """Python's `$` also matches before a last line end, which no name and no day may have."""
    return not (schema.get("pattern", "").endswith("$") and text.endswith("\n"))


def typed(schema: Any, node: Any) -> Any:
    """The tree with its flags, counts and numbers as such."""
    if isinstance(node, dict):
        properties, others = schema.get("properties", {}), schema.get("additionalProperties") or {}
        return {key: typed(properties.get(key) or others, value) for key, value in node.items()}
    if isinstance(node, str):
        sort = schema.get("type")
        if sort == "boolean" and node in ("true", "false"):
            return node == "true"
        if sort == "integer" and re.fullmatch("-?(0|[1-9][0-9]*)", node):
            return int(node)
        if sort == "number" and re.fullmatch(r"-?(0|[1-9][0-9]*)?(\.[0-9]+)?", node) and node not in ("", "-"):
            return float(node)
    return node


def filled_in(schema: Any, tree: Any) -> Any:
    """A tree without the known keys that have nothing behind them and need not be there: values not given."""
    if not isinstance(tree, dict) or schema.get("type") != "object":
        return tree
    known = schema.get("properties", {})
    other = schema.get("additionalProperties") or {}
    return {
        key: filled_in(known.get(key, other), node)
        for key, node in tree.items()
        if node is not None or key not in known or key in schema.get("required", ())
    }


def in_order(tree: Any) -> bool:
    """Whether jsonschema, the quantities and the calendar have nothing against a tree."""
    tree = filled_in(VOCABULARY.schema, tree)
    return _VALIDATOR.is_valid(typed(VOCABULARY.schema, tree)) and all(judged(VOCABULARY.schema, tree))


TEXTS = [
    *[
        "12'-0\"",
        "24 in",
        "24",
        "-6 in",
        "- 6 in",
        "0 in",
        "0",
        "1 lb",
        "1/2 in",
        "½ in",
        "⅓ in",
        "12 in\n",
        " 2 in",
        "\t2 in",
    ],
    *[
        "3660 mm",
        "1 1/2 turns",
        "30 deg",
        "1 %",
        "5 psf",
        "230 V",
        "0.2 /min",
        "1 h",
        "8 cm4",
        "in",
        "1 rod",
        "9" * 79 + " in",
    ],
    *["9" * 90 + " in", "12\u2032-2\u2033", "\u22126 in", "1e3 in", "1e3", "two in", "NaN", "inf"],
    *[
        "true",
        "false",
        "yes",
        "no",
        "True",
        "FALSE",
        "on",
        "true ",
        "1",
        "012",
        "-1",
        "21",
        "1.5",
        ".5",
        "5.",
        "-.5",
        "+1",
        "1_0",
    ],
    *[
        "٣",
        "9" * 20,
        "-0",
        "00",
        "0.0",
        "s1",
        "s0",
        "s99",
        "s100",
        "s1\n",
        "b1",
        "S1",
        "left",
        "Left",
        "none",
        "centre",
        "7x19",
    ],
    *[
        "2026-03-17",
        "2026-02-30",
        "2024-02-29",
        "2026-13-01",
        "0000-01-01",
        "20260317",
        "2026-3-7",
        "2026-03-17\n",
        "2026-W12-2",
    ],
    *["", "~", "x", "x" * 2000, "x" * 2001, "a\nb", "\u00e9", "install"],
]
LEAVES = sorted(VOCABULARY.leaves)
NODES = st.one_of(
    st.sampled_from(TEXTS),
    st.none(),
    st.sampled_from(LEAVES).map(lambda name: example(VOCABULARY.leaves[name])),
    st.sampled_from(
        [[], ["s1"], ["s1", "s1"], ["s1\n"], ["2 in"], ["2 in"] * 41, [[]], {}, {"s1": {}}, {"left-1": {}}, {"x": "1"}]
    ),
    st.sampled_from([{f"k{n}": {} for n in range(count)} for count in (200, 201)]),
).map(copy.deepcopy)
KEYS = st.sampled_from(
    ["s1", "s10", "s0", "s1\n", "b2", "x", "1x", "x" * 40, "x" * 41, "height", "Height", "kind", "", "é", "a/b"]
)


def places(tree: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    steps = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for step, inner in steps:
        yield from places(inner, (*path, step))


@st.composite
def spoiled(draw: st.DrawFn) -> Any:
    """A spec of some of all groups, with up to four places changed."""
    whole = everything()
    groups = draw(st.sets(st.sampled_from(sorted(whole)), max_size=4))
    tree: Any = {key: whole[key] for key in whole if key in groups | {"doorlint", "stage", "job"}}
    for _ in range(draw(st.integers(0, 4))):
        every = list(places(tree))
        *way, last = (None, *every[draw(st.integers(0, len(every) - 1))])
        if last is None:
            tree = draw(st.one_of(st.just(tree), NODES))
            continue
        holder = tree
        for step in way[1:]:
            holder = holder[step]
        match draw(st.sampled_from(["replace", "replace", "replace", "remove", "rename", "add", "double"])):
            case "replace":
                holder[last] = draw(NODES)
            case "remove":
                del holder[last]
            case "rename" if isinstance(holder, dict):
                holder[draw(KEYS)] = holder.pop(last)
            case "add" if isinstance(holder[last], dict):
                holder[last][draw(KEYS)] = draw(NODES)
            case "double" if isinstance(holder, list):
                holder.append(holder[last])
    return tree


@SOME_OR_ALL
def test_the_walk_accepts_exactly_what_is_in_order(every: int) -> None:
    calm = [HealthCheck.too_slow, HealthCheck.data_too_large]

    @settings(max_examples=1500 // every, deadline=None, suppress_health_check=calm)
    @given(spoiled())
    def holds(tree: Any) -> None:
        read_so, right = accepted(marked(tree)), in_order(tree)
        if read_so is not None:
            assert right, "the walk accepted what is not in order"
        else:
            assert not right, "the walk doubts a spec that is in order"
        if read_so is None:
            assert explained(marked(tree))

    holds()


@SOME_OR_ALL
def test_every_leaf_is_judged_alike(every: int) -> None:
    """Every text of the list on every leaf of the vocabulary, so that no leaf is left to chance."""
    for name in LEAVES[:: min(every, 5)]:
        *way, last = VOCABULARY.leaves[name].pointer.split("/")[1:]
        axis_key = "s1" if name.startswith("section.") else "b1"
        for node in [*TEXTS, [], ["s1"], ["s1", "s1"], {}]:
            patch: Any = {axis_key if last == "{}" else last: node}
            for step in reversed(way):
                patch = {axis_key if step == "{}" else step: patch}
            tree = {"doorlint": "1", "stage": "survey", "job": {}} | patch
            assert (accepted(marked(tree)) is not None) == in_order(tree), (name, node)


@given(st.permutations(sorted(everything())), st.randoms(use_true_random=False))
@settings(max_examples=25, deadline=None)
def test_the_order_of_the_file_makes_no_difference(order: list[str], random: Any) -> None:
    whole = everything()
    for key in ("hangers", "cables"):
        whole[key] = {f"{key}-{n}": next(iter(whole[key].values())) for n in random.sample(range(12), 12)}
    straight = accepted(marked(whole))
    shuffled = accepted(marked({key: whole[key] for key in order}))
    assert straight is not None
    assert shuffled is not None
    assert straight == shuffled
    assert list(shuffled[0]["hanger.side"]) == [f"hangers-{n}" for n in range(12)]

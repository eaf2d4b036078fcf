"""What a rule may not say, and what one comes to: a handful of names is enough to tell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.figures.table import Table
from doorlint.rulebook.compiled_rule import CompiledRule
from doorlint.rulebook.compiler import compile_rule
from doorlint.rulebook.expression import Expression, depth, function_of, numeric_arguments, placed, size, source_of
from doorlint.rulebook.formula import Named, compile_formula
from doorlint.rulebook.scope import Names

CELLS = {
    "room.headroom": Named("length", None),
    "room.name": Named(None, None),
    "room.lights": Named(None, None),
    "room.dry": Named(None, None),
    "room.share": Named("ratio", None),
    "door.weight": Named("weight", None),
    "hanger.load": Named("weight", "hanger"),
    "hanger.count": Named(None, "hanger"),
    "hanger.side": Named(None, "hanger"),
    "box.load": Named("weight", "box"),
    "table.own": Named(None, None),
}
POINTERS: dict[str, tuple[str, str | None]] = {
    "room.headroom": ("/room/headroom", None),
    "room.name": ("/room/name", None),
    "room.lights": ("/room/lights", None),
    "room.dry": ("/room/dry", None),
    "room.share": ("/room/share", None),
    "hanger.load": ("/hangers/{}/load", "hanger"),
    "hanger.count": ("/hangers/{}/count", "hanger"),
    "hanger.side": ("/hangers/{}/side", "hanger"),
    "hangers": ("/hangers", None),
    "box.load": ("/boxes/{}/load", "box"),
}
KINDS = {"room.headroom": "quantity", "room.name": "choice", "room.lights": "count", "room.dry": "flag",
         "room.share": "number", "hanger.count": "count", "hanger.side": "choice"}  # fmt: skip
NAMES = Names(CELLS, POINTERS, KINDS, {"own": (("size", "grip"), {"size": "length", "grip": "weight"})}, {})
RULE: dict[str, Any] = {
    "id": "shop.own", "title": "t", "severity": "warning", "from": "survey", "message": "{value} {limit}", "why": "w",
    "safety": "s", "sign_off": "supervisor", "source": {"standing": "practice", "note": "n"},
    "check": {"value": "room.headroom", "at_least": "10 in"},
}  # fmt: skip


def planned(**said: Any) -> CompiledRule:
    return compile_rule({**RULE, **said}, NAMES)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"each": "window"}, "each: window is no axis"),
        ({"when": {"room.colour": "given"}}, "when: room.colour is no spec value"),
        ({"when": {"hanger.side": ["left"]}}, "when: hanger.side is of each hanger; add"),
        ({"when": {"room.dry": "maybe"}}, "room.dry is true or false, not maybe"),
        ({"when": {"room.lights": "two"}}, "room.lights is a count, not two"),
        ({"when": {"room.lights": "2.5"}}, "room.lights is a count, not 2.5"),
        ({"when": {"room.share": "half"}}, "room.share is a number, not half"),
        ({"let": {"room.own": "room.headroom"}}, "let: room.own is taken"),
        ({"let": {"own": "room.headroom", "door": {"table": "none", "column": "grip"}}}, "let: there is no table none"),
        ({"let": {"own": {"table": "own", "column": "colour"}}}, "let: table own has no column colour"),
        ({"let": {"own": {"table": "own", "column": "grip", "wood": "1 in"}}}, "let: table own has no column wood"),
        ({"let": {"own": "room.name * 2"}}, "room.name * 2: room.name is no number"),
        ({"check": {"value": "room.headroom", "at_least": "door.weight"}}, "a weight held against a length"),
        ({"check": {"value": "room.headroom", "at_least": "1 lb"}}, "1 lb"),
        ({"check": {"value": "room.name", "at_least": "1"}}, "room.name is no number"),
        ({"check": {"value": "room.headroom * door.weight * door.weight", "at_least": "1"}}, "add `as:`"),
        ({"check": {"value": "room.headroom", "at_least": "10 in", "as": "weight"}}, "`as:` with a dimension it has"),
        ({"check": {"value": "room.headroom", "at_least": "10 in", "as": "lenght"}}, "lenght; write length"),
        ({"check": {"value": "room.headroom", "at_least": "10"}}, "plain number held against a length; write a"),
        ({"check": {"in_order": ["room.headroom", "door.weight"]}}, "a weight held against a length"),
        ({"check": {"rising": "room.headroom"}}, "rising: room.headroom is no column"),
        ({"check": {"rising": "door.shoes"}}, "rising: door.shoes is no column"),
        ({"check": {"rising": "hanger.side"}}, "rising: hanger.side is no number"),
        ({"check": {"value": "room.dry", "one_of": ["yes"]}}, "room.dry"),
        ({"check": {"present": ["room.colour"]}, "message": "m"}, "present: room.colour is no spec value"),
        ({"check": {"present": ["hanger.side"]}, "message": "m"}, "present: hanger.side is of each hanger; add"),
        ({"at": "room.colour"}, "at: room.colour is no spec value"),
        ({"at": "hanger.load"}, "at: hanger.load is of each hanger; add `each`"),
        ({"check": {"value": "door.weight", "at_least": "1 lb"}}, "found no `at`"),
        ({"message": "{value} {limit} {thing}"}, "message: {thing} is no value that this rule has"),
        ({"message": "{missing}"}, "message: {missing} is no value"),
        ({"message": "{value} {limit} {hanger.load}"}, "message: {hanger.load} is no value that this rule has"),
        ({"message": "{value} {limit} {own}", "let": {"own": "room.headroom"}}, "message: {own} is a `let`"),
        ({"check": {"present": ["room.name"]}, "message": "{value}"}, "message: {value} is no value"),
        ({"try": ["room.headroom", "room.colour"]}, "try: room.colour is no spec value"),
        ({"severity": "error", "safety": ""}, "an error says in `safety` what to do first"),
        ({"severity": "error", "source": {"standing": "memory", "note": "n"}}, "no error rests on memory alone"),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_a_rule_that_cannot_hold_is_refused(said: dict[str, Any], why: str) -> None:
    with pytest.raises(BrokenRules, match=r"^rule shop\.own: ") as refused:
        planned(**said)
    assert why in str(refused.value)


def test_only_a_bare_number_is_told_to_take_a_unit() -> None:
    with pytest.raises(BrokenRules, match=r": a weight held against a length$"):
        planned(check={"value": "room.headroom", "at_least": "door.weight"})


def test_a_warning_may_rest_on_memory_and_needs_no_step_first() -> None:
    assert planned(safety="", source={"standing": "memory", "note": "n"}).kind == "at_least"


def test_what_a_rule_reads_and_what_it_cannot_do_without() -> None:
    plan = planned(
        when={"room.name": "given", "room.lights": "2"},
        let={"load": "sum(hanger.load)"},
        check={"value": "load", "at_most": "door.weight"},
        at="hangers",
        message="{value} {limit} {room.headroom}",
    )
    assert plan.reads == {
        "room.name": False, "room.lights": True, "hanger.load": True, "door.weight": True, "room.headroom": False
    }  # fmt: skip
    assert set(plan.needs) == {"room.lights", "hanger.load", "door.weight"}
    assert [(one.name, one.own, one.wanted) for one in plan.when] == [
        ("room.name", False, True), ("room.lights", False, [2])
    ]  # fmt: skip
    assert (plan.kind, plan.dimension, plan.at.name, plan.axis) == ("at_most", "weight", "hangers", None)
    assert [(one.name, one.column, one.own) for one in plan.arguments] == [
        ("hanger.load", True, False), ("door.weight", False, False)
    ]  # fmt: skip
    assert plan.sides == [["sum", 0], 1]


def test_a_rule_of_each_thing_takes_its_own_values_and_those_of_the_job() -> None:
    plan = planned(
        each="hanger",
        when={"hanger.side": ["left", "right"], "hanger.count": "absent"},
        check={"value": "hanger.load - most(box.load)", "between": ["1 lb", "door.weight"]},
        message="{thing} {value} {limit} {hanger.side}",
    )
    assert [(one.name, one.own, one.wanted) for one in plan.when] == [
        ("hanger.side", True, ["left", "right"]), ("hanger.count", True, False)
    ]  # fmt: skip
    assert plan.at.name == "hanger.side"  # what it reads first
    assert [(one.name, one.column, one.own) for one in plan.arguments] == [
        ("hanger.load", False, True), ("box.load", True, False), ("door.weight", False, False)
    ]  # fmt: skip
    assert plan.sides == [["-", 0, ["most", 1]], pytest.approx(4.4482216152605), 2]


@pytest.mark.parametrize(
    ("check", "kind", "sides", "dimension"),
    [
        ({"value": "room.headroom", "near": "10 in", "within": "1 in"}, "near", [0, 0.254, 0.0254], "length"),
        ({"value": "room.headroom / '10 in'", "at_most": "2"}, "at_most", [["/", 0, 0.254], 2.0], "ratio"),
        ({"in_order": ["'10 in'", "room.headroom"]}, "in_order", [0.254, 0], "length"),
        ({"rising": "hanger.count"}, "rising", [0], None),
        ({"rising": "hanger.load"}, "rising", [0], "weight"),
        ({"value": "room.lights", "at_least": "2"}, "at_least", [0, 2.0], "ratio"),
        ({"value": "count(hanger.side)", "at_least": "2"}, "at_least", [["count", 0], 2.0], "count"),
        ({"value": "room.share", "at_least": "0.5", "as": "share"}, "at_least", [0, 0.5], "share"),
    ],
)
def test_what_a_check_comes_to(check: dict[str, Any], kind: str, sides: list[Any], dimension: str | None) -> None:
    plan = planned(check=check, at="room.headroom" if "in_order" in check else "hangers", message="{value} {limit}")
    assert (plan.kind, plan.dimension) == (kind, dimension)
    assert plan.sides == pytest.approx(sides) if all(isinstance(side, float) for side in sides) else plan.sides == sides


def test_a_quantity_in_when_is_met_in_any_unit() -> None:
    (condition,) = planned(when={"room.headroom": ["1 ft", "2500 mm"]}).when
    assert condition.wanted == [0.3048, 2.5]
    assert [size in condition.allowed for size in (12 * 0.0254, 2.5, 0.305, "1 ft")] == [True, True, False, False]


@pytest.mark.parametrize(
    ("said", "path"),
    [
        ({"when": {"room.dry": "maybe"}}, ("when", "room.dry")),
        ({"when": {"room.headroom": "1 lb"}}, ("when", "room.headroom")),
        ({"let": {"own": {"table": "own", "column": "colour"}}}, ("let", "own", "column")),
        ({"let": {"own": "room.name * 2"}}, ("let", "own")),
        ({"check": {"value": "room.headroom", "between": ["1 in", "1 lb"]}}, ("check", "between", 1)),
        ({"check": {"value": "room.headroom", "near": "1 in", "within": "1 lb"}}, ("check", "within")),
        ({"check": {"in_order": ["room.headroom", "door.weight"]}}, ("check", "in_order", 1)),
        ({"check": {"present": ["room.name", "room.colour"]}, "message": "m"}, ("check", "present", 1)),
        ({"check": {"value": "room.hedroom", "at_least": "1 in"}}, ("check", "value")),
        ({"message": "{missing}"}, ("message",)),
        ({"try": ["room.headroom", "room.colour"]}, ("try", 1)),
        ({"severity": "error", "safety": ""}, ("severity",)),
    ],
)
def test_a_refusal_leads_to_the_key(said: dict[str, Any], path: tuple[str | int, ...]) -> None:
    with pytest.raises(BrokenRules, match=r"^rule shop\.own: ") as refused:
        planned(**said)
    assert refused.value.path == path
    assert str(path[1] if path[0] == "check" else path[0]) + ": " in str(refused.value)


def test_choices_are_read_as_what_they_are() -> None:
    def choices(name: str, *said: str) -> Sequence[Any]:
        return planned(check={"value": name, "one_of": list(said)}, at=name, message="m").choices

    assert choices("room.name", "2", "true") == ["2", "true"]
    assert choices("room.lights", "2", "3") == [2, 3]
    assert choices("room.share", "0.5") == [0.5]
    assert choices("room.dry", "true", "false") == [True, False]


def test_a_table_is_looked_up_by_formulas() -> None:
    plan = planned(
        let={"grip": {"table": "own", "column": "grip", "size": "room.headroom / 2"}},
        check={"value": "grip * 2", "at_least": "door.weight"}, at="room.headroom",
    )  # fmt: skip
    assert plan.dimension == "weight"
    assert plan.sides == [["*", ["look", 0, "grip", {"size": ["/", 1, 2.0]}], 2.0], 2]
    assert [one.name for one in plan.arguments] == ["table.own", "room.headroom", "door.weight"]


def test_what_is_asked_for_may_be_of_each_thing() -> None:
    plan = planned(each="hanger", check={"present": ["hanger.side", "room.name"]}, message="{thing} {missing}")
    assert [place.name for place in plan.wanted] == ["hanger.side", "room.name"]
    assert [place.pointer("left-1") for place in plan.wanted] == ["/hangers/left-1/side", "/room/name"]
    assert plan.reads == {"hanger.side": False, "room.name": False}


@pytest.mark.parametrize(
    ("text", "values", "comes_to", "dimension"),
    [
        ("2 * room.headroom", (3.0,), 6.0, "length"),
        ("room.headroom * 2", (3.0,), 6.0, "length"),
        ("room.headroom / 2", (3.0,), 1.5, "length"),
        ("room.headroom * door.weight", (3.0, 2.0), 6.0, None),
        ("door.weight / room.headroom", (6.0, 2.0), 3.0, None),
        ("2 / room.headroom", (4.0,), 0.5, None),
        ("-room.headroom + '1 m'", (0.25,), 0.75, "length"),
        ("room.share + room.headroom / '2 m'", (1.0, 3.0), 2.5, "ratio"),
        ("min(room.headroom, '2 m')", (3.0,), 2.0, "length"),
        ("max('2 m', room.headroom, '1 m')", (3.0,), 3.0, "length"),
        ("abs(room.headroom - '2 m')", (0.5,), 1.5, "length"),
        ("room.headroom - room.headroom * 2", (3.0,), -3.0, "length"),
        ("most(hanger.load) - least(hanger.load)", ({"a": 3.0, "b": 1.0, "c": None},) * 2, 2.0, "weight"),
        ("count(hanger.side)", ({"a": "left", "b": None},), 1, "count"),
    ],
)
def test_what_a_formula_comes_to(text: str, values: tuple[Any, ...], comes_to: float, dimension: str | None) -> None:
    formula = compile_formula(text, CELLS)
    assert formula.evaluate(*values[: len(formula.arguments)]) == pytest.approx(comes_to)
    assert formula.dimension == dimension


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("room.headroom + door.weight", "a length and a weight cannot be added"),
        ("min(room.headroom, door.weight)", "a length and a weight cannot be added"),
        ("max(room.headroom, '1 m', 2)", "a length and a plain number cannot be added"),
        ("room.headroom * door.weight * door.weight - 1", "something of no named dimension and a plain number"),
        ("room.headroom / 0", "it divides by zero"),
        ("room.headroom ** 2", "only names, numbers"),
        ("room.headroom if 1 else 2", "only names, numbers"),
        ("+room.headroom", "only names, numbers"),
        ("not room.headroom", "only names, numbers"),
        ("room.ceiling", "room.ceiling is neither a spec value nor a figure"),
        (
            "practice.own_gap",
            "the key own_gap, and its value to rules/tables/practice.yaml",
        ),
        ("room().headroom", "this is neither a spec value nor a figure"),
        ("sum(room.headroom)", "room.headroom is one value, not a column"),
        ("hanger.load", "hanger.load has a value for each hanger"),
        ("sum(hanger.load + 1)", "sum takes one name of a column"),
        ("sum(hanger.load, hanger.load)", "sum takes one name of a column"),
        ("sum()", "a function takes values between its brackets"),
        ("max(room.headroom, key=1)", "a function takes values between its brackets"),
        ("abs(room.headroom, room.headroom)", "abs takes one value"),
        ("min(room.headroom)", "abs takes one value"),
        ("sqrt(room.headroom)", "it may call min, max, abs, sum, most, least, count and nothing else"),
        ("room.sum(room.headroom)", "it may call"),
        ("'1 horse'", "'1 horse' is no quantity"),
        ("True", "True is not a number to reckon with"),
        ("1e10", "10000000000.0 is not a number to reckon with"),
        ("-1e10", "10000000000.0 is not a number to reckon with"),
        ("1j", "1j is not a number to reckon with"),
        ("room.headroom +", "not arithmetic"),
        ("1 + " * 75 + "1", "a formula may have 300 characters; this one has 301"),
        ("+".join(["1"] * 40), "too long; split it"),
    ],
)
def test_what_is_no_formula(text: str, why: str) -> None:
    with pytest.raises(BrokenRules, match=re.escape(why)):
        compile_formula(text, CELLS)


def test_a_formula_may_be_as_long_as_is_said() -> None:
    assert compile_formula("+".join(["1"] * 26), CELLS).evaluate() == 26.0  # 26 numbers, 25 sums and as many signs
    assert compile_formula("1e9", CELLS).evaluate() == 1e9
    assert compile_formula("1 + " * 19 + " " * 223 + "1", CELLS).evaluate() == 20.0  # 300 characters


def test_a_let_is_written_out_and_may_not_grow_without_end() -> None:
    twice = {"a": "room.headroom + room.headroom"}
    twice |= {b: f"{a} + {a}" for a, b in zip("abcdefg", "bcdefgh", strict=True)}
    plan = planned(let={"a": twice["a"], "b": twice["b"]}, check={"value": "b", "at_least": "1 in"})
    assert plan.sides[0] == ["+", ["+", 0, 0], ["+", 0, 0]]
    assert planned(let=twice, check={"value": "h", "at_least": "1 in"}).kind == "at_least"  # 511 parts
    most = "-(h + g + f + e + d + b)"  # 511 + 255 + 127 + 63 + 31 + 7 parts and six signs
    assert planned(let=twice, check={"value": most, "at_most": "1 in"}).kind == "at_most"
    with pytest.raises(BrokenRules, match="grows too long once every `let` in it is written out"):
        planned(let=twice, check={"value": f"-{most}", "at_least": "1 in"})


def test_a_let_may_not_lie_too_deep() -> None:
    deep = {"a": "-" * 30 + "room.headroom", "c": "-" * 29 + "a"}
    assert planned(let=deep, check={"value": "c", "at_least": "1 in"}).kind == "at_least"  # 59 signs and a name
    with pytest.raises(BrokenRules, match="lies too deep"):
        planned(let=deep, check={"value": "-c", "at_least": "1 in"})


LOOK: Expression = ["look", 0, "grip", {"size": ["/", 1, 2.0]}]


def test_a_tree_that_looks_a_table_up() -> None:
    assert source_of(LOOK, ["own", "a"]) == "own.look('grip', size=(a / 2.0))"
    assert (depth(LOOK), size(LOOK, [1, 1]), size(LOOK, [1, 10])) == (3, 5, 14)
    assert placed(LOOK, [4, ["-", 5]]) == ["look", 4, "grip", {"size": ["/", ["-", 5], 2.0]}]
    assert numeric_arguments(LOOK) == {1}
    table = Table("own", ("size", "grip"), {"size": "exact"}, ((1.5, 7.0),))
    assert function_of([LOOK], lambda value: value)(table, 3.0) == 7.0


@pytest.mark.parametrize(
    ("tree", "source", "comes_to"),
    [
        (["-", 0], "(-a)", -3.0),
        (["+", 0], "(+a)", 3.0),
        (["-", 0, 1], "(a - b)", 1.0),
        (["+", ["*", 0, 1], 0.5], "((a * b) + 0.5)", 6.5),
        (["min", 0, 1, 1.0], "min(a, b, 1.0)", 1.0),
        (["abs", ["-", 1, 0]], "abs((b - a))", 1.0),
    ],
)
def test_a_tree_is_reckoned_and_written_alike(tree: Expression, source: str, comes_to: float) -> None:
    assert source_of(tree, ["a", "b"]) == source
    assert function_of([tree], lambda value: value)(3.0, 2.0) == comes_to
    assert eval(source, {"a": 3.0, "b": 2.0}) == comes_to


@pytest.mark.parametrize("tree", [["open", 0], ["__import__", 0, 1], ["look", 0, "grip", {"size=1, b": 1}]])
def test_a_tree_holds_nothing_but_what_formulas_may_call(tree: Expression) -> None:
    with pytest.raises(ValueError, match=r"is no part of a formula|cannot be looked up by"):
        source_of(tree, ["a", "b"])

"""Every kind of check: its two examples, evaluated and generated; and nothing about it outside its own file."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from doorlint.natural_order import natural
from doorlint.rulebook.codegen import generate
from doorlint.rulebook.compiled_rule import CompiledRule, outline_of
from doorlint.rulebook.compiler import compile_rule
from doorlint.rulebook.evaluator import Evaluator
from doorlint.rulebook.kinds import KINDS, Kind
from doorlint.rulebook.kinds.kind import Sides
from doorlint.rulebook.library import Library
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import Outcome
from doorlint.spec import VOCABULARY

PACKAGE = Path(__file__).parent.parent / "doorlint"


def compiled(kind: Kind, library: Library) -> CompiledRule:
    statement = {
        "id": "shop.own", "title": "t", "severity": "warning", "from": "survey", "message": "m", "why": "w",
        "sign_off": "supervisor", "source": {"standing": "practice", "note": "n"}, "check": kind.example.check,
    }  # fmt: skip
    if kind.example.each is not None:
        statement["each"] = kind.example.each
    return compile_rule(statement, library._names())


def job(values: Mapping[str, Any], library: Library) -> Any:
    keys: dict[str, tuple[str, ...]] = {}
    for name, value in values.items():
        axis = VOCABULARY.term(name).axis
        if axis is not None:
            keys[axis] = tuple(sorted({*keys.get(axis, ()), *value}, key=natural))
    return library.job(dict(values), keys)


def evaluated(rule: CompiledRule, values: Mapping[str, Any], library: Library) -> tuple[Outcome, ...]:
    return Evaluator("shop.own", outline_of(rule).when, lambda: rule).evaluate(job(values, library).cells)


def is_met(rule: CompiledRule, values: Mapping[str, Any], library: Library) -> bool:
    """What the generated source finds."""
    steps = generate(library.graph, [("rule", rule)])(job(values, library), 0)
    next(steps)
    met, left = steps.send({})
    assert left == ([] if met else ["rule"])
    return bool(met)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("side", ["met", "short"])
def test_an_example_comes_out_the_same_at_both_speeds(kind: Kind, side: str, library: Library) -> None:
    rule, values = compiled(kind, library), getattr(kind.example, side)
    states = {outcome.state for outcome in evaluated(rule, values, library)}
    assert states == {"met"} if side == "met" else "short" in states
    assert is_met(rule, values, library) is (side == "met")


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_job_without_the_values_is_unknown_or_short_and_never_met(kind: Kind, library: Library) -> None:
    rule = compiled(kind, library)
    values = {"section.height": {"s1": 0.5}}
    states = {outcome.state for outcome in evaluated(rule, values, library)}
    assert states == ({"unknown"} if kind.compares else {"short"})
    assert not is_met(rule, values, library)


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.has_margin], ids=lambda kind: kind.name)
def test_the_margin_in_the_source_is_the_margin_of_the_verdict(kind: Kind, library: Library) -> None:
    rule = compiled(kind, library)
    compare = kind.comparison(rule)
    sides = (0.3, 0.7, 0.9) if kind.name in {"between", "in_order"} else (0.75, 0.7, 0.1)[: len(rule.sides)]
    names = [f"s{n}" for n in range(len(sides))]
    given = {**dict(zip(names, sides, strict=True)), "inf": float("inf")}
    met, _, _, margin = compare(*sides)
    assert eval(kind.margin_source(names), given) == pytest.approx(margin, rel=1e-12)
    assert eval(kind.source(rule, Sides(names, names), repr, None), given) is met


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.has_margin], ids=lambda kind: kind.name)
def test_no_margin_is_off_by_more_than_the_errors_of_the_sides_allow(kind: Kind, library: Library) -> None:
    compare = kind.comparison(compiled(kind, library))
    sides = {"near": (0.75, 0.7, 0.1), "between": (0.8, 0.7, 0.9), "in_order": (0.3, 0.7, 0.9)}.get(
        kind.name, (0.8, 0.7)
    )
    for errors in ((0.01, 0.0, 0.02), (-0.03, 0.01, 0.0), (0.5, -0.5, 0.5)):
        some = errors[: len(sides)]
        _, _, _, margin = compare(*(side + error for side, error in zip(sides, some, strict=True)))
        assert abs(margin - compare(*sides)[3]) <= kind.margin_error([abs(error) for error in some]) + SLACK


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_which_side_is_worse_agrees_with_the_example(kind: Kind, library: Library) -> None:
    rule = compiled(kind, library)
    (*_, short) = evaluated(rule, kind.example.short, library)
    if short.margin is None:
        with pytest.raises(NotImplementedError, match=type(kind).__name__):
            kind.is_low(0.0, 1.0)
    else:
        assert kind.is_low(short.value, short.limit) is (short.value <= short.limit)


def test_one_of_shows_every_choice(library: Library) -> None:
    rule = compiled(KINDS["one_of"], library)
    (short,) = evaluated(rule, {"track.lift": "vertical"}, library)
    assert (short.state, short.value, short.limit, short.margin) == ("short", "vertical", ("standard", "high"), None)


def test_a_kind_without_an_answer_says_which_it_is() -> None:
    class Bare(Kind):
        name = "bare"
        options = {}  # noqa: RUF012

    with pytest.raises(NotImplementedError, match="Bare"):
        Bare().compile({}, None)  # type: ignore[arg-type]
    with pytest.raises(NotImplementedError, match="Bare"):
        Bare().margin_error([1.0])


def words_of(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


KNOW_RULES = [path for path in sorted(PACKAGE.rglob("*.py")) if "doorlint.rulebook" in path.read_text("utf-8")]
"""Elsewhere such a word is a word: a cable is near or far."""


@pytest.mark.parametrize("path", KNOW_RULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_kinds_word_occurs_outside_its_class(path: Path) -> None:
    own = path.stem if path.parent.name == "kinds" else ""
    assert not {word for word in words_of(path) if word in KINDS} - {own}


def test_the_modules_that_know_rules_are_found() -> None:
    assert {"compiler.py", "codegen.py", "approvals.py", "verdict.py", "error_bounds.py"} <= {
        p.name for p in KNOW_RULES
    }


def test_every_kind_is_in_the_guide_and_has_a_rule(library: Library) -> None:
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text("utf-8")
    assert {rule.kind.name for rule in library.rules.values()} == set(KINDS)
    for kind in KINDS:
        assert f"`{kind}" in text, kind

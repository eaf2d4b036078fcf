"""The working: every figure down to what was measured, shop figures and tables, each part told once."""

from __future__ import annotations

import itertools

import pytest

from doorlint.api import review
from doorlint.derivation import Derivation
from doorlint.resources import folder
from doorlint.rulebook.library import load


def working_of(name: str, more: str = "") -> Derivation:
    text = (folder("sample_specs") / f"{name}.yaml").read_text("utf-8")
    found = review(text + more, name=f"{name}.yaml", on="2026-05-20")
    assert found.job is not None
    return Derivation(found.job, load(), found.system)


def depth(line: str) -> int:
    return (len(line) - len(line.lstrip(" "))) // 2


def test_a_figure_says_what_it_is_its_formula_and_its_value() -> None:
    top = next(working_of("tower-commissioned").lines("tower.cable_tension"))
    assert top == (
        "Tension of each lift cable with the door closed, both sharing alike = weight of the hanging boxes / 4 = 442 lb"
    )


def test_it_goes_down_to_what_was_given_the_shop_and_the_tables() -> None:
    working = working_of("tower-commissioned")
    said = "\n".join(working.lines("box.wanted", "b2"))
    for end in ("(given, /door/sections/*/weight)", "(given, /opening/height/left)", "(given, /track/radius)"):
        assert end in said
    assert "(shop figure)" in said
    assert "(table)" in "\n".join(working.lines("cable.clips_wanted", "near"))


def test_what_replaces_a_shop_figure_says_so() -> None:
    working = working_of("tower-order", "practice: {balance_bias: 2 %}\n")
    assert "(given here in place of the shop's)" in "\n".join(working.lines("box.bias"))


def test_a_figure_of_one_thing_rests_on_values_of_that_thing() -> None:
    lines = list(working_of("tower-commissioned").lines("box.loaded", "b3"))
    assert lines[0].startswith("Weight of the loaded box, b3 = ")
    assert any("(given, /tower/boxes/b3/plates)" in line for line in lines)
    assert not any("/tower/boxes/b2/" in line for line in lines)


@pytest.mark.parametrize("name", ["tower.rest_gap", "box.wanted", "hanger.load"])
def test_parts_are_told_once_and_stand_one_deeper(name: str) -> None:
    lines = list(working_of("tower-commissioned").lines(name))
    assert depth(lines[0]) == 0
    assert all(depth(after) <= depth(before) + 1 for before, after in itertools.pairwise(lines))
    told = [line.strip() for line in lines if not line.endswith("(as above)")]
    assert len(told) == len(set(told)) > 5


def test_every_figure_of_a_job_has_its_working() -> None:
    working = working_of("tower-commissioned")
    for node in working.job.graph.nodes.values():
        step = working.step(node.name) if node.function is not None else None
        if step is not None:
            assert step.label
            assert step.how
            assert step.source is not None
            assert all(working.step(*part) is not None for part in step.parts), step


def test_what_has_no_value_has_no_step() -> None:
    working = working_of("tower-order")
    assert working.step("torsion.rate") is None
    assert list(working.lines("torsion.rate")) == []
    assert working.step("tower") is None


def test_a_rule_shows_what_it_compares_and_one_deep_what_that_rests_on() -> None:
    library = load()
    compared = working_of("tower-order").compared(library.rules["headroom.swept"], None)
    assert compared.check.startswith("value: room.headroom; at least: ")
    depths = {step.name: depth for depth, step in compared.steps}
    assert depths["room.headroom"] == 0
    assert set(depths.values()) == {0, 1}


def test_under_tells_results_before_what_they_were_made_from() -> None:
    steps = working_of("tower-order").under(["tower.rest_gap"])
    names = [step.name for step in steps]
    assert names[0] == "tower.rest_gap"
    assert len(names) == len(set(names))
    for step in steps:
        assert all(read in names for read in step.reads)

"""What a dial of the stock comes to once it is compiled."""

from __future__ import annotations

from math import inf
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.figures.graph import Unknown
from doorlint.rulebook.adjustments import Adjustment, ComputedValue, adjustments
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library

INCH = 0.0254


def made(library: Library, **said: Any) -> Adjustment:
    (dial,) = adjustments([("shop", [{"dial": "it", "kind": "part", "say": "it", **said}])], library.graph)
    return dial


def test_what_a_dial_does_not_say(library: Library) -> None:
    dial = made(library, set="track.radius", to=["12 in", "15 in"])
    assert (dial.sets, dial.axis, dial.dimension) == ("track.radius", None, "length")
    assert dial.values == pytest.approx((12 * INCH, 15 * INCH))
    assert (dial.least, dial.most, dial.within, dial.only) == (0.0, inf, inf, None)
    assert (dial.step, dial.formula, dial.multiple, dial.above, dial.together, dial.adds) == (
        None, None, None, False, False, False
    )  # fmt: skip
    assert (dial.parts, dial.when, dial.along, dial.scale, dial.carry, dial.confirm) == ((), {}, {}, (), (), ())
    assert dial.names == ("track.radius",)


def test_what_a_dial_says(library: Library) -> None:
    dial = made(
        library, set="section.height", step={"us": "1 in", "si": "25 mm"}, least="18 in", most="24 in", within="3 in",
        only="more", things="all", scale=["section.weight"], carry=["section.second_moment"], confirm=["section.hinge"],
        when={"tower": "given", "track.high_lift": "absent", "track.lift": ["high"], "section.strut.kind": "hat"},
    )  # fmt: skip
    assert dial.step == pytest.approx({"us": INCH, "si": 0.025})
    assert (dial.least, dial.most, dial.within) == pytest.approx((18 * INCH, 24 * INCH, 3 * INCH))
    assert (dial.axis, dial.only, dial.together, dial.adds) == ("section", "more", True, False)
    assert dial.when == {
        "tower": True, "track.high_lift": False, "track.lift": {"high"}, "section.strut.kind": {"hat"}
    }  # fmt: skip
    assert (dial.scale, dial.carry) == (("section.weight",), ("section.second_moment",))
    assert dial.confirm == ("section.hinge",)
    assert dial.names == ("section.height", "section.weight", "section.second_moment")


def test_a_position_may_lie_on_either_side(library: Library) -> None:
    dial = made(library, kind="building work", set="obstruction.left", to=["-1 in", "1 in"])
    assert dial.least == -inf
    assert dial.values == pytest.approx((-INCH, INCH))


@pytest.mark.parametrize(
    ("name", "said", "values"),
    [
        ("hanger.braced_along", ["true", "false"], (True, False)),
        ("box.plates", ["2", "30"], (2, 30)),
        ("track.lift", ["high"], ("high",)),
    ],
)
def test_values_are_read_as_what_they_are(
    name: str, said: list[str], values: tuple[object, ...], library: Library
) -> None:
    assert made(library, set=name, to=said).values == values


def test_what_comes_with_a_dial_is_a_value_a_formula_or_taken_away(library: Library) -> None:
    dial = made(
        library, set="section.strut.kind",
        parts=[
            {"section.strut.kind": "hat", "section.weight": "section.weight + '2 lb'"}, {"section.strut.height": None}
        ],
        **{"with": {"track.lift": "high", "track.vertical_length": None}},
    )  # fmt: skip
    assert dial.along == {"track.lift": "high", "track.vertical_length": None}
    first, second = dial.parts
    assert (first["section.strut.kind"], second) == ("hat", {"section.strut.height": None})
    heavier = first["section.weight"]
    assert isinstance(heavier, ComputedValue)
    spec = base("tower-order")
    job = library.job(spec.values, spec.keys)
    assert heavier.of(job, "s3") - job.at("section.weight", "s3") == pytest.approx(2 * 4.4482216152605)
    assert dial.names == (
        "section.strut.kind", "track.lift", "track.vertical_length", "section.weight", "section.strut.height"
    )  # fmt: skip


def test_a_value_is_worked_out_of_the_job_or_of_each_thing(library: Library) -> None:
    spec = base("tower-order")
    job = library.job(spec.values, spec.keys)
    whole = made(library, set="tower.hook_up_height", work_out="tower.hook_up_mark - '1 in'").formula
    each = made(library, set="cable.length", work_out="cable.cut_length").formula
    assert whole is not None
    assert each is not None
    assert whole.of(job, None) == pytest.approx(job.cell("tower.hook_up_mark") - INCH)
    assert {key: each.of(job, key) for key in ("near", "far")} == job.cell("cable.cut_length")
    lacking = job.with_changes({"door.sections": None, "section.height": dict.fromkeys(job.keys["section"])})
    assert isinstance(whole.of(lacking, None), Unknown)


@pytest.mark.parametrize(("to", "above"), [("above", True), ("nearest", False)])
def test_what_is_worked_out_is_rounded_up_or_to_the_nearest(to: str, above: bool, library: Library) -> None:
    dial = made(
        library, set="cable.length", work_out="cable.cut_length", round={"us": "1/2 in", "si": "10 mm", "to": to}
    )
    assert dial.multiple == pytest.approx({"us": INCH / 2, "si": 0.01})
    assert dial.above is above


def test_one_more_thing_may_be_all_that_its_neighbour_is(library: Library) -> None:
    dial = made(library, set="hanger.station", add="hanger", to=["3 ft"])
    assert dial.adds
    assert {"hanger.station", "hanger.leg_a", "hanger.fixing.kind"} < set(dial.names)
    with pytest.raises(BrokenRules, match=r"add: track\.radius is no value of each hanger"):
        made(library, set="track.radius", add="hanger", to=["12 in"])


def test_what_is_measured_is_changed_by_building_work_alone(library: Library) -> None:
    assert made(library, kind="building work", set="room.headroom", to=["5 ft"]).kind == "building work"
    with pytest.raises(BrokenRules, match=r"room\.headroom is measured"):
        made(library, kind="adjustment", set="track.radius", to=["5 ft"], carry=["room.headroom"])


def test_a_later_dial_takes_the_place_of_one_of_its_name(library: Library) -> None:
    said = {"dial": "it", "kind": "part", "say": "it", "set": "track.radius"}
    found = adjustments([("shop", [{**said, "to": ["12 in"]}]), ("own", [{**said, "to": ["15 in"]}])], library.graph)
    assert len(found) == 1
    assert found[0].values == pytest.approx((15 * INCH,))

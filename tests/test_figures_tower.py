"""The counterweight worked out by hand for a door where that can be done on a sheet of paper.

Six sections of 24 in, level track, curve of 12 in: with any joint at the end of the curve the roller below it
is still in the vertical track, so a section's share of its own weight is the lever rule's.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from doorlint.figures.graph import Job, Unknown
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import RULE, load

IN, LB = 0.0254, 4.4482216152605
WEIGHTS = (172.0, 148.0, 190.0, 148.0, 148.0, 160.0)
LEVEL: dict[str, Any] = {"track": {"rise": "0 in/ft", "radius": "12 in"}}
UNLOADED: dict[str, Any] = {"tower": {"boxes": {f"b{k}": {"plates": None} for k in range(1, 7)}}}
KEYS = tuple(f"b{k}" for k in range(1, 7))


def job(*patches: dict[str, Any]) -> Job:
    spec = base("tower-order")
    for patch in (LEVEL, UNLOADED, *patches):
        spec = spec.patched(patch)
    assert not spec.problems
    return load().job(spec.values, spec.keys)


def column(made: Job, name: str, unit: float) -> list[float | None]:
    return [None if value is None else value / unit for value in made.cell(name).values()]


@pytest.fixture(scope="module")
def level() -> Job:
    return job()


def test_pull_at_every_mark(level: Job) -> None:
    # f1 = (12 - 3)/(24 - 3), f6 = 12/(24 - 3), else one half
    below = 0.0
    by_hand = []
    for k, weight in enumerate(WEIGHTS):
        share = 9 / 21 if k == 0 else 12 / 21 if k == 5 else 1 / 2
        by_hand.append(below + (1 - share) * weight)
        below += weight
    assert column(level, "section.mark_pull", LB) == pytest.approx(by_hand, abs=1e-9)
    assert by_hand == pytest.approx([98.2857, 246, 415, 584, 732, 874.5714], abs=1e-4)


def test_travel_at_every_mark(level: Job) -> None:
    # the roller below stands sqrt(d^2 - R^2) under the end of the curve, which is 150 in up
    short, full = math.sqrt(21**2 - 12**2), math.sqrt(24**2 - 12**2)
    by_hand = [150 - short - 3, *(150 - full - 24 * k for k in range(1, 5)), 150 - short - 120]
    assert column(level, "box.mark_travel", IN) == pytest.approx(by_hand, abs=1e-9)


def test_targets_and_plates(level: Job) -> None:
    targets = [2 * 1.01 * pull for pull in (98.285714, 246, 415, 584, 732, 874.571429)]
    assert column(level, "box.target", LB) == pytest.approx(targets, abs=1e-4)
    # 198.5 - 28 = 170.5: 17 plates, 198 lb; 496.9 - 198 - 28: 27; 838.3 - 496 - 28: 31; and so on
    assert list(level.cell("box.plates_wanted").values()) == [17, 27, 31, 32, 27, 26]
    assert column(level, "box.hanging", LB) == pytest.approx([198, 496, 834, 1182, 1480, 1768])
    # with chains that never come tight before the mark the boxes to here hang there and no others
    late = job({"tower": {"boxes": {key: {"chain": {"pitch": "1.01 in"}} for key in KEYS[:-1]}}})
    residual = [99 - 98.285714, 248 - 246, 417 - 415, 591 - 584, 740 - 732, 884 - 874.571429]
    tight = [*column(late, "box.tight_at", IN)[:-1], -math.inf]
    for mark, at, left, by_hand in zip(
        column(late, "box.mark_travel", IN), tight, column(late, "box.residual", LB), residual, strict=True
    ):
        assert mark is not None
        if at is not None and at < mark:
            assert left == pytest.approx(by_hand, abs=1e-5)


def test_closed_door_keeps_itself_shut(level: Job) -> None:
    # the part of the top section that is never counted is 12/21 of 160 lb, less the bias
    assert level.cell("door.pull_closed") / LB == pytest.approx(965.4, abs=0.6)
    assert level.cell("tower.residual_closed") / LB == pytest.approx(-160 * 12 / 21 + 9.43, abs=0.7)
    assert level.cell("door.residual_largest") == level.cell("tower.residual_closed")


def test_cable_tension_and_head(level: Job) -> None:
    assert level.cell("tower.cable_tension") / LB == pytest.approx(442)
    assert level.cell("tower.cable_tension_alone") / LB == pytest.approx(884)
    assert level.cell("tower.head_load") / LB == pytest.approx(2210)
    assert level.cell("tower.head_side_load") / LB == pytest.approx(442)


def test_chain_slack(level: Job) -> None:
    marks = column(level, "box.mark_travel", IN)
    weights, rates = [198, 298, 338, 348, 298, 288], [57, 66, 68, 58, 56]
    stops, links = [5.4, 5.1, 5.1, 5.1, 5.1], [6, 7, 7, 7, 7]
    by_hand = []
    for k in range(5):  # a spring above carries what hangs below it, up to its stop
        stretches = [min(sum(weights[i + 1 : k + 1]) / rates[i], stops[i]) for i in range(k)]
        by_hand.append(73 - marks[k] / 2 - sum(links[:k]) - sum(stretches))
    assert column(level, "box.slack", IN)[:5] == pytest.approx(by_hand, abs=1e-9)
    assert column(level, "box.slack", IN)[5] is None
    assert column(level, "box.chain_load", LB) == pytest.approx([1570, 1272, 934, 586, 288, None])


def test_spring_is_stretched_when_the_joint_is_half_way(level: Job) -> None:
    # joint 2 leaves the curve at its start when 138 - 48 in are travelled
    assert column(level, "box.stretch_wanted", IN)[1] == pytest.approx((150 - math.sqrt(24**2 - 12**2) - 24 - 90) / 4)


def test_height_of_the_tower(level: Job) -> None:
    assert level.cell("tower.height_needed") / IN == pytest.approx(4 + 6 * 12 + 73 + 4 + 6 + 3)
    assert level.cell("tower.hook_up_mark") / IN == pytest.approx(73)


def test_cables(level: Job) -> None:
    # head pulley 164 in, bottom roller 3 in, moving pulley 153 in, eyes 168 in; pulleys 5 in, rope 1/4 in, ends 6 in
    near = (164 - 3) + (164 - 153) + (168 - 153) + math.pi * 5.25 + 12
    assert level.at("cable.cut_length", "near") / IN == pytest.approx(near)
    assert level.at("cable.cut_length", "far") / IN == pytest.approx(near + 152)


def test_bias_may_be_a_force(level: Job) -> None:
    lighter = job({"tower": {"bias": "15 lb"}})
    first = (level.at("box.target", "b1") / 1.01 + 2 * 15 * LB) / LB
    assert lighter.at("box.target", "b1") / LB == pytest.approx(first)


def test_one_box_for_two_sections() -> None:
    served = {"b2": ["s2", "s3"], "b3": ["s4"], "b4": ["s5"], "b5": ["s6"]}
    boxes: dict[str, Any] = {key: {"sections": sections} for key, sections in served.items()}
    merged = job({"tower": {"boxes": {**boxes, "b6": None}}})
    assert list(merged.cell("box.mark_roller").values()) == [1, 3, 4, 5, 6]
    assert column(merged, "box.mark_pull", LB) == pytest.approx([98.285714, 415, 584, 732, 874.571429], abs=1e-5)
    # the spring under b1, short of its stop under the heavier box, carries b2 on its coil and b3 on its stop
    assert column(merged, "box.slack", IN)[1] == pytest.approx(73 - 81.21539 / 2 - 6 - 5.4, abs=1e-4)


def test_an_empty_box_over_its_target_takes_no_plates() -> None:
    heavy = job({"tower": {"boxes": {"b1": {"tare": "260 lb"}}}})
    plates = list(heavy.cell("box.plates_wanted").values())
    assert plates[0] == 0
    # b2 makes good what b1 has too much: 496.92 - 260 - 28 = 208.92
    assert plates[1] == 21


def test_boxes_whose_mark_is_not_reached_hang_together() -> None:
    lifted = job({"track": {"lift": "high", "high_lift": "30 in"}})
    assert lifted.cell("section.mark_travel")["s1"] is None
    first = lifted.cell("stack.first_group")
    assert first > 1
    targets, pulls = column(lifted, "box.target", LB), column(lifted, "box.mark_pull", LB)
    assert pulls[: first - 1] == [None] * (first - 1)
    assert targets[first - 1] == pytest.approx(2 * 1.01 * pulls[first - 1])
    shares = [WEIGHTS[0] / sum(WEIGHTS[:first]) * targets[first - 1]]
    assert targets[:1] == pytest.approx(shares)
    assert column(lifted, "box.slack", IN)[: first - 1] == [None] * (first - 1)


def test_vertical_lift_is_one_group_balanced_closed() -> None:
    straight = job({"track": {"lift": "vertical", "radius": None, "rise": None, "horizontal_length": None}})
    assert straight.cell("stack.first_group") == 6
    assert column(straight, "box.target", LB)[-1] == pytest.approx(2 * 1.01 * 966)
    assert straight.cell("door.pull_open") / LB == pytest.approx(966)
    assert column(straight, "box.slack", IN) == [None] * 6


def test_a_door_on_double_track_is_asked_for_its_upper_guide() -> None:
    for name in ("door.open_travel", "box.target", "sweep.height", "tower.rest_gap"):
        cell = job({"track": {"lift": "low-headroom"}}).cell(name)
        assert isinstance(cell, Unknown)
        assert cell.reason == "input missing"
        assert all(pointer.startswith(("/track/", "/door/")) for pointer in cell.missing)


def test_a_missing_weight_is_asked_for_and_never_nothing() -> None:
    lacking = job({"door": {"sections": {"s3": {"weight": None}}}})
    for name in ("box.plates_wanted", "tower.cable_tension", "door.residual_closed"):
        cell = lacking.cell(name)
        assert isinstance(cell, Unknown)
        assert "/door/sections/s3/weight" in cell.missing or "/door/sections" in cell.missing
    assert not isinstance(lacking.cell("sweep.height"), Unknown)


def test_a_missing_spring_rate_is_planned_for_and_asked_for() -> None:
    lacking = job({"tower": {"boxes": {"b2": {"chain": {"spring": {"rate": None, "stretch_at_stop": None}}}}}})
    parts = lacking.at("box.chain_parts", "b2")
    assert parts.rate == pytest.approx(lacking.at("box.rate_wanted", "b2"))
    assert parts.stop == pytest.approx(lacking.at("box.next_loaded", "b2") / parts.rate)
    asked = lacking.cell(RULE + "completeness-tower.spring")
    assert [one.missing for one in asked if one.state != "met"] == [("/tower/boxes/b2/chain/spring/rate",)]


def test_readings_tell_which_box_is_short() -> None:
    spec = base("tower-commissioned").patched(
        {"as_built": {"readings": {"mark-3": {"up": "32.5 lb", "down": "-12.5 lb"}}}}
    )
    made = load().job(spec.values, spec.keys)
    # b3 and all below read 10 lb heavy at mark 3: with the bias of 4.3 lb that is 28.6 lb of plates, three of 10 lb
    assert made.at("reading.imbalance", "mark-3") / LB == pytest.approx(10)
    assert made.at("reading.friction", "mark-3") / LB == pytest.approx(22.5)
    assert made.at("box.plates_correction", "b3") == 3
    assert made.at("box.plates_correction", "b4") == -3


def test_the_lowest_box_is_asked_for_no_chain() -> None:
    whole = job({"tower": {"boxes": {"b2": {"chain": {"pitch": None}}}}})
    assert whole.cell("box.chain_plan").missing == ("/tower/boxes/b2/chain/pitch",)
    assert job().at("box.links_wanted", "b6") is None

"""Service jobs: the work list of each, pinned, and held box by box and turn by turn against plain statics."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion

from doorlint.batch import Call
from doorlint.changes.comparison import Change
from doorlint.commands import change as change_command
from doorlint.reports import renderer
from doorlint.revisions import source_of
from doorlint.verdict import Policy
from doorlint.work_list import Item, work_list

HERE = Path(__file__).parent / "service"
SAMPLES = Path(__file__).parents[2] / "sample_specs"
DAY = "2026-04-03"
INCH = 0.0254
APPROVED = {
    "heavier-section": "tower-install",
    "glass-in-two": "tower-install",
    "motor": "tower-install",
    "other-wire": "torsion-install",
    "opening-higher": "tower-install",
}


def done(story: str) -> Change:
    sides = (str(SAMPLES / f"{APPROVED[story]}.yaml"), str(HERE / f"{story}.yaml"))
    return change_command.change(*map(source_of, sides), Call((), None, Policy(DAY)))


def items(change: Change) -> dict[str, list[Item]]:
    found: dict[str, list[Item]] = {}
    for step in work_list(change).steps:
        for item in step.items:
            found.setdefault(item.name, []).append(item)
    return found


def by_thing(change: Change, name: str) -> dict[str, float]:
    """How much a figure moves at each thing, of the work list."""
    moved: dict[str, float] = {}
    for item in items(change).get(name, []):
        assert isinstance(item.before, float)
        assert isinstance(item.after, float)
        moved |= dict.fromkeys(item.things or ("",), item.after - item.before)
    return moved


@pytest.mark.parametrize("story", APPROVED)
def test_the_work_list_and_the_parts(story: str, snapshot: SnapshotAssertion) -> None:
    text = renderer("change", "text")(done(story), "0.0.0", DAY)
    found = re.search(r"\nWORK LIST\n.*?(?=\n\n\d)", text, re.DOTALL)
    assert found is not None
    assert found[0] == snapshot


@pytest.mark.parametrize(("story", "pounds"), [("heavier-section", 40), ("glass-in-two", 50)])
def test_boxes_hold_what_the_door_gains_twice_over(story: str, pounds: float) -> None:
    """The cables lead to a moving pulley: boxes go half as far as the door and weigh twice what they hold."""
    plates = by_thing(done(story), "box.plates_wanted")
    assert sum(plates.values()) == pytest.approx(2 * pounds / 10)  # plates of 10 lb
    assert {"b1", "b2"}.isdisjoint(plates), "they balance the sections below, which weigh what they did"
    assert all(more > 0 for more in plates.values())


def test_a_motor_moves_no_plate_and_is_ordered() -> None:
    change = done("motor")
    (step,) = work_list(change).steps
    assert step.title == "Fit the drive and its controls"
    assert [(piece.part, piece.count) for piece in work_list(change).order] == [("operator", 1)]
    assert [(piece.part, piece.count) for piece in work_list(change).left_over] == [("operator", 1)]


def test_another_wire_is_wound_by_its_rate() -> None:
    """A spring's torque is rate times turns, and the door needs the torque that it did."""
    change = done("other-wire")
    turns = items(change)["setting.turns"][0]
    was, now = change.approved.job, change.proposed.job
    assert was is not None
    assert now is not None
    rates = [job.cell("torsion.rate") for job in (was, now)]
    assert isinstance(turns.before, float)
    assert turns.after == pytest.approx(turns.before * rates[0] / rates[1], rel=2e-3)
    order = work_list(change).order
    assert [piece.part for piece in order] == ["torsion spring", "torsion spring"]
    assert all("0.3625 in wire" in piece.size for piece in order)


def test_a_header_that_went_up_takes_every_mark_with_it() -> None:
    change = done("opening-higher")
    for name in ("track.tangent_height", "hanger.track_height", "box.mark_height", "door.bracket_open"):
        moved = by_thing(change, name)
        assert moved
        assert all(more == pytest.approx(6 * INCH) for more in moved.values()), name
    assert work_list(change).measure == ("/opening/diagonal", "/room/headroom")
    assert change.proposed.spec is not None
    assert change.proposed.spec.values["room.headroom"] == pytest.approx(20 * INCH)
    assert change.decision == "hold"
    held = {shift.rule for shift in change.shifts if shift.severity == "error"}
    assert "opening.diagonals-agree" in held, "on hold until the diagonals are measured again"


def test_what_was_measured_again_is_not_asked_for_again(tmp_path: Path) -> None:
    """A low header: three heights, the diagonals and the headroom."""
    low = tmp_path / "low.yaml"
    low.write_text(
        "opening: {height: {left: 142 in, middle: 142 in, right: 142 in}, "
        "diagonal: {rising: 202.19 in, falling: 202.19 in}}\nroom: {headroom: 26 in}\n",
        "utf-8",
    )
    approved = source_of(str(SAMPLES / "tower-install.yaml"))
    change = change_command.change(approved, source_of(str(low)), Call((), None, Policy(DAY)))
    assert work_list(change).measure == ()
    assert change.followed == ()
    assert change.proposed.spec is not None
    assert change.proposed.spec.values["room.headroom"] == pytest.approx(26 * INCH)


@pytest.mark.parametrize("story", APPROVED)
def test_every_step_says_how_the_door_is_made_safe(story: str) -> None:
    steps = work_list(done(story)).steps
    assert steps
    assert all(step.lock_off.startswith("Lock the door") for step in steps)


@pytest.mark.parametrize("story", APPROVED)
def test_each_figure_is_told_once(story: str) -> None:
    text = renderer("change", "text")(done(story), "0.0.0", DAY)
    moved = text.partition("\nFIGURES THAT MOVE\n")[2]
    assert "Plates to load" not in moved
    assert "start of the curve" not in moved

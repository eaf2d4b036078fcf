"""Changes as they come up on site, each with its whole report; what they decide, and why, is asserted beside it."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any

import needs
import pytest
from shared import Run, steady

from doorlint.batch import Call
from doorlint.changes.comparison import Change
from doorlint.commands import change as change_command
from doorlint.reports import renderer
from doorlint.revisions import source_of
from doorlint.verdict import Policy

HERE = Path(__file__).parent
HOUSE = HERE.parent / "house" / "stricter"
DAY = "2026-04-03"
STORIES = sorted(path for story in HERE.iterdir() for path in story.glob("p*.yaml"))

DECISIONS = {
    "header-low/patch": "hold",
    "header-low/patch-tighter-curve": "hold",
    "tower-other-side/patch": "hold",
    "heavier-glass/patch": "hold",
    "hanger-moved/patch": "nothing new",
    "hanger-moved/patch-one-more": "hold",
    "metric-inch-patch/patch": "nothing new",
    "rule-made-stricter/patch": "sign-off",
    "two-revisions/proposed": "nothing new",
}


WHOLE = {"metric-inch-patch/patch"}
"""The story that keeps what moves and is not set out by, too: every figure that is added shows there."""


def name_of(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


def changed(approved: str, proposed: str, on: str, houses: tuple[Path, ...] = ()) -> Change:
    return change_command.change(source_of(approved), source_of(proposed), Call(houses, None, Policy(on)))


def told(name: str, monkeypatch: pytest.MonkeyPatch, houses: tuple[Path, ...] = ()) -> Change:
    """The story's change, its files named as somebody in the folder would."""
    story, _, proposed = name.partition("/")
    monkeypatch.chdir(HERE / story)
    return changed("approved.yaml", f"{proposed}.yaml", DAY, houses)


def kinds(change: Change) -> set[tuple[str, str, str]]:
    return {(shift.kind, shift.rule, shift.thing or "") for shift in change.shifts if shift.kind != "as before"}


def moved(change: Change) -> dict[tuple[str, str | None], tuple[Any, Any]]:
    return {(move.name, move.key): (move.before, move.after) for move in change.moves}


@pytest.mark.parametrize("path", STORIES, ids=name_of)
def test_the_decision_and_the_whole_report(path: Path, monkeypatch: pytest.MonkeyPatch, snapshot: Any) -> None:
    change = told(name_of(path), monkeypatch)
    assert change.decision == DECISIONS[name_of(path)]
    assert change.approved.verdict == "clear"
    text = steady(renderer("change", "text")(change, "0.0.0", DAY))
    if name_of(path) not in WHOLE:
        text = re.sub(r"(?<=\nFIGURES THAT MOVE\n).*?\n(?=\nCAUTIONS\n)", "", text, flags=re.DOTALL)
        text = re.sub(r"\b\d+ figures move", "N figures move", text)
    assert text == snapshot


def test_a_low_header_holds_the_job_on_headroom(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("header-low/patch", monkeypatch)
    assert {("new", "headroom.swept", ""), ("new", "headroom.hardware", "")} <= kinds(change)
    before, after = moved(change)["track.tangent_height", None]
    assert after - before == pytest.approx(-3 * 0.0254)  # the curve starts 6 in below the header, wherever that is


def test_a_tighter_curve_finds_the_headroom_but_turns_the_door_into_the_shaft(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("header-low/patch-tighter-curve", monkeypatch)
    assert kinds(change) == {
        ("new", "shaft.door-clear", ""),
        ("worse", "shaft.door-room", ""),
        ("new", "torsion.drifts", ""),
    }
    needed = moved(change)["sweep.headroom_needed", None][1]
    assert needed < 12.75 * 0.0254
    assert moved(change)["sweep.height", None][1] < moved(change)["sweep.height", None][0]


def test_the_tower_finds_no_room_on_the_other_side(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("tower-other-side/patch", monkeypatch)
    assert ("new", "room.side-tower", "") in kinds(change)
    old, new = (moved(change)["mount.bearing", f"head-{side}"] for side in ("left", "right"))
    assert old == pytest.approx(new[::-1])  # the heavy head plate changes sides with the tower


def test_heavier_glass_wants_more_plates_from_its_box_on(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("heavier-glass/patch", monkeypatch)
    plates = {key: after - before for (name, key), (before, after) in moved(change).items()
              if name == "box.plates_wanted"}  # fmt: skip
    assert sum(plates.values()) == pytest.approx(5)  # 24 lb of glass, held twice over, 10 lb a plate
    assert "b1" not in plates
    assert {thing for kind, rule, thing in kinds(change) if rule == "tower.plates"} >= {"b3"}


def test_a_hanger_that_moves_shifts_load_on_its_own_side_only(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("hanger-moved/patch", monkeypatch)
    loads = {key for name, key in moved(change) if name == "hanger.load"}
    assert loads == {"left-1", "left-2"}
    pipe = next(edit for edit in change.edits if edit.pointer == "/room/obstructions/sprinkler")
    assert pipe.before is None
    assert pipe.after is not None
    assert "underside 14'-6\"" in pipe.after


def test_a_hanger_nobody_described_holds_the_job(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("hanger-moved/patch-one-more", monkeypatch)
    assert [edit.before for edit in change.edits if edit.pointer == "/hangers/left-1a"] == [None]
    lacking = {shift.pointer for shift in change.shifts if shift.rule == "completeness.hanger"}
    assert "/hangers/left-1a/ceiling_capacity" in lacking
    assert any(kind == "not checked" and thing == "left-1a" for kind, _, thing in kinds(change))


def test_an_inch_tape_on_a_metric_job(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("metric-inch-patch/patch", monkeypatch)
    assert {edit.pointer for edit in change.edits} == {"/room/headroom", "/track/wall_offset"}  # 3 in is 76.2 mm
    text = renderer("change", "text")(change, "0.0.0", DAY)
    assert "700 mm before, now 26 in (660 mm)" in text


def test_a_stricter_rule_opens_what_was_signed_off(monkeypatch: pytest.MonkeyPatch) -> None:
    change = told("rule-made-stricter/patch", monkeypatch)
    assert len(change.approved.approved) == 2
    assert not change.proposed.approved
    assert {(kind, rule) for kind, rule, _ in kinds(change)} == {
        ("worse", "opening.square"), ("worse", "track.bracket-spacing"), ("new", "approval.worsened")
    }  # fmt: skip


def test_house_rules_made_stricter_open_it_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """A house that allows a quarter inch between the diagonals: the sign-off against half an inch is not for that."""
    change = told("rule-made-stricter/patch", monkeypatch, houses=(HOUSE,))
    signed = {approved.finding.rule for approved in change.approved.approved}
    assert signed == {"track.bracket-spacing"}
    worsened = [shift for shift in change.shifts if shift.rule == "approval.worsened"]
    assert {(shift.kind, shift.pointer) for shift in worsened} == {
        ("as before", "/approvals/diagonals"), ("new", "/approvals/brackets")
    }  # fmt: skip


def test_a_lapsed_sign_off_is_open_on_both_sides_and_nothing_new(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HERE / "rule-made-stricter")
    change = changed("approved.yaml", "approved.yaml", "2026-10-01")
    assert change.decision == "nothing new"
    assert {shift.kind for shift in change.shifts} == {"as before"}
    assert {shift.rule for shift in change.shifts} == {"opening.square", "track.bracket-spacing", "approval.lapsed"}


@pytest.fixture
def history(tmp_path: Path) -> Path:
    """A repository with a door as approved, and as proposed in the commit after it."""
    git = needs.command("git")
    folder = tmp_path / "books"
    (folder / "doors").mkdir(parents=True)
    who = ["-c", "user.name=office", "-c", "user.email=office@door.invalid", "-c", "commit.gpgsign=false"]
    subprocess.run([git, "init", "--quiet", "--initial-branch=main", folder], check=True)
    for side in ("approved", "proposed"):
        text = (HERE / "two-revisions" / f"{side}.yaml").read_text("utf-8")
        (folder / "doors" / "d-11.yaml").write_text(text, "utf-8")
        subprocess.run([git, "-C", folder, "add", "."], check=True)
        subprocess.run([git, "-C", folder, *who, "commit", "--quiet", "-m", side], check=True)
    return folder


def test_one_file_at_two_revisions(run: Run, history: Path) -> None:
    words = ("change", "main~1:doors/d-11.yaml", "main:doors/d-11.yaml", "--on", DAY, "--as", "json")
    done = run(*words, cwd=history)
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert {edit["pointer"] for edit in found["edits"]} == {
        "/job/prepared_on", "/job/notes", "/door/sections/s3/weight", "/torsion/wound"
    }  # fmt: skip
    assert found["approved"]["file"] == "main~1:doors/d-11.yaml"
    inside = run("change", "main~1:d-11.yaml", "d-11.yaml", "--on", DAY, "--as", "json", cwd=history / "doors")
    assert json.loads(inside.stdout)["edits"] == found["edits"]  # a path is one of the working folder, as for files


@pytest.mark.parametrize("side", ["main:doors/none.yaml", "gone:doors/d-11.yaml", "--help:doors/d-11.yaml", "a b:x"])
def test_a_revision_that_is_not_there_exits_2(run: Run, history: Path, side: str) -> None:
    done = run("change", "--", "doors/d-11.yaml", side, cwd=history)
    assert (done.returncode, done.stdout) == (2, "")
    assert "git knows no such file" in done.stderr or "is not a git revision" in done.stderr


def test_why_git_has_no_such_file_is_told_in_its_words(run: Run, history: Path) -> None:
    for side, name in (("gone:doors/d-11.yaml", "'gone'"), ("main:doors/none.yaml", "'doors/none.yaml'")):
        done = run("change", "doors/d-11.yaml", side, cwd=history, LC_ALL="C")
        (line,) = done.stderr.splitlines()
        assert name in line.partition("; it says: fatal: ")[2], line


@pytest.mark.parametrize("path", STORIES, ids=name_of)
def test_the_command_exits_by_the_decision(run: Run, path: Path) -> None:
    done = run("change", path.parent / "approved.yaml", path, "--on", DAY)
    assert done.returncode == (0 if DECISIONS[name_of(path)] == "nothing new" else 1), done.stderr
    assert done.stdout.splitlines()[-1] == f"DECISION  {DECISIONS[name_of(path)]}"

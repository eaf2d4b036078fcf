"""What a sign-off is held to beside its value: its terms, who gives it, and the file it may stand in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from shared import DAY, FORMS, ROOT, Run

from doorlint.errors import WrongCall
from doorlint.sign_off_files import sign_offs_beside
from doorlint.sources import Source, gather

WIDE = (
    (ROOT / "sample_specs" / "tower-install.yaml")
    .read_text("utf-8")
    .replace("bracket_spacing: 24 in", "bracket_spacing: 30 in")
)
SIGNED = {
    "rule": "track.bracket-spacing", "pointer": "/track/bracket_spacing", "value": "30 in", "limit": "24 in",
    "reason": "posts", "by": "supervisor RT", "on": "2026-03-10", "until": "2026-05-31",
}  # fmt: skip


def block(**changed: str) -> str:
    return "approvals:\n  posts: " + json.dumps({**SIGNED, **changed}) + "\n"


@pytest.fixture
def door(tmp_path: Path) -> Path:
    path = tmp_path / "d.yaml"
    path.write_text(WIDE, "utf-8")
    assert "30 in" in WIDE
    return path


def review(run: Run, door: Path, *words: str) -> dict[str, object]:
    found: dict[str, object] = json.loads(run("review", door, "--as", "json", "--on", DAY, *words).stdout)["specs"][0]
    return found


def rules(found: dict[str, object]) -> set[str]:
    return {finding["rule"] for finding in found["findings"]}  # type: ignore[index, attr-defined, union-attr]


@pytest.mark.parametrize(
    ("changed", "rule"),
    [
        ({"value": "300 ft"}, "approval.too-wide"),
        ({"value": "34 in"}, "approval.too-wide"),
        ({"limit": "0 in"}, "approval.too-wide"),
        ({"limit": "21 in"}, "approval.too-wide"),
    ],
)
def test_a_sign_off_far_from_what_is_found_is_a_warning(
    run: Run, door: Path, changed: dict[str, str], rule: str
) -> None:
    door.write_text(WIDE + block(**changed), "utf-8")
    found = review(run, door)
    assert rule in rules(found)
    assert found["approved"]


@pytest.mark.parametrize("changed", [{}, {"value": "33 in"}, {"limit": "22 in"}])
def test_a_sign_off_near_what_is_found_is_none(run: Run, door: Path, changed: dict[str, str]) -> None:
    door.write_text(WIDE + block(**changed), "utf-8")
    found = review(run, door)
    assert found["approved"]
    assert not rules(found) & {"approval.too-wide", "track.bracket-spacing"}


@pytest.mark.parametrize(
    ("changed", "rule"),
    [
        ({"until": "9999-12-31"}, "approval.too-long"),
        ({"until": "2026-06-09"}, "approval.too-long"),
        ({"on": "2026-03-18"}, "approval.lapsed"),
        ({"on": "2027-03-10", "until": "2027-04-10"}, "approval.lapsed"),
    ],
)
def test_a_sign_off_out_of_its_time_does_not_count(run: Run, door: Path, changed: dict[str, str], rule: str) -> None:
    door.write_text(WIDE + block(**changed), "utf-8")
    found = review(run, door)
    assert rules(found) >= {rule, "track.bracket-spacing"}
    assert not found["approved"]


def test_a_job_may_ask_for_shorter_terms_and_not_for_longer_ones(run: Run, door: Path) -> None:
    door.write_text(f"{WIDE}{block()}practice: {{approval_days: 30}}\n", "utf-8")
    assert "approval.too-long" in rules(review(run, door))
    door.write_text(f"{WIDE}{block(until='9999-12-31')}practice: {{approval_days: 3650}}\n", "utf-8")
    assert review(run, door)["verdict"] == "unreadable"


@pytest.mark.parametrize("form", [form for form in FORMS["review"] if form not in ("short", "github")])
@pytest.mark.parametrize("beside", [False, True])
def test_every_form_shows_what_was_signed(run: Run, door: Path, form: str, beside: bool) -> None:
    if beside:
        (door.parent / "d.approvals.yaml").write_text(block(), "utf-8")
    else:
        door.write_text(WIDE + block(), "utf-8")
    text = " ".join(run("review", door, "--as", form, "--on", DAY).stdout.split())
    if form == "json":
        (approved,) = json.loads(text)["specs"][0]["approved"]
        assert approved["approval"]["days_left"] == 75
        assert approved["approval"]["file"].endswith("d.approvals.yaml") is beside
        assert approved["approval"].items() >= SIGNED.items()
    else:
        for said in ("for 30 in against 24 in", "supervisor RT", "2026-05-31", "75 days left"):
            assert said in text
        assert ("d.approvals.yaml" in text) is beside


def test_sign_offs_beside_a_spec_are_neither_spec_nor_passed_over(door: Path) -> None:
    (door.parent / "d.approvals.yaml").write_text(block(), "utf-8")
    (door.parent / "notes.yaml").write_text("a: 1\n", "utf-8")
    assert gather([str(door.parent)]).passed_over == 1
    assert [Path(source.name).name for source in gather([str(door.parent)]).sources] == ["d.yaml"]
    named = gather([str(door.parent / "d.approvals.yaml")], strict=False).sources
    assert [Path(source.name).name for source in named] == ["d.yaml"]


def test_a_spec_named_as_sign_offs_is_reviewed(run: Run, door: Path) -> None:
    door.rename(door.parent / "d.approvals.yaml")
    (source,) = gather([str(door.parent)]).sources
    assert source.name.endswith("d.approvals.yaml")
    door.write_text(WIDE, "utf-8")
    done = run("review", door.parent, "--on", DAY)
    assert done.returncode == 2
    assert "expected the sign-offs of" in " ".join(done.stdout.split())


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("approvals: [", "d.approvals.yaml:"),
        ("approvals: {}\nstage: survey\n", "expected the sign-offs of"),
        ("a: 1\n", "expected the sign-offs of"),
        ("", "expected the sign-offs of"),
        ("approvals: {posts: {rule: x.y, until: 2026-13-01}}", "2026-13-01"),
        ("approvals: {posts: {rul: x.y}}", "rul"),
    ],
)
def test_sign_offs_that_cannot_be_read_hold_the_spec(run: Run, door: Path, text: str, why: str) -> None:
    (door.parent / "d.approvals.yaml").write_text(text, "utf-8")
    with pytest.raises(WrongCall, match=why):
        sign_offs_beside(Source(str(door), str(door)))
    for words in (("review", door), ("remedy", door), ("setout", door), ("change", door, door)):
        assert run(*words).returncode == 2


def test_a_name_given_twice_is_refused(run: Run, door: Path) -> None:
    door.write_text(WIDE + block(), "utf-8")
    (door.parent / "d.approvals.yaml").write_text(block(), "utf-8")
    done = run("review", door)
    assert done.returncode == 2
    assert "give one another name" in " ".join(done.stdout.split())


@pytest.mark.parametrize("form", FORMS["change"])
@pytest.mark.parametrize("beside", [False, True])
def test_a_change_names_a_new_sign_off(run: Run, door: Path, form: str, beside: bool) -> None:
    (door.parent / "new").mkdir()
    new = door.parent / "new" / "d.yaml"
    new.write_text(WIDE + ("" if beside else block()), "utf-8")
    if beside:
        (new.parent / "d.approvals.yaml").write_text(block(), "utf-8")
    done = run("change", door, new, "--as", form, "--on", DAY)
    assert done.returncode == 1
    assert "new sign-off posts" in done.stdout.replace("New sign-off", "new sign-off")


@pytest.mark.parametrize(
    "changed", [{"value": "33 in"}, {"until": "2026-06-01"}, {"by": "supervisor XX"}, {"limit": "22 in"}]
)
def test_a_change_names_what_a_sign_off_says_now(run: Run, door: Path, changed: dict[str, str]) -> None:
    door.write_text(WIDE + block(), "utf-8")
    new = door.parent / "new.yaml"
    new.write_text(WIDE + block(**changed), "utf-8")
    done = run("change", door, new, "--on", DAY)
    assert done.returncode == 1
    (key,) = changed
    assert f"changed sign-off posts: {key} {changed[key]} (was {SIGNED[key]})" in " ".join(done.stdout.split())


def test_a_planted_sign_off_without_a_finding_is_named_too(run: Run, door: Path) -> None:
    clean = door.parent / "clean.yaml"
    clean.write_text(WIDE.replace("30 in", "24 in"), "utf-8")
    planted = door.parent / "planted.yaml"
    planted.write_text(clean.read_text("utf-8") + block(), "utf-8")
    assert run("change", clean, planted, "--on", DAY).returncode == 1


def test_a_lowered_stage_is_to_decide(run: Run, door: Path) -> None:
    new = door.parent / "new.yaml"
    new.write_text(WIDE.replace("stage: install", "stage: survey"), "utf-8")
    done = run("change", door, new, "--on", DAY)
    assert done.returncode == 1
    assert "stage is lowered from install to survey" in " ".join(done.stdout.split())


def test_a_limit_that_a_change_loosens_is_to_decide(run: Run, door: Path) -> None:
    strict, loose = (door.parent / name for name in ("strict.yaml", "loose.yaml"))
    strict.write_text(f"{WIDE}practice: {{hanger_stress: 12 ksi}}\n", "utf-8")
    loose.write_text(WIDE, "utf-8")
    done = run("change", strict, loose, "--on", DAY)
    assert done.returncode == 1
    assert "hanger_stress is loosened from 12000 psi to 20000 psi" in " ".join(done.stdout.split())


def test_what_clears_only_by_a_moved_limit_is_never_cleared(run: Run, door: Path) -> None:
    moved = door.parent / "moved.yaml"
    moved.write_text(f"{WIDE}practice: {{bracket_spacing: 30 in}}\n", "utf-8")
    found = json.loads(run("change", door, moved, "--as", "json", "--on", DAY).stdout)
    kinds = {shift["rule"]: shift["change"] for shift in found["findings"]}
    assert kinds["track.bracket-spacing"] == "limit moved"
    assert kinds["practice.bracket-spacing"] == "new"
    assert found["decision"] == "sign-off"

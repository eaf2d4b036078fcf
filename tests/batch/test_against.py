"""A folder against a revision of it: what is new, worse, better and gone, in a real repository with two branches."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import jsonschema
import pytest
from shared import DAY, FORMS, ROOT, Run

import doorlint

SCHEMA = json.loads((ROOT / "schemas" / "report.schema.json").read_bytes())


def git(folder: Path, *words: str) -> None:
    who = ("-c", "user.name=Fitter", "-c", "user.email=fitter@example.invalid")
    subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True)


def sample(name: str) -> str:
    return (ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8")


def edit(path: Path, before: str, after: str) -> None:
    text = path.read_text("utf-8")
    assert before in text
    path.write_text(text.replace(before, after), "utf-8")


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """Doors on ``main``, and on the branch ``work`` that is checked out."""
    doors = tmp_path / "shop" / "doors"
    doors.mkdir(parents=True)
    for name in ("tower-order", "hook-up-from-the-angle", "floor-still-to-come", "pipe-in-tower-bay"):
        (doors / f"{name}.yaml").write_text(sample(name), "utf-8")
    git(doors.parent, "init", "-q", "-b", "main")
    git(doors.parent, "add", ".")
    git(doors.parent, "commit", "-q", "-m", "doors")
    git(doors.parent, "checkout", "-q", "-b", "work")
    return doors.parent


def compared(run: Run, place: Path, *words: str) -> tuple[int, dict[str, dict[str, int]]]:
    done = run("review", "doors", "--against", "main", "--as", "json", "--on", DAY, *words, cwd=place)
    told = json.loads(done.stdout)
    jsonschema.validate(told, SCHEMA)
    lengths = {
        Path(spec["file"]).stem: {word: n if isinstance(n, int) else len(n) for word, n in spec["since"].items()}
        for spec in told["specs"]
    }
    return done.returncode, lengths


def test_what_was_found_before_holds_nothing_and_is_not_listed(run: Run, repository: Path) -> None:
    code, told = compared(run, repository)
    assert code == 0
    assert all(not counts["new"] and not counts["worse"] for counts in told.values())
    assert told["hook-up-from-the-angle"]["as_before"] > 9
    out = run("review", "doors", "--against", "main", "--on", DAY, cwd=repository).stdout
    assert ": error: " not in out
    assert "3 on hold" in out


def test_new_worse_better_and_gone_are_told_apart(run: Run, repository: Path) -> None:
    doors = repository / "doors"
    edit(doors / "tower-order.yaml", "headroom: 26 in", "headroom: 12 in")
    edit(doors / "floor-still-to-come.yaml", "floor_finished: false", "floor_finished: true")
    edit(doors / "hook-up-from-the-angle.yaml", "hook_up_height: 68 in", "hook_up_height: 66 in")
    code, told = compared(run, repository)
    assert code == 1
    assert told["tower-order"]["new"] == 2
    assert told["floor-still-to-come"]["gone"] == 1
    assert told["hook-up-from-the-angle"]["worse"] >= 1
    lines = run("review", "doors", "--against", "main", "--on", DAY, cwd=repository).stdout.splitlines()
    assert any(line.endswith("(new since main) [headroom.hardware]") for line in lines)
    assert any("(worse since main: " in line for line in lines)
    assert any(line.startswith("  gone  doors/floor-still-to-come.yaml: ") for line in lines)


def test_what_gets_better_holds_nothing(run: Run, repository: Path) -> None:
    edit(repository / "doors" / "hook-up-from-the-angle.yaml", "hook_up_height: 68 in", "hook_up_height: 69 in")
    code, told = compared(run, repository)
    assert told["hook-up-from-the-angle"]["better"] >= 1
    assert code == (1 if any(counts["worse"] or counts["new"] for counts in told.values()) else 0)


def test_a_lowered_stage_is_an_error_at_its_line(run: Run, repository: Path) -> None:
    door = repository / "doors" / "tower-order.yaml"
    edit(door, "stage: order", "stage: survey")
    code, told = compared(run, repository)
    assert (code, told["tower-order"]["new"]) == (1, 1)
    out = run("review", "doors", "--against", "main", "--on", DAY, cwd=repository).stdout
    line = door.read_text("utf-8").splitlines().index("stage: survey") + 1
    assert f"tower-order.yaml:{line}:1: error: the stage was order in main and is survey here" in out
    edit(door, "stage: survey", "stage: order")
    assert compared(run, repository)[0] == 0


def test_a_stage_that_goes_forward_is_no_step_back(run: Run, repository: Path) -> None:
    edit(repository / "doors" / "tower-order.yaml", "stage: order", "stage: install")
    out = run("review", "doors", "--against", "main", "--on", DAY, cwd=repository).stdout
    assert "fleet.stage-lowered" not in out


def test_of_a_new_spec_everything_is_new_and_a_removed_one_is_named(run: Run, repository: Path) -> None:
    doors = repository / "doors"
    (doors / "pipe-in-tower-bay.yaml").rename(doors / "moved.yaml")
    code, told = compared(run, repository)
    assert code == 1
    assert told["moved"]["new"] == 1
    out = run("review", "doors", "--against", "main", "--on", DAY, cwd=repository).stdout
    assert "removed  doors/pipe-in-tower-bay.yaml" in out


@pytest.mark.parametrize("path", [".", "../doors", "tower-order.yaml"])
def test_paths_are_found_at_the_revision_from_any_folder(run: Run, repository: Path, path: str) -> None:
    done = run("review", path, "--against", "main", "--on", DAY, cwd=repository / "doors")
    assert done.returncode == 0, done.stdout
    assert "0 new, 0 worse" in done.stdout


@pytest.mark.parametrize("form", FORMS["review"])
def test_every_form_lists_only_what_is_new_or_worse(run: Run, repository: Path, form: str) -> None:
    edit(repository / "doors" / "tower-order.yaml", "headroom: 26 in", "headroom: 12 in")
    out = run("review", "doors", "--against", "main", "--as", form, "--on", DAY, cwd=repository).stdout
    assert "headroom.swept" in out
    assert "tower.never-slack" not in out


def test_a_revision_or_path_that_is_not_there_is_refused(run: Run, repository: Path) -> None:
    gone = run("review", "doors", "--against", "gone", cwd=repository)
    assert (gone.returncode, gone.stdout) == (2, "")
    assert "gone is not a git revision" in gone.stderr
    (repository.parent / "door.yaml").write_text(sample("tower-order"), "utf-8")
    outside = run("review", "../door.yaml", "--against", "main", cwd=repository)
    assert (outside.returncode, outside.stdout) == (2, "")
    assert "../door.yaml is outside of the git repository" in outside.stderr


def test_outside_of_a_repository_it_is_refused(run: Run, tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_text(sample("tower-order"), "utf-8")
    done = run("review", "door.yaml", "--against", "main", cwd=tmp_path)
    assert done.returncode == 2
    assert "in no git repository" in done.stderr


def changed(run: Run, place: Path, *words: str, form: str = "json") -> str:
    return run("change", "main:doors", "doors", "--as", form, "--on", DAY, *words, cwd=place).stdout


def test_a_branch_is_compared_with_main_spec_by_spec(run: Run, repository: Path) -> None:
    doors = repository / "doors"
    edit(doors / "tower-order.yaml", "headroom: 26 in", "headroom: 12 in")
    (doors / "pipe-in-tower-bay.yaml").unlink()
    (doors / "new.yaml").write_text(sample("torsion-order"), "utf-8")
    done = run("change", "main:doors", "doors", "--as", "json", "--on", DAY, cwd=repository)
    told = json.loads(done.stdout)
    assert (done.returncode, told["decision"]) == (1, "hold")
    assert [Path(one["proposed"]["file"]).name for one in told["changes"]] == ["tower-order.yaml"]
    assert [(one["file"], one["decision"]) for one in told["added"]] == [("doors/new.yaml", "nothing new")]
    assert (told["removed"], told["unchanged"]) == (["pipe-in-tower-bay.yaml"], 2)
    schema = json.loads((ROOT / "schemas" / "change.schema.json").read_bytes())
    for one in told["changes"]:
        jsonschema.validate(one, schema)
    text = changed(run, repository, form="text")
    assert text.startswith("HOLD: 1 spec changed, 1 added, 1 removed, 2 as before.")
    assert text.endswith("DECISION  hold\n")


def test_nothing_changed_is_nothing_to_decide(run: Run, repository: Path) -> None:
    for sides in (("main:doors", "doors"), ("doors", "doors"), ("main:doors", "work:doors"), ("main:.", ".")):
        done = run("change", *sides, "--on", DAY, cwd=repository)
        assert done.returncode == 0, done.stdout + done.stderr
        flat = " ".join(done.stdout.split())
        assert flat.startswith("NOTHING TO DECIDE: 0 specs changed, 0 added, 0 removed, 4 as before.")


def test_a_spec_that_cannot_be_read_exits_2_and_stops_no_other(run: Run, repository: Path) -> None:
    doors = repository / "doors"
    edit(doors / "tower-order.yaml", "headroom: 26 in", "headroom: 25")
    edit(doors / "floor-still-to-come.yaml", "floor_finished: false", "floor_finished: true")
    done = run("change", "main:doors", "doors", "--as", "json", "--on", DAY, cwd=repository)
    told = json.loads(done.stdout)
    assert done.returncode == 2
    assert [one["file"] for one in told["unreadable"]] == ["tower-order.yaml"]
    assert len(told["changes"]) == 1


def test_many_changes_fit_a_comment_with_the_table_on_top(run: Run, repository: Path) -> None:
    doors = repository / "doors"
    for number in range(20):
        (doors / f"door-{number}.yaml").write_text(sample("tower-install"), "utf-8")
    git(repository, "add", ".")
    git(repository, "commit", "-q", "-m", "more")
    git(repository, "branch", "-f", "main")
    for number in range(20):
        edit(doors / f"door-{number}.yaml", "headroom: 26 in", "headroom: 12 in")
        edit(doors / f"door-{number}.yaml", "radius: 15 in", "radius: 12 in")
    report = changed(run, repository, form="markdown")
    assert len(report) < 60_000
    table = report.partition("| --- | --- | --- |\n")[2].partition("\n\n")[0].splitlines()
    assert len(table) == 20
    assert all("| HOLD |" in line for line in table)
    assert "did not fit a comment" in report


def test_a_new_sign_off_says_who_committed_it(run: Run, repository: Path) -> None:
    spec = repository / "doors" / "hook-up-from-the-angle.yaml"
    draft = run("review", spec, "--draft-approval", "tower.chain-timing", "--on", DAY, cwd=repository).stdout
    for key, value in (("reason", "agreed on site"), ("by", "supervisor RT"), ("until", "2026-04-01")):
        draft = re.sub(rf"(?m)^    {key}: .*$", f"    {key}: {value}", draft)
    spec.write_text(f"{spec.read_text('utf-8')}\n{draft}", "utf-8")
    told = json.loads(changed(run, repository))
    assert told["unreadable"] == []
    (one,) = told["changes"]
    signed = [matter["message"] for matter in one["to_decide"] if matter["what"] == "sign-off"]
    assert signed
    assert all(message.endswith("; not committed yet") for message in signed)
    git(repository, "commit", "-q", "-a", "-m", "sign off")
    (one,) = json.loads(changed(run, repository))["changes"]
    signed = [matter["message"] for matter in one["to_decide"] if matter["what"] == "sign-off"]
    assert all("; committed by Fitter on 20" in message for message in signed)


def test_the_api_compares_folders_and_reviews_against_a_revision(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(repository / "doors" / "tower-order.yaml", "headroom: 26 in", "headroom: 12 in")
    monkeypatch.chdir(repository)
    changed = doorlint.change_paths("main:doors", "doors", on=DAY)
    assert (changed.decision, changed.unchanged, len(changed.changes)) == ("hold", 3, 1)
    one = doorlint.change_paths("main:doors/tower-order.yaml", Path("doors") / "tower-order.yaml", on=DAY)
    assert (one.shifts, one.edits) == (changed.changes[0].shifts, changed.changes[0].edits)
    told = {spec.file: spec.since for spec in doorlint.review_paths(["doors"], against="main", on=DAY)}
    assert [file for file, since in told.items() if since and since.new] == ["doors/tower-order.yaml"]

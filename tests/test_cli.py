"""The command line as people and CI use it: exit codes, where output goes, what is never touched."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from shared import DAY, ROOT, SAMPLES, Run

CLEAN = "sample_specs/tower-order.yaml"
SCHEMA = json.loads((ROOT / "schemas" / "report.schema.json").read_bytes())
EMPTY = "doorlint: 1\nstage: survey\njob: {number: J-1}\n"


def test_a_clear_spec_exits_0(run: Run) -> None:
    done = run("review", CLEAN, "--on", DAY)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[0] == CLEAN
    assert "VERDICT  clear" in done.stdout


def test_a_held_spec_exits_1_and_says_what_to_give(run: Run) -> None:
    done = run("review", "-", "--called", "phone.yaml", "--on", DAY, stdin=EMPTY)
    assert done.returncode == 1
    assert "VERDICT  hold  phone.yaml" in done.stdout
    assert "/room/headroom" in done.stdout


def test_an_unreadable_spec_exits_2_and_the_others_are_still_reviewed(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("doorlint: 1\nroom: {headroom: 24}\n", "utf-8")
    (tmp_path / "good.yaml").write_text((ROOT / CLEAN).read_text("utf-8"), "utf-8")
    done = run("review", tmp_path, "--as", "json", "--on", DAY)
    assert done.returncode == 2
    verdicts = {Path(spec["file"]).name: spec["verdict"] for spec in json.loads(done.stdout)["specs"]}
    assert verdicts == {"bad.yaml": "unreadable", "good.yaml": "clear"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["review", "nowhere.yaml"], "nowhere.yaml"),
        (["review", "tests/spec/data/none"], "none"),
        (["rulebook", "headroom.swpt"], "did you mean"),
        (["review", CLEAN, "--on", "2026-02-30"], "is no day"),
        (["review", CLEAN, "--house-rules", "nowhere"], "No such file"),
        (["change", "nowhere:door.yaml", CLEAN], "git knows no such file"),
    ],
)
def test_a_wrong_call_exits_2_and_says_what_to_do(run: Run, words: list[str], said: str) -> None:
    done = run(*words)
    assert done.returncode == 2
    assert said in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_without_specs_is_nothing_to_review(run: Run, tmp_path: Path) -> None:
    (tmp_path / "notes.yaml").write_text("title: not a spec\n", "utf-8")
    done = run("review", tmp_path)
    assert done.returncode == 2
    assert "nothing to review" in done.stderr


def test_a_file_named_outright_that_is_no_spec_is_an_error(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "notes.yaml"
    path.write_text("title: not a spec\n", "utf-8")
    assert run("review", path).returncode == 2


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_json_has_the_shape_of_its_schema(run: Run, sample: Path) -> None:
    done = run("review", sample, "--as", "json", "--on", DAY)
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(done.stdout))


def test_out_writes_the_file_whole_and_never_over_a_spec(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "report.txt"
    assert run("review", CLEAN, "--on", DAY, "--out", target).returncode == 0
    assert target.read_text("utf-8") == run("review", CLEAN, "--on", DAY).stdout
    spec = tmp_path / "door.yaml"
    spec.write_text((ROOT / CLEAN).read_text("utf-8"), "utf-8")
    before = spec.read_bytes()
    done = run("review", CLEAN, "--out", spec)
    assert done.returncode == 2
    assert "never written over" in done.stderr
    assert spec.read_bytes() == before
    assert run("review", spec, "--out", spec).returncode == 2
    assert spec.read_bytes() == before


@pytest.mark.parametrize("stage", ["survey", "order", "install", "commissioned"])
@pytest.mark.parametrize("counterbalance", ["tower", "torsion"])
def test_a_blank_reads_and_its_gaps_are_named(run: Run, stage: str, counterbalance: str) -> None:
    blank = run("blank", "--stage", stage, "--counterbalance", counterbalance)
    assert blank.returncode == 0
    done = run("review", "-", "--as", "json", "--on", DAY, stdin=blank.stdout)
    assert done.returncode == 1, done.stderr
    spec = json.loads(done.stdout)["specs"][0]
    assert spec["stage"] == stage
    wrong = [finding["rule"] for finding in spec["findings"] if finding["severity"] == "error" and finding["measured"]]
    assert wrong in ([], ["record.enough-readings"]), "nothing is filled in, so nothing can be wrong"
    assert any(finding["rule"].startswith("completeness") for finding in spec["findings"])


def test_hold_at_moves_the_line(run: Run, tmp_path: Path) -> None:
    text = (ROOT / CLEAN).read_text("utf-8")
    spec = tmp_path / "door.yaml"
    spec.write_text(text.replace("tool: tape", "tool: drawing"), "utf-8")
    assert run("review", spec, "--on", DAY).returncode == 0
    assert run("review", spec, "--on", DAY, "--hold-at", "warning").returncode == 1


def test_one_rule_is_shown_with_its_examples_run(run: Run) -> None:
    done = run("rulebook", "opening.width-spread")
    assert done.returncode == 0, done.stderr
    assert "inside   met at" in done.stdout
    assert "outside  short at" in done.stdout


def test_the_rulebook_lists_what_rests_on_memory(run: Run) -> None:
    done = run("rulebook", "--standing", "memory")
    assert done.returncode == 0
    assert "REST ON MEMORY" in done.stdout


def test_units_do_not_change_a_verdict(run: Run) -> None:
    us, si = (
        json.loads(run("review", CLEAN, "--as", "json", "--on", DAY, "--units", units).stdout) for units in ("us", "si")
    )
    assert us["totals"] == si["totals"]
    assert us["specs"][0]["verdict"] == si["specs"][0]["verdict"]


def test_help_teaches(run: Run) -> None:
    done = run("--help")
    assert done.returncode == 0
    for word in ("review", "rulebook", "blank", "setout", "change", "remedy", "licensed practice"):
        assert word in " ".join(done.stdout.split())

"""Whose settings hold, what differs from the library, and which files a review is of."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest
from shared import DAY, FORMS, ROOT, Run

SPEC = (ROOT / "sample_specs" / "tower-install.yaml").read_text("utf-8")
WEAK = (
    "hanger_stress: {title: t, value: 24 ksi, dimension: stress, standing: published, document: Handbook, "
    "edition: '1', clause: '2'}"
)
STRICT = "hanger_stress: {title: t, value: 1 ksi, dimension: stress, standing: practice}"


def git(folder: Path, *words: str) -> None:
    who = ["-c", "user.name=shop", "-c", "user.email=shop@example.invalid"]
    subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True)


def house(folder: Path, figure: str) -> None:
    (folder / "shop" / "tables").mkdir(parents=True, exist_ok=True)
    (folder / "shop" / "tables" / "practice.yaml").write_text(f"practice:\n  {figure}\n", "utf-8")


@pytest.fixture
def repo(tmp_path: Path) -> Path:
    """On ``main`` the shop is strict and holds the spec; the branch brings its own settings, which do not."""
    folder = tmp_path / "repo"
    folder.mkdir()
    git(folder, "init", "-q", "-b", "main")
    (folder / "d.yaml").write_text(SPEC, "utf-8")
    (folder / ".doorlint.yaml").write_text("house_rules: [shop]\napprovers: [supervisor RT]\n", "utf-8")
    house(folder, STRICT)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "main")
    git(folder, "checkout", "-q", "-b", "branch")
    (folder / ".doorlint.yaml").write_text("house_rules: [shop]\n", "utf-8")
    house(folder, WEAK)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "branch")
    return folder


def test_a_branch_is_judged_by_the_rules_of_main(run: Run, repo: Path) -> None:
    assert run("review", "d.yaml", "--on", DAY, cwd=repo).returncode == 0
    done = run("review", "d.yaml", "--on", DAY, "--settings-from", "main", cwd=repo)
    assert done.returncode == 1
    assert "hangers.member-stress" in done.stdout


@pytest.mark.parametrize("workers", ["1", "2"])
def test_so_is_a_folder_below(run: Run, repo: Path, workers: str) -> None:
    below = repo / "jobs" / "north"
    below.mkdir(parents=True)
    for number in range(40):
        (below / f"d{number}.yaml").write_text(SPEC.replace("J-1001", f"J-{number}"), "utf-8")
    words = ("review", ".", "--on", DAY, "--settings-from", "main", "--workers", workers, "--as", "json")
    found = json.loads(run(*words, cwd=below).stdout)
    assert {spec["verdict"] for spec in found["specs"]} == {"hold"}
    assert found["settings"].partition(" of ")[2].startswith("main (")


def test_what_the_folder_holds_uncommitted_does_not_count(run: Run, repo: Path) -> None:
    git(repo, "checkout", "-q", "main")
    house(repo, WEAK)
    (repo / ".doorlint.yaml").unlink()
    assert run("review", "d.yaml", "--on", DAY, "--settings-from", "HEAD", cwd=repo).returncode == 1


def test_house_rules_that_git_does_not_hold_are_refused(run: Run, repo: Path) -> None:
    (repo / "mine" / "tables").mkdir(parents=True)
    (repo / "mine" / "tables" / "practice.yaml").write_text(f"practice:\n  {WEAK}\n", "utf-8")
    for folder, why in (("mine", "git holds no such folder at that revision"), ("../x", "outside of the repository")):
        done = run("review", "d.yaml", "--settings-from", "main", "--house-rules", folder, cwd=repo)
        assert done.returncode == 2
        assert why in done.stderr


@pytest.mark.parametrize("revision", ["gone", "-x", "main:d.yaml", "main d", "--help"])
def test_a_revision_that_is_none_is_refused(run: Run, repo: Path, revision: str) -> None:
    done = run("review", "d.yaml", f"--settings-from={revision}", cwd=repo)
    assert done.returncode == 2
    assert "not a git revision" in done.stderr


def test_no_settings_are_none(run: Run, repo: Path) -> None:
    git(repo, "checkout", "-q", "main")
    assert run("review", "d.yaml", "--on", DAY, cwd=repo).returncode == 1
    assert run("review", "d.yaml", "--on", DAY, "--no-settings", cwd=repo).returncode == 0
    done = run("review", "d.yaml", "--no-settings", "--settings-from", "main", cwd=repo)
    assert done.returncode == 2
    assert "exclude each other" in done.stderr


def test_outside_of_git_there_is_no_revision(run: Run, tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(SPEC, "utf-8")
    done = run(
        "review", "d.yaml", "--settings-from", "main", cwd=tmp_path, GIT_CEILING_DIRECTORIES=str(tmp_path.parent)
    )
    assert done.returncode == 2


@pytest.mark.parametrize("tempted", ["review", "setout", "parts", "remedy"])
def test_a_git_program_in_the_working_folder_is_never_run(run: Run, repo: Path, tempted: str) -> None:
    (repo / "git").write_text(f"#!/bin/sh\ntouch {repo}/ran\n", "utf-8")
    (repo / "git").chmod(0o755)
    run(tempted, "d.yaml", "--settings-from", "main", cwd=repo, PATH=f".:{repo}:/usr/bin:/bin")
    assert not (repo / "ran").exists()


# who may sign off

WIDE = SPEC.replace("bracket_spacing: 24 in", "bracket_spacing: 30 in")
SIGNED = (
    "approvals:\n  posts: {rule: track.bracket-spacing, pointer: /track/bracket_spacing, value: 30 in, limit: 24 in, "
    "reason: posts, by: BY, on: 2026-03-10, until: 2026-05-31}\n"
)


@pytest.mark.parametrize(
    ("by", "counts"), [("supervisor RT", True), ("supervisor XX", False), ("supervisor rt", False)]
)
def test_a_sign_off_by_anybody_else_does_not_count(run: Run, tmp_path: Path, by: str, counts: bool) -> None:
    (tmp_path / "d.yaml").write_text(WIDE + SIGNED.replace("BY", by), "utf-8")
    (tmp_path / "names").write_text("# approvers\n\n  supervisor RT\nsupervisor LM\n", "utf-8")
    words = ("review", "d.yaml", "--on", DAY, "--as", "json")
    (spec,) = json.loads(run(*words, "--approvers", "names", cwd=tmp_path).stdout)["specs"]
    assert bool(spec["approved"]) is counts
    assert ("approval.not-an-approver" in {finding["rule"] for finding in spec["findings"]}) is not counts
    (spec,) = json.loads(run(*words, cwd=tmp_path).stdout)["specs"]
    assert spec["approved"]


def test_approvers_are_those_of_the_revision(run: Run, repo: Path) -> None:
    house(repo, "lap_least: {title: t, value: 1 in, dimension: length, standing: practice}")
    git(repo, "checkout", "-q", "-f", "main")
    house(repo, "lap_least: {title: t, value: 1 in, dimension: length, standing: practice}")
    git(repo, "commit", "-q", "-a", "-m", "no longer strict")
    git(repo, "checkout", "-q", "-b", "mine")
    (repo / ".doorlint.yaml").write_text("approvers: [me]\n", "utf-8")
    (repo / "d.yaml").write_text(WIDE + SIGNED.replace("BY", "me"), "utf-8")
    (repo / "names").write_text("me\n", "utf-8")
    words = ("review", "d.yaml", "--on", DAY, "--as", "json")
    assert json.loads(run(*words, cwd=repo).stdout)["specs"][0]["approved"]
    assert not json.loads(run(*words, "--settings-from", "main", cwd=repo).stdout)["specs"][0]["approved"]
    assert run(*words, "--approvers", "main:names", cwd=repo).returncode == 2


@pytest.mark.parametrize("names", ["", "# nobody\n"])
def test_an_empty_list_of_approvers_lets_nobody(run: Run, tmp_path: Path, names: str) -> None:
    (tmp_path / "d.yaml").write_text(WIDE + SIGNED.replace("BY", "supervisor RT"), "utf-8")
    (tmp_path / "names").write_text(names, "utf-8")
    done = run("review", "d.yaml", "--on", DAY, "--as", "json", "--approvers", "names", cwd=tmp_path)
    assert not json.loads(done.stdout)["specs"][0]["approved"]


# what differs from the library

DIFFERS = ("hanger_stress", "track.bracket-spacing", "lap_least")


def loosen(folder: Path) -> Path:
    (folder / "d.yaml").write_text(SPEC + "practice: {lap_least: 1 in}\n", "utf-8")
    (folder / ".doorlint.yaml").write_text(
        "house_rules: [shop]\nseverity:\n  track.bracket-spacing: {to: advisory, reason: we brace}\n", "utf-8"
    )
    house(folder, WEAK)
    return folder


@pytest.fixture
def loose(tmp_path: Path) -> Path:
    return loosen(tmp_path)


@pytest.fixture(scope="module")
def read_only(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same for tests that write nothing there: its rules are read once."""
    return loosen(tmp_path_factory.mktemp("loose"))


@pytest.mark.parametrize(
    ("command", "form"), [(command, form) for command in ("review", "setout", "remedy") for form in FORMS[command]]
)
def test_every_form_lists_what_differs(run: Run, read_only: Path, command: str, form: str) -> None:
    done = run(command, "d.yaml", "--as", form, "--on", DAY, cwd=read_only)
    text = " ".join(done.stdout.replace("\\_", "_").split())
    for said in DIFFERS:
        assert said in text
    assert "practice.yaml" in text
    library = json.loads(run("review", "d.yaml", "--as", "json", "--on", DAY, cwd=read_only).stdout)
    assert library["settings"] in text


@pytest.mark.parametrize("form", FORMS["change"])
def test_a_change_lists_what_differs(run: Run, read_only: Path, form: str) -> None:
    text = run("change", "d.yaml", "d.yaml", "--as", form, "--on", DAY, cwd=read_only).stdout.replace("\\_", "_")
    for said in DIFFERS:
        assert said in text


def test_what_differs_has_its_place_and_who_says_so(run: Run, read_only: Path) -> None:
    found = json.loads(run("review", "d.yaml", "--as", "json", "--on", DAY, cwd=read_only).stdout)["relaxed"]
    by_key = {one["key"]: one for one in found}
    assert by_key["hanger_stress"]["by"] == "house rules shop"
    assert (by_key["hanger_stress"]["library"], by_key["hanger_stress"]["here"]) == ("20000 psi", "24000 psi")
    assert (by_key["hanger_stress"]["file"].rpartition("/")[2], by_key["hanger_stress"]["line"]) == ("practice.yaml", 2)
    assert (
        by_key["track.bracket-spacing"].items()
        >= {"what": "severity", "library": "warning", "here": "advisory", "line": 3}.items()
    )
    assert by_key["lap_least"].items() >= {"file": "d.yaml", "by": "spec", "line": len(SPEC.splitlines()) + 1}.items()
    assert by_key["house_rules"]["by"] == "settings"


def test_nothing_differs_where_nobody_says_so(run: Run, tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(SPEC, "utf-8")
    found = json.loads(run("review", "d.yaml", "--as", "json", cwd=tmp_path).stdout)
    assert (found["relaxed"], found["settings"]) == ([], "")
    assert "NOT AS IN THE LIBRARY" not in run("review", "d.yaml", cwd=tmp_path).stdout


def test_an_earlier_stage_than_the_spec_s_own_differs(run: Run, tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(SPEC, "utf-8")
    (one,) = json.loads(run("review", "d.yaml", "--stage", "survey", "--as", "json", cwd=tmp_path).stdout)["relaxed"]
    assert (one["key"], one["library"], one["here"], one["by"]) == ("stage", "install", "survey", "the call")


def test_a_table_over_a_published_one_is_named_as_the_shop_s_word(run: Run, loose: Path) -> None:
    table = (ROOT / "rules" / "tables" / "screw-threads.yaml").read_text("utf-8")
    (loose / "shop" / "tables" / "screw-threads.yaml").write_text(table, "utf-8")
    (loose / "d.yaml").write_text(SPEC.replace("thread_length: 3 in", "thread_length: 1/4 in"), "utf-8")
    found = json.loads(run("review", "d.yaml", "--as", "json", "--on", DAY, cwd=loose).stdout)
    (one,) = [one for one in found["relaxed"] if one["what"] == "table"]
    assert (one["key"], one["here"], one["by"]) == ("screw-threads", "replaced", "house rules shop")
    sources = [f["source"] for f in found["specs"][0]["findings"] if f["rule"] == "fixings.hanger-lag"]
    assert all(source["standing"] != "published" for source in sources)


def test_the_document_of_a_house_figure_is_the_shop_s_word(run: Run, loose: Path) -> None:
    (loose / "d.yaml").write_text(SPEC.replace("leg_thickness: 1/8 in", "leg_thickness: 1/64 in"), "utf-8")
    text = run("setout", "d.yaml", "--as", "json", "--on", DAY, cwd=loose).stdout
    assert '"document": "Handbook"' not in text


# which files a review is of


def test_a_spec_behind_much_else_does_not_drop_out(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("# far\n" * 2000 + SPEC, "utf-8")
    (tmp_path / "notes.yaml").write_text("a: 1\n", "utf-8")
    done = run("review", ".", "--on", DAY, cwd=tmp_path)
    assert "1 spec: 1 clear" in done.stdout
    assert "1 file passed over" in done.stdout


@pytest.mark.parametrize(("expected", "code"), [("1", 0), ("2", 0), ("3", 2)])
def test_fewer_specs_than_expected_are_no_pass(run: Run, tmp_path: Path, expected: str, code: int) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text(SPEC, "utf-8")
    (tmp_path / "c.txt").write_text(SPEC, "utf-8")
    done = run("review", ".", "--on", DAY, "--expect", expected, cwd=tmp_path)
    assert done.returncode == code
    assert ("--expect asks for 3" in done.stderr) is (code == 2)


def test_a_file_named_like_a_revision_is_no_decoy(run: Run, repo: Path) -> None:
    (repo / "main:d.yaml").write_text(SPEC, "utf-8")
    done = run("change", "main:d.yaml", "d.yaml", cwd=repo)
    assert done.returncode == 2
    assert "a git revision main and a file named main:d.yaml" in done.stderr
    assert run("change", "./main:d.yaml", "d.yaml", "--on", DAY, cwd=repo).returncode == 0
    (repo / "none:d.yaml").write_text(SPEC, "utf-8")
    assert run("change", "none:d.yaml", "d.yaml", "--on", DAY, cwd=repo).returncode == 0


def test_sign_offs_beside_a_spec_are_read_at_its_revision(run: Run, repo: Path) -> None:
    git(repo, "checkout", "-q", "main")
    (repo / "d.yaml").write_text(WIDE, "utf-8")
    git(repo, "commit", "-q", "-a", "-m", "wide")
    (repo / "d.approvals.yaml").write_text(SIGNED.replace("BY", "supervisor RT"), "utf-8")
    done = run("change", "main:d.yaml", "d.yaml", "--on", DAY, cwd=repo)
    assert done.returncode == 1
    assert "new sign-off posts" in " ".join(done.stdout.split())
    git(repo, "add", "-A")
    git(repo, "commit", "-q", "-m", "signed")
    assert run("change", "main:d.yaml", "d.yaml", "--on", DAY, cwd=repo).returncode == 0

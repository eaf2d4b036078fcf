"""One line a finding, annotations, several forms at once, and what is shown of a review."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from shared import DAY, FORMS, ROOT, Run, thinned

LINE = re.compile(r"(.+?):(\d+):(\d+): (error|warning|advisory): (.+) \[([a-z-]+\.[a-z-]+)\]")
HELD = "hook-up-from-the-angle"
TERMINAL = {"NO_COLOR": ""}


def sample(name: str) -> str:
    return (ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "doors"
    place.mkdir()
    for name in ("tower-order", HELD, "floor-still-to-come"):
        (place / f"{name}.yaml").write_text(sample(name), "utf-8")
    (place / "pipeline.yaml").write_text("steps: [build]\n", "utf-8")
    return place


def test_a_folder_is_told_in_one_line_a_finding(run: Run, folder: Path) -> None:
    done = run("review", ".", "--on", DAY, cwd=folder)
    told = json.loads(run("review", ".", "--as", "json", "--on", DAY, cwd=folder).stdout)
    lines = [found.groups() for line in done.stdout.splitlines() if (found := LINE.fullmatch(line))]
    expected = [
        (spec["file"], str(finding["line"]), str(finding["column"]), finding["severity"], finding["rule"])
        for spec in told["specs"]
        for finding in spec["findings"]
    ]
    assert [(*line[:4], line[5]) for line in lines if not line[4].startswith("not checked: ")] == expected
    totals = told["totals"]
    assert done.stdout.splitlines()[-1].startswith(
        f"3 specs: 1 clear, 2 on hold, 0 unreadable; {totals['error']} errors, {totals['warning']} warnings, "
    )
    assert "1 file passed over" in done.stdout
    assert told["passed_over"] == 1


def test_specs_on_hold_are_listed_worst_first_with_a_reason(run: Run, folder: Path) -> None:
    (folder / "broken.yaml").write_text("doorlint: 1\nroom: {headroom: 24}\n", "utf-8")
    out = run("review", folder, "--on", DAY).stdout
    table = out.partition("NOT CLEAR")[2].splitlines()[1:4]
    assert [Path(line.split("  ")[2]).stem for line in table] == ["broken", HELD, "floor-still-to-come"]
    assert "  1 error: the floor is not finished" in table[2]


@pytest.mark.parametrize(
    ("paths", "short"),
    [
        (["tower-order.yaml"], False),
        (["."], True),
        (["tower-order.yaml", "floor-still-to-come.yaml"], True),
        (["-"], False),
        (["-", "tower-order.yaml"], True),
    ],
)
def test_the_form_depends_on_the_paths_alone(run: Run, folder: Path, paths: list[str], short: bool) -> None:
    out = run("review", *paths, cwd=folder, stdin=sample("tower-order")).stdout
    assert ("VERDICT" not in out) is short


def test_what_holds_without_a_finding_is_a_line_too(run: Run, tmp_path: Path) -> None:
    text = sample("balance-read-one-way")
    (tmp_path / "door.yaml").write_text(text, "utf-8")
    lines = run("review", tmp_path, "--on", DAY).stdout.splitlines()
    assert any(": error: not checked: " in line and line.endswith("[balance.safe]") for line in lines)


def test_files_get_their_form_and_the_screen_stays_as_it_is(run: Run, folder: Path) -> None:
    plain = run("review", ".", "--on", DAY, cwd=folder)
    forms = [word for form in FORMS["review"] for word in ("--as", f"{form}=../{form}.out")]
    done = run("review", ".", "--on", DAY, *forms, cwd=folder)
    assert (done.returncode, done.stdout) == (plain.returncode, plain.stdout)
    for form in FORMS["review"]:
        alone = run("review", ".", "--on", DAY, "--as", form, cwd=folder).stdout
        assert (folder.parent / f"{form}.out").read_text("utf-8") == alone


@pytest.mark.parametrize("command", sorted(FORMS.keys() - {"review"}))
def test_every_command_writes_forms_to_files(run: Run, tmp_path: Path, command: str) -> None:
    clean = "sample_specs/tower-order.yaml"
    given = {"rulebook": ["headroom.swept"], "change": [clean, "sample_specs/hook-up-from-the-angle.yaml"], "blank": []}
    words = [command, *given.get(command, [clean])]
    form = "json" if "json" in FORMS[command] else "html"
    done = run(*words, "--as", f"{form}={tmp_path / 'report'}")
    assert done.stdout == run(*words).stdout
    assert (tmp_path / "report").read_text("utf-8") == run(*words, "--as", form).stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--as", "json", "--as", "short"], "only one form goes to the screen"),
        (["--as", "json=a", "--as", "sarif=a"], "two forms go to one file"),
        (["--as", "json="], "names no file; write json=FILE"),
        (["--as", "jsn=a"], "'jsn' is not one of text, short"),
        (["--as", "json=door.yaml"], "door.yaml is one of the specs"),
        (["--only", "towr"], "write tower"),
    ],
)
def test_a_form_that_means_nothing_is_refused(run: Run, tmp_path: Path, words: list[str], said: str) -> None:
    spec = tmp_path / "door.yaml"
    spec.write_text(sample("tower-order"), "utf-8")
    done = run("review", "door.yaml", *words, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert spec.read_text("utf-8") == sample("tower-order")


def test_quiet_shows_findings_only(run: Run, folder: Path) -> None:
    loud = run("review", ".", "--on", DAY, cwd=folder)
    done = run("review", ".", "--quiet", "--on", DAY, cwd=folder)
    assert done.returncode == loud.returncode
    assert done.stdout.splitlines() == [line for line in loud.stdout.splitlines() if LINE.fullmatch(line)]
    for form in ("text", "short"):
        assert run("review", "tower-order.yaml", "--quiet", "--as", form, cwd=folder).stdout == ""


@pytest.mark.parametrize("form", thinned(FORMS["review"], 4))
def test_only_changes_what_is_shown_and_says_how_much_is_not(run: Run, form: str) -> None:
    words = ("review", f"sample_specs/{HELD}.yaml", "--as", form, "--on", DAY)
    whole, part = run(*words), run(*words, "--only", "tower.rest-gap")
    assert part.returncode == whole.returncode == 1
    assert "tower.never-slack" in whole.stdout
    assert "tower.rest-gap" in part.stdout
    hidden = len(json.loads(run(*words[:3], "json", *words[4:]).stdout)["specs"][0]["findings"]) - 1
    assert re.search(
        rf"{hidden} findings not shown|notShown\": {hidden}\b|not_shown\"( value=\"|: ){hidden}\b", part.stdout
    )


def test_only_keeps_verdict_numbers_and_totals(run: Run) -> None:
    words = ("review", f"sample_specs/{HELD}.yaml", "--as", "json", "--on", DAY)
    whole, part = (json.loads(run(*words, *more).stdout) for more in ((), ("--only", "cables")))
    assert (part["totals"], part["specs"][0]["verdict"]) == (whole["totals"], "hold")
    kept = [finding for finding in whole["specs"][0]["findings"] if finding["rule"].startswith("cables.")]
    assert part["specs"][0]["findings"] == kept
    numbers = [finding["number"] for finding in whole["specs"][0]["findings"]]
    assert numbers == list(range(1, len(numbers) + 1))
    assert part["not_shown"] == len(numbers) - len(kept)


@pytest.mark.parametrize("form", ["text", "short"])
def test_color_is_asked_for_or_is_on_a_terminal(run: Run, form: str) -> None:
    call = ("review", "sample_specs/floor-still-to-come.yaml", "--as", form, "--on", DAY)
    plain = run(*call).stdout
    ways: tuple[tuple[list[str], dict[str, str], bool], ...] = (
        ([], {}, False),
        (["--color", "always"], {"NO_COLOR": "1"}, True),
        (["--color", "never"], {"FORCE_COLOR": "1"}, False),
        ([], {"NO_COLOR": "1", "FORCE_COLOR": "1"}, False),
        ([], {"FORCE_COLOR": "1"}, True),
    )
    for words, env, colored in ways:
        out = run(*call, *words, **{**TERMINAL, **env}).stdout
        assert ("\x1b[" in out) is colored, (words, env)
        assert re.sub(r"\x1b\[[\d;]*m", "", out) == plain, f"nothing is said by color alone: {words}, {env}"


def test_annotations_are_workflow_commands(run: Run, tmp_path: Path) -> None:
    name = "a,b:c 100%.yaml"
    (tmp_path / name).write_text(sample(HELD), "utf-8")
    lines = run("review", name, "--as", "github", "--on", DAY, cwd=tmp_path).stdout.splitlines()
    command = re.compile(r"::(error|warning|notice) file=a%2Cb%3Ac 100%25\.yaml,line=\d+,[^:]*::[^\n]+")
    assert len(lines) > 9
    assert all(command.fullmatch(line) for line in lines[:-1])
    assert not lines[-1].startswith("::")


@pytest.mark.parametrize("name", ["hook-up-from-the-angle", "duct-behind-header", "rise-too-steep"])
def test_what_to_do_first_is_on_the_first_screen(run: Run, name: str) -> None:
    lines = run("review", f"sample_specs/{name}.yaml", "--on", DAY).stdout.splitlines()
    assert "DO FIRST" in lines
    assert lines.index("ERRORS - do not build") <= 24


def test_the_end_of_a_finding_is_where_its_value_ends(run: Run) -> None:
    told = json.loads(run("review", "sample_specs/tower-without-side-room.yaml", "--as", "json", "--on", DAY).stdout)
    (finding,) = told["specs"][0]["findings"]
    text = sample("tower-without-side-room").splitlines()[finding["line"] - 1]
    assert finding["line"] == finding["end_line"]
    assert text[finding["column"] - 1 : finding["end_column"] - 1] == text.strip()


def test_the_page_of_rules_has_every_rule_as_an_anchor(run: Run) -> None:
    listed = json.loads(run("rulebook", "--as", "json").stdout)["rules"]
    page = run("rulebook", "--as", "html").stdout
    assert set(re.findall(r'<article id="([^"]+)"', page)) == {one["rule"] for one in listed}
    alone = run("rulebook", "headroom.swept", "--as", "html").stdout
    assert '<article id="headroom.swept"' in alone
    assert "Outside" in alone


def test_findings_link_to_the_page_of_rules_where_the_settings_give_it(run: Run, folder: Path) -> None:
    def links() -> set[str | None]:
        told = json.loads(run("review", "floor-still-to-come.yaml", "--as", "sarif", "--on", DAY, cwd=folder).stdout)
        return {rule.get("helpUri") for rule in told["runs"][0]["tool"]["driver"]["rules"]}

    assert links() == {None}
    (folder / ".doorlint.yaml").write_text("rulebook: https://shop.example/rules.html\n", "utf-8")
    assert "https://shop.example/rules.html#opening.floor-known" in links()
    (folder / ".doorlint.yaml").write_text("rulebook: javascript:alert(1)\n", "utf-8")
    assert run("review", "floor-still-to-come.yaml", cwd=folder).returncode == 2


@pytest.mark.parametrize(("units", "shown"), [("as-written", "10.218 in"), ("us", "10 3/16 in"), ("si", "260 mm")])
def test_a_value_is_shown_as_it_was_written_unless_other_units_are_asked_for(
    run: Run, tmp_path: Path, units: str, shown: str
) -> None:
    path = tmp_path / "d.yaml"
    path.write_text(sample("tower-order").replace("headroom: 26 in", "headroom: 10.218 in"), "utf-8")
    told = json.loads(run("review", path, "--as", "json", "--units", units, "--on", DAY).stdout)["specs"][0]
    finding = next(one for one in told["findings"] if one["rule"] == "headroom.swept")
    assert finding["measured"]["text"] == shown
    assert f"headroom is {shown}" in finding["message"]
    assert f"room headroom (now {shown})" in finding["remedy"]

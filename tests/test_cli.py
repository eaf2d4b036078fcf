"""The command line as people and CI use it: exit codes, where output goes, what is never touched."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import jsonschema
import needs
import pytest
from shared import DAY, FORMS, ROOT, SAMPLES, Run, filled_in, thinned

from doorlint.api import review
from doorlint.cli import COMMANDS
from doorlint.rulebook.library import Library
from doorlint.spec import read

CLEAN = "sample_specs/tower-order.yaml"
HELD = "sample_specs/floor-still-to-come.yaml"
EVERY = ["review", "blank", "propose", "setout", "parts", "change", "remedy", "rulebook", "language-server"]
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
        (["review", CLEAN, "--on", "2026-02-30"], "is not a date"),
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


@pytest.mark.parametrize("word", ["Doorlint: 1", "door-lint: 1", "doorlint : 1", '"doorlint": 1', "doorlint 1"])
def test_a_slip_in_the_word_that_makes_a_spec_is_not_passed_over(run: Run, tmp_path: Path, word: str) -> None:
    (tmp_path / "good.yaml").write_text((ROOT / CLEAN).read_text("utf-8"), "utf-8")
    (tmp_path / "slip.yaml").write_text(EMPTY.replace("doorlint: 1", word), "utf-8")
    done = run("review", tmp_path, "--as", "json", "--on", DAY)
    verdicts = {Path(spec["file"]).name: spec["verdict"] for spec in json.loads(done.stdout)["specs"]}
    assert verdicts["slip.yaml"] != "clear"
    assert done.returncode == (1 if verdicts["slip.yaml"] == "hold" else 2)


def test_a_spec_in_an_encoding_that_is_not_read_is_not_passed_over(run: Run, tmp_path: Path) -> None:
    (tmp_path / "good.yaml").write_text((ROOT / CLEAN).read_text("utf-8"), "utf-8")
    (tmp_path / "door.yaml").write_text(EMPTY, "utf-16")
    done = run("review", tmp_path, "--on", DAY)
    assert done.returncode == 2
    assert "found UTF-16 or UTF-32; expected UTF-8; save the file as UTF-8" in done.stdout


def test_a_file_named_outright_that_is_no_spec_is_an_error(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "notes.yaml"
    path.write_text("title: not a spec\n", "utf-8")
    assert run("review", path).returncode == 2


@pytest.mark.parametrize("sample", thinned(SAMPLES, 3), ids=lambda path: path.stem)
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


GIVEN = {
    "review": (HELD, "--on", DAY),
    "blank": (),
    "propose": ("sample_specs/survey-clean.yaml", "--on", DAY),
    "setout": (CLEAN, "--on", DAY),
    "parts": (CLEAN, "--on", DAY),
    "remedy": (HELD, "--on", DAY),
    "change": (CLEAN, HELD, "--on", DAY),
    "rulebook": (),
}
CALLS = [(name, *GIVEN[name], "--as", form) for name, forms in FORMS.items() for form in forms]
ONE_A_COMMAND = [
    pytest.param(call, marks=() if call[-1] == FORMS[call[0]][0] else pytest.mark.slow, id="-".join(call))
    for call in CALLS
]
"""Of each command its first form, and, slowly, all the others."""


def test_the_forms_of_a_command_are_those_of_its_help(run: Run) -> None:
    for name, forms in FORMS.items():
        told = re.search(r"--as \[(.*?)\]", run(name, "--help").stdout)
        assert told is not None
        assert tuple(told[1].split("|")) == forms
    modules = {name: import_module(f"doorlint.cli.{name.replace('-', '_')}") for name in COMMANDS}
    reporting = {name for name, made in modules.items() if any(o.name == "wanted" for o in made.command.params)}
    assert reporting == FORMS.keys()


@pytest.mark.parametrize("call", ONE_A_COMMAND)
def test_a_process_of_its_own_says_the_same(run: Run, launch: Run, call: tuple[str, ...]) -> None:
    """Most tests call a command in their own process; what a shell starts is the same, byte for byte."""
    here, there = run(*call), launch(*call)
    assert there.returncode in (0, 1), there.stderr
    assert (there.returncode, there.stdout, there.stderr) == (here.returncode, here.stdout, here.stderr)


@pytest.mark.parametrize("call", thinned([call for call in CALLS if call[-1] != "yaml"], 4), ids="-".join)
def test_a_report_is_written_over_the_one_before(run: Run, tmp_path: Path, call: tuple[str, ...]) -> None:
    target = tmp_path / "report"
    first, again = (run(*call, "--out", target) for _ in range(2))
    assert first.returncode in (0, 1), first.stderr
    assert (again.returncode, again.stderr) == (first.returncode, first.stderr)


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
    counted = {"record.enough-readings", "fittings.answered"}  # how many are missing is what they find
    assert set(wrong) <= counted, "nothing is filled in, so nothing can be wrong"
    assert any(finding["rule"].startswith("completeness") for finding in spec["findings"])


@pytest.mark.parametrize("sample", thinned(SAMPLES, 4), ids=lambda path: path.stem)
def test_a_blank_for_the_next_stage_keeps_what_is_known(library: Library, sample: Path) -> None:
    known = read(sample.read_bytes(), library.catalog)
    for stage in ("survey", "order", "install", "commissioned"):
        filled = read(filled_in(library, stage, known=known), library.catalog)
        assert filled.problems == ()
        assert filled.stage == stage
        for name, value in known.values.items():
            kept = filled.values[name]
            if name != "stage":
                assert ({key: kept[key] for key in value} if isinstance(value, dict) else kept) == value, name
    same = filled_in(library, known=known)
    again = read(same, library.catalog)
    assert again.stage == known.stage
    assert filled_in(library, known=again) == same
    before, after = (review(text, on=DAY) for text in (sample.read_text("utf-8"), same))
    assert after.verdict == before.verdict
    assert [finding.rule for finding in after.findings] == [finding.rule for finding in before.findings]


@pytest.mark.parametrize(
    "word",
    [
        "'dock #3'",
        '"a: b"',
        "'it''s'",
        '"\\"12\\" line"',
        "left, right",
        '"two\\nlines"',
        "'- 1'",
        '"{"',
        "'null'",
    ],
)
def test_a_blank_keeps_words_as_they_were_written(library: Library, word: str) -> None:
    known = read(f"doorlint: 1\nstage: survey\njob:\n  number: J-1\n  site: {word}\n")
    assert known.problems == ()
    filled = read(filled_in(library, known=known))
    assert known.text("/job/site") is not None
    assert filled.text("/job/site") == known.text("/job/site")


def test_a_blank_asks_no_more_for_things_that_were_taken_out(run: Run, tmp_path: Path) -> None:
    """A survey without obstructions says that there are none; the order's own things are asked for."""
    spec = tmp_path / "door.yaml"
    spec.write_text(EMPTY.replace("}", ", site: north dock}"), "utf-8")
    text = run("blank", "--from", spec, "--stage", "order").stdout
    assert "obstructions:" not in text
    assert {"sections:", "boxes:", "cables:"} <= set(text.split())
    assert "torsion:" in run("blank", "--from", spec, "--stage", "order", "--counterbalance", "torsion").stdout


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (None, "cannot be read: No such file"),
        (
            "doorlint: 1\nstage: survey\njob: {number: J-1}\nroom: {headroom: 24}\n",
            "door.yaml:4:8: found 24 without",
        ),
    ],
)
def test_a_blank_is_filled_in_from_a_spec_that_reads(run: Run, tmp_path: Path, text: str | None, said: str) -> None:
    if text is not None:
        (tmp_path / "door.yaml").write_text(text, "utf-8")
    done = run("blank", "--from", tmp_path / "door.yaml")
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_a_blank_says_what_each_measure_is_of(run: Run) -> None:
    text = run("blank", "--stage", "order").stdout
    assert "# How far each jamb is out of plumb over its height\n  jamb_plumb:\n" in text
    assert "for example 12'-2 1/2" not in text, "how a length is written is no example of every length"
    assert "# Force per length of stretch; for example 40 lbf/in" in text or "written like 40 lbf/in" in text


def test_what_is_done_first_is_said_once(run: Run, tmp_path: Path) -> None:
    spec = tmp_path / "door.yaml"
    first = run("review", spec).stdout.partition("DO FIRST")[2].partition("ERRORS")[0]
    assert "No such file or directory; check the name and the permissions of the file. [1]" in " ".join(first.split())
    spec.write_text(EMPTY + "room: {headroom: 24}\n", "utf-8")
    first = run("review", spec).stdout.partition("DO FIRST")[2].partition("ERRORS")[0]
    assert "expected a length; write 24 in or 24 mm. [1]" in " ".join(first.split())


def test_many_gaps_lead_to_what_each_is(run: Run) -> None:
    text = run("review", "-", "--on", DAY, stdin=EMPTY).stdout
    assert "more; `doorlint blank --from SPEC` lists them all. [" in " ".join(text.split())


def test_a_blank_is_never_written_over_a_spec(run: Run, tmp_path: Path) -> None:
    spec = tmp_path / "door.yaml"
    assert run("blank", "--out", spec).returncode == 0
    before = spec.read_bytes()
    done = run("blank", "--from", spec, "--stage", "order", "--out", spec)
    assert done.returncode == 2
    assert "never written over; name another file" in done.stderr
    assert spec.read_bytes() == before


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


def test_the_rulebook_says_what_a_shop_figure_is_and_shows_examples_in_its_units(run: Run) -> None:
    text = run("rulebook", "track.bracket-spacing").stdout
    assert "practice.bracket_spacing is 24 in or 610 mm" in text
    assert "24 1/8 in, limit 24 in" in text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("headroom", "`doorlint rulebook --subject headroom` lists the rules of this subject"),
        ("bracket-sp", "did you mean track.bracket-spacing?"),
        ("cables.clip", "did you mean cables.clips"),
    ],
)
def test_the_rulebook_leads_to_the_rule_that_was_meant(run: Run, asked: str, said: str) -> None:
    done = run("rulebook", asked)
    assert done.returncode == 2
    assert said in done.stderr


@pytest.mark.parametrize(
    ("of", "to", "code", "said"),
    [
        ("", "", 0, ""),
        ("headroom: 17.7 in", "headroom: 17.8 in", 2, "its outside example is not as it should be"),
        ("headroom: 17.7 in", "headroom: 10 in", 2, "its outside example is not as it should be"),
        ("base: torsion-order", "base: torsion-ordr", 2, "there is no sample torsion-ordr; write torsion-order"),
    ],
)
def test_an_example_that_does_not_hold_is_an_error(
    run: Run, tmp_path: Path, of: str, to: str, code: int, said: str
) -> None:
    text = (ROOT / "tests" / "house" / "stricter" / "shop.yaml").read_text("utf-8")
    (tmp_path / "shop.yaml").write_text(text.replace(of, to), "utf-8")
    done = run("rulebook", "shop.headroom-to-spare", "--house-rules", tmp_path)
    assert done.returncode == code, done.stderr
    assert said in done.stderr


def test_without_a_rule_the_examples_of_every_house_rule_are_tried(run: Run, tmp_path: Path) -> None:
    stricter = ROOT / "tests" / "house" / "stricter"
    good = run("rulebook", "--house-rules", stricter)
    assert (good.returncode, good.stderr) == (0, "")
    text = (stricter / "shop.yaml").read_text("utf-8")
    for before, after in (("headroom: 17.7 in", "headroom: 17.8 in"), ("{client: harbour board}", "{}")):
        assert before in text
        text = text.replace(before, after)
    (tmp_path / "shop.yaml").write_text(text, "utf-8")
    done = run("rulebook", "--house-rules", tmp_path)
    assert done.returncode == 2
    assert "shop.headroom-to-spare" in done.stdout, "the rules are shown all the same"
    assert done.stderr.splitlines() == [
        "doorlint: rule shop.headroom-to-spare: its outside example is not as it should be; fix the example, or the "
        "rule",
        "  rule shop.site-named: its inside example is not as it should be; fix the example, or the rule",
    ]


def test_commands_stand_in_the_order_of_their_use_with_whole_sentences(run: Run) -> None:
    lines = run("--help").stdout.partition("Commands:\n")[2].splitlines()
    assert [line.split()[0] for line in lines] == EVERY
    assert all(line.endswith(".") and not line.endswith("..") for line in lines), lines


@pytest.mark.parametrize("command", EVERY)
def test_help_of_a_command_says_what_every_option_takes(run: Run, command: str) -> None:
    text = run(command, "--help").stdout
    assert f"doorlint {command}" in text.partition("Options:")[0].partition("\n")[2], "it shows a call"
    options = [line.split() for line in text.partition("Options:\n")[2].splitlines() if line.startswith("  --")]
    assert options
    assert not {"TEXT", "FLOAT", "INTEGER", "PATH"} & {word for line in options for word in line[1:2]}


def test_a_setting_out_of_what_cannot_be_read_leads_to_all_that_is_wrong(run: Run, tmp_path: Path) -> None:
    spec = tmp_path / "door.yaml"
    spec.write_text(EMPTY + "room: {headroom: 24, back: 16}\n", "utf-8")
    done = run("setout", spec)
    assert done.returncode == 2
    assert "found 24 without a unit" in done.stderr
    assert f"doorlint review {spec} lists all 2 problems" in done.stderr


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("re", {"review", "remedy"}),
        ("rulebook headroom.s", {"headroom.swept"}),
        ("rulebook --subject headr", {"headroom"}),
        ("review --draft-approval track.bracket", {"track.bracket-spacing"}),
        ("review --as ju", {"junit"}),
    ],
)
def test_a_shell_completes_words(words: str, wanted: set[str]) -> None:
    shell = needs.command("bash")
    script = """
        doorlint() { "$PYTHON" -m doorlint "$@"; }
        COMP_WORDS=(doorlint $WORDS); COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
        COMP_WORDS="doorlint $WORDS" COMP_CWORD=$COMP_CWORD _DOORLINT_COMPLETE=bash_complete doorlint
    """
    env = {**os.environ, "PYTHON": sys.executable, "WORDS": words, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([shell, "-c", script], env=env, capture_output=True, text=True, check=True)
    assert {line.partition(",")[2] for line in done.stdout.splitlines()} == wanted


def test_help_teaches(run: Run) -> None:
    done = run("--help")
    assert done.returncode == 0
    for word in ("review", "rulebook", "blank", "setout", "parts", "change", "remedy", "licensed practice"):
        assert word in " ".join(done.stdout.split())

"""What specs of one run say of each other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from shared import DAY, ROOT, Run

from doorlint.api import Regrade, review_paths
from doorlint.builtin_rules import BUILTIN_RULES
from doorlint.findings import SpecReview

ORDER = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
NUMBER, OPENING = "fleet.job-number-twice", "fleet.opening-disagrees"


WIDTHS = """{top: 12'-0", middle: 12'-0", bottom: 12'-0"}"""


def text(number: str = "J-1", site: str = "north dock", opening: str = "D-1") -> str:
    made = ORDER.replace("J-1001", number).replace("cold store, north dock", site)
    return made.replace("opening: D-1", f"opening: {opening}")


def said(folder: Path, specs: dict[str, str], **more: object) -> dict[str, list[str]]:
    """File to what is said of it for the others' sake."""
    for name, spec in specs.items():
        (folder / name).write_text(spec, "utf-8")
    return {Path(one.file).name: about(one) for one in review_paths([folder], on=DAY, **more)}  # type: ignore[arg-type]


def about(spec: SpecReview) -> list[str]:
    return [f"{f.line}:{f.column} {f.pointer} {f.message}" for f in spec.findings if f.rule.startswith("fleet.")]


def test_jobs_that_share_nothing_say_nothing(tmp_path: Path) -> None:
    specs = {"a.yaml": text(), "b.yaml": text("J-2", "south dock"), "c.yaml": text("J-3", "north dock", "D-2")}
    assert said(tmp_path, specs) == {"a.yaml": [], "b.yaml": [], "c.yaml": []}


def test_a_number_given_twice_is_said_of_the_later_file(tmp_path: Path) -> None:
    found = said(tmp_path, {"a.yaml": text(), "b.yaml": text(), "c.yaml": text(opening="D-2")})
    assert found["a.yaml"] == []
    for name in ("b.yaml", "c.yaml"):
        assert found[name] == [f"6:3 /job/number job number J-1 is also that of {tmp_path / 'a.yaml'}"]


def test_the_same_job_at_another_stage_is_no_other_job(tmp_path: Path) -> None:
    survey = text().replace("stage: order", "stage: survey")
    assert said(tmp_path, {"a.yaml": survey, "b.yaml": text()}) == {"a.yaml": [], "b.yaml": []}
    found = said(tmp_path, {"c.yaml": text()})
    assert [bool(found[name]) for name in ("a.yaml", "b.yaml", "c.yaml")] == [False, False, True]


@pytest.mark.parametrize("asked", ["survey", "order", "commissioned"])
def test_stages_of_one_job_stay_apart_whatever_stage_is_asked_for(asked: str, tmp_path: Path) -> None:
    survey = text().replace("stage: order", "stage: survey")
    assert said(tmp_path, {"a.yaml": survey, "b.yaml": text()}, stage=asked) == {"a.yaml": [], "b.yaml": []}
    assert said(tmp_path, {"c.yaml": text()}, stage=asked)["c.yaml"] == [
        f"6:3 /job/number job number J-1 is also that of {tmp_path / 'b.yaml'}"
    ]


def test_one_opening_measured_twice_otherwise(tmp_path: Path) -> None:
    wide = text("J-2").replace(WIDTHS, """{top: 12'-2", middle: 12'-0 1/8", bottom: 12'-0"}""")
    found = said(tmp_path, {"a.yaml": text(), "b.yaml": wide})
    assert found["a.yaml"] == []
    first = tmp_path / "a.yaml"
    message = f"""opening width top is 12'-2"; {first} has 12'-0" for the same opening"""
    assert found["b.yaml"] == [f"12:11 /opening/width/top {message}"]


@pytest.mark.parametrize(
    ("site", "opening", "same"),
    [("North  Dock", "d-1", True), ("north dock", "D-2", False), ("dock", "D-1", False)],
)
def test_an_opening_is_the_same_by_site_and_mark(site: str, opening: str, same: bool, tmp_path: Path) -> None:
    narrow = text("J-2", site, opening).replace("12'-0\"", "11'-11\"")
    assert bool(said(tmp_path, {"a.yaml": text(), "b.yaml": narrow})["b.yaml"]) is same


def test_a_size_that_only_a_later_spec_gives_holds_for_those_after_it(tmp_path: Path) -> None:
    first = text().replace(", middle: 12'-0\"", "")
    third = text("J-3").replace("middle: 12'-0\"", "middle: 12'-3\"")
    found = said(tmp_path, {"a.yaml": first, "b.yaml": text("J-2"), "c.yaml": third})
    assert (found["a.yaml"], found["b.yaml"]) == ([], [])
    assert len(found["c.yaml"]) == 2
    assert all(str(tmp_path / "b.yaml") in message for message in found["c.yaml"])


def test_one_spec_alone_has_nobody_to_disagree_with(tmp_path: Path) -> None:
    assert said(tmp_path, {"a.yaml": text()}) == {"a.yaml": []}


def test_such_a_finding_counts_for_the_verdict(tmp_path: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / name).write_text(text(), "utf-8")
    verdicts = {
        hold_at: [spec.verdict for spec in review_paths([tmp_path], on=DAY, hold_at=hold_at)]  # type: ignore[arg-type]
        for hold_at in ("error", "warning")
    }
    assert verdicts == {"error": ["clear", "clear"], "warning": ["clear", "hold"]}
    graded = review_paths([tmp_path], on=DAY, severities={NUMBER: Regrade("error")})
    assert [spec.verdict for spec in graded] == ["clear", "hold"]


@pytest.mark.parametrize("rule", [NUMBER, OPENING])
def test_the_rule_book_explains_them(rule: str, run: Run) -> None:
    done = run("rulebook", rule, "--as", "json")
    assert (done.returncode, json.loads(done.stdout)["title"]) == (0, BUILTIN_RULES[rule].title)

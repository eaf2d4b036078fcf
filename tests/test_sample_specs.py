"""The sample specs: the clean ones are clear, each of the others is stopped for what its first lines tell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from shared import DAY, SAMPLES, review_text, steady, thinned
from syrupy.assertion import SnapshotAssertion

from doorlint.api import review, review_paths
from doorlint.counterbalance import named
from doorlint.evaluation import evaluate
from doorlint.findings import Review, SpecReview
from doorlint.reports import renderer
from doorlint.reports.cautions import cautions
from doorlint.rulebook.library import Library
from doorlint.sheet import set_out

CLEAN = {
    "survey-clean", "tower-order", "tower-install", "tower-commissioned", "tower-order-metric", "tower-high-lift",
    "torsion-order", "torsion-install", "torsion-commissioned",
    "torsion-high-lift", "torsion-vertical", "torsion-vertical-install", "torsion-roof-install",
    "torsion-low-headroom-install",
    "torsion-duplex", "torsion-tube", "torsion-rear", "torsion-en",
}  # fmt: skip
STORIES = {
    "floor-still-to-come": {"opening.floor-known"},
    "handing-from-outside": {"opening.handing-inside"},
    "tape-misread-by-a-foot": {"opening.diagonals-agree"},
    "metres-typed-as-feet": {"opening.width-plausible", "opening.height-plausible"},
    "tower-without-side-room": {"room.side-tower"},
    "duct-behind-header": {"sweep.obstruction", "room.headroom-agrees"},
    "pipe-in-tower-bay": {"room.clear-of-tower"},
    "rise-too-steep": {"track.rise-most", "tower.stays-open"},
    "hook-up-from-the-angle": {"tower.never-slack"},
    "hanger-unbraced": {"hangers.braced-along"},
    "balance-read-one-way": {"record.read-both-ways"},
    "motor-against-a-lock": {"operation.lock-interlock"},
    "standard-drums-on-high-lift": {"drums.high-lift", "torsion.runs-down"},
    "springs-changed-over": {"torsion.hand-of-wind"},
    "spring-from-another-door": {"torsion.runs-down"},
    "cables-cut-from-the-opening": {"torsion.cable-short"},
    "shaft-in-the-curve": {"shaft.door-clear"},
    "upper-guide-measured-from-the-wall": {"track.closed-far"},
    "wound-for-a-level-track": {"torsion.drops-open", "torsion.runs-down"},
    "brackets-end-below-the-open-door": {"guide.top-bracket"},
    "one-turn-short": {"record.turns-as-specified"},
}


def test_every_sample_has_its_story() -> None:
    assert {path.stem for path in SAMPLES} == CLEAN | STORIES.keys()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_first_lines_name_the_schema_and_tell_the_story(path: Path) -> None:
    first, second, *_ = path.read_text("utf-8").splitlines()
    assert first == "# yaml-language-server: $schema=../schemas/job-spec.schema.json"
    assert second.startswith("# ")
    assert second.endswith((".", ":", ","))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_clean_sample_is_clear_and_any_other_stopped_for_its_story(path: Path, library: Library) -> None:
    record, _, _ = evaluate(path.read_bytes(), library)
    assert not record.problems
    noted = [(noted.outcome.rule, noted.outcome.state) for noted in record.open]
    short = {rule for rule, state in noted if state == "short"}
    loud = {rule for rule, _ in noted if library.rules[rule].severity != "advisory"}
    if path.stem in CLEAN:
        assert not short
        assert not loud
    else:
        assert short >= STORIES[path.stem]
        assert any(library.rules[rule].severity == "error" for rule in short)


WHOLE = {"duct-behind-header", "hanger-unbraced", "hook-up-from-the-angle", "survey-clean", "torsion-commissioned"}
"""Samples whose whole text is kept: several causes and severities, one cause, a tower set wrong, and clear ones."""


@pytest.mark.parametrize("path", [path for path in SAMPLES if path.stem not in CLEAN], ids=lambda path: path.stem)
def test_what_is_found_in_a_sample(path: Path, snapshot: SnapshotAssertion) -> None:
    """A line a finding, with the figures and the place that every form shows."""
    review = _reviewed(path)
    lines = [
        f"{found.severity} {found.rule} {found.line}:{found.column} {found.pointer}"
        + (f" {found.measured.text} | {found.limit.text}" if found.measured and found.limit else "")
        for found in review.findings
    ]
    lines += [
        f"not checked {gap.rule} {gap.pointer} {gap.reason} {' '.join(gap.missing)}" for gap in review.not_checked
    ]
    assert "\n".join(lines) == snapshot


@pytest.mark.parametrize("path", thinned(SAMPLES, 3), ids=lambda path: path.stem)
def test_text_and_json_say_what_was_found(path: Path, library: Library) -> None:
    reviewed = _reviewed(path)
    run = Review("0", DAY, (reviewed,), library)
    text = " ".join(review_text("text", run).split())
    (spec,) = json.loads(review_text("json", run))["specs"]
    for found, told in zip(reviewed.findings, spec["findings"], strict=True):
        assert f"{found.rule} {path.name}:{found.line}:{found.column}" in text
        assert " ".join(found.message.split()) in text
        for key in ("rule", "severity", "line", "column", "pointer", "message", "safety"):
            assert told[key] == getattr(found, key)
        assert (told["measured"] or {}).get("value") == (found.measured.value if found.measured else None)
        assert (told["limit"] or {}).get("text") == (found.limit.text if found.limit else None)
    assert [gap["rule"] for gap in spec["not_checked"]] == [gap.rule for gap in reviewed.not_checked]
    assert spec["verdict"] == reviewed.verdict == ("clear" if path.stem in CLEAN else "hold")


@pytest.mark.parametrize("path", [path for path in SAMPLES if path.stem in WHOLE], ids=lambda path: path.stem)
def test_the_whole_text_of_a_sample(path: Path, library: Library, snapshot: SnapshotAssertion) -> None:
    assert steady(review_text("text", Review("0", DAY, (_reviewed(path),), library))) == snapshot


def test_the_whole_json_of_a_sample(library: Library, snapshot: SnapshotAssertion) -> None:
    path = next(path for path in SAMPLES if path.stem == "hanger-unbraced")
    assert steady(review_text("json", Review("0", DAY, (_reviewed(path),), library))) == snapshot


@pytest.mark.parametrize("kind", ["tower", "torsion"])
def test_the_cautions_word_for_word(kind: str, snapshot: SnapshotAssertion) -> None:
    assert "\n".join(cautions(named(kind))) == snapshot


@pytest.mark.parametrize("name", ["tower-install", "torsion-install"])
def test_what_is_set_out_of_a_sample(name: str, library: Library, snapshot: SnapshotAssertion) -> None:
    path = next(path for path in SAMPLES if path.stem == name)
    assert (
        steady(renderer("sheet", "text")(set_out(_reviewed(path), library, shown_working=False), "0", DAY)) == snapshot
    )


def _reviewed(path: Path) -> SpecReview:
    return review(path.read_bytes(), name=path.name, on=DAY)


def test_no_two_samples_are_taken_for_one_job() -> None:
    found = [finding for spec in review_paths(SAMPLES, on=DAY, cache=None) for finding in spec.findings]
    assert not [finding.message for finding in found if finding.rule.startswith("fleet.")]

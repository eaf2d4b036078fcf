"""The sample specs: the clean ones are clear, each of the others is stopped for what its first lines tell."""

from __future__ import annotations

from pathlib import Path

import pytest
from shared import DAY, SAMPLES
from syrupy.assertion import SnapshotAssertion

from doorlint.api import review
from doorlint.findings import Review, SpecReview
from doorlint.reports import renderer, sheet_renderer
from doorlint.rulebook.library import Library
from doorlint.setout import set_out
from doorlint.verdict import check

CLEAN = {
    "survey-clean", "tower-order", "tower-install", "tower-commissioned", "tower-order-metric",
    "torsion-order", "torsion-install", "torsion-commissioned",
}  # fmt: skip
STORIES = {
    "floor-still-to-come": {"opening.floor-known"},
    "handing-from-outside": {"opening.handing-inside"},
    "tape-misread-by-a-foot": {"opening.diagonals-agree"},
    "metres-typed-as-feet": {"opening.width-plausible", "opening.height-plausible"},
    "tower-without-side-room": {"room.side-tower"},
    "duct-behind-header": {"sweep.obstruction", "room.headroom-agrees"},
    "pipe-in-tower-bay": {"room.clear-of-tower"},
    "rise-too-steep": {"track.rise-most", "tower.unbalanced"},
    "hook-up-from-the-angle": {"tower.never-slack"},
    "hanger-unbraced": {"hangers.braced-along"},
    "balance-read-one-way": {"record.read-both-ways"},
    "motor-against-a-lock": {"operation.lock-interlock"},
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
    record, _, _ = check(path.read_bytes(), library)
    assert not record.problems
    noted = [(noted.outcome.rule, noted.outcome.state) for noted in record.noted]
    short = {rule for rule, state in noted if state == "short"}
    loud = {rule for rule, _ in noted if library.rules[rule].severity != "advisory"}
    if path.stem in CLEAN:
        assert not short
        assert not loud
    else:
        assert short >= STORIES[path.stem]
        assert any(library.rules[rule].severity == "error" for rule in short)


@pytest.mark.parametrize("form", ["text", "json"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_what_is_said_of_a_sample(path: Path, form: str, library: Library, snapshot: SnapshotAssertion) -> None:
    report = renderer(form)(Review("0", DAY, (_reviewed(path),), library))
    assert report.replace(library.digest, "RULES") == snapshot


@pytest.mark.parametrize("name", ["tower-install", "torsion-install", "hook-up-from-the-angle"])
def test_what_is_set_out_of_a_sample(name: str, library: Library, snapshot: SnapshotAssertion) -> None:
    path = next(path for path in SAMPLES if path.stem == name)
    sheet = sheet_renderer("text")(set_out(_reviewed(path), library, shown_working=False), "0", DAY)
    assert sheet.replace(library.digest, "RULES") == snapshot


def _reviewed(path: Path) -> SpecReview:
    return review(path.read_bytes(), name=path.name, on=DAY)

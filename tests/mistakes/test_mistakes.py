"""Single mistakes on clean jobs: each is named where it was made, and a clean job is silent."""

from __future__ import annotations

from pathlib import Path

import pytest
from mistakes.measure import HERE, job, mistakes, reviewed

JOBS = sorted(path.stem for path in (HERE / "jobs").glob("*.yaml"))


@pytest.mark.parametrize("name", JOBS)
def test_a_clean_job_is_clear(name: str, tmp_path: Path) -> None:
    spec, _ = reviewed(job(name), tmp_path)
    assert spec["verdict"] == "clear"
    assert not [finding for finding in spec["findings"] if finding["severity"] != "advisory"]


def test_the_set_is_large_and_its_names_are_unlike() -> None:
    assert len(mistakes()) >= 90
    assert len({(one.job, one.name) for one in mistakes()}) == len(mistakes())
    assert {one.job for one in mistakes()} == set(JOBS)

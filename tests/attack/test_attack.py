"""Jobs that can hurt somebody are stopped by the rule that is meant for them; sound jobs stay clear.

One file of data a subject. ``dangerous``: a patch on a sample and the rule that must stop it as an error. ``good``: a
patch on a sample that must not hold. A weak part names its ``thing`` in the load path, and the ``case`` in which it
carries most and more than it can.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from shared import DAY

from doorlint.counterbalance import the_one
from doorlint.evaluation import evaluate_spec
from doorlint.facts import Facts
from doorlint.findings import SpecReview
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library
from doorlint.verdict import Policy, present

HERE = Path(__file__).parent


def jobs(kind: str) -> list[Any]:
    """The jobs of a kind in every file, each named after its file and itself."""
    found = []
    for path in sorted(HERE.glob("*.yaml")):
        data = yaml.load(path.read_text("utf-8"), yaml.CBaseLoader)
        found += [pytest.param(job, id=f"{path.stem}: {job['name']}") for job in data[kind]]
    return found


def reviewed(job: dict[str, Any], library: Library) -> SpecReview:
    spec = base(job["base"]).patched(_empty_is_taken_out(job["patch"]))
    assert not spec.problems, spec.problems
    record, spec, made = evaluate_spec(spec, "", library)
    return present(record, library, Policy(DAY), "door.yaml", spec, made)


def _empty_is_taken_out(patch: Any) -> Any:
    if isinstance(patch, dict):
        return {key: _empty_is_taken_out(value) for key, value in patch.items()}
    return None if patch == "null" else patch


@pytest.mark.parametrize("job", jobs("dangerous"))
def test_a_dangerous_job_is_stopped(job: dict[str, Any], library: Library) -> None:
    review = reviewed(job, library)
    assert review.verdict == "hold"
    assert job["rule"] in {finding.rule for finding in review.findings if finding.severity == "error"}


@pytest.mark.parametrize("job", [job for job in jobs("dangerous") if "case" in job.values[0]])
def test_a_weak_part_is_caught_in_the_case_that_breaks_it(job: dict[str, Any], library: Library) -> None:
    review = reviewed(job, library)
    assert review.spec is not None
    assert review.job is not None
    kind = the_one(review.job.values)
    assert kind is not None
    rows = kind.lists["load_path"](Facts(review.job, "us"))
    broken = [row for row in rows if row["thing"] == job["thing"] and row["governs"] and (row["use"] or 0.0) > 1.0]
    assert job["case"] in {row["case"] for row in broken}


@pytest.mark.parametrize("job", jobs("good"))
def test_a_sound_job_is_clear(job: dict[str, Any], library: Library) -> None:
    review = reviewed(job, library)
    loud = [(finding.rule, finding.message) for finding in review.findings if finding.severity != "advisory"]
    assert not loud
    assert review.verdict == "clear"


def test_every_job_has_a_name_of_its_own() -> None:
    names = [param.id for kind in ("dangerous", "good") for param in jobs(kind)]
    assert len(set(names)) == len(names)

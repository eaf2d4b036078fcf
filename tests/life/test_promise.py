"""A clear job hurts nobody in a simulated life, and a job that hurts somebody is held."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings, target
from hypothesis import strategies as st

from life import promise
from life.life import harms, live
from life.mutate import mutated
from life.test_simulator import patched

KEPT = yaml.load((Path(__file__).parent / "kept.yaml").read_text("utf-8"), yaml.BaseLoader)


@pytest.mark.parametrize(
    "kept", KEPT, ids=[f"{one['base']}: {one['kind']} {number}" for number, one in enumerate(KEPT)]
)
def test_what_once_was_clear_and_hurt_is_held(kept: dict[str, Any]) -> None:
    tree = patched(promise.clean(kept["base"]), kept["patch"])
    assert kept["kind"] in {look.kind for look in harms(tree)}
    review = promise.reviewed(tree)
    assert kept["rule"] in {finding.rule for finding in review.findings if finding.severity == "error"}


@pytest.mark.parametrize("base", promise.BASES)
def test_a_clean_job_is_clear_and_hurts_nobody(base: str) -> None:
    assert promise.reviewed(promise.clean(base)).verdict == "clear"
    assert not harms(promise.clean(base))


def told(found: promise.Broken) -> str:
    small = promise.smallest(found)
    return f"{small.base} is clear with {small.patch()}: {'; '.join(look.words for look in small.looks)}"


SOME = pytest.mark.parametrize("tries", [20, pytest.param(300, marks=pytest.mark.slow)])


@SOME
def test_a_clear_job_survives_its_life(tries: int) -> None:
    tally = promise.Tally()
    for found in promise.at_random(11, tries, tally):
        pytest.fail(told(found))
    assert tally.tried == tries


@pytest.mark.slow
def test_no_walk_toward_harm_stays_clear() -> None:
    for seed in range(6):
        for found in promise.greedy(seed, 40, promise.Tally()):
            pytest.fail(told(found))


@pytest.mark.slow
@settings(max_examples=80, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(promise.BASES), st.randoms(use_true_random=False))
def test_nothing_clear_comes_near_harm_when_it_is_sought(base: str, chance: random.Random) -> None:
    tree, touched = mutated(promise.clean(base), chance)
    looks = live(tree)
    target(-max(-1.0, min((look.margin for look in looks), default=1.0)))
    if any(look.harm for look in looks):
        found = promise.asked(base, tree, touched)
        assert found is None, told(found)

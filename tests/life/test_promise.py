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

KEPT = yaml.load((Path(__file__).parent / "kept.yaml").read_text("utf-8"), yaml.CBaseLoader)


@pytest.mark.parametrize(
    "kept", KEPT, ids=[f"{one['base']}: {one['kind']} {number}" for number, one in enumerate(KEPT)]
)
def test_what_once_was_clear_and_hurt_is_held(kept: dict[str, Any]) -> None:
    tree = promise.patched(promise.clean(kept["base"]), kept["patch"])
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


def test_a_mounting_that_only_another_counterbalance_has_is_no_failure() -> None:
    tree = promise.patched(promise.clean("torsion-install"), {"mounts": {"head-right": {"part": "tower-foot"}}})
    assert "rule failed" not in {gap.reason for gap in promise.reviewed(tree).not_checked}


SOME = pytest.mark.parametrize("tries", [20, pytest.param(50, marks=pytest.mark.slow)])


@SOME
def test_a_clear_job_survives_its_life(tries: int) -> None:
    tally = promise.Tally()
    for found in promise.at_random(11, tries, tally):
        pytest.fail(told(found))
    assert tally.tried == tries


@pytest.mark.slow
def test_no_walk_toward_harm_stays_clear() -> None:
    for seed in range(2):
        for found in promise.greedy(seed, 40, promise.Tally()):
            pytest.fail(told(found))


@pytest.mark.slow
@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(promise.BASES), st.randoms(use_true_random=False))
def test_nothing_clear_comes_near_harm_when_it_is_sought(base: str, chance: random.Random) -> None:
    tree, touched = mutated(promise.clean(base), chance)
    looks = live(tree)
    target(-max(-1.0, min((look.margin for look in looks), default=1.0)))
    if any(look.harm for look in looks):
        found = promise.asked(base, tree, touched)
        assert found is None, told(found)


NAMES: dict[str, list[str]] = yaml.load((Path(__file__).parent / "names.yaml").read_text("utf-8"), yaml.CBaseLoader)


@SOME
def test_every_harm_has_a_finding_that_names_it(tries: int) -> None:
    chance = random.Random(17)
    for _ in range(tries):
        base = chance.choice(promise.BASES)
        tree, _ = mutated(promise.clean(base), chance)
        kinds = {look.kind for look in harms(tree)}
        review = promise.reviewed(tree) if kinds else None
        if review is None or review.verdict == "unreadable":
            continue
        rules = tuple({one.rule for one in review.findings} | {gap.rule for gap in review.not_checked})
        for kind in kinds:
            named = any(rule.startswith(tuple(NAMES[kind])) for rule in rules)
            assert named, (kind, base, promise.difference(promise.clean(base), tree))


ENGINEERING = (
    "tower.falls", "tower.leaps", "tower.runs-down", "tower.runs-up", "tower.group-hangs", "tower.never-slack",
    "tower.lifted", "tower.box-capacity", "tower.chain-strength", "tower.fittings-strength", "tower.head-capacity",
    "tower.slab-capacity", "torsion.runs-down", "torsion.runs-up", "torsion.drops-open", "torsion.slack-open",
    "torsion.plastic", "torsion.over-shaft", "torsion.hand-of-wind", "shaft.yields", "shaft.bearing-load",
    "shaft.coupler", "shaft.key", "shaft.door-clear", "sweep.obstruction", "headroom.swept", "cables.factor",
    "cables.alone", "pulleys.load", "fittings.capacity", "operation.drive-moves", "operation.hand-holds",
    "drums.rating", "drums.reach", "guide.locks",
)  # fmt: skip
"""Rules about what a simulated life shows as well: it has to show it where they hold a job."""


def test_the_rules_that_a_life_answers_for_are_there() -> None:
    assert set(ENGINEERING) <= promise.library().rules.keys()


@pytest.mark.parametrize("tries", [8, pytest.param(50, marks=pytest.mark.slow)])
def test_a_job_with_wide_margins_is_not_held_by_an_engineering_rule(tries: int) -> None:
    chance = random.Random(3)
    wide = 0
    for _ in range(tries):
        base = chance.choice(promise.BASES)
        tree, _ = mutated(promise.clean(base), chance)
        if promise.is_wide(base, tree):
            wide += 1
            held = {one.rule for one in promise.reviewed(tree).findings if one.severity == "error"} & set(ENGINEERING)
            assert not held, (base, promise.difference(promise.clean(base), tree))
    assert wide >= tries / 4

"""Rules speak as soon as what they read is given, and cry of nothing that is still to come."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from shared import ROOT, thinned

from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library, own_catalog
from doorlint.rulebook.rule import STAGES, Outcome
from doorlint.spec import Spec, read

CLEAN = (
    "tower-order", "tower-install", "tower-commissioned", "tower-order-metric", "tower-high-lift", "torsion-order",
    "torsion-install", "torsion-commissioned", "torsion-high-lift", "torsion-vertical", "torsion-rear", "torsion-en",
)  # fmt: skip


def short(library: Library, spec: Spec, stage: str) -> list[Outcome]:
    """What rules of later stages find."""
    outcomes = library.outcomes(library.job(spec.values, spec.keys), stage)
    later = STAGES[STAGES.index(stage) + 1 :]
    return [one for one in outcomes if one.state != "met" and library.compiled_rules[one.rule].stage in later]


def paths(tree: dict[str, Any], above: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for key, value in tree.items():
        yield (*above, key)
        if isinstance(value, dict):
            yield from paths(value, (*above, key))


def without(tree: dict[str, Any], path: tuple[str, ...]) -> None:
    for key in path[:-1]:
        tree = tree.get(key, {})
    tree.pop(path[-1], None)


def half_filled(name: str, seed: int) -> dict[str, Any]:
    """A clean sample, from the second seed on with some of its values and parts taken out."""
    tree: dict[str, Any] = yaml.load((ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8"), yaml.CBaseLoader)
    chance = random.Random(f"{name} {seed}")
    every = [path for path in paths(tree) if path[0] not in ("doorlint", "stage")]
    for path in chance.sample(every, chance.choice((1, 3, 8, len(every) // 6, len(every) // 3)) if seed else 0):
        without(tree, path)
    return tree


@pytest.mark.parametrize("case", thinned([(name, seed) for name in CLEAN for seed in range(8)], 8), ids=repr)
def test_no_rule_cries_of_what_is_still_to_come(case: tuple[str, int], library: Library) -> None:
    name, seed = case
    tree = half_filled(name, seed)
    for stage in STAGES[: STAGES.index(tree["stage"])]:
        spec = read(yaml.safe_dump({**tree, "stage": stage}, sort_keys=False).encode(), own_catalog())
        assert not short(library, spec, stage) or spec.problems


@pytest.mark.parametrize(
    ("name", "patch", "stage", "rule"),
    [
        ("tower-order", {"cables": {"near": {"clips": "1"}}}, "order", "cables.clips"),
        ("tower-install", {"mounts": {"head-left": {"fixing": {"kind": "lag"}}}}, "survey", "fixings.in-steel"),
        ("torsion-order", {"operation": {"by": "motor", "sensor_height": "12 in"}}, "survey", "operation.eye-height"),
    ],
)
def test_what_is_wrong_is_found_as_soon_as_it_is_given(
    name: str, patch: dict[str, Any], stage: str, rule: str, library: Library
) -> None:
    assert rule in {one.rule for one in short(library, base(name).patched({**patch, "stage": stage}), stage)}


@pytest.mark.parametrize(
    ("patch", "rule"),
    [
        ({"install": {"boxes_clamped": "false"}}, "install.boxes-clamped"),
        ({"opening": {"floor_finished": "false", "floor_to_come": "2 in"}}, "opening.floor-in-before-building"),
        ({"hangers": {"left-1": None, "left-2": None}}, "hangers.both-sides"),
    ],
)
def test_work_and_counts_wait_for_their_stage(patch: dict[str, Any], rule: str, library: Library) -> None:
    spec = base("tower-commissioned").patched({**patch, "stage": "order"})
    assert rule not in {one.rule for one in short(library, spec, "order")}

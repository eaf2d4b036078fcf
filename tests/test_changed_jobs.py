"""A job with some values changed comes to what a job with those values comes to that knows of no other."""

from __future__ import annotations

import random
from typing import Any

import pytest
from shared import thinned
from test_codegen import spoiled

from doorlint.figures.graph import Job
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import RULE, Library
from doorlint.spec import VOCABULARY


def apart(library: Library, job: Job) -> dict[str, tuple[Any, Any]]:
    """The cells in which a job differs from one made of the same values."""
    fresh = library.graph.job(job.values, job.keys)
    pairs = {name: (job.cell(name), fresh.cell(name)) for name in library.graph.nodes}
    return {name: pair for name, pair in pairs.items() if repr(pair[0]) != repr(pair[1])}


def otherwise(chance: random.Random, job: Job) -> dict[str, Any]:
    """One to three values otherwise: nudged, taken away, or as another thing has them."""
    patch: dict[str, Any] = {}
    given = (VOCABULARY.leaves.keys() & job.values.keys()) - job.graph.constants.keys()
    for name in chance.sample(sorted(given), chance.randint(1, 3)):
        held = job.values[name]
        key = chance.choice(list(held)) if isinstance(held, dict) else None
        value = held[key] if key is not None else held
        if isinstance(value, float) and chance.random() < 0.7:
            value = value * chance.choice((0.5, 0.99, 1.01, 1.5))
        elif key is not None and chance.random() < 0.5:
            value = held[chance.choice(list(held))]
        else:
            value = None
        patch[name] = value if key is None else {key: value}
    return patch


@pytest.mark.parametrize("seed", thinned(range(60), 6))
def test_a_changed_job_is_as_if_made_anew(seed: int, library: Library) -> None:
    chance = random.Random(seed)
    spec = spoiled(seed)
    job = library.job(spec.values, spec.keys)
    assert not apart(library, job)
    for _ in range(4):
        patch = otherwise(chance, job)
        job = job.with_changes(patch)
        assert not apart(library, job), patch


@pytest.mark.parametrize("seed", thinned(range(40), 5))
def test_a_job_that_becomes_another_is_that_one(seed: int, library: Library) -> None:
    one, other = spoiled(seed), spoiled(seed + 1000)
    job = library.job(one.values, one.keys)
    assert not apart(library, job)
    assert not apart(library, job.rebase({**library.graph.constants, **other.values}, other.keys))


@pytest.mark.parametrize("seed", thinned(range(40), 5))
def test_what_a_job_asked_for_before_a_change_is_no_matter(seed: int, library: Library) -> None:
    chance = random.Random(seed)
    spec = spoiled(seed)
    job = library.job(spec.values, spec.keys)
    for name in chance.sample(sorted(library.graph.nodes), 80):
        job.cell(name)
    changed = job.with_changes(otherwise(chance, job))
    rules = [name for name in library.graph.nodes if name.startswith(RULE)]
    for name in chance.sample(rules, 40):
        changed.cell(name)
    assert not apart(library, changed.with_changes(otherwise(chance, changed)))


def test_a_thing_of_which_nothing_is_known_yet_stays_through_a_change(library: Library) -> None:
    spec = base("tower-install").patched({"hangers": {"left-9": {}}})
    job = library.job(spec.values, spec.keys)
    changed = job.with_changes({"hanger.drop": {"left-1": None}})
    assert changed.keys == job.keys
    assert not apart(library, changed)

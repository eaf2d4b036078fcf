"""The quick way through the rules says what the long way says, whatever a spec lacks or breaks."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from typing import Any

import pytest
from varied import spec_text

from doorlint import quantities
from doorlint.figures.graph import Job
from doorlint.rulebook.checks import Spare
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.rule import STAGES, Outcome
from doorlint.spec import VOCABULARY, Spec, read
from doorlint.whatif.tolerance import spares


def spoiled(seed: int) -> Spec:
    """A varied spec with some values taken away and some measures made a good deal larger or smaller."""
    chance = random.Random(seed)
    spec = read(spec_text(seed))
    patch: dict[str, Any] = {}
    for name in chance.sample(sorted(VOCABULARY.leaves.keys() & spec.values.keys()), chance.randint(0, 12)):
        term, held = VOCABULARY.leaves[name], spec.values[name]
        if name in ("doorlint", "stage") or term.axis == "approval":
            continue
        key = chance.choice(list(held)) if isinstance(held, dict) else None
        value = held[key] if key is not None else held
        text = None
        if term.kind == "quantity" and isinstance(value, float) and chance.random() < 0.6:
            text = quantities.write_exact(
                value * chance.choice((0.3, 0.9, 1.1, 3.0)), term.dimension or "", spec.system
            )
        place = patch
        *above, last = VOCABULARY.pointer_of(name, key).split("/")[1:]
        for step in above:
            place = place.setdefault(step, {})
        place[last] = text
    return spec.patched(patch)


def never(_library: Library, _job: Job, _stage: str) -> Mapping[str, Spare]:
    return {}


def whole(outcomes: list[Outcome]) -> Counter[str]:
    return Counter(map(repr, outcomes))  # a value may be a list, which has no hash


@pytest.mark.parametrize("seed", range(120))
def test_what_is_met_and_what_is_not_are_the_same_both_ways(seed: int, library: Library) -> None:
    spec = spoiled(seed)
    if spec.problems:
        pytest.skip("it does not read any more")
    stage = random.Random(seed).choice(STAGES)
    every = list(library.outcomes(library.job(spec.values, spec.keys), stage))
    for _ in range(2):  # the second time in the order that the first has taught
        met, others, slim = library.held(library.job(spec.values, spec.keys), stage, never)
        assert met == sum(outcome.state == "met" for outcome in every)
        assert whole(others) == whole([outcome for outcome in every if outcome.state != "met"])
        assert not slim


@pytest.mark.parametrize("seed", range(40))
def test_what_is_met_with_too_little_to_spare_is_never_left_out(seed: int, library: Library) -> None:
    spec = spoiled(seed)
    if spec.problems:
        pytest.skip("it does not read any more")
    stage = random.Random(seed).choice(STAGES)
    job = library.job(spec.values, spec.keys)
    enough = spares(library, job, stage)
    _, _, slim = library.held(library.job(spec.values, spec.keys), stage, spares)
    close = [
        outcome
        for outcome in library.outcomes(job, stage)
        if outcome.state == "met" and outcome.margin is not None and RULE + outcome.rule in enough
        and outcome.margin <= enough[RULE + outcome.rule].fixed + enough[RULE + outcome.rule].share * abs(outcome.value)
    ]  # fmt: skip
    assert whole(close) <= whole(slim)


def test_so_much_is_spoiled_that_every_way_out_is_taken(library: Library) -> None:
    states: Counter[str] = Counter()
    for seed in range(60):
        spec = spoiled(seed)
        if not spec.problems:
            outcomes = library.outcomes(library.job(spec.values, spec.keys), "commissioned")
            states.update(f"{outcome.state} {outcome.reason}".strip() for outcome in outcomes)
    assert {"met", "short", "unknown input missing", "unknown outside table"} <= states.keys()

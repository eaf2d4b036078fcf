"""The program of all rules says what the rules say when each is asked by name, whatever a spec lacks or breaks."""

from __future__ import annotations

import ast
import contextlib
import random
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

import pytest
from shared import thinned
from varied import spec_text

from doorlint import quantities
from doorlint.figures.graph import Job
from doorlint.resources import folder
from doorlint.rulebook import files
from doorlint.rulebook.codegen import source
from doorlint.rulebook.library import CODEGEN_FROM, RULE, Library, own_catalog
from doorlint.rulebook.margin import ErrorBound
from doorlint.rulebook.rule import STAGES, Outcome
from doorlint.spec import VOCABULARY, Spec, read
from doorlint.uncertainty.outcomes import SortedOutcomes, sort_outcomes
from doorlint.uncertainty.tolerance import bounds


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
            with contextlib.suppress(quantities.QuantityError):  # one that is larger than any there is, is left out
                text = quantities.write_exact(
                    value * chance.choice((0.3, 0.9, 1.1, 3.0)), term.dimension or "", spec.system
                )
        place = patch
        *above, last = VOCABULARY.pointer_of(name, key).split("/")[1:]
        for step in above:
            place = place.setdefault(step, {})
        place[last] = text
    changed = spec.patched(patch)
    assert not changed.problems
    return changed


def run(library: Library, job: Job, stage: str, wanted: Mapping[str, ErrorBound]) -> tuple[int, list[str]]:
    """How many checks the program finds met, and the cells of the rules that it leaves."""
    steps = library.program(job, STAGES.index(stage))
    next(steps)
    met, left = steps.send(wanted)
    return met, left


def held(library: Library, job: Job, stage: str, wanted: Mapping[str, ErrorBound]) -> tuple[int, list[Outcome]]:
    """How many checks the program finds met, and the outcomes of the rules that it leaves."""
    met, left = run(library, job, stage, wanted)
    assert len(set(left)) == len(left)
    return met, [outcome for cell in left for outcome in job.cell(cell)]


def heaps(found: SortedOutcomes) -> tuple[int, Counter[str], Counter[str]]:
    return found.met, whole(found.open), whole(found.close)


def whole(outcomes: Iterable[Outcome]) -> Counter[str]:
    return Counter(map(repr, outcomes))  # a value may be a list, which has no hash


@pytest.mark.parametrize("seed", thinned(range(150), 3))
def test_what_is_met_and_what_is_not_are_the_same_both_ways(seed: int, library: Library) -> None:
    spec = spoiled(seed)
    stage = random.Random(seed).choice(STAGES)
    every = list(library.outcomes(library.job(spec.values, spec.keys), stage))
    met, others = held(library, library.job(spec.values, spec.keys), stage, {})
    assert whole(o for o in others if o.state != "met") == whole(o for o in every if o.state != "met")
    assert met + sum(o.state == "met" for o in others) == sum(o.state == "met" for o in every)
    job = library.job(spec.values, spec.keys)
    _, left = run(library, job, stage, {})
    assert {"met"} not in [{outcome.state for outcome in job.cell(cell)} for cell in left], "it is met throughout"


@pytest.mark.parametrize("seed", thinned(range(60), 3))
def test_figures_come_out_the_same_both_ways(seed: int, library: Library) -> None:
    spec = spoiled(seed)
    known = library.job(spec.values, spec.keys)
    given = set(known.cells.known)
    held(library, known, "commissioned", {})
    asked = library.job(spec.values, spec.keys)
    fresh = {name: value for name, value in known.cells.known.items() if name not in given}
    assert len(fresh) > 10
    for name, value in fresh.items():
        assert repr(asked.cells.value(name)) == repr(value), name


def test_few_rules_are_left_of_a_clear_job(library: Library) -> None:
    for name in ("tower-order", "tower-install", "tower-commissioned", "torsion-order", "survey-clean"):
        spec = read((folder("sample_specs") / f"{name}.yaml").read_bytes(), own_catalog())
        _, others = held(library, library.job(spec.values, spec.keys), spec.values["stage"], {})
        assert {outcome.rule for outcome in others} <= {"torsion.life"}


@pytest.mark.parametrize("seed", thinned(range(40), 2))
def test_what_is_met_with_too_little_to_spare_is_left(seed: int, library: Library) -> None:
    spec = spoiled(seed)
    stage = random.Random(seed).choice(STAGES)
    job = library.job(spec.values, spec.keys)
    enough = bounds(library, job, tuple(library.asked(stage))).either
    _, others = held(library, library.job(spec.values, spec.keys), stage, enough)
    close = [
        outcome
        for outcome in library.outcomes(job, stage)
        if outcome.state == "met" and outcome.margin is not None
        and RULE + outcome.rule in enough and not enough[RULE + outcome.rule].spans(outcome.value, outcome.margin)
    ]  # fmt: skip
    assert whole(close) <= whole(others)


def test_a_library_holds_many_jobs_as_it_holds_the_first() -> None:
    library = Library([("", files.load(folder("rules")))])
    specs = [read(spec_text(seed)) for seed in range(2 * CODEGEN_FROM)]
    first = sort_outcomes(library, library.job(specs[-1].values, specs[-1].keys), "commissioned")
    assert "program" not in vars(library)
    for spec in specs:
        last = sort_outcomes(library, library.job(spec.values, spec.keys), "commissioned")
    assert "program" in vars(library)
    assert heaps(first) == heaps(last)
    again = Library([("", files.load(folder("rules")))])
    again.expect(2 * CODEGEN_FROM)
    assert sort_outcomes(again, again.job(specs[-1].values, specs[-1].keys), "commissioned").met == first.met
    assert "program" in vars(again)


def test_the_order_of_what_is_said_is_the_same_both_ways() -> None:
    library = Library([("", files.load(folder("rules")))])
    specs = list(map(spoiled, range(CODEGEN_FROM)))
    first = [sort_outcomes(library, library.job(spec.values, spec.keys), "commissioned").open for spec in specs]
    library.expect(CODEGEN_FROM + 1)
    again = [sort_outcomes(library, library.job(spec.values, spec.keys), "commissioned").open for spec in specs]
    assert sum(map(len, first)) > 100
    assert list(map(repr, first)) == list(map(repr, again))


def test_of_a_rule_only_numbers_and_names_stand_in_the_source(library: Library) -> None:
    """A house's rules come from anyone: their words must not become Python."""
    text, _ = source(library.graph, [(RULE + rule, plan) for rule, plan in library.compiled_rules.items()])
    words = {node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant)}
    places = {term.name for term in VOCABULARY.terms()}
    columns = {column for table in library.tables.values() for column in table.columns}
    assert {word for word in words if isinstance(word, str)} <= library.graph.nodes.keys() | places | {
        *library.graph.axes, *columns,
    }  # fmt: skip


def test_so_much_is_spoiled_that_every_way_out_is_taken(library: Library) -> None:
    states: Counter[str] = Counter()
    for seed in range(60):
        spec = spoiled(seed)
        outcomes = library.outcomes(library.job(spec.values, spec.keys), "commissioned")
        states.update(f"{outcome.state} {outcome.reason}".strip() for outcome in outcomes)
    assert {"met", "short", "unknown input missing", "unknown outside table"} <= states.keys()

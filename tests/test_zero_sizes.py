"""No single measure makes a rule fail, however small or large: it is refused where it makes no sense, else reckoned.

Rules of all stages are in force at the last, so that is the one that is asked.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from doorlint import quantities
from doorlint.evaluation import evaluate_spec
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library
from doorlint.spec import Patch, Spec
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY, Term

CLEAN = (
    "survey-clean", "tower-order", "tower-order-metric", "tower-install", "tower-commissioned",
    "torsion-order", "torsion-install", "torsion-commissioned",
)  # fmt: skip
FIRST = {"section": "s1", "box": "b1", "fitting": "roller"}
NUMBERS = [term for term in VOCABULARY.leaves.values() if term.numeric_dimension or term.kind == "lengths"]
ZERO = [term for term in NUMBERS if term.positive]
MEANT = (
    "track.rise", "room.headroom", "room.side_left", "room.side_right", "room.back", "opening.floor_fall",
    "opening.jamb_plumb.left", "obstruction.from_wall", "obstruction.underside", "door.bottom_roller",
    "door.top_roller", "door.stand_off", "hanger.station", "hanger.drop", "hanger.hole",
    "hanger.ceiling_capacity", "mount.reach",
    "tower.bias", "tower.base_stop", "box.plates", "cable.broken_wires", "torsion.wound", "torsion.pre_wind",
    "lifting.hand.twist", "reading.roller", "reading.up", "reading.down", "as_built.track_level", "practice.stand_off",
)  # fmt: skip
"""Where zero says something: level, at the wall, nothing there, no ballast, none broken."""


def unit(term: Term) -> str:
    return "%" if term.dimension == "share" else quantities.DIMENSIONS[term.dimension or "ratio"].si_unit


def sizes(term: Term) -> Iterator[str]:
    """Zero, the smallest, a small and the largest, and the same below zero where there is such a thing."""
    if term.dimension is None:
        yield from {str(term.schema["minimum"]), str(term.schema["maximum"])}
        return
    dimension = quantities.DIMENSIONS[term.dimension]
    near = [f"{size} {unit(term)}" for size in ("1e-28", "1e-6", "0.001")]
    for size in (*near, dimension.most):
        yield size
        if dimension.signed:
            yield f"-{size}"
    if not term.positive:
        yield f"0 {unit(term)}"


def put(spec: Spec, term: Term, size: str) -> Spec:
    """The spec with a measure at one thing, the last of its axis."""
    key = None if term.axis is None else (FIRST.get(term.axis, "left-1"), *spec.keys[term.axis])[-1]
    patch: Patch = [size, size] if term.kind == "lengths" else size
    for step in reversed(list(steps(VOCABULARY.pointer_of(term.name, key)))):
        patch = {step: patch}
    return spec.patched(patch)


@pytest.mark.parametrize("every", [pytest.param(48, id="some"), pytest.param(6, id="most", marks=pytest.mark.slow)])
@pytest.mark.parametrize("sample", CLEAN)
def test_no_measure_of_any_size_makes_a_rule_fail(sample: str, every: int, library: Library) -> None:
    """Each measure in one or two of the samples."""
    spec, failed = base(sample), []
    whole = evaluate_spec(spec, "", library, "commissioned").job
    for term in NUMBERS[CLEAN.index(sample) % every :: every]:
        for size in sizes(term):
            patched = put(spec, term, size)
            if term.name != "doorlint":
                assert not patched.problems, (term.name, size, patched.problems)
            record = evaluate_spec(patched, "", library, "commissioned", whole).record
            crashes = {noted.outcome.note for noted in record.open if noted.outcome.reason == "rule failed"}
            failed += [f"{term.name} {size}: {crash}" for crash in sorted(crashes)]
    assert not failed


@pytest.mark.parametrize("term", ZERO, ids=[term.name for term in ZERO])
def test_a_size_of_zero_is_refused_where_it_stands(term: Term) -> None:
    spec = base("torsion-commissioned" if term.name.startswith(("torsion", "spring")) else "tower-commissioned")
    problems = put(spec, term, f"0 {unit(term)}").problems
    label = quantities.DIMENSIONS[term.dimension or ""].label
    assert {problem.rule for problem in problems} == {"spec.quantity"}
    for problem in problems:
        assert term.name.rpartition(".")[2] in problem.pointer
        assert problem.message == (
            f"found 0 {unit(term)}; expected {label} of more than zero; "
            "check the measure, or leave it out while it is not known"
        )


@pytest.mark.parametrize("name", MEANT)
def test_zero_is_read_where_it_says_something(name: str) -> None:
    term = VOCABULARY.leaves[name]
    assert not term.positive
    text = "0" if term.dimension is None else f"0 {unit(term)}"
    assert not put(base("tower-commissioned"), term, text).problems

"""How far each measured value may move, either way, before a verdict changes.

Found by trying: the job is worked out with the value moved by whole steps of 1/64 in (0.5 mm), doubling until
something else is open than before, then halving back to the first step that changes it. A verdict that changes and
changes back between two doublings is passed over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from doorlint.figures.graph import Job
from doorlint.quantities import System
from doorlint.remedies.baseline import Baseline
from doorlint.rulebook.library import Library
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.verdict import Policy

INCH, POUND = 0.0254, 0.45359237 * 9.80665
STEPS: Mapping[str, Mapping[System, tuple[float, int]]] = {
    "length": {"us": (INCH / 64, 24 * 64), "si": (0.0005, 1200)},
    "position": {"us": (INCH / 64, 24 * 64), "si": (0.0005, 1200)},
    "pull": {"us": (POUND / 4, 400), "si": (1.0, 400)},
    "weight": {"us": (POUND / 4, 400), "si": (1.0, 400)},
    "turns": {"us": (1 / 64, 128), "si": (1 / 64, 128)},
}
"""By dimension and unit system: the step in SI, and the most steps tried."""
NEVER_NEGATIVE = ("length", "weight")
"""Dimensions that are tried down to nothing and no further."""


class Together(NamedTuple):
    """Measured values that move together when a thing of the building is somewhere else."""

    name: str
    label: str
    moved: tuple[str, ...]
    carried: Mapping[str, str]
    """values that change by as much as a figure does"""


DIAGONALS = dict.fromkeys(("opening.diagonal.rising", "opening.diagonal.falling"), "opening.expected_diagonal")
TOGETHER = (
    Together(
        "opening.height",
        "header: all heights, and the diagonals with them",
        ("opening.height.left", "opening.height.middle", "opening.height.right"),
        DIAGONALS,
    ),
    Together(
        "opening.width",
        "jambs: all widths, and the diagonals with them",
        ("opening.width.top", "opening.width.middle", "opening.width.bottom"),
        DIAGONALS,
    ),
)


class Stop(NamedTuple):
    """The last step that changes no verdict, and the rule that the next one changes."""

    moved: float
    """SI, without a sign"""
    rule: str


class Range(NamedTuple):
    """How far one measured value, or several together, may move."""

    name: str
    pointer: str
    label: str
    dimension: str
    value: float
    """SI; of several values the least"""
    bound: float
    """as far as it was tried, up; down as far as that or to nothing"""
    down: Stop | None
    """``None``: nothing changes within the bound"""
    up: Stop | None


def ranges(
    job: Job, stage: str, library: Library, policy: Policy, system: System, stop: Callable[[], bool] = lambda: False
) -> tuple[Range, ...]:
    """The range of every measured value of a job, those that move together first.

    ``stop`` is asked between two values; once it says yes the rest is left out.
    """
    baseline = Baseline(library, job, stage, policy)
    found = []
    for movable in _movable(job):
        if stop():
            break
        found.append(_range(baseline, movable, system))
    return tuple(found)


def range_of(
    job: Job, term: Term, key: str | None, stage: str, library: Library, policy: Policy, system: System
) -> Range | None:
    """The range of one value, measured or not; ``None`` where it has none or is not of a dimension that is tried."""
    held = job.values.get(term.name)
    value = held.get(key) if isinstance(held, dict) else held
    dimension = term.dimension
    if not isinstance(value, float) or dimension is None or dimension not in STEPS:
        return None
    return _range(Baseline(library, job, stage, policy), _alone(job, term, key, dimension, value), system)


Move = Callable[[float], "tuple[Job, frozenset[str]]"]
"""The job with a value moved by so much, and the names that changed."""


class _Movable(NamedTuple):
    name: str
    pointer: str
    label: str
    dimension: str
    value: float
    move: Move


def _range(baseline: Baseline, movable: _Movable, system: System) -> Range:
    name, pointer, label, dimension, value, move = movable
    step, most = STEPS[dimension][system]
    down_most = min(most, int(value / step + 1e-9)) if dimension in NEVER_NEGATIVE else most
    down = _stop(baseline, move, -step, down_most)
    up = _stop(baseline, move, step, most)
    return Range(name, pointer, label, dimension, value, step * most, down, up)


def _movable(job: Job) -> Iterator[_Movable]:
    for together in TOGETHER:
        if all(name in job.values for name in (*together.moved, *together.carried)):
            least = min(job.values[name] for name in together.moved)
            pointer = VOCABULARY.pointer_of(together.name)
            yield _Movable(together.name, pointer, together.label, "length", least, _all_moved(job, together))
    for term in VOCABULARY.leaves.values():
        dimension = term.dimension
        if term.known != "measured" or dimension is None or dimension not in STEPS or term.name not in job.values:
            continue
        held = job.values[term.name]
        for key, value in held.items() if isinstance(held, dict) else [(None, held)]:
            yield _alone(job, term, key, dimension, value)


def _alone(job: Job, term: Term, key: str | None, dimension: str, value: float) -> _Movable:
    pointer, label = VOCABULARY.pointer_of(term.name, key), VOCABULARY.label(term.name, key)
    return _Movable(term.name, pointer, label, dimension, value, _one_moved(job, term.name, key, value))


def _one_moved(job: Job, name: str, key: str | None, value: float) -> Move:
    names = frozenset([name])

    def move(by: float) -> tuple[Job, frozenset[str]]:
        return job.with_changes({name: value + by if key is None else {key: value + by}}), names

    return move


def _all_moved(job: Job, together: Together) -> Move:
    names = frozenset([*together.moved, *together.carried])
    before = {figure: job.cell(figure) for figure in together.carried.values()}

    def move(by: float) -> tuple[Job, frozenset[str]]:
        moved: dict[str, Any] = {name: job.values[name] + by for name in together.moved}
        shifted = job.with_changes(moved)
        for name, figure in together.carried.items():
            moved[name] = job.values[name] + shifted.cell(figure) - before[figure]
        return job.with_changes(moved), names

    return move


def _stop(baseline: Baseline, move: Move, step: float, most: int) -> Stop | None:
    def stopped(count: int) -> str | None:
        return baseline.moved(*move(count * step))

    still, count = 0, 1
    while True:
        count = min(count, most)
        rule = stopped(count) if count > still else None
        if rule is not None:
            break
        if count >= most:
            return None
        still, count = count, 2 * count
    while count - still > 1:
        middle = (still + count) // 2
        found = stopped(middle)
        if found is None:
            still = middle
        else:
            count, rule = middle, found
    return Stop(still * abs(step), rule)

"""What is compared between specs: a job number used twice, an opening measured two ways, a stage that goes back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from doorlint import quantities
from doorlint.findings import Finding, SpecReview, builtin_finding
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.rule import STAGES, Source
from doorlint.spec import Spec
from doorlint.spec.problems import BuiltinRule, Problem
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import span

__all__ = ["BUILTIN_RULES", "CrossSpec", "SharedValue", "lowered_stage", "shared_values_of"]

NUMBER = "job.number"
SIZES = tuple(name for name in VOCABULARY.leaves if name.startswith(("opening.width.", "opening.height.")))
"""What two specs of one opening must agree on."""
STAGE = "stage"
PATHS = tuple((name, name.split(".")) for name in (STAGE, NUMBER, *SIZES))

BUILTIN_RULES: dict[str, BuiltinRule] = {
    "fleet.job-number-twice": BuiltinRule(
        "A job number stands for one job",
        "Where two jobs carry one number, what is ordered, built or signed off for one can end up at the other.",
        "Give one of the two a number of its own, or take the copy out.",
        "warning",
    ),
    "fleet.opening-disagrees": BuiltinRule(
        "Two specs of one opening agree on its size",
        "One of the two was measured wrongly, or is of another opening; a door made for the wrong one does not fit.",
        "Measure again, and mend the spec that is wrong or its site and opening.",
        "warning",
    ),
    "fleet.stage-lowered": BuiltinRule(
        "A job's stage goes forward",
        "At an earlier stage the checks of the later one are not made: a job on hold comes out clear.",
        "Put the stage back, or have the step back approved with `doorlint change`.",
        "error",
    ),
}
"""The rules that specs must meet together, by id."""


class SharedValue(NamedTuple):
    """One value that is compared with other specs, and where it is written."""

    name: str
    value: str | float
    line: int
    column: int
    end: tuple[int, int]


class JobStages(NamedTuple):
    """What is remembered of a job: its stage, its place and its file."""

    stage: str | None
    place: str
    file: str


class Sizes(NamedTuple):
    """What is remembered of an opening: a file, and the size that it gives for each of ``SIZES``."""

    file: str
    values: tuple[float | None, ...]

    def given(self) -> Iterator[tuple[str, float]]:
        """The sizes that it gives, by name."""
        return ((name, value) for name, value in zip(SIZES, self.values, strict=True) if value is not None)


def shared_values_of(spec: Spec) -> tuple[SharedValue, ...]:
    """The job number of a spec and the sizes of its opening, as far as they are given."""
    return tuple(
        SharedValue(name, spec.values[name], *span(spec.tree, path)) for name, path in PATHS if name in spec.values
    )


class CrossSpec:
    """Compares each spec of a run with those before it; remembers only what that needs."""

    def __init__(self, apart: float) -> None:
        """``apart`` is by how much two readings of one size may differ (m)."""
        self.apart = apart
        self._jobs: dict[str, tuple[JobStages, ...]] = {}
        self._openings: dict[str, tuple[Sizes, ...]] = {}

    def findings(self, spec: SpecReview, shared_values: tuple[SharedValue, ...]) -> Iterator[Finding]:
        """The findings of a spec against those before it; then the spec is remembered."""
        place = _place(spec)
        by_name = {shared.name: shared for shared in shared_values}
        if NUMBER in by_name:
            yield from self._number(spec, by_name[NUMBER], place, str(by_name[STAGE].value))
        sizes = {name: shared for name, shared in by_name.items() if name in SIZES}
        if place and sizes:
            yield from self._opening(spec, sizes, place)

    def _number(self, spec: SpecReview, shared: SharedValue, place: str, stage: str) -> Iterator[Finding]:
        number = str(shared.value)
        jobs = self._jobs.get(number, ())
        # A job at another stage is the same job further on.
        twin = next((job for job in jobs if job.stage == stage or job.place != place), None)
        if twin is not None:
            yield _finding("fleet.job-number-twice", shared, f"job number {number} is also that of {twin.file}")
        job = JobStages(stage, place, spec.file)
        if all(other[:2] != job[:2] for other in jobs):
            self._jobs[number] = (*jobs, job)

    def _opening(self, spec: SpecReview, sizes: Mapping[str, SharedValue], place: str) -> Iterator[Finding]:
        others = self._openings.get(place, ())
        known = {name: (size, other.file) for other in reversed(others) for name, size in other.given()}
        for name in filter(known.__contains__, sizes):
            here, (there, file) = float(sizes[name].value), known[name]
            if abs(here - there) > self.apart:
                pair = quantities.write_pair(here, there, "length", spec.system)
                message = f"{name.replace('.', ' ')} is {pair[0]}; {file} has {pair[1]} for the same opening"
                yield _finding("fleet.opening-disagrees", sizes[name], message)
        if not sizes.keys() <= known.keys():
            values = tuple(float(sizes[name].value) if name in sizes else None for name in SIZES)
            self._openings[place] = (*others, Sizes(spec.file, values))


def lowered_stage(spec: Spec, was: str, now: str, revision: str) -> Finding | None:
    """The finding about a spec whose stage was a later one at an earlier revision."""
    if STAGES.index(now) >= STAGES.index(was):
        return None
    stage = next(shared for shared in shared_values_of(spec) if shared.name == STAGE)
    message = f"the stage was {was} in {revision} and is {now} here: the checks of {was} are not made"
    return _finding("fleet.stage-lowered", stage, message)


def _place(spec: SpecReview) -> str:
    """The opening that a spec is for, the same however it is spaced or capitalised; empty where it does not say."""
    site, opening = (" ".join(spec.facts.get(name, "").split()).casefold() for name in ("site", "opening"))
    return f"{site}\n{opening}" if site and opening else ""


def _finding(rule: str, shared: SharedValue, message: str) -> Finding:
    pointer = VOCABULARY.pointer_of(shared.name)
    return builtin_finding(
        BUILTIN_RULES[rule],
        Problem(rule, pointer, shared.line, shared.column, message, shared.end),
        Source("derived", note="specs held against each other"),
        safety="Until it is settled, neither of the two is to be ordered or built from.",
    )

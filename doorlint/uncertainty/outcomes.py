"""The outcomes of the rules of a stage, sorted: certainly met, not met, too close to be certain.

This is quicker than asking for every outcome: of a rule that is met beyond doubt only the number is counted.
"""

from __future__ import annotations

from collections.abc import Sequence

from doorlint.figures.graph import Job
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.margin import SLACK, ErrorBound
from doorlint.rulebook.per_library import per_library
from doorlint.rulebook.rule import STAGES, Outcome
from doorlint.uncertainty.error_bounds import Bounds
from doorlint.uncertainty.tolerance import Doubt, bounds, doubts

COUNTERBALANCES = ("tower", "torsion")
"""A job has one of them, and half of all rules are about the other."""


class SortedOutcomes(NamedTuple):
    """The outcomes of the rules of a stage for a job."""

    met: int
    """how many checks are met, those that are close included"""
    open: Sequence[Outcome]
    """short or unknown"""
    close: Sequence[Outcome]
    """met, with a margin that the error bounds do not clear"""
    bounds: Bounds

    def doubts(self, library: Library, job: Job) -> dict[Outcome, tuple[Doubt, ...]]:
        """Which of these verdicts an error in a reading could turn, and which reading."""
        return doubts(library, job, [*self.open, *self.close], self.bounds)


def sort_outcomes(library: Library, job: Job, stage: str) -> SortedOutcomes:
    """Evaluate the rules of a stage for a job."""
    program = library.program_if_it_pays()
    if program is None:
        met, left = 0, [RULE + rule for rule in library.asked(stage)]
        found = {cell: library.outcomes_of(job, cell, stage) for cell in left}
        enough = bounds(library, job, tuple([cell.removeprefix(RULE) for cell in left if found[cell]]))
    else:
        steps = program(job, STAGES.index(stage))
        next(steps)  # works out the figures, from which the bounds follow
        absent = tuple([part for part in COUNTERBALANCES if part not in job.values])
        enough = bounds(library, job, _about(library, stage, absent))
        met, left = steps.send(enough.either)
        # what a report shows does not depend on how it was found
        found = {cell: library.outcomes_of(job, cell, stage) for cell in library.in_order(left)}
    others, close = [], []
    for cell, outcomes in found.items():
        bound = enough.either.get(cell)
        for outcome in outcomes:
            if outcome.state != "met":
                others.append(outcome)
                continue
            met += 1
            if bound is not None and _is_close(outcome, bound):
                close.append(outcome)
    return SortedOutcomes(met, others, close, enough)


@per_library
def _about(library: Library, stage: str, absent: tuple[str, ...]) -> tuple[str, ...]:
    """The rules of a stage but those that are asked only where one of the ``absent`` parts is given."""
    asked = {rule: library.outlines[rule].when for rule in library.asked(stage)}
    return tuple([rule for rule, when in asked.items() if not any(c.name in absent and c.wanted is True for c in when)])


def _is_close(outcome: Outcome, bound: ErrorBound) -> bool:
    """Whether an error could turn what is met. Who gives a value exactly at its limit means it so."""
    if outcome.margin is None or outcome.margin <= SLACK * max(abs(outcome.value), abs(outcome.limit)):
        return False
    return not bound.spans(outcome.value, outcome.margin)

"""The baseline of a changed job: its findings before the change, and every check that the change can reach."""

from __future__ import annotations

from collections.abc import Iterable

from doorlint.figures.graph import Job
from doorlint.remedies.options import same
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.rule import FindingKey, Outcome
from doorlint.verdict import Policy


class Baseline:
    """Errors and warnings of one job at one stage; advisories hold nothing up and are left out."""

    def __init__(self, library: Library, job: Job, stage: str, policy: Policy) -> None:
        self.graph, self.library, self.stage = library.graph, library, stage
        graded = {rule.id: policy.severities.get(rule.id, rule).severity for rule in library.in_force(stage)}
        self.rules = {RULE + rule: True for rule, severity in graded.items() if severity == "error"}
        """cells of rules, and whether a rule is an error; errors first"""
        self.rules |= {RULE + rule: False for rule, severity in graded.items() if severity == "warning"}
        self.open_before = {outcome.place: outcome for cell in self.rules for outcome in self.open(job, cell)}
        """what is short, and errors that are unknown"""
        self._states = {cell: self._state(job, cell) for cell in self.rules}
        self._reached: dict[frozenset[str], tuple[str, ...]] = {}

    def open(self, job: Job, cell: str) -> list[Outcome]:
        """What of a rule is short or, of an error, unknown."""
        outcomes = self.library.outcomes_of(job, cell, self.stage)
        return [o for o in outcomes if o.state == "short" or (o.state == "unknown" and self.rules[cell])]

    def reached(self, names: Iterable[str]) -> tuple[str, ...]:
        """The rules that read any of these names, however far down."""
        changed = frozenset(names)
        if changed not in self._reached:
            below = self.graph.downstream(changed)
            self._reached[changed] = tuple(cell for cell in self.rules if cell in below)
        return self._reached[changed]

    def worsened(self, job: Job, names: Iterable[str]) -> frozenset[FindingKey]:
        """Where a job with other values of these names has something open that was not, or worse than it was."""
        return frozenset(
            outcome.place for cell in self.reached(names) for outcome in self.open(job, cell) if self._is_worse(outcome)
        )

    def still_worsened(self, job: Job, places: Iterable[FindingKey]) -> bool:
        """Whether :meth:`worsened` would find all of these places: quicker than to find them."""
        wanted = set(places)
        cells = dict.fromkeys(RULE + rule for rule, _, _ in sorted(wanted, key=repr))
        found = (o.place for cell in cells for o in self.open(job, cell) if self._is_worse(o))
        return wanted.issubset(found)

    def moved(self, job: Job, names: Iterable[str]) -> str | None:
        """The first rule by which a job with other values of these names has anything else open than before."""
        for cell in self.reached(names):
            if self._state(job, cell) != self._states[cell]:
                return cell.removeprefix(RULE)
        return None

    def _state(self, job: Job, cell: str) -> frozenset[tuple[FindingKey, str]]:
        return frozenset((outcome.place, outcome.state) for outcome in self.open(job, cell))

    def _is_worse(self, outcome: Outcome) -> bool:
        before = self.open_before.get(outcome.place)
        if outcome.state == "unknown" or before is None or before.state == "unknown":
            return before is None or before.state != outcome.state
        if outcome.margin is None or before.margin is None:
            return False
        return outcome.margin < before.margin and not same(outcome.margin, before.margin)

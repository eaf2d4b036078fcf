"""One design tried in full: worked out step by step, and reviewed before anything is said of it."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.evaluation import digest_of, evaluate_spec
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.proposals.draft import MIDDLING, CannotDesign, Draft
from doorlint.proposals.plan import Alternative, begun, finished, placed
from doorlint.rulebook.library import RULE, Library
from doorlint.spec import Spec
from doorlint.verdict import Policy, present

__all__ = ["Attempt", "Binding", "reviewed"]

BY_TRACK = (
    "headroom.swept", "headroom.opens-fully", "room.back-room", "room.side-left", "room.side-right",
    "sweep.obstruction", "guide.stays", "guide.locks",
)  # fmt: skip
"""Rules that door and track decide alone: where one is short, no counterbalance helps."""
BY_PLACE = ("room.side-tower", "room.side-drive", "room.tower-and-drive")
"""Rules that the place of tower and drive decides."""


COUNTED = ("fittings.answered",)
"""Rules that find how many answers are missing."""


class Binding(NamedTuple):
    """What stops one design."""

    variant: str
    rule: str
    """empty where a step found no value"""
    pointer: str
    message: str
    short_by: str
    others: int
    """how many more findings stop it"""
    shortfall: float = MIDDLING
    """by which share of what is asked it falls short"""
    in_full: bool = False
    """whether all that stops it was looked for"""

    @property
    def off(self) -> float:
        """How far the design is from a fit: another finding, or not having looked for one, weighs as much as half of
        what is asked."""
        return self.shortfall + (self.others + (not self.in_full)) / 2


class Attempt:
    """Designs for one spec; what the counterbalances of a lift share is worked out once."""

    def __init__(self, start: Draft, library: Library, policy: Policy, file: str) -> None:
        self.start, self.library, self.policy, self.file = start, library, policy, file
        self._undesigned: dict[Alternative, Binding] = {}
        self._begun: dict[tuple[str, str, int, str], Draft | Binding] = {}

    def begun(self, lift: str, radius: str, more: int = 0, counterbalance: str = "torsion") -> Draft | Binding:
        """Door and track of a lift, where the room lets them in; or what stops them."""
        wanted = (lift, radius, more, counterbalance)
        if wanted not in self._begun:
            self._begun[wanted] = self._begin(*wanted)
        return self._begun[wanted]

    def at(self, one: Alternative) -> Draft | Binding:
        """One design with its open values assumed, clear of errors and warnings; or what stops it."""
        fewest = one._replace(more=0)
        if one.more and fewest in self._undesigned:  # lower sections ask for the same springs and chains
            return self._undesigned[fewest]._replace(variant=one.name)
        shared = self.begun(one.lift, one.radius, one.more, one.counterbalance)
        if isinstance(shared, Binding):
            return shared._replace(variant=one.name)
        try:
            draft = placed(shared, one)
            failures = self._short(draft, BY_PLACE)
            if failures:
                return _binding(one.name, failures)
            draft = finished(draft, one)
        except CannotDesign as stop:
            self._undesigned[one] = _stopped(one.name, stop)
            return self._undesigned[one]
        failures = self._failures(draft)
        return _binding(one.name, failures)._replace(in_full=True) if failures else draft

    def in_full(self, one: Alternative, before: Binding) -> Binding:
        """What stops a design that is known to be stopped, with all that is found behind it."""
        try:
            draft = finished(placed(begun(self.start, one.lift, one.radius, one.more, one.counterbalance), one), one)
        except CannotDesign:
            return before._replace(others=before.others + bool(before.rule), in_full=True)
        return _binding(one.name, self._failures(draft))._replace(in_full=True)

    def review(self, spec: Spec, text: str, like: Draft | None = None) -> SpecReview:
        """The review of a spec; ``like`` has figures that may be shared."""
        return reviewed(spec, text, self.library, self.policy, self.file, like)

    def _begin(self, lift: str, radius: str, more: int, counterbalance: str) -> Draft | Binding:
        try:
            draft = begun(self.start, lift, radius, more, counterbalance)
        except CannotDesign as stop:
            return _stopped("", stop)
        failures = self._short(draft, BY_TRACK)
        return _binding("", failures) if failures else draft

    def _short(self, draft: Draft, rules: tuple[str, ...]) -> list[Finding | NotChecked]:
        """What a review finds by these rules; the review is spared where none of them is short."""
        if all(outcome.state != "short" for rule in rules for outcome in draft.job.cell(RULE + rule)):
            return []
        return [item for item in self._failures(draft) if item.rule in rules]

    def _failures(self, draft: Draft) -> list[Finding | NotChecked]:
        """What a review of a draft has beside advisories."""
        review = self.review(draft.spec, "", draft)
        everything: list[Finding | NotChecked] = [*review.findings, *review.not_checked]
        found = [item for item in everything if item.severity in ("error", "warning")]
        asked = {one.pointer for one in draft.open.values() if one.usual is None}
        if not asked or draft.given.stage != "install":
            return found
        return [item for item in found if item.pointer not in asked and not _waits(item)]


def reviewed(
    spec: Spec, text: str, library: Library, policy: Policy, file: str, like: Draft | None = None
) -> SpecReview:
    """The review of a spec; ``like`` has figures that may be shared."""
    evaluated = evaluate_spec(spec, digest_of(text), library, None, None if like is None else like.job)
    return present(evaluated.record, library, policy, file, evaluated.spec, evaluated.job)


def _stopped(name: str, stop: CannotDesign) -> Binding:
    return Binding(name, "", stop.pointer, str(stop), "", 0, stop.shortfall)


def _shortfall(finding: Finding) -> float:
    """By which share of what is asked a finding falls short."""
    sizes = [
        abs(side.value) for side in (finding.measured, finding.limit) if side is not None and side.value is not None
    ]
    if finding.margin is None or not sizes or max(sizes) == 0.0:
        return MIDDLING
    return min(abs(finding.margin) / max(sizes), 1.0)


def _waits(item: Finding | NotChecked) -> bool:
    """Whether something is only there because a value is still to be given."""
    if isinstance(item, NotChecked):
        return item.reason == "input missing"
    return item.rule.startswith("completeness") or item.rule in COUNTED


def _binding(name: str, failures: list[Finding | NotChecked]) -> Binding:
    worst = failures[0]
    if isinstance(worst, Finding):
        others = len(failures) - 1
        return Binding(name, worst.rule, worst.pointer, worst.message, worst.short_by, others, _shortfall(worst))
    said = f"{worst.title}: not checked, {worst.reason}: {', '.join(worst.missing) or worst.note}"
    return Binding(name, worst.rule, worst.pointer, said, "", len(failures) - 1)

"""The designs that a room allows: each tried in full and reviewed before it is offered."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from doorlint.errors import WrongCall
from doorlint.evaluation import digest_of, evaluate_spec
from doorlint.figures.graph import Unknown
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.proposals.draft import CannotDesign, Draft, OpenValue, Value, nested
from doorlint.proposals.plan import Alternative, alternatives, begun, finished, placed
from doorlint.proposals.writing import marked, written
from doorlint.quantities import System
from doorlint.rulebook.library import RULE, Library
from doorlint.spec import Spec, read
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy, present

__all__ = ["Binding", "Proposals", "Room", "Variant", "propose"]

ROOMS = {
    "headroom": ("sweep.headroom_needed", "room.headroom"),
    "room behind": ("sweep.reach", "room.back"),
    "side room of the tower": ("room.tower_bay", "room.beside_tower"),
    "height under the ceiling": ("tower.height", "room.roof"),
}
"""What a design takes of the room: the figure for what it takes, and the one for what there is."""


BY_TRACK = (
    "headroom.swept", "headroom.opens-fully", "room.back-room", "room.side-left", "room.side-right",
    "sweep.obstruction", "guide.stays", "guide.locks",
)  # fmt: skip
"""Rules that door and track decide alone: where one is short, no counterbalance helps."""
BY_PLACE = ("room.side-tower", "room.side-drive", "room.tower-and-drive")
"""Rules that the place of tower and drive decides."""


class Room(NamedTuple):
    """What a design takes of one measure of the room, and what there is of it (m)."""

    what: str
    takes: float
    there_is: float


class Variant(NamedTuple):
    """One design that fits: its values, what is open, and the review of its text as it is now."""

    name: str
    values: tuple[Value, ...]
    open: tuple[OpenValue, ...]
    review: SpecReview
    text: str
    rooms: tuple[Room, ...]


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


class Proposals(NamedTuple):
    """What came of a spec: designs that fit, best first, and what stops the others."""

    file: str
    stage: str
    system: System
    given: SpecReview
    """the review of the spec as it came"""
    variants: tuple[Variant, ...]
    binding: tuple[Binding, ...]

    @property
    def exit_code(self) -> int:
        """0 where the first design is clear as it is, 1 where values are open or nothing fits."""
        return 0 if self.variants and self.variants[0].review.verdict == "clear" else 1


def propose(
    text: str, stage: str, library: Library, policy: Policy, file: str, most: int, pick: str | None = None
) -> Proposals:
    """Up to ``most`` designs for a spec, the best first, or the one named ``pick``.

    Raises :class:`WrongCall` for a spec that cannot be read, and for a name of no design.
    """
    whole = read(text, library.catalog)
    given = _review(whole, text, library, policy, file, None)
    if whole.problems:
        first = given.findings[0]
        raise WrongCall(f"{file}:{first.line}:{first.column}: {first.message}")
    start = Draft(library, _to_work_on(whole, text, stage), {}, {}, given.job)
    tried = list(alternatives(start))
    if pick is not None:
        tried = [one for one in tried if one.name == pick]
        if not tried:
            known = ", ".join(one.name for one in alternatives(start))
            raise WrongCall(f"there is no design {pick!r} for this spec; expected one of {known}")
    attempt = _Attempt(start, text, stage, library, policy, file)
    found: list[Variant] = []
    stopped: list[Binding] = []
    for one in tried:
        outcome = attempt.at(one)
        if isinstance(outcome, Binding):
            stopped.append(outcome)
        else:
            found.append(outcome)
        if len(found) == most:
            break
    stopped.sort(key=lambda one: (not one.rule, one.others))
    return Proposals(file, stage, whole.system, given, tuple(found), tuple(stopped))


def _to_work_on(whole: Spec, text: str, stage: str) -> Spec:
    """The spec at the stage wanted, without the values that are still marked as proposed."""
    forgotten = nested(dict.fromkeys(marked(text)))
    return whole.patched({**forgotten, "stage": stage})


class _Attempt:
    """Designs for one spec; what the counterbalances of a lift share is worked out once."""

    def __init__(self, start: Draft, text: str, stage: str, library: Library, policy: Policy, file: str) -> None:
        self.start, self.text, self.stage = start, text, stage
        self.library, self.policy, self.file = library, policy, file
        self._begun: dict[tuple[str, str, int], Draft | Binding] = {}

    def at(self, one: Alternative) -> Variant | Binding:
        """One design, reviewed; or what stops it."""
        lift = (one.lift, one.radius, one.more)
        if lift not in self._begun:
            self._begun[lift] = self._begin(*lift)
        shared = self._begun[lift]
        if isinstance(shared, Binding):
            return shared._replace(variant=one.name)
        try:
            draft = placed(shared, one)
            amiss = self._short(draft, BY_PLACE)
            if not amiss:
                draft = finished(draft, one)
                amiss = self._amiss(draft)
        except CannotDesign as stop:
            return Binding(one.name, "", stop.pointer, str(stop), "", 0)
        if amiss:
            return _binding(one.name, amiss)
        values, asked = draft.settled(), tuple(draft.open.values())
        made = written(self.text, self.stage, values, asked)
        spec = read(made, self.library.catalog)
        if _leaves(spec) != _leaves(draft.given.patched(draft.patch)):
            raise WrongCall("lines that an earlier proposal added are in the way; take them out, or undo the change")
        review = _review(spec, made, self.library, self.policy, self.file, draft)
        return Variant(one.name, values, asked, review, made, tuple(_rooms(draft)))

    def _begin(self, lift: str, radius: str, more: int) -> Draft | Binding:
        """Door and track, where the room lets them in."""
        try:
            draft = begun(self.start, lift, radius, more)
        except CannotDesign as stop:
            return Binding("", "", stop.pointer, str(stop), "", 0)
        amiss = self._short(draft, BY_TRACK)
        return _binding("", amiss) if amiss else draft

    def _short(self, draft: Draft, rules: tuple[str, ...]) -> list[Finding | NotChecked]:
        """What a review finds by these rules; the review is spared where none of them is short."""
        if all(outcome.state != "short" for rule in rules for outcome in draft.job.cell(RULE + rule)):
            return []
        return [item for item in self._amiss(draft) if item.rule in rules]

    def _amiss(self, draft: Draft) -> list[Finding | NotChecked]:
        """What a review of a draft has beside advisories."""
        review = _review(draft.spec, self.text, self.library, self.policy, self.file, draft)
        everything: list[Finding | NotChecked] = [*review.findings, *review.not_checked]
        return [item for item in everything if item.severity in ("error", "warning")]


def _leaves(spec: Spec) -> dict[str, Any]:
    """The values of a spec without its groups."""
    return {name: value for name, value in spec.values.items() if name in VOCABULARY.leaves}


def _review(spec: Spec, text: str, library: Library, policy: Policy, file: str, like: Draft | None) -> SpecReview:
    evaluated = evaluate_spec(spec, digest_of(text), library, None, None if like is None else like.job)
    return present(evaluated.record, library, policy, file, evaluated.spec, evaluated.job)


def _binding(name: str, amiss: list[Finding | NotChecked]) -> Binding:
    worst = amiss[0]
    if isinstance(worst, Finding):
        return Binding(name, worst.rule, worst.pointer, worst.message, worst.short_by, len(amiss) - 1)
    said = f"{worst.title}: not checked, {worst.reason}: {', '.join(worst.missing) or worst.note}"
    return Binding(name, worst.rule, worst.pointer, said, "", len(amiss) - 1)


def _rooms(draft: Draft) -> Iterator[Room]:
    for what, (takes, there_is) in ROOMS.items():
        needed, held = draft.job.at(takes), draft.job.at(there_is)
        if not any(value is None or isinstance(value, Unknown) for value in (needed, held)):
            yield Room(what, needed, held)

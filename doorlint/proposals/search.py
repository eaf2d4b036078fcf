"""The designs that a room allows: each tried in full and reviewed before it is offered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from doorlint.errors import WrongCall
from doorlint.figures.graph import Unknown
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.proposals.attempt import Attempt, Binding, reviewed
from doorlint.proposals.draft import Draft, OpenValue, Value, given_for_all, nested
from doorlint.proposals.plan import Alternative, alternatives
from doorlint.proposals.spelling import spelled
from doorlint.proposals.writing import marked, written
from doorlint.quantities import System
from doorlint.rulebook.library import Library
from doorlint.spec import Spec, read
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy

__all__ = ["Binding", "Proposals", "Room", "Variant", "propose"]

NEAREST = 6
"""designs near a fit that are worked out in full at most where nothing fits"""
ROOMS = {
    "headroom": ("sweep.headroom_needed", "room.headroom"),
    "room behind": ("sweep.reach", "room.back"),
    "side room of the tower": ("room.tower_bay", "room.beside_tower"),
    "height under the ceiling": ("tower.height", "room.roof"),
}
"""What a design takes of the room: the figure for what it takes, and the one for what there is."""


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
    whole, slips = read(text, library.catalog), tuple[Value, ...]()
    if whole.problems:
        text, slips = spelled(text)
        whole = read(text, library.catalog)
    job = None if whole.problems else library.job(whole.values, whole.keys)
    given = reviewed(whole, text, library, policy, file)
    if whole.problems:
        first = given.findings[0]
        raise WrongCall(f"{file}:{first.line}:{first.column}: {first.message}")
    to_work_on = _to_work_on(whole, given, text, stage)
    start = Draft(library, to_work_on, {}, {}, job, given_for_all(to_work_on))
    attempt = Attempt(start, library, policy, file)
    tried = list(alternatives(start))
    if pick is not None:
        tried = [one for one in tried if one.name == pick]
        if not tried:
            known = ", ".join(one.name for one in alternatives(start))
            raise WrongCall(f"there is no design {pick!r} for this spec; expected one of {known}")
    found: list[Variant] = []
    stopped: list[Binding] = []
    for one in tried:
        outcome = attempt.at(one)
        if isinstance(outcome, Binding):
            stopped.append(outcome)
            continue
        found.append(_variant(one.name, outcome, attempt, text, stage, slips))
        if len(found) == most:
            break
    stopped.sort(key=lambda one: one.off)
    if not found:
        stopped = _in_full(stopped, attempt, {one.name: one for one in tried})
    return Proposals(file, stage, whole.system, given, tuple(found), tuple(stopped))


def _in_full(stopped: list[Binding], attempt: Attempt, by_name: Mapping[str, Alternative]) -> list[Binding]:
    """The nearest designs worked out in full, until the first of all is one of them."""
    done: dict[str, None] = {}
    while stopped[0].variant not in done and len(done) < NEAREST:
        nearest = stopped[0]
        done[nearest.variant] = None
        whole = attempt.in_full(by_name[nearest.variant], nearest)
        stopped = sorted([whole, *stopped[1:]], key=lambda one: one.off)
    return stopped


def _variant(name: str, draft: Draft, attempt: Attempt, text: str, stage: str, slips: tuple[Value, ...]) -> Variant:
    """A design that fits, written into the text and reviewed as it is written."""
    values, asked = draft.settled(), tuple(draft.open.values())
    made = written(text, stage, values, asked)
    spec = read(made, draft.library.catalog)
    if _leaves(spec) != _leaves(draft.given.patched(draft.patch)):
        raise WrongCall("lines that an earlier proposal added are in the way; take them out, or undo the change")
    return Variant(name, (*slips, *values), asked, attempt.review(spec, made, draft), made, tuple(_rooms(draft)))


def _to_work_on(whole: Spec, given: SpecReview, text: str, stage: str) -> Spec:
    """The spec at the stage wanted, without the values that are still marked as proposed.

    One that is clear at an earlier stage keeps them: what may have been ordered is not designed once more.
    """
    found: list[Finding | NotChecked] = [*given.findings, *given.not_checked]
    doubts = [item for item in found if item.severity != "advisory"]
    kept = whole.stage != stage and not doubts
    forgotten = {} if kept else nested(dict.fromkeys(marked(text)))
    return whole.patched({**forgotten, "stage": stage})


def _leaves(spec: Spec) -> dict[str, Any]:
    """The values of a spec without its groups."""
    return {name: value for name, value in spec.values.items() if name in VOCABULARY.leaves}


def _rooms(draft: Draft) -> Iterator[Room]:
    for what, (takes, there_is) in ROOMS.items():
        needed, held = draft.job.at(takes), draft.job.at(there_is)
        if not any(value is None or isinstance(value, Unknown) for value in (needed, held)):
            yield Room(what, needed, held)

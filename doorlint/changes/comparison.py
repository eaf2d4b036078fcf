"""A proposed change held against what was approved: what was changed, what moves, what there is to decide."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple, TypeAlias

from doorlint import quantities
from doorlint.changes.matters import Matter, former_outcomes, matters
from doorlint.evaluation import Evaluated, SignOff, evaluate_spec
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.findings import Approved, Finding, NotChecked, SpecReview
from doorlint.natural_order import natural
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import SEVERITIES, STAGES, FindingKey, Outcome, Severity
from doorlint.spec import Spec
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.verdict import Policy, present

__all__ = [
    "DECISIONS", "KINDS", "MET", "NOT_ASKED", "Change", "Decision", "Edit", "Kind", "Level", "Move", "Shift", "Side",
    "asks", "compare", "decide", "edits", "moves", "shifts", "trend",
]  # fmt: skip

Decision = Literal["nothing new", "sign-off", "hold"]
DECISIONS: tuple[Decision, ...] = ("nothing new", "sign-off", "hold")
Kind = Literal[
    "new", "worse", "other", "open again", "not checked", "limit moved", "signed off", "better", "cleared", "gone",
    "checked again", "as before",
]  # fmt: skip
KINDS: tuple[Kind, ...] = (
    "new", "worse", "other", "open again", "not checked", "limit moved", "signed off", "better", "cleared", "gone",
    "checked again", "as before",
)  # fmt: skip
"""In the order a report tells them. ``other``: not met in another way, where neither is nearer to what is asked.
``open again``: signed off before, and no longer. ``limit moved``: no worse than before only because a shop figure was
moved. ``gone``: no longer asked, since the thing is gone or the rule does
not apply to it any more. ``checked again``: could not be checked, and is met now."""

TO_DECIDE = frozenset({"new", "worse", "other", "open again", "not checked", "limit moved"})
NO_WORSE = frozenset({"better", "cleared", "gone", "as before"})
MOVED = 1e-4
"""A figure moves when it changes by more than this share of itself: about 1/64 in on a door's height."""
MARK = 2e-4
"""A length moves when it changes by more than this (m): half the finest mark of a tape."""
MOST_PARTS = 9
"""Values of a thing that is added or taken away told one by one."""

Level: TypeAlias = float | Unknown | None
"""A figure in SI; or why it is not known; or ``None`` where it does not apply."""


class Edit(NamedTuple):
    """One spec value, or one thing with all its values, that was changed; a side is ``None`` where it is not given."""

    pointer: str
    label: str
    before: str | None
    """as written"""
    after: str | None
    dimension: str | None


class Move(NamedTuple):
    """One figure, or measure that the spec gives, that moves with the change."""

    name: str
    key: str | None
    label: str
    dimension: str
    before: Level
    after: Level


class Side(NamedTuple):
    """What a rule says at one thing on one side of the change."""

    state: Literal["open", "signed off", "not checked", "met", "not asked"]
    said: Finding | Approved | NotChecked | None = None

    @property
    def finding(self) -> Finding | None:
        """The finding, open or signed off."""
        if isinstance(self.said, Approved):
            return self.said.finding
        return self.said if isinstance(self.said, Finding) else None

    @property
    def gap(self) -> NotChecked | None:
        """Why it was not checked."""
        return self.said if isinstance(self.said, NotChecked) else None


MET, NOT_ASKED = Side("met"), Side("not asked")
ELSEWHERE = Side("open")
"""Not met, but at another place of the same thing."""


class Shift(NamedTuple):
    """One rule at one thing, before and after the change; what is met on both sides is none."""

    kind: Kind
    rule: str
    pointer: str
    thing: str | None
    severity: Severity
    before: Side
    after: Side


@dataclass(frozen=True, slots=True)
class Change:
    """All that a change comes to."""

    edits: tuple[Edit, ...]
    moves: tuple[Move, ...]
    shifts: tuple[Shift, ...]
    decision: Decision
    approved: SpecReview
    proposed: SpecReview
    patch: bool
    """whether the proposed file holds only the changed values"""
    matters: tuple[Matter, ...] = ()
    """what there is to decide beside the findings"""
    followed: tuple[str, ...] = ()
    """pointers of values that nobody changed: they follow from what was"""
    given: tuple[str, ...] = ()
    """pointers of the values that a patch gives, also where they are as before: they were measured again"""


def compare(
    approved: Evaluated,
    proposed: Spec,
    digest: str,
    library: Library,
    policy: Policy,
    names: tuple[str, str],
    *,
    stage: str | None = None,
    patch: bool = False,
    beside: Mapping[str, SignOff] | None = None,
    followed: tuple[str, ...] = (),
    given: tuple[str, ...] = (),
) -> Change:
    """Hold a proposed spec against an approved one; both must be readable.

    Without ``stage`` each is held against its own stage, but the proposed one against no earlier stage than the
    approved one was: a job does not get clear by going back a rung. Both are told in the approved spec's units.
    ``beside`` are the sign-offs in the file beside the proposed spec; those of the approved one are in its record.
    ``followed`` are the pointers of values that follow from the change and are not part of it, ``given`` those of the
    values that a patch gives.
    """
    assert approved.job is not None
    assert approved.record.stage is not None
    rung = stage or max(approved.record.stage, proposed.values["stage"], key=STAGES.index)
    after = evaluate_spec(proposed, digest, library, rung, approved.job)
    assert after.job is not None
    if policy.units == "as-written":
        policy = policy._replace(units=approved.record.system)
    record = after.record._replace(approvals={**after.record.approvals, **(beside or {})})
    was = present(approved.record, library, policy, names[0], approved.spec, approved.job)
    now = present(record, library, policy, names[1], after.spec, after.job)
    former = former_outcomes(approved.job, after.job, approved.record, record, library)
    found = tuple(_with_moved_limits(shifts(_pairs(was, now, library)), former))
    stages = approved.spec.values["stage"], proposed.values["stage"]
    others = tuple(matters(approved.record, record, stages, library, now.system))
    edited, moved = tuple(edits(approved.spec, proposed)), tuple(moves(approved.job, after.job))
    decision: Decision = max(decide(found), "sign-off" if others else "nothing new", key=DECISIONS.index)
    return Change(edited, moved, found, decision, was, now, patch, others, followed, given)


def _with_moved_limits(found: Iterable[Shift], former: Mapping[FindingKey, Outcome]) -> list[Shift]:
    """The shifts; what is no worse than before only because a shop figure was moved says so."""
    return sorted((_moved_limit(shift, former) for shift in found), key=_order)


def _moved_limit(shift: Shift, former: Mapping[FindingKey, Outcome]) -> Shift:
    was, then = shift.before.finding, former.get((shift.rule, shift.pointer, shift.thing))
    if shift.kind not in NO_WORSE or was is None or then is None:
        return shift
    if shift.after.finding is None:
        return shift._replace(kind="limit moved")
    if was.margin is None or then.margin is None:
        return shift
    worse = then.margin < was.margin - SLACK * abs(was.margin)
    return shift._replace(kind="limit moved") if worse else shift


def decide(found: tuple[Shift, ...]) -> Decision:
    """What the change asks for.

    A hold where something is new, worse, not met in another way, open again or no worse only by a moved limit, and
    nobody may sign it off, or where an error can no longer be checked; a sign-off where the same is true of what a
    supervisor may sign off, or a warning can no longer be checked. Advisories ask for nothing.
    """
    return max(map(asks, found), key=DECISIONS.index, default="nothing new")


def asks(shift: Shift) -> Decision:
    """What one shift asks for by itself."""
    if shift.kind not in TO_DECIDE or shift.severity == "advisory":
        return "nothing new"
    finding = shift.before.finding if shift.kind == "limit moved" else shift.after.finding
    never = shift.severity == "error" if finding is None else finding.sign_off == "never"
    return "hold" if never else "sign-off"


# what was changed


def edits(before: Spec, after: Spec) -> Iterator[Edit]:
    """Every value that differs, in the vocabulary's order; the same size in other units is no change.

    A thing or group that one side does not have at all is one edit.
    """
    for term in VOCABULARY.root.parts.values():
        yield from _edits(term, None, before, after)


def _edits(term: Term, key: str | None, before: Spec, after: Spec) -> Iterator[Edit]:
    if term.kind == "map":
        (thing,) = term.parts.values()
        axis = thing.name
        for one in sorted({*before.keys.get(axis, ()), *after.keys.get(axis, ())}, key=natural):
            yield from _edits(thing, one, before, after)
        return
    sides = tuple(_value(term, key, spec) for spec in (before, after))
    if term.kind == "group" and None not in sides:
        for part in term.parts.values():
            yield from _edits(part, key, before, after)
    elif not _same(*sides):
        was, now = _text(term, key, before), _text(term, key, after)
        pointer, label = VOCABULARY.pointer_of(term.name, key), VOCABULARY.label(term.name, key)
        yield Edit(pointer, label, was, now, term.dimension)


def _value(term: Term, key: str | None, spec: Spec) -> Any:
    """SI value; of a group whether it is given."""
    if key is not None and term.name == term.axis:
        return True if key in spec.keys.get(term.axis, ()) else None
    held = spec.values.get(term.name)
    return held if key is None or held is None else held.get(key)


def _text(term: Term, key: str | None, spec: Spec) -> str | None:
    """A value as written; of a group its values with their names."""
    if _value(term, key, spec) is None:
        return None
    if term.kind != "group":
        return _written(spec, VOCABULARY.pointer_of(term.name, key))
    parts = list(_parts(term, key, spec))
    more = [f"and {len(parts) - MOST_PARTS} more"] if len(parts) > MOST_PARTS else []
    return ", ".join(parts[:MOST_PARTS] + more)


def _parts(term: Term, key: str | None, spec: Spec) -> Iterator[str]:
    for part in _leaves(term):
        keys = spec.keys.get(part.axis, ()) if part.axis and key is None else (key,)
        for one in keys:
            text = _text(part, one, spec)
            if text is not None:
                own = part.axis if key is None and part.axis else term.name
                name = part.name.removeprefix(f"{own}.").replace(".", " ").replace("_", " ")
                yield f"{one} {name} {text}" if key is None and part.axis else f"{name} {text}"


def _leaves(term: Term) -> Iterator[Term]:
    for part in term.parts.values():
        if part.kind in ("group", "map"):
            yield from _leaves(part)
        else:
            yield part


def _written(spec: Spec, pointer: str) -> str:
    node: Any = spec.tree
    for step in pointer.split("/")[1:]:
        node = node[step]
    return ", ".join(map(str, node)) if isinstance(node, list) else str(node)


# what moves


def moves(before: Job, after: Job, names: Iterable[str] | None = None) -> Iterator[Move]:
    """Every figure and every measure of the spec, with a dimension, that is another one after the change.

    Figures of a part that neither job has, a tower beside a torsion shaft, are left out. ``names``: these alone.
    """
    absent = VOCABULARY.root.parts.keys() - {**before.values, **after.values}.keys()
    nodes = after.graph.nodes
    for node in nodes.values() if names is None else [nodes[name] for name in names]:
        if node.dimension is None or node.name.startswith(RULE) or node.name.partition(".")[0] in absent:
            continue
        old, new = before.cell(node.name), after.cell(node.name)
        if old is new:
            continue
        by_key = node.axis is not None or isinstance(old, dict) or isinstance(new, dict)
        keys = sorted({key for cells in (old, new) if isinstance(cells, dict) for key in cells}, key=natural)
        for key in keys if by_key else (None,):
            was, now = (_level(cells, key) for cells in (old, new))
            if (isinstance(was, float) or isinstance(now, float)) and not _still(was, now, node.dimension):
                label = VOCABULARY.label(node.name) if node.function is None else note_of(node.function).label
                yield Move(node.name, key, label, node.dimension, was, now)


def _level(cells: Any, key: str | None) -> Level:
    value = cells.get(key) if isinstance(cells, dict) else cells
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return value if isinstance(value, Unknown) else None


def _still(old: Level, new: Level, dimension: str) -> bool:
    """Whether a figure stays where it is, as far as a report can show and rounding leaves it certain."""
    if not isinstance(old, float) or not isinstance(new, float):
        return False
    if abs(old - new) <= MOVED * max(abs(old), abs(new)):
        return True
    if dimension in ("length", "position") and abs(old - new) <= MARK:
        return True
    nothing = quantities.write(0.0, dimension, "si")
    return all(quantities.write(level, dimension, "si") == nothing for level in (old, new))


def _same(old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= SLACK * max(abs(old), abs(new))
    if isinstance(old, tuple) and isinstance(new, tuple) and not isinstance(old, Unknown):
        return len(old) == len(new) and all(map(_same, old, new))
    return bool(old == new)


# what the rules say


class _Said:
    """What the rules say of one side: by place, and of each thing wherever they say it.

    A rule may be met, or left unchecked, at another place than it is short: at the group whose part was missing, at
    the hinge that is out of order.
    """

    def __init__(self, review: SpecReview, library: Library) -> None:
        assert review.job is not None
        assert review.stage is not None
        self.rules = library.rules
        self.places: dict[FindingKey, Side] = {finding.place: Side("open", finding) for finding in review.findings}
        self.places |= {approved.finding.place: Side("signed off", approved) for approved in review.approved}
        self.places |= {gap.place: Side("not checked", gap) for gap in review.not_checked}
        outcomes = library.outcomes(review.job, review.stage)
        self.things: dict[tuple[str, str | None], Side] = {self.thing(o.place): MET for o in outcomes}
        self.things |= {self.thing(place): side if side.gap else ELSEWHERE for place, side in self.places.items()}

    def thing(self, place: FindingKey) -> tuple[str, str | None]:
        rule, _, thing = place
        return rule, thing if rule in self.rules and self.rules[rule].axis else None

    def at(self, place: FindingKey) -> Side:
        if place in self.places:
            return self.places[place]
        return self.things.get(self.thing(place), NOT_ASKED) if place[0] in self.rules else MET


def _pairs(before: SpecReview, after: SpecReview, library: Library) -> dict[FindingKey, tuple[Side, Side]]:
    """What the rules say on both sides, at every place where one side has something to say."""
    was, now = _Said(before, library), _Said(after, library)
    found = {place: (was.at(place), now.at(place)) for place in {**now.places, **was.places}}
    return {
        place: (MET if one is ELSEWHERE else one, MET if other is ELSEWHERE else other)
        for place, (one, other) in found.items()
        if not ((one is ELSEWHERE and other.gap) or (other is ELSEWHERE and one.gap))
    }


def shifts(pairs: Mapping[FindingKey, tuple[Side, Side]]) -> list[Shift]:
    """What the rules say on both sides, each with what became of it, in the order a report tells it."""
    found = []
    for place, (before, after) in pairs.items():
        kind = _kind(before, after)
        if kind is not None:
            said = after.finding or after.gap or before.finding or before.gap
            assert said is not None
            found.append(Shift(kind, *place, said.severity, before, after))
    return sorted(found, key=_order)


def _order(shift: Shift) -> tuple[Any, ...]:
    severity = SEVERITIES.index(shift.severity)
    return KINDS.index(shift.kind), severity, shift.rule, natural(shift.pointer), natural(shift.thing or "")


def _kind(before: Side, after: Side) -> Kind | None:
    was, now = before.finding, after.finding
    match before.state, after.state:
        case ("open", "open") | ("signed off", "open"):
            assert was is not None
            assert now is not None
            became = trend(was, now)
            return "open again" if before.state == "signed off" and became in ("better", "as before") else became
        case (_, "open"):
            return "new"
        case ("signed off", "signed off") if _signature(before) != _signature(after):
            return "signed off"
        case ("signed off", "signed off") | ("not checked", "not checked"):
            return "as before"
        case (_, "signed off"):
            return "signed off"
        case (_, "not checked"):
            return "not checked"
        case ("not checked", "met"):
            return "checked again"
        case ("open" | "signed off", "met"):
            return "cleared"
        case ("open" | "signed off" | "not checked", "not asked"):
            return "gone"
    return None


def _signature(side: Side) -> Mapping[str, Any]:
    """What a sign-off says; one that was rewritten is another one, whatever its name."""
    assert isinstance(side.said, Approved)
    return side.said.approval


def trend(was: Finding, now: Finding) -> Kind:
    """What became of one finding: worse, better, not met in another way, or as before."""
    if was.margin is None or now.margin is None:
        return "as before" if _same(was.value, now.value) and _same(was.bound, now.bound) else "other"
    slack = SLACK * max(abs(float(level)) for level in (was.value, was.bound, now.value, now.bound))
    if abs(now.margin - was.margin) <= slack:
        return "as before"
    return "better" if now.margin > was.margin else "worse"

"""The results of the rules before and after a change: what is new, worse, better and gone, place by place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from doorlint.changes.edits import same
from doorlint.findings import Approved, Finding, NotChecked, SpecReview
from doorlint.natural_order import natural
from doorlint.rulebook.library import Library
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import SEVERITIES, FindingKey, Severity

__all__ = ["KINDS", "MET", "NOT_ASKED", "Kind", "Shift", "Side", "pairs", "report_order", "shifts", "trend"]

Kind = Literal[
    "new", "worse", "other", "open again", "not checked", "limit moved", "signed off", "better", "cleared", "gone",
    "checked again", "as before",
]  # fmt: skip
KINDS: tuple[Kind, ...] = (
    "new", "worse", "other", "open again", "not checked", "limit moved", "signed off", "better", "cleared", "gone",
    "checked again", "as before",
)  # fmt: skip
"""In the order of a report. ``other``: not met in another way, where neither is nearer to what is asked.
``open again``: signed off before, and no longer. ``limit moved``: no worse than before only because a shop figure was
moved. ``gone``: no longer asked, since the thing is gone or the rule does
not apply to it any more. ``checked again``: could not be checked, and is met now."""


class Side(NamedTuple):
    """The result of a rule at one thing on one side of the change."""

    state: Literal["open", "signed off", "not checked", "met", "not asked"]
    result: Finding | Approved | NotChecked | None = None

    @property
    def finding(self) -> Finding | None:
        """The finding, open or signed off."""
        if isinstance(self.result, Approved):
            return self.result.finding
        return self.result if isinstance(self.result, Finding) else None

    @property
    def gap(self) -> NotChecked | None:
        """Why it was not checked."""
        return self.result if isinstance(self.result, NotChecked) else None


MET, NOT_ASKED = Side("met"), Side("not asked")
ELSEWHERE = Side("open")
"""Not met, but at another place of the same thing."""


class Shift(NamedTuple):
    """One rule at one thing, before and after the change; a rule that is met on both sides makes no shift."""

    kind: Kind
    rule: str
    pointer: str
    thing: str | None
    severity: Severity
    before: Side
    after: Side


class _Said:
    """The results of the rules on one side, by place and by thing.

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


def pairs(before: SpecReview, after: SpecReview, library: Library) -> dict[FindingKey, tuple[Side, Side]]:
    """What the rules say on both sides, at every place where one side has something to say."""
    was, now = _Said(before, library), _Said(after, library)
    found = {place: (was.at(place), now.at(place)) for place in {**now.places, **was.places}}
    return {
        place: (MET if one is ELSEWHERE else one, MET if other is ELSEWHERE else other)
        for place, (one, other) in found.items()
        if not ((one is ELSEWHERE and other.gap) or (other is ELSEWHERE and one.gap))
    }


def shifts(sides: Mapping[FindingKey, tuple[Side, Side]]) -> list[Shift]:
    """What the rules say on both sides, each with what became of it, in the order a report tells it."""
    found = []
    for place, (before, after) in sides.items():
        kind = _kind(before, after)
        if kind is not None:
            result = after.finding or after.gap or before.finding or before.gap
            assert result is not None
            found.append(Shift(kind, *place, result.severity, before, after))
    return sorted(found, key=report_order)


def report_order(shift: Shift) -> tuple[Any, ...]:
    """Sort key of the order in which a report tells shifts."""
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
    assert isinstance(side.result, Approved)
    return side.result.approval


def trend(was: Finding, now: Finding) -> Kind:
    """What became of one finding: worse, better, not met in another way, or as before."""
    if was.margin is None or now.margin is None:
        return "as before" if same(was.value, now.value) and same(was.bound, now.bound) else "other"
    slack = SLACK * max(abs(float(level)) for level in (was.value, was.bound, now.value, now.bound))
    if abs(now.margin - was.margin) <= slack:
        return "as before"
    return "better" if now.margin > was.margin else "worse"

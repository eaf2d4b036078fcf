"""Rules that hold one cell against another, or ask whether something is given, gone through in one loop.

Most rules are of these kinds, and most are met. The loop may only say that they are: what it does not accept at once,
the rule itself is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import repeat
from math import inf
from typing import Any, NamedTuple

from doorlint.figures.cells import getter
from doorlint.figures.graph import Job
from doorlint.rulebook.checks import Spare
from doorlint.rulebook.link import MARGINS, Asked, Linked, accepts_of, asked_by
from doorlint.rulebook.plan import Plan

__all__ = ["Asker", "Group", "grouped", "quick"]

Asker = tuple[str, Linked]
"""A rule: its cell, and what holds it against a job."""
LOW_FIRST = {"at_most": True, "at_least": False}
"""Whether the value of a check is what may not be more."""


class Pair(NamedTuple):
    """A rule by which one cell is no more than another: of the job, or for each thing of an axis."""

    asker: Asker
    low: str
    low_own: bool
    high: str
    high_own: bool
    of_low: bool
    """the value of the check is the low one"""


class Several(NamedTuple):
    """A rule of the job whose check is of some cells as they are."""

    asker: Asker
    names: tuple[str, ...]
    get: Callable[[Mapping[str, Any]], tuple[Any, ...]]
    accepts: Callable[..., bool]
    margin: Callable[..., float] | None


class Given(NamedTuple):
    """A rule that asks for values of the job, or of each thing of an axis."""

    asker: Asker
    axis: str | None
    names: list[str]
    own: list[str]


class Group(NamedTuple):
    """Rules that are asked under the same conditions on the job."""

    asked: Asked
    pairs: list[Pair]
    several: list[Several]
    given: list[Given]
    others: list[Asker]


def grouped(rules: Iterable[tuple[Asker, Plan]]) -> list[Group]:
    """The rules by their conditions, those of a group in their order."""
    groups: dict[str, Group] = {}
    for asker, plan in rules:
        of_job = [condition for condition in plan.when if not condition.own]
        group = groups.setdefault(repr(of_job), Group(asked_by(of_job), [], [], [], []))
        plain = len(of_job) == len(plan.when)
        if plain and (pair := _pair(asker, plan)):
            group.pairs.append(pair)
        elif plain and (several := _several(asker, plan)):
            group.several.append(several)
        elif plain and plan.kind == "present":
            names, own = ([place.name for place in plan.wanted if place.own is its] for its in (False, True))
            group.given.append(Given(asker, plan.axis, names, own))
        else:
            group.others.append(asker)
    return list(groups.values())


def _pair(asker: Asker, plan: Plan) -> Pair | None:
    """A rule as a pair of cells, where it is no more than that."""
    if plan.kind not in LOW_FIRST:
        return None
    cells = [plan.arguments[side] for side in plan.sides if isinstance(side, int)]
    if len(cells) < 2 or any(cell.column for cell in cells):
        return None
    if plan.axis is not None and not any(cell.own for cell in cells):
        return None
    low, high = cells if LOW_FIRST[plan.kind] else cells[::-1]
    return Pair(asker, low.name, low.own, high.name, high.own, LOW_FIRST[plan.kind])


def _several(asker: Asker, plan: Plan) -> Several | None:
    """A rule of the job as a check of several cells, where it is no more than that."""
    if plan.kind in ("present", "rising") or plan.axis is not None:
        return None
    if not all(isinstance(side, int) for side in plan.sides) or any(cell.column for cell in plan.arguments):
        return None
    names = tuple(plan.arguments[side].name for side in plan.sides if isinstance(side, int))
    return Several(asker, names, getter(names), accepts_of(plan), MARGINS.get(plan.kind))


def quick(groups: Iterable[Group], job: Job, enough: Mapping[str, Spare]) -> tuple[int, list[Asker]]:
    """How many checks are met, with enough to spare where that is said, and the rules that remain to be asked.

    Only cells that are worked out and sound are looked at.
    """
    memo, sound, values = job.memo, job.sound, job.values
    met = 0
    left: list[Asker] = []
    for asked, pairs, several, given, others in groups:
        held = asked(job, None)
        if held is False:
            continue
        left += others
        if held is not True:
            left += [pair.asker for pair in pairs]
            left += [one.asker for one in several]
            left += [one.asker for one in given]
            continue
        for asker, low, low_own, high, high_own, of_low in pairs:
            count = 0
            if low in sound and high in sound:
                lower, upper, spare = memo[low], memo[high], enough.get(asker[0])
                if low_own or high_own:
                    lows = lower.values() if low_own else repeat(lower)
                    highs = upper.values() if high_own else repeat(upper)
                    if all(map(_within, lows, highs, repeat(of_low), repeat(spare))):
                        count = len(lower if low_own else upper)
                else:
                    count = int(_within(lower, upper, of_low, spare))
            met += count
            if not count:
                left.append(asker)
        for asker, names, get, accepts, margin in several:
            if sound.issuperset(names):
                sides, spare = get(memo), enough.get(asker[0])
                if accepts(*sides) and (
                    spare is None or margin is None or margin(*sides) > spare.fixed + spare.share * abs(sides[0])
                ):
                    met += 1
                    continue
            left.append(asker)
        for asker, axis, wanted, own in given:
            many = 1 if axis is None else len(job.keys.get(axis, ()))
            if all(map(values.__contains__, wanted)) and all(len(values.get(name, ())) == many for name in own):
                met += many
            else:
                left.append(asker)
    return met, left


def _within(low: float, high: float, of_low: bool, spare: Spare | None) -> bool:
    if not -inf < low <= high < inf:
        return False
    return spare is None or high - low > spare.fixed + spare.share * abs(low if of_low else high)

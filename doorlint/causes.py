"""What causes what among the findings of a job.

An impossible value stops the rules that depend on it: they are not checked. Of the rest, a finding whose checked
value is one of the spec's is fixed in a copy of the job; findings that are met there follow from it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeAlias

from doorlint.figures.graph import Job
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.library import RULE, Library, outcome_at
from doorlint.rulebook.rule import FindingKey, Outcome
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.uncertainty.outcomes import SortedOutcomes, sort_outcomes

MOST_TRIED = 12
"""findings that are fixed in a copy"""
FURTHER, AT_MOST = 0.25, 0.03
"""a value is set beyond its limit by this share of what it lacks, and no more than this share of the limit"""

Value: TypeAlias = tuple[str, "str | None"]
"""Name and key of a spec value; without a key, of all things of its axis."""

Causes = Mapping[FindingKey, tuple[FindingKey, ...]]
"""By finding or rule not checked: the findings that it follows from."""


class Sorted(NamedTuple):
    """The outcomes of a job; rules that an impossible value stops are not checked."""

    outcomes: SortedOutcomes
    job: Job
    """the job without its impossible values"""
    impossible: Sequence[Outcome]
    """what says that a value is impossible"""
    stopped: Sequence[Outcome]
    causes: Causes


def sort_by_cause(library: Library, job: Job, stage: str) -> Sorted:
    """Evaluate the rules of a stage for a job, except those that depend on a value that no job can have."""
    found = sort_outcomes(library, job, stage)
    doubting = [outcome for outcome in found.open if outcome.state == "short" and _impossible(library, outcome)]
    roots = _first(library, job, doubting)
    if not roots:
        return Sorted(found, job, (), (), followed(library, job, found.open))
    values = {root.place: _impossible(library, root) for root in roots}
    without = _without(job, [value for some in values.values() for value in some])
    left = sort_outcomes(library, without, stage)
    waiting = _waiting(library, job, without, left, values, library.asked(stage))
    causes = {place: tuple(root for root in values if _hangs_on(library, place[0], values[root])) for place in waiting}
    own = {rule for rule, _, _ in values}
    still = [
        one
        for one in left.open
        if one.place not in waiting and not _is_made(one, job) and not (one.state == "unknown" and one.rule in own)
    ]
    stopped = list(waiting.values())
    return Sorted(left._replace(open=still), without, roots, stopped, {**causes, **followed(library, without, still)})


def _waiting(
    library: Library,
    job: Job,
    without: Job,
    left: SortedOutcomes,
    values: Mapping[FindingKey, Sequence[Value]],
    asked: Iterable[str],
) -> dict[FindingKey, Outcome]:
    """The checks that cannot be made, or are not asked any more, without the impossible values."""
    gone = [value for some in values.values() for value in some]
    pointers = [VOCABULARY.pointer_of(name, key).split("/{}")[0] for name, key in gone]
    own = {rule for rule, _, _ in values}
    found = {
        one.place: one._replace(reason="input impossible")
        for one in left.open
        if one.state == "unknown" and one.rule not in own and _asks(one, pointers)
    }
    below = library.graph.downstream(name for name, _ in gone)
    for rule in asked:
        if RULE + rule not in below or rule in own or not library.rules[rule].kind.compares:
            continue
        for one in job.cell(RULE + rule):
            after = outcome_at(without, one.place)
            if one.place not in found and _is_lost(one, after):
                found[one.place] = Outcome(
                    rule, one.pointer, one.key, "unknown", reason="input impossible", missing=tuple(pointers)
                )
    return found


def _is_lost(before: Outcome, after: Outcome | None) -> bool:
    """Whether a check says nothing sound of a job without its impossible values."""
    if after is None:
        return True
    return (before.state, after.state) in {("met", "short"), ("short", "unknown")}


def _asks(outcome: Outcome, pointers: Iterable[str]) -> bool:
    return any(one == pointer or one.startswith(f"{pointer}/") for one in outcome.missing for pointer in pointers)


def _hangs_on(library: Library, rule: str, values: Iterable[Value]) -> bool:
    return RULE + rule in library.graph.downstream(name for name, _ in values)


def _is_made(outcome: Outcome, job: Job) -> bool:
    """Whether a finding came only because an impossible value was taken out."""
    before = outcome_at(job, outcome.place)
    return outcome.state == "short" and (before is None or before.state == "met")


def _impossible(library: Library, outcome: Outcome) -> tuple[Value, ...]:
    """The values that a finding says are impossible, with the key of its thing where they lie on its axis."""
    rule = library.rules[outcome.rule]
    own = (VOCABULARY.leaves[name].axis == rule.axis for name in rule.impossible)
    return tuple((name, outcome.key if is_own else None) for name, is_own in zip(rule.impossible, own, strict=True))


def _first(library: Library, job: Job, doubting: Sequence[Outcome]) -> list[Outcome]:
    """Of the findings that say a value is impossible, those that do not depend on another impossible value."""
    first = []
    for outcome in doubting:
        own = set(_impossible(library, outcome))
        others = [value for one in doubting for value in _impossible(library, one) if value not in own]
        again = outcome_at(_without(job, others), outcome.place) if others else outcome
        if again is not None and again.state == "short":
            first.append(outcome)
    return first or list(doubting)


def _without(job: Job, values: Iterable[Value]) -> Job:
    changes: dict[str, Any] = {}
    for name, key in values:
        if name in job.values and key is None:
            changes[name] = None
        elif name in job.values and changes.get(name, {}) is not None:
            changes.setdefault(name, {})[key] = None
    return job.with_changes(changes)


# what follows from what


def followed(library: Library, job: Job, outcomes: Iterable[Outcome]) -> Causes:
    """The outcomes that are met once another one is fixed, each with the one that clears most."""
    short = [one for one in outcomes if one.state == "short" and library.rules[one.rule].kind.compares]
    if len(short) < 2:
        return {}
    clears: dict[FindingKey, list[FindingKey]] = {}
    for outcome in short:
        if len(clears) == MOST_TRIED:
            break
        changes = _put_right(library, outcome)
        if changes and library.rules[outcome.rule].severity != "advisory":
            clears[outcome.place] = _cleared(library, job, changes, [one for one in short if one is not outcome])
    causes: dict[FindingKey, tuple[FindingKey, ...]] = {}
    for root in sorted(clears, key=lambda place: -len(clears[place])):
        if root not in causes:
            followers = [place for place in clears[root] if place not in causes and place not in _roots(causes)]
            causes |= dict.fromkeys(followers, (root,))
    return causes


def _roots(causes: Causes) -> set[FindingKey]:
    return {root for roots in causes.values() for root in roots}


def _cleared(library: Library, job: Job, changes: Mapping[str, Any], others: Iterable[Outcome]) -> list[FindingKey]:
    below = library.graph.downstream(changes)
    reached = [outcome for outcome in others if RULE + outcome.rule in below]
    if not reached:
        return []
    changed = job.with_changes(changes)
    return [one.place for one in reached if (after := outcome_at(changed, one.place)) and after.state == "met"]


def _put_right(library: Library, outcome: Outcome) -> dict[str, Any] | None:
    """What sets the checked value beyond its limit; ``None`` where it is not a value of the spec."""
    compiled = library.compiled_rules[outcome.rule]
    side = compiled.sides[0] if compiled.sides else None
    if not isinstance(side, int) or not _is_number(outcome.value) or not _is_number(outcome.limit):
        return None
    argument = compiled.arguments[side]
    term = VOCABULARY.leaves.get(argument.name)
    if term is None or argument.column or (term.axis is not None and not argument.own):
        return None
    gap = outcome.limit - outcome.value
    value = outcome.limit + math.copysign(min(FURTHER * abs(gap), AT_MOST * abs(outcome.limit)), gap)
    if term.kind == "count":
        value = math.ceil(value - 1e-9) if gap > 0 else math.floor(value + 1e-9)
    return {argument.name: value if term.axis is None else {outcome.key: value}}


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)

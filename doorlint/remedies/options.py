"""Options of an adjustment on a job: its settings, and what each of them changes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from doorlint.figures.graph import Job, Unknown
from doorlint.quantities import System
from doorlint.rulebook.adjustments import Adjustment, Amount, ComputedValue, adjustments
from doorlint.rulebook.library import Library
from doorlint.rulebook.per_library import per_library
from doorlint.spec.vocabulary import VOCABULARY

Changes = Mapping[str, Any]
"""Values by name as :meth:`Job.but` takes them: SI values, below an axis a dict of key to value."""

MOST_SETTINGS = 400
"""settings of one adjustment in one direction"""
SLACK = 1e-9


class Option(NamedTuple):
    """The settings of an adjustment at one thing in one direction, the nearest to what it is first."""

    adjustment: Adjustment
    key: str | None
    settings: tuple[int, ...] | tuple[Amount, ...]
    ordered: bool
    """whether they lead away from the present value step by step; else they have no order"""
    things: tuple[str, ...] | None = None
    """only of things that are changed together"""

    @property
    def name(self) -> tuple[Any, ...]:
        """Its name, unique among the options of the same job."""
        return self.adjustment.name, self.key, self.things, self.settings[0]


@per_library
def adjustments_of(library: Library) -> tuple[Adjustment, ...]:
    """The adjustments of a library, with those of house-rule folders over its own.

    Raises :class:`BrokenRules` for one that cannot be used.
    """
    return adjustments([(pack.place, pack.adjustments) for _, pack in library.packs], library.graph)


def options(adjustment: Adjustment, job: Job, system: System) -> Iterator[Option]:
    """The settings of an adjustment on a job, direction by direction and thing by thing."""
    if adjustment.adds:
        yield from _places(adjustment, job, system)
        return
    keys: list[str | None] = (
        [None] if adjustment.axis is None or adjustment.together else list(job.keys.get(adjustment.axis, ()))
    )
    for key in keys:
        if not _offered(adjustment, job, key):
            continue
        if adjustment.formula is not None:
            yield Option(adjustment, key, (0,), ordered=False)
            continue
        now = before(adjustment, job, key)
        up, down = _settings(adjustment, now, system)
        if adjustment.only != "less" and up:
            yield Option(adjustment, key, up, ordered=True)
        if adjustment.only != "more" and down:
            yield Option(adjustment, key, down, ordered=True)
        words = tuple(value for value in adjustment.values if not _numeric(value) and value != now)
        if words:
            yield Option(adjustment, key, words, ordered=False)


def before(adjustment: Adjustment, job: Job, key: str | None) -> Any:
    """The value an adjustment starts from, ``None`` where it is not given.

    Of things changed together it is the one that has moved least in the adjustment's direction.
    """
    value = job.values.get(adjustment.sets)
    if adjustment.axis is None or value is None:
        return value
    if key is not None or not value:
        return value.get(key)
    return (
        {"more": min, "less": max}[adjustment.only](value.values()) if adjustment.only else next(iter(value.values()))
    )


def apply(option: Option, setting: Any, job: Job, system: System) -> Changes | None:
    """The changes that a setting makes in a job; ``None`` where it cannot be worked out or nothing changes."""
    adjustment = option.adjustment
    if adjustment.adds:
        return _added(adjustment, option.key, setting, job)
    things: list[str | None] = [option.key]
    if adjustment.axis is not None and option.key is None:
        things = [key for key in option.things or job.keys.get(adjustment.axis, ()) if _offered(adjustment, job, key)]
    changes: dict[str, Any] = {}
    for key in things:
        made = (
            _worked(adjustment, key, job, system)
            if adjustment.formula is not None
            else _set(adjustment, key, setting, job)
        )
        for name, value in made.items():
            if VOCABULARY.term(name).axis is not None:
                changes.setdefault(name, {}).update(value)
            else:
                changes[name] = value
    return None if _against(adjustment, changes, job) else changes or None


def _against(adjustment: Adjustment, changes: Changes, job: Job) -> bool:
    """Whether an adjustment that goes one way only would take one of its things the other way."""
    if adjustment.only is None or not adjustment.together:
        return False
    sign = 1 if adjustment.only == "more" else -1
    now, after = job.values.get(adjustment.sets) or {}, changes.get(adjustment.sets) or {}
    return any(sign * (after[key] - now[key]) < 0 and not same(after[key], now[key]) for key in after if key in now)


def _worked(adjustment: Adjustment, key: str | None, job: Job, system: System) -> dict[str, Any]:
    assert adjustment.formula is not None
    value = adjustment.formula.of(job, key)
    now = before(adjustment, job, key)
    if value is None or isinstance(value, Unknown | str) or now is None:
        return {}
    if adjustment.multiple is not None:
        size = value / adjustment.multiple[system]
        value = (math.ceil(size - SLACK) if adjustment.above else math.floor(size + 0.5)) * adjustment.multiple[system]
    value = int(value) if adjustment.dimension == "count" else float(value)
    if not max(adjustment.least, now if adjustment.only == "more" else -math.inf) <= value <= adjustment.most or same(
        value, now
    ):
        return {}
    return _set(adjustment, key, value, job)


def _set(adjustment: Adjustment, key: str | None, setting: Any, job: Job) -> dict[str, Any]:
    now = before(adjustment, job, key)
    part = adjustment.parts[setting] if adjustment.parts else {adjustment.sets: setting}
    said: dict[str, Amount | ComputedValue] = {**part, **adjustment.along}
    plain: dict[str, Any] = {name: value for name, value in said.items() if not isinstance(value, ComputedValue)}
    changes = _placed(key, plain)
    setting = plain.get(adjustment.sets, setting)
    if adjustment.scale and now:
        changes |= _followed(adjustment.scale, adjustment, key, job, lambda value: value * (setting / now))
    if adjustment.carry and now is not None:
        changes |= _followed(adjustment.carry, adjustment, key, job, lambda value: value + (setting - now))
    for name, which in adjustment.follow.items():
        words = job.values.get(name, {}).items()
        following = [thing for thing, word in words if word == now and _is(thing, which, job)]
        if following:
            changes[name] = dict.fromkeys(following, setting)
    formulas = {name: value for name, value in said.items() if isinstance(value, ComputedValue)}
    if formulas:
        changed = job.with_changes(changes)
        for name, formula in formulas.items():
            value = formula.of(changed, key)
            if value is None or isinstance(value, Unknown):
                return {}
            changes |= _placed(key, {name: value})
    return changes


def _is(thing: str, which: Mapping[str, frozenset[Any]], job: Job) -> bool:
    return all(job.values.get(name, {}).get(thing) in allowed for name, allowed in which.items())


def _placed(key: str | None, values: Mapping[str, Any]) -> dict[str, Any]:
    """Values by name, at a thing where they lie on the adjustment's axis, with the groups they lie in."""
    changes: dict[str, Any] = {}
    for name, value in values.items():
        column = VOCABULARY.leaves[name].axis is not None
        changes[name] = {key: value} if column else value
        if value is not None:
            for group in groups(name):
                inside = VOCABULARY.containers[group].axis is not None
                changes[group] = {key: True} if inside else True
    return changes


def _followed(names: tuple[str, ...], adjustment: Adjustment, key: str | None, job: Job, move: Any) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    for name in names:
        value = job.values.get(name)
        if isinstance(value, dict):
            own = VOCABULARY.leaves[name].axis == adjustment.axis and key is not None
            changes[name] = {thing: move(entry) for thing, entry in value.items() if not own or thing == key}
        elif value is not None:
            changes[name] = move(value)
    return changes


def _places(adjustment: Adjustment, job: Job, system: System) -> Iterator[Option]:
    """Where one more thing could go: beside each thing that has no similar one nearer."""
    assert adjustment.axis is not None
    assert adjustment.step is not None
    step, standing = adjustment.step[system], job.values.get(adjustment.sets, {})
    for key in _first_of_each(list(standing)):
        end = max(standing[other] for other in standing if stem(other) == stem(key))
        taken = [standing[other] for other in standing if stem(other) == stem(key)]
        free = [n * step for n in range(1, int(end / step) + 1)]
        apart = sorted(free, key=lambda place: -min(abs(place - other) for other in [0.0, *taken]))
        yield Option(adjustment, key, tuple(apart[:24]), ordered=False)


def _first_of_each(keys: list[str]) -> list[str]:
    first: dict[str, str] = {}
    for key in keys:
        first.setdefault(stem(key), key)
    return list(first.values())


def stem(key: str) -> str:
    """What things of one row share in their names.

    >>> stem("left-12"), stem("b3")
    ('left-', 'b')
    """
    return key.rstrip("0123456789")


def _added(adjustment: Adjustment, key: str | None, setting: Any, job: Job) -> Changes:
    assert adjustment.axis is not None
    assert key is not None
    column = job.values[adjustment.sets]
    row = [other for other in column if stem(other) == stem(key)]
    like = min(row, key=lambda other: (abs(column[other] - setting), row.index(other)))
    numbers = [int(other[len(stem(key)) :] or 0) for other in row]
    name = f"{stem(key)}{max(numbers, default=0) + 1}"
    copied = {
        term: {name: values[like]}
        for term, values in job.values.items()
        if isinstance(values, dict) and term in names_on(adjustment.axis) and like in values
    }
    return {**copied, adjustment.sets: {name: setting}}


@cache
def names_on(axis: str) -> frozenset[str]:
    """Every name that lies on an axis, groups included."""
    return frozenset(term.name for term in VOCABULARY.terms() if term.axis == axis)


@cache
def groups(name: str) -> tuple[str, ...]:
    """The groups and maps that a spec value lies in, outermost first.

    >>> groups("hanger.fixing.count")
    ('hangers', 'hanger', 'hanger.fixing')
    """
    pointer = VOCABULARY.leaves[name].pointer
    inside = [term for term in VOCABULARY.containers.values() if pointer.startswith(term.pointer + "/")]
    return tuple(term.name for term in sorted(inside, key=lambda term: len(term.pointer)))


def _offered(adjustment: Adjustment, job: Job, key: str | None) -> bool:
    """Whether an adjustment applies: its conditions hold, and it has a value or may start without one."""
    for name, allowed in adjustment.when.items():
        held = job.values.get(name)
        if isinstance(held, dict) and VOCABULARY.term(name).axis is not None:
            held = held.get(key) if key is not None else next(iter(held.values()), None)
        if held not in allowed if isinstance(allowed, frozenset) else (held is not None) is not allowed:
            return False
    given = before(adjustment, job, key) is not None
    may_start = adjustment.when.get(adjustment.sets) is False or (
        adjustment.step is not None and bool(adjustment.along)
    )
    return given or (may_start and all(_is_there(name, job, key) for name in groups(adjustment.sets)[:1]))


def _is_there(group: str, job: Job, key: str | None) -> bool:
    held = job.values.get(group)
    return bool(held.get(key) if isinstance(held, dict) else held)


def _numeric(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _settings(adjustment: Adjustment, now: Any, system: System) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    """Settings above and below what is set now, nearest first."""
    if adjustment.parts:
        return tuple(range(len(adjustment.parts))) if now is None else _larger_parts(adjustment, now), ()
    start = float(now) if _numeric(now) else 0.0
    if adjustment.step is not None:
        step = adjustment.step[system]
        exact = int if adjustment.dimension == "count" else float
        high = min(adjustment.most, start + adjustment.within)
        low = max(adjustment.least, start - adjustment.within)
        first = math.floor(start / step + SLACK) + 1
        last = math.ceil(start / step - SLACK) - 1
        up = [exact(n * step) for n in range(first, min(first + MOST_SETTINGS, _whole(high / step)) + 1)]
        down = [exact(n * step) for n in range(last, max(last - MOST_SETTINGS, -_whole(-low / step)) - 1, -1)]
        return tuple(up), tuple(down)
    numbers = sorted(
        value for value in adjustment.values if isinstance(value, int | float) and not isinstance(value, bool)
    )
    above = [value for value in numbers if value > start and not same(value, start)]
    below = [value for value in reversed(numbers) if value < start and not same(value, start)]
    return tuple(above), tuple(below)


def _whole(count: float) -> int:
    return MOST_SETTINGS * 1000 if math.isinf(count) else math.floor(count + SLACK)


def _larger_parts(adjustment: Adjustment, now: Any) -> tuple[int, ...]:
    """Parts that are larger than the present one; all of them where sizes cannot be compared."""
    sizes = [size for size in (part.get(adjustment.sets) for part in adjustment.parts) if isinstance(size, float)]
    if not _numeric(now) or len(sizes) < len(adjustment.parts):
        return tuple(range(len(adjustment.parts)))
    return tuple(n for n, size in enumerate(sizes) if size > now and not same(size, now))


def same(one: float, other: float) -> bool:
    """Whether two numbers are the same for a rule."""
    return math.isclose(one, other, rel_tol=SLACK)


def alike(one: Any, other: Any) -> bool:
    """Whether two values are the same for a rule, numbers with a slack for rounding."""
    return same(one, other) if isinstance(one, float) and isinstance(other, float) else bool(one == other)


def size(was: Any, now: Any) -> float:
    """How much a value changes, as a share of the larger of before and after; 1 for a choice or something new.

    >>> size(10.0, 12.5), size("left", "right"), size(None, 3.0)
    (0.2, 1.0, 1.0)
    """
    if not all(isinstance(side, int | float) and not isinstance(side, bool) for side in (was, now)):
        return 1.0
    largest = max(abs(was), abs(now))
    return float(abs(now - was) / largest) if largest else 0.0

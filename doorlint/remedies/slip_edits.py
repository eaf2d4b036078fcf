"""The edits that would undo a slip in a job: what each way of getting a number wrong makes of a value."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple, TypeAlias

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.quantities import QuantityError, System
from doorlint.remedies.options import SLACK, Changes, alike, same
from doorlint.remedies.patches import written
from doorlint.rulebook.slips import Slip
from doorlint.spec import Spec
from doorlint.spec.vocabulary import VOCABULARY

Place: TypeAlias = tuple[str, "str | None"]
"""Name and key of a spec value."""

SIGNED = ("position", "pull")
"""Dimensions of values that may be negative."""


class Edit(NamedTuple):
    """The edit that undoes a slip: values by place, and their texts where those are unusual."""

    slip: Slip
    places: tuple[Place, ...]
    """what was taken down wrong; the first represents all"""
    values: tuple[Any, ...]
    texts: tuple[str | None, ...]
    turn: int = 0
    """which it is of the amounts that are added, the commonest first"""

    @property
    def changes(self) -> Changes:
        """The values as a job takes them."""
        changes: dict[str, Any] = {}
        for (name, key), value in zip(self.places, self.values, strict=True):
            if key is None:
                changes[name] = value
            else:
                changes.setdefault(name, {})[key] = value
        return changes


class Reading(NamedTuple):
    """A value that may be a slip: in SI, as it is written, and the job it is in."""

    place: Place
    value: Any
    text: str
    job: Job

    @property
    def system(self) -> System | None:
        """The unit system that it is written in; ``None`` for what both share."""
        try:
            return quantities.system_of(self.text)
        except QuantityError:
            return None


New: TypeAlias = tuple[Any, "str | None"]
"""A value in SI, and its text where that is not as usual."""


def edits(slip: Slip, job: Job, spec: Spec) -> Iterator[Edit]:
    """The edits that could undo a slip in a job, value by value."""
    if not _asked_for(slip, job):
        return
    for places in _together(slip, job):
        readings = [_reading(place, job, spec) for place in places]
        if all(reading is not None and _applies(slip, reading) for reading in readings):
            yield from _edits(slip, [reading for reading in readings if reading is not None])


def _asked_for(slip: Slip, job: Job) -> bool:
    for name, allowed in slip.when.items():
        held = job.values.get(name)
        if held not in allowed if isinstance(allowed, frozenset) else (held is not None) is not allowed:
            return False
    return True


def _together(slip: Slip, job: Job) -> Iterator[tuple[Place, ...]]:
    """The places at which a slip is tried, grouped where they go wrong together."""
    names = [name for name in slip.sets if name in job.values]
    if not names:
        return
    if VOCABULARY.leaves[names[0]].axis is None:
        several = tuple((name, None) for name in names)
        yield from ((place,) for place in several) if slip.way == "like" else [several]
        return
    keys = list(job.values[names[0]])
    if not slip.together:
        yield from (((names[0], key),) for key in keys)
    elif len(keys) > 1:
        yield tuple((names[0], key) for key in keys)


def value_at(place: Place, job: Job) -> Any:
    """The value at a place of a job; ``None`` where none is given."""
    held = job.values.get(place[0])
    return held.get(place[1]) if isinstance(held, dict) else held


def _reading(place: Place, job: Job, spec: Spec) -> Reading | None:
    value = value_at(place, job)
    text = spec.text(VOCABULARY.pointer_of(*place))
    return None if value is None else Reading(place, value, text or "", job)


def _applies(slip: Slip, reading: Reading) -> bool:
    value = reading.value
    if isinstance(value, int | float) and not slip.least <= abs(value) <= slip.most:
        return False
    if slip.written is not None and reading.system != slip.written:
        return False
    return not slip.copied or any(alike(value, other) for other in _beside(reading))


def _edits(slip: Slip, readings: Sequence[Reading]) -> Iterator[Edit]:
    if slip.way == "exchange":
        yield from _exchanged(slip, readings[0])
        return
    made = [dict(WAYS[slip.way](slip, reading)) for reading in readings]
    for variant in made[0]:
        new = [one.get(variant) for one in made]
        found = [(reading, *one) for reading, one in zip(readings, new, strict=True) if one is not None]
        changed = [one for one in found if _is_another(one[0], one[1])]
        if changed and len(found) == len(readings) and (len(changed) == len(readings) or slip.way == "work_out"):
            places, values, texts = zip(
                *((reading.place, value, text) for reading, value, text in changed), strict=True
            )
            yield Edit(slip, places, values, texts, variant if slip.way == "add" else 0)


def _is_another(reading: Reading, value: Any) -> bool:
    """Whether a value may be there and is not the one that is."""
    term = VOCABULARY.leaves[reading.place[0]]
    if isinstance(value, float | int) and not isinstance(value, bool):
        if not math.isfinite(value) or (value < 0 and term.dimension not in SIGNED) or (term.positive and value <= 0):
            return False
        return not same(float(value), float(reading.value))
    return bool(value != reading.value)


# the ways


def _add(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    for number, amount in enumerate(slip.amounts):
        yield number, (reading.value + amount, None)


def _times(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    count = VOCABULARY.leaves[reading.place[0]].kind == "count"
    for factor in slip.factors:
        value = reading.value * factor
        if not count or value == int(value):
            yield factor, (int(value) if count else value, None)


def _to(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    values: Sequence[Any] = slip.amounts
    if slip.nearest is not None:
        above = sorted(value for value in values if value > reading.value and not same(value, reading.value))
        below = sorted(value for value in values if value < reading.value and not same(value, reading.value))
        values = [*above[: slip.nearest], *below[-slip.nearest :]]
    for value in values:
        yield value, (value, None)


def _like(_slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    for value in list(dict.fromkeys(_beside(reading)))[:3]:
        yield value, (value, None)


def _beside(reading: Reading) -> list[Any]:
    """The values of other things, or of the other readings of the same group; the nearest first."""
    name, key = reading.place
    held = reading.job.values[name]
    if isinstance(held, dict):
        keys = list(held)
        at = keys.index(str(key))
        return [held[other] for other in sorted(keys, key=lambda one: abs(keys.index(one) - at)) if other != key]
    group = name.rpartition(".")[0]
    names = [other for other in VOCABULARY.leaves if other.rpartition(".")[0] == group and other != name]
    return [reading.job.values[other] for other in names if other in reading.job.values]


def _work_out(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    assert slip.formula is not None
    value = slip.formula.of(reading.job, reading.place[1])
    if not isinstance(value, int | float) or isinstance(value, Unknown):
        return
    if slip.multiple is not None:
        step = slip.multiple[reading.system or "us"]
        value = (math.ceil(value / step - SLACK) if slip.above else math.floor(value / step + 0.5 + SLACK)) * step
    if VOCABULARY.leaves[reading.place[0]].kind == "count":
        if abs(value - round(value)) > 0.01:
            return
        value = round(value)
    yield "worked out", (value, None)


def _rewrite(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    assert slip.rewriting is not None
    yield from _read(reading, REWRITINGS[slip.rewriting](reading.text))


def _units(slip: Slip, reading: Reading) -> Iterator[tuple[Any, New]]:
    whole = FEET.fullmatch(reading.text)
    text = f"{whole[1]} ft" if whole else reading.text
    number = NUMBER_AND_UNIT.fullmatch(text)
    if number is None:
        return
    meant = [(unit, f"{number[1]} {unit}") for unit in slip.units.get(number[2].replace('"', "in"), ())]
    for unit, text in meant:
        yield from ((unit, new) for _, new in _read(reading, [text]))


def _read(reading: Reading, texts: Iterator[str] | Sequence[str]) -> Iterator[tuple[Any, New]]:
    """Other texts of a value, as far as they read."""
    term = VOCABULARY.leaves[reading.place[0]]
    for text in dict.fromkeys(texts):
        try:
            if term.kind == "quantity" and term.dimension is not None:
                yield text, (quantities.read(text, term.dimension, signed=True), text)
            else:
                yield text, (int(text) if term.kind == "count" else float(text), text)
        except ValueError:
            continue


def _exchanged(slip: Slip, reading: Reading) -> Iterator[Edit]:
    name, key = reading.place
    if slip.exchanged is not None:
        others: list[Place] = [(slip.exchanged, key if VOCABULARY.leaves[slip.exchanged].axis else None)]
    else:
        keys = list(reading.job.values[name])
        others = [(name, other) for other in keys[keys.index(str(key)) + 1 :][:2]]
    for other in others:
        value = value_at(other, reading.job)
        if value is not None and _is_another(reading, value):
            yield Edit(slip, (reading.place, other), (value, reading.value), (None, None))


FEET = re.compile(r"([0-9]+)'(?:\s*-?\s*0(?:\"| in))?")
NUMBER_AND_UNIT = re.compile(r"(-?(?:[0-9]+ )?[0-9./]+) ?([A-Za-z\"][A-Za-z0-9/ \"]*)")


def swapped_digits(text: str) -> Iterator[str]:
    """The text with two neighboring digits exchanged, wherever they differ.

    >>> list(swapped_digits("12'-6\\"")), list(swapped_digits("104"))
    (['21\\'-6"'], ['014', '140'])
    """
    for at in range(len(text) - 1):
        one, other = text[at], text[at + 1]
        if one.isdigit() and other.isdigit() and one != other:
            yield f"{text[:at]}{other}{one}{text[at + 2 :]}"


def digit_once(text: str) -> Iterator[str]:
    """The text with one of two like neighboring digits left out.

    >>> list(digit_once("77")), list(digit_once("1100 mm"))
    (['7'], ['100 mm', '110 mm'])
    """
    for at in range(len(text) - 1):
        if text[at].isdigit() and text[at] == text[at + 1]:
            yield text[:at] + text[at + 1 :]


REWRITINGS: Mapping[str, Callable[[str], Iterator[str]]] = {"swapped-digits": swapped_digits, "digit-twice": digit_once}

WAYS: Mapping[str, Callable[[Slip, Reading], Iterator[tuple[Any, New]]]] = {
    "add": _add, "times": _times, "to": _to, "like": _like, "work_out": _work_out, "rewrite": _rewrite,
    "units": _units,
}  # fmt: skip
"""What each way makes of a value, by a variant that is the same for values that go wrong together."""


def words(edit: Edit, job: Job, system: System) -> dict[str, str]:
    """The names that the text of a slip may hold."""
    place = edit.places[0]
    was, now = value_at(place, job), edit.values[0]
    said = {"name": dotted(place), "other": dotted(edit.places[-1]), "off": "", "large": "", "many": "", "by": ""}
    if isinstance(was, int | float) and isinstance(now, int | float):
        low = was < now
        said |= {"off": "short" if low else "long", "large": "small" if low else "large"}
        said |= {"many": "too few" if low else "too many", "by": written(place[0], abs(now - was), system)}
    return said


def dotted(place: Place) -> str:
    """A place in words of its pointer.

    >>> dotted(("opening.width.middle", None)), dotted(("box.plates", "b4"))
    ('opening.width.middle', 'tower.boxes.b4.plates')
    """
    return VOCABULARY.pointer_of(*place)[1:].replace("/", ".")

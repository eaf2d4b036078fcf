"""The balance readings of a door: where it is read, what is wanted there, and what readings change."""

from __future__ import annotations

from typing import Any, NamedTuple

from doorlint.counterbalance.kind import Counterbalance
from doorlint.facts import Facts

__all__ = ["ReadingPlace", "adjusting", "reading_places"]


class ReadingPlace(NamedTuple):
    """A place in the travel where the balance is read."""

    name: str
    """as a reading of the spec is named"""
    roller: int | None
    """which roller stands at the pick-up point there, 0 for the closed door; ``None`` where none does"""
    travel: float
    """m from closed"""
    wanted: float | None
    """imbalance wanted there (N; heavy is positive); ``None`` where it is not known"""


def reading_places(facts: Facts) -> list[ReadingPlace]:
    """Closed and every mark that the door reaches; where it reaches none, some places of the travel."""
    marks = range(len(facts.keys("section")) + 1)
    found = _places(facts, {"reading.roller": {_name(roller): roller for roller in marks}})
    if len(found) > 1:
        return found
    apart = [travel for travel, _ in facts.known("torsion.expected") or () if travel > 0.0]
    return found + _places(facts, {"reading.up_by": {f"up-{n}": travel for n, travel in enumerate(apart, 1)}})


def _name(roller: int) -> str:
    return f"mark-{roller}" if roller else "closed"


def _places(facts: Facts, readings: dict[str, dict[str, Any]]) -> list[ReadingPlace]:
    """The places of some readings, whatever the spec has read so far, but for those that the door does not pass."""
    bare = {name: None for name in facts.job.values if name == "reading" or name.startswith("reading.")}
    there = Facts(facts.job.with_changes(bare).with_changes(readings), facts.system)
    rollers, travels, wanted = (there.column(f"reading.{name}") for name in ("roller", "travel", "wanted"))
    keys = (key for column in readings.values() for key in column)
    return [ReadingPlace(key, rollers.get(key), travels[key], wanted.get(key)) for key in keys if key in travels]


def adjusting(facts: Facts, kind: Counterbalance | None) -> dict[str, Any]:
    """What a page needs to work with readings, SI: the places, and by which coefficients they change what is there."""
    places = reading_places(facts)
    rows = [
        {"name": place.name, "roller": place.roller, "travel": place.travel, "wanted": place.wanted} for place in places
    ]
    return {"places": rows, **({} if kind is None else kind.adjusting(facts, [place.travel for place in places]))}

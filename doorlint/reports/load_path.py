"""The load path and the single faults of a job, in words for a page."""

from __future__ import annotations

from typing import Any, NamedTuple

from doorlint.counterbalance import the_one
from doorlint.facts import Facts

__all__ = ["Break", "Row", "breaks", "load_rows"]

UNITS = {"N": "weight", "N m": "torque", "Pa": "stress"}
"""the dimension of a row, by its unit"""


class Row(NamedTuple):
    """What one part carries in one case."""

    part: str
    case: str
    force: str
    capacity: str
    """or who answers for it"""
    use: str
    governs: bool
    over: bool
    """whether it carries more than it can"""


class Break(NamedTuple):
    """What happens without one part."""

    part: str
    falls: str
    height: str
    short: str
    held_by: str
    overloads: str
    single: bool


def load_rows(facts: Facts) -> list[Row]:
    """A row for each part, thing and case; none for a job without a counterbalance."""
    return [_row(facts, said) for said in _list(facts, "load_path")]


def breaks(facts: Facts) -> list[Break]:
    """Each part taken away in turn."""
    return [
        Break(
            _named(fault["part"], fault["thing"]),
            fault["falls"] or "nothing",
            _text(facts, fault["height"] or None, "length"),
            _text(facts, fault["short"] or None, "weight"),
            fault["held_by"] or "-",
            ", ".join(thing.strip("/").replace("/", " ") for thing in fault["overloads"]) or "-",
            fault["single"],
        )
        for fault in _list(facts, "faults")
    ]


def _list(facts: Facts, name: str) -> list[dict[str, Any]]:
    kind = the_one(facts.job.values)
    return [] if kind is None or name not in kind.lists else kind.lists[name](facts)


def _row(facts: Facts, said: dict[str, Any]) -> Row:
    dimension, use = UNITS[said["unit"]], said["use"]
    answers = said["answers"] or ("nobody answers" if said["capacity"] is None else "")
    return Row(
        _named(said["part"], said["thing"]),
        said["case"],
        _text(facts, said["force"], dimension),
        _text(facts, said["capacity"], dimension) if said["capacity"] is not None else answers,
        "-" if use is None else f"{use:.0%}",
        said["governs"],
        use is not None and use > 1.0,
    )


def _named(part: str, thing: str) -> str:
    """A part with the name of its thing, where it has one of its own.

    >>> _named("cable", "/cables/near"), _named("chain", "/tower/boxes/b1/chain"), _named("roller", "/fittings/roller")
    ('cable near', 'chain b1', 'roller')
    """
    words = thing.strip("/").split("/")
    own = words[2] if words[:2] == ["tower", "boxes"] else words[-1] if words[0] != "fittings" else ""
    plural = own in ("", "drum", "hubs", "shaft", "tackle", "tower") or "_" in own or len(words) == 1
    return part if plural or own in part else f"{part} {own}"


def _text(facts: Facts, value: float | None, dimension: str) -> str:
    return "-" if value is None else facts.write(value, dimension)

"""The rows of a load path, and the parts of it that every door has: fittings, hangers, mountings, drive, tackle; SI."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from doorlint.facts import Facts
from doorlint.mechanics.load_path import OPEN, REST, TRAVEL, Case, governing
from doorlint.named_tuple import NamedTuple

__all__ = ["FACTOR", "SPEC", "Part", "drive_fault", "every_door", "fault", "loaded", "overloaded", "rows"]

FACTOR = 5.0
"""Strength of cables and chains over what hangs on them; UFGS 08370, 3.1.3"""
SPEC = "capacity in the spec"
TACKLE = "door on the tackle"
ENGINEER = "the engineer of the building"


class Part(NamedTuple):
    """A part with the cases it is in, what it may carry in all of them, and who answers where nobody said."""

    part: str
    thing: str
    cases: tuple[Case, ...]
    capacity: float | None
    source: str = SPEC
    answers: str | None = None
    unit: str = "N"
    heavy: bool = True
    """whether what the door may be heavier than it is said to be comes on it"""


def rows(parts: Iterable[Part], heavy: float) -> list[dict[str, Any]]:
    """A row for each part, thing and case, the worst case of a part marked.

    ``heavy`` times the force counts in the share used, of parts that carry the weight of the door.
    """
    found = []
    for part in parts:
        worst, times = governing(part.cases), heavy if part.heavy else 1.0
        for case in part.cases:
            used = None if case.force is None or not part.capacity else case.force * times / part.capacity
            found.append(
                {
                    "part": part.part,
                    "thing": part.thing,
                    "case": case.case,
                    "governs": case == worst,
                    "force": case.force,
                    "capacity": part.capacity,
                    "use": used,
                    "unit": part.unit,
                    "answers": part.answers if part.capacity is None else None,
                    "source": part.source if part.capacity is not None else "",
                }
            )
    return found


def every_door(facts: Facts) -> Iterator[Part]:
    """What carries the door itself, whatever balances it."""
    capacities, answers = facts.column("fitting.capacity"), facts.column("fitting.answers")
    for key, found in (facts.known("load_path.fittings") or {}).items():
        yield Part(key, f"/fittings/{key}", tuple(found), capacities.get(key), SPEC, answers.get(key))
    for key in facts.keys("hanger"):
        capacity, load = facts.known("hanger.ceiling_capacity", key), facts.known("hanger.load", key)
        found = Case(OPEN, load), Case(TRAVEL, facts.known("hanger.worst_load", key))
        yield Part("hanger", f"/hangers/{key}", found, capacity, SPEC, ENGINEER)
    if facts.known("operation.by") in ("chain-hoist", "motor"):
        held = (Case(TRAVEL, facts.known("operation.let_go")),)
        yield Part("drive", "/operation/holding", held, facts.known("operation.holds"), "holding force in the spec")
    if facts.given("lifting"):
        raised, point = facts.known("lifting.raised"), facts.known("lifting.point_load")
        capacity, hoist = facts.known("lifting.tackle.capacity"), facts.known("lifting.tackle.point_capacity")
        yield Part("tackle", "/lifting/tackle", (Case(TACKLE, raised),), capacity)
        yield Part("hoist point", "/lifting/tackle", (Case(TACKLE, point),), hoist)


def loaded(part: str, thing: str, force: float | None, capacity: float | None, **more: Any) -> Part:
    """A part that carries most with the door closed.

    >>> loaded("key", "/torsion/hubs", 500.0, None, answers="the maker of the key").cases
    (Case(case='closed at rest', force=500.0),)
    """
    return Part(part, thing, (Case(REST, force),), capacity, **more)


def fault(
    part: str,
    thing: str,
    falls: str,
    height: float | None,
    overloads: list[str],
    short: float | None = None,
    *,
    held_by: str = "",
    single: bool = False,
) -> dict[str, Any]:
    """A part that is gone: what falls and how far, how much the door is then short, what holds it, what gives next, and
    whether nothing else holds what it held (``single``)."""
    return {
        "part": part, "thing": thing, "falls": falls, "height": height, "short": short, "held_by": held_by,
        "overloads": overloads, "single": single,
    }  # fmt: skip


def overloaded(parts: Iterable[Part], case: str, times: float = 1.0) -> list[str]:
    """The things that carry more than they may in a case; what is rated for it ``times`` as much, for the swing."""
    found = []
    for part in parts:
        for one in part.cases:
            if one.case == case and one.force is not None and part.capacity is not None:
                rated = times if part.source == SPEC and not part.thing.startswith("/tower/slab") else 1.0
                if one.force * rated > part.capacity:
                    found.append(part.thing)
    return list(dict.fromkeys(found))


def drive_fault(facts: Facts) -> Iterator[dict[str, Any]]:
    """The brake, gear or chain keeper of the drive is gone: what the counterbalance leaves over moves the door."""
    if facts.known("operation.by") not in ("chain-hoist", "motor"):
        return
    moves, friction = facts.known("operation.let_go"), facts.known("operation.friction")
    known = moves is not None and friction is not None
    runs = known and moves > friction
    height = facts.known("door.open_travel") if runs else 0.0
    held_by = "" if not known else "nothing" if runs else "friction"
    short = max(moves - friction, 0.0) if known else None
    yield fault("drive", "/operation/held_by", "door" if runs else "", height, [], short, held_by=held_by, single=runs)

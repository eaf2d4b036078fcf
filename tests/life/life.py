"""A job lived from hook-up to hand-over: everything that the simulator looks at on the way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from life import loads, moving, springs, strikes
from life.door import Stuck
from life.job import Job
from life.looks import Look
from life.shaft import OffDrum
from life.sizes import given, spread

Event = Callable[[Job], list[Look]]

ALWAYS: tuple[Event, ...] = (
    moving.let_go, moving.worked, moving.slack, moving.binds, moving.leaves, strikes.overhead, strikes.wall,
    strikes.room, strikes.obstructions, loads.both, loads.reach, loads.lifting,
)  # fmt: skip
TOWER: tuple[Event, ...] = (strikes.tower_height, strikes.crossing, loads.tower)
TORSION: tuple[Event, ...] = (strikes.shaft, springs.torsion)


def live(tree: dict[str, Any]) -> list[Look]:
    """All that was looked at in the life of a spec, nearest to harm first.

    What a spec does not say is not lived: an event that misses a value is passed over.
    """
    job = Job(spread(tree))
    events = ALWAYS + (TOWER if job.tower else ()) + (TORSION if job.torsion else ())
    if job.torsion and given(job.tree, "job.standard") == "EN":
        events += (moving.broken_spring,)
    if not (job.tower or job.torsion):
        events = (strikes.overhead, strikes.wall, strikes.room, strikes.obstructions, moving.binds, moving.leaves)
    looks: list[Look] = []
    for event in events:
        try:
            looks += event(job)
        except (KeyError, ZeroDivisionError):
            continue
        except Stuck as stuck:
            looks.append(Look("jams", "door", -1e9, str(stuck)))
        except OffDrum:
            looks.append(Look("cable off the drum", "drum", -1e9, "the cable runs past the last groove"))
    return sorted(looks, key=lambda look: (look.margin, look.kind, look.thing))


def harms(tree: dict[str, Any]) -> list[Look]:
    """What hurts somebody or breaks something in the life of a spec."""
    return [look for look in live(tree) if look.harm]

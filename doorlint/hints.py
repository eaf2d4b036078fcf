"""The hints of a finding: what to try, and what to measure again and how precisely."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from doorlint import quantities
from doorlint.quantities import System
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.uncertainty.tolerance import TOGETHER, WEIGHTS, Doubt

FINEST: Mapping[System, float] = {"us": 0.0254 / 64, "si": 0.0005}
"""the finest measure that is asked of a tape (m)"""
MOST_CAUSES = 3
FOUND = frozenset(
    {
        *(f"{thing}.{found}" for thing in ("mount", "hanger") for found in ("onto", "thickness")),
        *(f"{thing}.fixing.{found}" for thing in ("mount", "hanger") for found in ("grain", "document.base")),
        "mount.width", "box.chain.grade", "box.tare", "cable.broken_wires", "cable.construction", "cable.finish",
        "fitting.answers", "lifting.tackle.hangs_from", "lifting.tackle.load", "opening.handing",
        "opening.measured.tool", "operation.closing_force", "operation.holding", "operation.pull",
        "section.second_moment", "section.strut.second_moment", "section.weight_from", "spring.rate",
        "spring.rated_cycles", "torsion.shaft.yield", "track.section_modulus", "wind.roof_height", "wind.speed",
    }
)  # fmt: skip
"""What is there, or what a document says: another figure in the spec changes nothing about it, so it is checked."""
READS = {"tape": "a tape reads to", "laser": "a laser reads to", "drawing": "a drawing is good to"}

BUILDING = frozenset(
    {"hanger.ceiling_capacity", "lifting.tackle.point_capacity", "mount.capacity", "tower.slab_capacity"}
)
"""What the building carries, which an engineer decides."""


def term_text(name: str, key: str | None = None) -> str:
    """A spec value by the words of its name, with that of its thing.

    >>> term_text("track.radius"), term_text("hanger.fixing.count", "left-2"), term_text("as_built.hook_up_height")
    ('track radius', 'hanger left-2 fixing count', 'as built hook up height')
    """
    return VOCABULARY.label(name, key).replace(": ", " ")


def named_at(pointer: str) -> str:
    """A value by the words of its pointer; one that is not of the vocabulary is given as it is.

    >>> named_at("/opening/width/top"), named_at("/hangers/left-2/leg_a"), named_at("/mounts")
    ('opening width top', 'hanger left-2 leg a', 'mounts')
    >>> named_at("track.radius")
    'track.radius'
    """
    if not pointer.startswith("/"):
        return pointer
    term, thing = VOCABULARY.root, None
    for step in steps(pointer):
        if term.kind == "map":
            thing = step
        below = term.parts.get("{}" if term.kind == "map" else step)
        if below is None:
            return pointer
        term = below
    return term_text(term.name, thing)


def value_text(name: str, value: Any, system: System) -> str:
    """A spec value as a report shows it; empty for one that is no single value.

    >>> value_text("track.radius", 0.381, "us"), value_text("hanger.braced_along", False, "us")
    ('15 in', 'false')
    >>> value_text("hangers", True, "us")
    ''
    """
    term = VOCABULARY.leaves.get(name)
    if term is None or isinstance(value, dict | tuple):
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    dimension = term.numeric_dimension
    return str(value) if dimension is None else quantities.write(value, dimension, system)


def to_try(
    now: Mapping[str, Any],
    key: str | None,
    system: System,
    written: Mapping[str, str] = MappingProxyType({}),
    goals: Mapping[str, str] = MappingProxyType({}),
) -> str | None:
    """What could clear a finding, each with what it is now: values to change, to check or to measure again.

    ``written`` holds the texts of the spec for values that are shown as they were written, ``goals`` what the rule
    asks of the value that it compares. What was seen on site is not changed in a spec: the finding says what to do.

    >>> to_try({"track.radius": 0.381, "track.rise": None, "room.headroom": 0.6604}, None, "us")
    'change track radius (now 15 in) or track rise; or measure room headroom (now 26 in) again'
    >>> to_try({"cable.clips": 2}, "near", "us", goals={"cable.clips": "to at least 3"})
    'change cable near clips to at least 3 (now 2)'
    >>> to_try({"room.headroom": 0.0055372}, None, "us", {"room.headroom": "0.218 in"})
    'measure room headroom (now 0.218 in) again'
    >>> to_try({"lifting.clamp_capacity": 2224.0}, None, "us")
    'check lifting clamp capacity (now 500 lb) or choose a stronger part'
    >>> to_try({"cable.broken_wires": 0.2}, "near", "us")
    """
    ways: dict[str, list[str]] = {}
    for name, value in now.items():
        term = VOCABULARY.term(name)
        if term.known == "seen" or (term.kind == "flag" and name in goals):
            continue
        shown = written.get(name) or ("" if value is None else value_text(name, value, system))
        called = term_text(name, key if term.axis is not None and value is not None else None)
        way = _way(term, name in goals)
        goal = goals.get(name) if way == "change {}" else None
        text = " ".join(filter(None, (called, goal, f"(now {shown})" if shown else "")))
        ways.setdefault(way, []).append(text)
    return "; or ".join(way.replace("{}", _listed(texts, "or")) for way, texts in ways.items()) or None


def _way(term: Term, compared: bool) -> str:
    if term.known == "measured":
        return "measure {} again"
    if term.known == "weighed" or (compared and term.known is not None):
        return "check {} with a scale"
    if term.name in BUILDING:
        return "ask the engineer about {}"
    if term.capacity:
        return "check {} or choose a stronger part"
    return "check {}" if term.name in FOUND or term.kind in ("flag", "map", "group") else "change {}"


def doubt_text(doubts: Iterable[Doubt], system: System) -> str:
    """What to measure or weigh again, and how precisely, for a verdict to be certain.

    >>> from doorlint.uncertainty.tolerance import SCALE, Cause
    >>> headroom = Doubt(Cause("room.headroom", None, 0.003175, "tape"), 0.0015875)
    >>> doubt_text([headroom], "us")
    'a tape reads to 1/8 in: measure room headroom again to 1/16 in'
    >>> doubt_text([Doubt(Cause("section.weight", "s3", 100.0, "estimate"), 40.0)], "us")
    'the weight of s3 is an estimate, good to 22.5 lb: weigh it to 9 lb'
    >>> doubt_text([Doubt(Cause("section.weight", None, 43.0, SCALE), 20.0)], "us")
    'the sections together may weigh 9.7 lb more or less; 4.5 lb would change the verdict: read the balance on site'
    """
    groups: dict[tuple[str, str], list[str]] = {}
    for doubt in doubts:
        groups.setdefault(_said_of(doubt, system), []).append(term_text(doubt.cause.name, doubt.cause.key))
    texts = [
        text.replace("{}", _listed(names, "and")).replace("{again}", again) for (text, again), names in groups.items()
    ]
    more = len(texts) - MOST_CAUSES
    return "; ".join([*texts[:MOST_CAUSES], f"and {more} more like it"] if more > 0 else texts)


def _said_of(doubt: Doubt, system: System) -> tuple[str, str]:
    cause = doubt.cause
    if cause.tool in WEIGHTS:
        band, closely = (quantities.write(size, "weight", system) for size in (cause.by, doubt.closely))
        source = "an estimate" if cause.tool == "estimate" else "the maker's"
        return f"the weight of {cause.key} is {source}, good to {band}: weigh it {{again}}", f"to {closely}"
    if cause.tool in TOGETHER:
        band, closely = (quantities.write(size, "weight", system) for size in (cause.by, doubt.closely))
        text = f"the sections together may weigh {band} more or less; {closely} would change the verdict"
        return f"{text}: read the balance on site", ""
    band = quantities.write(cause.by, "length", system, denominator=64)
    return f"{READS[cause.tool]} {band}: measure {{}} again {{again}}", _to(doubt, system)


def _listed(texts: list[str], word: str) -> str:
    """Several texts in one phrase.

    >>> _listed(["a"], "or"), _listed(["a", "b", "c"], "or")
    ('a', 'a, b or c')
    """
    return f" {word} ".join(filter(None, [", ".join(texts[:-1]), texts[-1]]))


def _to(doubt: Doubt, system: System) -> str:
    steps = math.floor(doubt.closely / FINEST[system] + 1e-9)
    if steps == 0:
        return "with a finer tool than a tape"
    return f"to {quantities.write(steps * FINEST[system], 'length', system, denominator=64)}"

"""The hints of a finding: what to try, and what to measure again and how precisely."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from doorlint import quantities
from doorlint.quantities import System
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.uncertainty.tolerance import TOGETHER, WEIGHTS, Doubt

FINEST: Mapping[System, float] = {"us": 0.0254 / 64, "si": 0.0005}
"""the finest measure that is asked of a tape (m)"""
MOST_CAUSES = 3
READS = {"tape": "a tape reads to", "laser": "a laser reads to", "drawing": "a drawing is good to"}


def term_text(name: str, key: str | None = None) -> str:
    """A spec value by the words of its name, with that of its thing.

    >>> term_text("track.radius"), term_text("hanger.fixing.count", "left-2"), term_text("as_built.hook_up_height")
    ('track radius', 'hanger left-2 fixing count', 'as built hook up height')
    """
    return VOCABULARY.label(name, key).replace(": ", " ")


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
    """What could clear a finding, each with its present value: values to change, to measure again or to check.

    ``written`` holds the texts of the spec for values that are shown as they were written, ``goals`` what the rule
    asks of the value that it compares. What was seen on site is not changed in a spec: the finding says what to do.

    >>> to_try({"track.radius": 0.381, "track.rise": None, "room.headroom": 0.6604}, None, "us")
    'change track radius (now 15 in) or track rise; or measure again room headroom (now 26 in)'
    >>> to_try({"cable.clips": 2}, "near", "us", goals={"cable.clips": "to at least 3"})
    'change cable near clips to at least 3 (now 2)'
    >>> to_try({"room.headroom": 0.0055372}, None, "us", {"room.headroom": "0.218 in"})
    'measure again room headroom (now 0.218 in)'
    >>> to_try({"cable.broken_wires": 0.2}, "near", "us")
    """
    ways: dict[str, list[str]] = {}
    for name, value in now.items():
        term = VOCABULARY.term(name)
        if term.known == "seen" or (term.kind == "flag" and name in goals):
            continue
        shown = written.get(name) or ("" if value is None else value_text(name, value, system))
        called = term_text(name, key if term.axis is not None and value is not None else None)
        verb = _verb(term, name in goals)
        goal = goals.get(name) if verb == "change" else None
        text = " ".join(filter(None, (called, goal, f"(now {shown})" if shown else "")))
        ways.setdefault(verb, []).append(text)
    return "; or ".join(f"{verb} {_listed(texts, 'or')}" for verb, texts in ways.items()) or None


def _verb(term: Term, compared: bool) -> str:
    if term.known == "measured":
        return "measure again"
    if term.known == "weighed" or (compared and term.known is not None):
        return "weigh again"
    return "see to" if term.kind == "flag" else "change"


def doubt_text(doubts: Iterable[Doubt], system: System) -> str:
    """What to measure or weigh again, and how precisely, for a verdict to be certain.

    >>> from doorlint.uncertainty.tolerance import SCALE, Cause
    >>> headroom = Doubt(Cause("room.headroom", None, 0.003175, "tape"), 0.0015875)
    >>> doubt_text([headroom], "us")
    'a tape reads to 1/8 in: measure again room headroom, to 1/16 in'
    >>> doubt_text([Doubt(Cause("section.weight", "s3", 100.0, "estimate"), 40.0)], "us")
    'the weight of s3 is an estimate, good to 22.5 lb: weigh it, to 9 lb'
    >>> doubt_text([Doubt(Cause("section.weight", None, 43.0, SCALE), 20.0)], "us")
    'the sections together may weigh 9.7 lb more or less, and 4.5 lb would turn this: read the balance on site'
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
        source = "an estimate" if cause.tool == "estimate" else "its maker's"
        return f"the weight of {cause.key} is {source}, good to {band}: weigh it, {{again}}", f"to {closely}"
    if cause.tool in TOGETHER:
        band, closely = (quantities.write(size, "weight", system) for size in (cause.by, doubt.closely))
        text = f"the sections together may weigh {band} more or less, and {closely} would turn this"
        return f"{text}: read the balance on site", ""
    band = quantities.write(cause.by, "length", system, denominator=64)
    return f"{READS[cause.tool]} {band}: measure again {{}}, {{again}}", _to(doubt, system)


def _listed(texts: list[str], word: str) -> str:
    """Several texts in one phrase.

    >>> _listed(["a"], "or"), _listed(["a", "b", "c"], "or")
    ('a', 'a, b or c')
    """
    return f" {word} ".join(filter(None, [", ".join(texts[:-1]), texts[-1]]))


def _to(doubt: Doubt, system: System) -> str:
    steps = math.floor(doubt.closely / FINEST[system] + 1e-9)
    if steps == 0:
        return "more closely than a tape can tell"
    return f"to {quantities.write(steps * FINEST[system], 'length', system, denominator=64)}"

"""A rule as read and compiled, and its outcome for a job."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from doorlint.named_tuple import NamedTuple

if TYPE_CHECKING:
    from doorlint.rulebook.kinds.kind import Kind

Severity = Literal["error", "warning", "advisory"]
Stage = Literal["survey", "order", "install", "commissioned"]
Standing = Literal["published", "second-hand", "derived", "practice", "memory"]

SEVERITIES: tuple[Severity, ...] = ("error", "warning", "advisory")
STAGES: tuple[Stage, ...] = ("survey", "order", "install", "commissioned")
STANDINGS: tuple[Standing, ...] = ("published", "second-hand", "derived", "practice", "memory")
"""Strongest first."""
PLACE = re.compile(r"\{([a-z_][a-z0-9_.]*)\}")
"""A name in braces inside a message or a safety note."""
SIGNED = re.compile(r"\{([a-z_][a-z0-9_.]*) ([a-z ]*)\|([a-z ]*)\}")
"""A name with the words that stand for its sign: ``{value late|early}``."""
ANY_DOOR: Mapping[str, str] = {"counterbalance.make_safe": "Lock the door closed and make its counterbalance safe"}
"""The text of a safety note for a door whose counterbalance is not known."""

ADD_PRACTICE = "for a new one add to /properties/practice/properties of schemas/job-spec.schema.json the key"
"""How a message says where a new figure is listed."""


def names_in(text: str) -> list[str]:
    """The names in a message or a safety note, in their order.

    >>> names_in("{thing} picks up {value late|early}")
    ['thing', 'value']
    """
    return PLACE.findall(SIGNED.sub(lambda place: f"{{{place[1]}}}", text))


def filled(text: str, texts: Mapping[str, str]) -> str:
    """A message with the texts of its names; a sign is said in words.

    >>> filled("{thing} picks up {value late|early}", {"thing": "b2", "value": "-3 in"})
    'b2 picks up 3 in early'
    >>> filled("friction hides {limit |}", {"limit": "-3 lb"})
    'friction hides 3 lb'
    """

    def signed(place: re.Match[str]) -> str:
        shown = texts[place[1]]
        return f"{shown.removeprefix('-')} {place[3] if shown.startswith('-') else place[2]}".rstrip()

    return PLACE.sub(lambda place: texts[place[1]], SIGNED.sub(signed, text))


class Source(NamedTuple):
    """Where a limit or a figure comes from."""

    standing: Standing
    document: str = ""
    edition: str = ""
    clause: str = ""
    note: str = ""


FindingKey: TypeAlias = tuple[str, str, "str | None"]
"""Rule, pointer and thing: the identity of a finding. Several things may share one pointer."""


class Outcome(NamedTuple):
    """The outcome of one rule at one thing of a job."""

    rule: str
    pointer: str
    key: str | None
    state: Literal["met", "short", "unknown"]
    value: Any = None
    limit: Any = None
    margin: float | None = None
    """how much there is to spare, in the value's own dimension; negative when short"""
    reason: str = ""
    missing: tuple[str, ...] = ()
    note: str = ""

    @property
    def place(self) -> FindingKey:
        """What it is about."""
        return self.rule, self.pointer, self.key


class Rule(NamedTuple):
    """One rule of the library or of a house-rule folder."""

    id: str
    title: str
    severity: Severity
    harm: str
    """what goes wrong where it is not met, in one word of ``harm.HARMS``; empty where a house gives a severity alone"""
    stage: Stage
    """from which on it reports what is missing"""
    earliest: Stage
    """from which on it checks what is given"""
    kind: Kind
    """of check"""
    message: str
    why: str
    safety: str
    sign_off: Literal["never", "supervisor"]
    source: Source
    at: str
    axis: str | None
    tries: tuple[str, ...]
    impossible: tuple[str, ...]
    """spec values that are impossible where it is not met: what depends on them is not checked"""
    dimension: str | None
    """of the value and the limit, for the report"""
    reads: tuple[str, ...]
    needs: tuple[str, ...]
    wanted: tuple[str, ...]
    """the spec values that must be given"""
    house: str
    """name of the house-rule folder it comes from; empty for the library"""
    digest: str
    statement: Mapping[str, Any]
    """the rule as written"""

    def safety_note(self, texts: Mapping[str, str] = ANY_DOOR) -> str:
        """The safety note, with ``texts`` for the names in it; without them as for any door."""
        return PLACE.sub(lambda place: texts.get(place[1], ANY_DOOR.get(place[1], place[0])), self.safety)

    @property
    def subject(self) -> str:
        """The part of the id before the dot."""
        return self.id.partition(".")[0]


def weakest(standings: list[Standing]) -> Standing:
    """The weakest of several standings.

    >>> weakest(["published", "practice", "derived"])
    'practice'
    """
    return max(standings, key=STANDINGS.index)

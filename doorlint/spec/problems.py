"""Why a spec cannot be read, and how that is reported."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final, Literal

from doorlint.named_tuple import NamedTuple

__all__ = ["BUILTIN_RULES", "BuiltinRule", "Problem", "clean", "nearest", "shown"]

_WIDEST: Final = 40


class Problem(NamedTuple):
    """One reason why a spec cannot be read.

    ``rule`` is a key of ``BUILTIN_RULES``. ``pointer`` is the JSON pointer of the thing, also when it is a key that is
    missing or unknown; it is empty when the text did not get as far as keys and values. ``line`` and ``column`` count
    from 1, in code points.
    """

    rule: str
    pointer: str
    line: int
    column: int
    message: str
    end: tuple[int, int] | None = None
    """line and column just behind it, where that is known"""


class BuiltinRule(NamedTuple):
    """The page of the rule book for a rule that doorlint itself applies."""

    title: str
    why: str
    fix: str
    severity: Literal["error", "warning", "advisory"] = "error"


BUILTIN_RULES: Final[dict[str, BuiltinRule]] = {
    "spec.file": BuiltinRule(
        "The file is there and can be read",
        "A file that is gone, closed to you, or no ordinary file was not reviewed; "
        "silence about it would read as a pass.",
        "Check the name and who may read it.",
    ),
    "spec.fault": BuiltinRule(
        "doorlint came to the end of its review",
        "A fault of the program is no finding about the door, and no pass either: nothing in the file was checked.",
        "Report it with the file and the message; it is for the program to be mended.",
    ),
    "spec.size": BuiltinRule(
        "The spec is of a size that a job can have",
        "A file far larger or deeper than any job is a mistake or an attack; reading it would cost time and memory.",
        "Give one job a file; take out what does not belong to it.",
    ),
    "spec.text": BuiltinRule(
        "The file is UTF-8 text that shows all it says",
        "Control characters and marks that turn the reading direction let a text look different from what it says; "
        "bytes in another encoding turn into wrong characters.",
        "Save the file as UTF-8 and type the line again where the message points.",
    ),
    "spec.yaml": BuiltinRule(
        "The file is YAML",
        "Where indentation, quotes or brackets do not fit, nobody can say for certain what was meant.",
        "Mend the place the message names: two spaces for each level, `key: value` on a line, no tabs.",
    ),
    "spec.plain": BuiltinRule(
        "The file holds plain keys and values only",
        "Anchors, aliases, tags, merge keys and further documents make one value stand in several places or change "
        "what a word means, so the line that a finding names would not be the line to mend.",
        "Write the value out where it is used; one job, one file.",
    ),
    "spec.repeated": BuiltinRule(
        "No key is written twice",
        "Of two values for one key only one could count, and a reader cannot tell which was meant.",
        "Take out one of the two, or give the second thing a name of its own.",
    ),
    "spec.shape": BuiltinRule(
        "Keys and values are those of the job spec",
        "A misspelt key would be passed over in silence, and a check that needs it would never run.",
        "Use the keys and words that the message names; `doorlint blank` shows those of each stage.",
    ),
    "spec.part": BuiltinRule(
        "Every part named is of a catalog in use",
        "A part stands for values that count in every check; what no catalog holds stands for nothing.",
        "Write a name that the message offers, or write the values out.",
    ),
    "spec.each": BuiltinRule(
        "What a change takes out is gone",
        "A value that `each` or a part gives is still there for a thing that no longer says it.",
        "Change the line that the message names, or give the thing another value.",
    ),
    "spec.quantity": BuiltinRule(
        "Every measure reads as a number with a unit, of a size that a thing can have",
        "A bare number may be inches or millimetres, pounds or kilograms; the door cannot tell. "
        "What is there is more than 0 long and weighs more than 0.",
        "Write number and unit as the message shows.",
    ),
    "spec.approvals": BuiltinRule(
        "The sign-offs beside a spec can be read",
        "A sign-off that is passed over in silence leaves somebody sure of what is not settled.",
        "Correct the file that the message names: it holds `approvals:` and nothing else.",
    ),
    "spec.bound": BuiltinRule(
        "A job moves no shop figure further than any job may",
        "A limit that a job sets for itself checks nothing: a shop figure stands between the door and the ground.",
        "Take the line out of `practice:`, or write a value within the bounds that the message names.",
    ),
    "spec.date": BuiltinRule(
        "Every date is a day of the calendar",
        "Approvals run out and readings are put in order by their day, so the day must exist.",
        "Write year-month-day with two digits for month and day.",
    ),
}
"""The rules that reading applies, by id."""


_ORDERS = re.compile(r"\A:|(?<!\S):(?=:)|#(?=#\w*\[)")
"""The first character of what a build server takes for a command when it is in a log."""


def clean(text: str) -> str:
    """The text on one line with every character that does not show, or starts an order, written as its escape.

    >>> clean("a\\tb")
    'a\\\\tb'
    >>> clean("12'-0\\u202e")
    "12'-0\\\\u202e"
    >>> clean("door ::error::1"), clean("##teamcity[x]")
    ('door \\\\x3a:error::1', '\\\\x23#teamcity[x]')
    """
    if ":" in text or "##" in text:
        text = _ORDERS.sub(lambda order: f"\\x{ord(order[0]):02x}", text)
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def nearest(word: str, known: Iterable[str], otherwise: str) -> str:
    """The advice to write the known word that was meant, where one comes near, else another.

    >>> nearest("room.hedroom", ["room.headroom", "room.back"], "leave it out")
    'write room.headroom'
    """
    from difflib import get_close_matches  # only for what is misspelt

    near = get_close_matches(word, list(known), 1)
    return f"write {near[0]}" if near else otherwise


def shown(text: str) -> str:
    """A written value as a message quotes it: on one line, at most 40 characters of it.

    >>> shown("12'-0")
    "12'-0"
    >>> shown("x" * 50)
    'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…'
    >>> shown("")
    'nothing'
    """
    whole = clean(text[: _WIDEST + 1])
    return (whole if len(whole) <= _WIDEST else f"{whole[: _WIDEST - 1]}…") or "nothing"

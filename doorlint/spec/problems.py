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
        "The file exists and can be read",
        "A file that is missing, not readable or not a regular file was not reviewed; "
        "without this message that would look like a pass.",
        "Check the name and the permissions of the file.",
    ),
    "spec.fault": BuiltinRule(
        "doorlint finished its review",
        "This is an error in doorlint, not a finding about the door and not a pass. Nothing in the file was checked.",
        "Report it with the file and the message. doorlint must be fixed.",
    ),
    "spec.size": BuiltinRule(
        "The spec has a plausible size",
        "A file far larger or deeper than any job is a mistake or an attack; reading it would cost time and memory.",
        "Use one file for each job, and remove everything else.",
    ),
    "spec.text": BuiltinRule(
        "The file is UTF-8 text without hidden characters",
        "Control characters and marks that reverse the text direction make a text look different from its content; "
        "bytes in another encoding turn into wrong characters.",
        "Save the file as UTF-8 and type the line again where the message points.",
    ),
    "spec.yaml": BuiltinRule(
        "The file is YAML",
        "If indentation, quotes or brackets are wrong, the meaning is uncertain.",
        "Fix the place that the message names: two spaces for each level, `key: value` on a line, no tabs.",
    ),
    "spec.plain": BuiltinRule(
        "The file holds plain keys and values only",
        "Anchors, aliases, tags, merge keys and further documents use one value in several places or change "
        "the meaning of a word, so the line that a finding names would not be the line to fix.",
        "Write the value out where it is used; one job, one file.",
    ),
    "spec.repeated": BuiltinRule(
        "No key is written twice",
        "Only one of two values for a key can count, and a reader cannot tell which.",
        "Remove one of the two, or give the second thing its own name.",
    ),
    "spec.shape": BuiltinRule(
        "Keys and values are those of the job spec",
        "A misspelled key would be ignored, and the check that needs it would never run.",
        "Use the keys and words in the message. `doorlint blank` shows those of each stage.",
    ),
    "spec.part": BuiltinRule(
        "Every named part is in a catalog",
        "A part gives values for every check; a part that is in no catalog gives none.",
        "Use a name from the message, or write the values.",
    ),
    "spec.each": BuiltinRule(
        "A removed value is gone",
        "A value from `each` or a part still counts after it is removed from a thing.",
        "Change the line that the message names, or give the thing another value.",
    ),
    "spec.quantity": BuiltinRule(
        "Every measurement is a number with a unit and a possible size",
        "A number without a unit may be inches or millimeters, pounds or kilograms. "
        "A length or weight of a real part is more than 0.",
        "Write number and unit as shown in the message.",
    ),
    "spec.approvals": BuiltinRule(
        "The sign-offs beside a spec can be read",
        "If a sign-off is silently ignored, somebody believes that the finding is settled.",
        "Correct the file that the message names: it holds `approvals:` and nothing else.",
    ),
    "spec.bound": BuiltinRule(
        "No job moves a shop figure beyond its bounds",
        "A limit that a job can set freely checks nothing.",
        "Remove the line from `practice:`, or write a value within the bounds in the message.",
    ),
    "spec.date": BuiltinRule(
        "Every date exists",
        "Sign-offs expire and readings are sorted by their date, so the date must exist.",
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

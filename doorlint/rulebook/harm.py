"""The harm of a rule that is not met, in one word; its severity follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from doorlint.rulebook.rule import Severity

HARMS: Mapping[str, tuple[Severity, str]] = {
    "unbuildable": ("error", "it cannot be built, or no job can have this value"),
    "overload": ("error", "a part carries more than it can"),
    "drop": ("error", "the door, a box or a load can fall"),
    "crush": ("error", "somebody can be struck or caught"),
    "release": ("error", "a part can let go"),
    "stuck": ("error", "the door cannot run"),
    "trouble": ("warning", "it works badly"),
    "wear": ("warning", "it wears out early"),
    "revisit": ("warning", "somebody has to come or ask again"),
    "unusual": ("advisory", "it is seldom so, and may be meant"),
}
"""Every word that ``harm`` may have, with its severity and what it means."""


def severity_of(statement: Mapping[str, Any]) -> Severity:
    """The severity of a rule as written: that of its harm, or the one it gives instead.

    No error rests on memory alone.

    >>> severity_of({"harm": "drop", "source": {"standing": "derived"}})
    'error'
    >>> severity_of({"harm": "drop", "source": {"standing": "memory"}})
    'warning'
    >>> severity_of({"harm": "wear", "severity": "advisory", "exception": "doors seldom run so often"})
    'advisory'
    """
    given: Severity | None = statement.get("severity")
    return given or _of_harm(statement)


def _of_harm(statement: Mapping[str, Any]) -> Severity:
    severity = HARMS[statement["harm"]][0]
    return "warning" if severity == "error" and statement["source"]["standing"] == "memory" else severity


def fault(statement: Mapping[str, Any], house: bool) -> tuple[str, str] | None:
    """What is wrong with the severity of a rule, and at which key; ``None`` where nothing is.

    A rule of the library names its ``harm``; a house rule may give a ``severity`` alone.

    >>> fault({"id": "room.tall", "harm": "unusual", "source": {"standing": "practice"}}, house=False)
    >>> fault({"id": "shop.tall", "severity": "advisory"}, house=True)
    >>> fault({"id": "room.tall", "severity": "advisory"}, house=False)
    ('severity', 'found severity advisory; a rule names its harm instead; write `harm: unusual`')
    """
    if "harm" not in statement:
        if "severity" in statement:
            words = " or ".join(f"`harm: {word}`" for word, (to, _) in HARMS.items() if to == statement["severity"])
            found = f"found severity {statement['severity']}; a rule names its harm instead; write {words}"
            return None if house else ("severity", found)
        own = ", or `severity: warning`" if house else ""
        words = ", ".join(f"{word} ({severity}: {meaning})" for word, (severity, meaning) in HARMS.items())
        return "id", f"found no harm; say what goes wrong: add a line `harm: ` with one of {words}{own}"
    if "severity" not in statement:
        fix = "take it out, or give the `severity` that it explains"
        return ("exception", f"found an exception without a severity; {fix}") if "exception" in statement else None
    usual, given = _of_harm(statement), statement["severity"]
    if given == usual:
        return "severity", f"found severity {given}, which follows from harm {statement['harm']}; take the line out"
    if "exception" not in statement:
        fix = f"add a line `exception: ` that says why, or take out `severity: {given}`"
        return "severity", f"found severity {given}, but harm {statement['harm']} makes it {usual}; {fix}"
    return None

"""Sign-offs held against findings: which still stand, and what is wrong with those that do not.

A sign-off is for one rule at one thing, for the value and the limit it was given for. It stands while the
value is no worse, the limit no stricter, and its last day has not passed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.rulebook.checks import SLACK
from doorlint.rulebook.rule import Outcome, Rule, Severity

FIELDS = ("rule", "pointer", "value", "limit", "reason", "by", "on", "until")
"""What a sign-off must say; without one of these it does not count."""


class Trouble(NamedTuple):
    """What is wrong with one sign-off, as a built-in rule says it."""

    rule: str
    severity: Severity
    approval: str
    message: str


class BuiltIn(NamedTuple):
    title: str
    why: str
    fix: str


BUILT_IN: dict[str, BuiltIn] = {
    "approval.incomplete": BuiltIn(
        "A sign-off says what it is for, why, by whom and until when",
        "A sign-off that leaves something open could be read for more than was meant.",
        "Fill in what is missing; `doorlint review SPEC --draft-approval RULE` prints the whole block.",
    ),
    "approval.unknown": BuiltIn(
        "A sign-off names a rule that there is",
        "A misspelt rule would leave the finding standing while somebody believes it is settled.",
        "Correct the rule's id; `doorlint rulebook` lists them.",
    ),
    "approval.refused": BuiltIn(
        "What can drop a door or crush somebody is not signed off",
        "A signature does not hold up a door: such a finding is cleared by changing the job.",
        "Take the sign-off out and clear the finding itself.",
    ),
    "approval.lapsed": BuiltIn(
        "A sign-off is used within its days",
        "It was given for a time; what has passed since then nobody has looked at.",
        "Ask for it again, or clear the finding.",
    ),
    "approval.worsened": BuiltIn(
        "A sign-off covers what is found today",
        "It was given for a value and a limit; today the value is worse or the limit stricter.",
        "Show today's figures to the supervisor and ask again, or clear the finding.",
    ),
    "approval.unused": BuiltIn(
        "A sign-off has a finding that it is for",
        "The finding is gone, or the sign-off names another thing than the finding does.",
        "Take it out if the finding is cleared; else copy the pointer from the report.",
    ),
    "approval.rule-changed": BuiltIn(
        "The rule is still the one that was signed off",
        "The rule has been written anew since; its limit is no stricter here, but what it asks may differ.",
        "Read the rule (`doorlint rulebook RULE`) and have the sign-off confirmed.",
    ),
}
"""The rules that sign-offs themselves must meet, by id."""


class Ruling(NamedTuple):
    """What the sign-offs come to: which outcome each one covers, and the trouble there is."""

    covered: dict[tuple[str, str], str]
    """(rule, pointer) to the name of the sign-off that holds for it"""
    troubles: tuple[Trouble, ...]
    notes: dict[tuple[str, str], str]
    """(rule, pointer) to why a sign-off for it does not hold"""


def rule_on(
    approvals: Mapping[str, Mapping[str, Any]],
    short: Mapping[tuple[str, str], Outcome],
    rules: Mapping[str, Rule],
    on: str,
) -> Ruling:
    """Hold every sign-off against the outcomes that are short, on one day (``YYYY-MM-DD``)."""
    covered: dict[tuple[str, str], str] = {}
    troubles: list[Trouble] = []
    notes: dict[tuple[str, str], str] = {}
    for name, said in approvals.items():
        lacking = [field for field in FIELDS if not said.get(field)]
        if lacking:
            troubles.append(
                Trouble("approval.incomplete", "warning", name, f"sign-off {name} does not say {', '.join(lacking)}")
            )
            continue
        place = (said["rule"], said["pointer"])
        rule = rules.get(said["rule"])
        if rule is None:
            troubles.append(
                Trouble(
                    "approval.unknown",
                    "warning",
                    name,
                    f"sign-off {name} is for rule {said['rule']}, which there is not",
                )
            )
        elif rule.sign_off == "never":
            message = f"sign-off {name} is for {rule.id}, which nobody may sign off: {rule.safety or rule.why}"
            troubles.append(Trouble("approval.refused", "error", name, message))
            notes[place] = f"sign-off {name} does not count: nobody may sign this off"
        elif place not in short:
            troubles.append(
                Trouble(
                    "approval.unused",
                    "advisory",
                    name,
                    f"sign-off {name} is for {rule.id} at {said['pointer']}, where nothing is short",
                )
            )
        elif not said["on"] <= on <= said["until"]:
            message = f"sign-off {name} holds from {said['on']} to {said['until']}; this is {on}"
            troubles.append(Trouble("approval.lapsed", "warning", name, message))
            notes[place] = message
        elif not _no_worse(short[place], said, rule):
            message = f"sign-off {name} was given for {said['value']} against {said['limit']}; today it is worse"
            troubles.append(Trouble("approval.worsened", "warning", name, message))
            notes[place] = message
        else:
            covered[place] = name
            if said.get("rule_digest") and said["rule_digest"] != rule.digest:
                message = f"rule {rule.id} was written anew since sign-off {name}: {said['rule_digest']} then, {rule.digest} now"
                troubles.append(Trouble("approval.rule-changed", "advisory", name, message))
    return Ruling(covered, tuple(troubles), notes)


def _no_worse(outcome: Outcome, said: Mapping[str, Any], rule: Rule) -> bool:
    if rule.dimension is None or isinstance(outcome.value, str | bool):
        return bool(said["value"] == exact(outcome.value, None) and said["limit"] == exact(outcome.limit, None))
    try:
        value, limit = (_number(said[side], rule.dimension) for side in ("value", "limit"))
    except (quantities.QuantityError, ValueError):
        return False
    slack = SLACK * max(abs(value), abs(limit), abs(outcome.value), abs(outcome.limit))
    if value < limit:
        return bool(outcome.value < outcome.limit and outcome.value >= value - slack and outcome.limit <= limit + slack)
    return bool(outcome.value > outcome.limit and outcome.value <= value + slack and outcome.limit >= limit - slack)


def _number(text: str, dimension: str) -> float:
    return float(text) if dimension in ("count", "ratio") else quantities.read(text, dimension)


def exact(value: Any, dimension: str | None, system: quantities.System = "us") -> str:
    """A value in words that read back unchanged.

    >>> exact(0.0254, "length")
    '1 in'
    >>> exact(("steel", "wood"), None)
    'steel or wood'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return " or ".join(exact(item, None) for item in value)
    if dimension is None or isinstance(value, str):
        return str(value)
    return repr(value) if dimension in ("count", "ratio") else quantities.write_exact(value, dimension, system)


def draft(outcome: Outcome, rule: Rule, on: str, system: quantities.System) -> str:
    """The block to paste under ``approvals:``, prefilled; reason, role and last day are left to fill in."""
    name = rule.id.replace(".", "-") + (f"-{outcome.key}" if outcome.key else "")
    lines = {
        "rule": rule.id,
        "pointer": outcome.pointer,
        "value": _quoted(exact(outcome.value, rule.dimension, system)),
        "limit": _quoted(exact(outcome.limit, rule.dimension, system)),
        "rule_digest": _quoted(rule.digest),
        "reason": "",
        "by": "",
        "on": _quoted(on),
        "until": "",
    }
    return "\n".join([f"  {name}:", *(f"    {key}: {text}".rstrip() for key, text in lines.items())]) + "\n"


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"

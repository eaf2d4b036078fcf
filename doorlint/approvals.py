"""Sign-offs checked against findings: which still hold, what is wrong with the others, and drafts of new ones.

A sign-off is for one rule at one thing, for the value and the limit it was given for. It holds while the value is no
worse, the limit no stricter, and its last day has not passed. It runs no longer than the shop's term, and comes from
somebody on the shop's list where there is one. What was not checked cannot be signed off.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from doorlint import quantities
from doorlint.errors import WrongCall
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import STAGES, FindingKey, Outcome, Rule
from doorlint.spec.problems import BUILTIN_RULES as READING
from doorlint.spec.problems import BuiltinRule
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["BUILTIN_RULES", "Ruling", "Terms", "Trouble", "days_between", "drafts", "exact", "rule_on"]

FIELDS = ("rule", "pointer", "value", "limit", "reason", "by", "on", "until")
"""What a sign-off must say; without one of these it does not count."""
LONGEST_NAME = 40

BUILTIN_RULES: dict[str, BuiltinRule] = {
    "approval.incomplete": BuiltinRule(
        "A sign-off gives its rule, reason, name and last day",
        "An incomplete sign-off could be taken for more than was meant.",
        "Fill in what is missing; `doorlint review SPEC --draft-approval RULE` prints the whole block.",
        "warning",
    ),
    "approval.unknown": BuiltinRule(
        "A sign-off names an existing rule",
        "With a misspelled rule the finding stays while somebody believes it is settled.",
        "Correct the rule's id; `doorlint rulebook` lists them.",
        "warning",
    ),
    "approval.refused": BuiltinRule(
        "No sign-off is for a finding that nobody may sign off",
        "A signature does not hold up a door. Such a finding is cleared only by changing the job.",
        "Remove the sign-off and clear the finding itself.",
        "error",
    ),
    "approval.lapsed": BuiltinRule(
        "A sign-off is used within its days",
        "It was given for a time that is over, and nobody has checked the job since.",
        "Ask for it again, or clear the finding.",
        "warning",
    ),
    "approval.too-long": BuiltinRule(
        "A sign-off runs no longer than the shop's term",
        "A sign-off without an end switches a rule off, while the job and the people change.",
        "Ask for a shorter one; `doorlint rulebook practice.approval-days` shows the longest term.",
        "warning",
    ),
    "approval.not-an-approver": BuiltinRule(
        "A sign-off is from an approver",
        "The shop lists who may sign off. A name that is not on the list does not count.",
        "Ask somebody on the list of approvers, or have the name added.",
        "warning",
    ),
    "approval.too-wide": BuiltinRule(
        "A sign-off is for the values found",
        "A value far looser than the finding, or a limit far stricter than the rule's, covers cases nobody has seen.",
        "Have it signed for today's figures: `doorlint review SPEC --draft-approval RULE` prints them.",
        "warning",
    ),
    "approval.worsened": BuiltinRule(
        "A sign-off covers today's finding",
        "It was given for a value and a limit; today the value is worse or the limit stricter.",
        "Show today's figures to the supervisor and ask again, or clear the finding.",
        "warning",
    ),
    "approval.unused": BuiltinRule(
        "A sign-off has a finding",
        "The finding is gone, was not checked, or is at another place than the sign-off names.",
        "Remove it if the finding is cleared. Otherwise copy the pointer from the report.",
        "warning",
    ),
    "approval.rule-changed": BuiltinRule(
        "The rule is still the one that was signed off",
        "The rule has changed since. Its limit is not stricter here, but it may check something else.",
        "Read the rule (`doorlint rulebook RULE`) and have the sign-off confirmed.",
        "advisory",
    ),
}
"""The rules that sign-offs themselves must meet, by id."""


class Terms(NamedTuple):
    """The limits of sign-offs."""

    on: str
    """the day of the review, ``YYYY-MM-DD``"""
    days: int
    """the longest that one may run"""
    share: float
    """how much looser than what is found one may be, as a share of it"""
    approvers: tuple[str, ...] | None
    """who may sign off; ``None`` where anybody may"""


class Trouble(NamedTuple):
    """What is wrong with one sign-off, as a built-in rule says it."""

    rule: str
    approval: str
    message: str


class Ruling(NamedTuple):
    """The result of checking sign-offs: which outcome each one covers, and the trouble there is."""

    covered: dict[FindingKey, str]
    """place to the name of the sign-off that holds for it"""
    troubles: tuple[Trouble, ...]
    notes: dict[FindingKey, str]
    """place to why a sign-off given for it does not hold"""


def rule_on(
    approvals: Mapping[str, Mapping[str, Any]],
    outcomes: Sequence[Outcome],
    rules: Mapping[str, Rule],
    stage: str,
    terms: Terms,
) -> Ruling:
    """Check every sign-off against the outcomes that are short or unknown at a stage."""
    covered: dict[FindingKey, str] = {}
    notes: dict[FindingKey, str] = {}
    troubles: list[Trouble] = []
    for name, fields in approvals.items():
        here = [outcome for outcome in outcomes if _is_meant(fields, outcome)]
        held, trouble = _hold(name, fields, here, outcomes, rules, stage, terms)
        covered |= {outcome.place: name for outcome in held}
        if trouble is not None:
            troubles.append(trouble)
        if not held and trouble is not None:
            notes |= {outcome.place: trouble.message for outcome in here if outcome.state == "short"}
    return Ruling(covered, tuple(troubles), notes)


def _is_meant(fields: Mapping[str, Any], outcome: Outcome) -> bool:
    thing = fields.get("thing") or outcome.key
    return (fields.get("rule"), fields.get("pointer"), thing) == (outcome.rule, outcome.pointer, outcome.key)


def _shares(rule: Rule) -> bool:
    """Whether the findings of several things share one pointer."""
    return rule.axis is not None and rule.kind.compares and VOCABULARY.term(rule.at).axis is None


def _hold(
    name: str,
    fields: Mapping[str, Any],
    here: Sequence[Outcome],
    outcomes: Sequence[Outcome],
    rules: Mapping[str, Rule],
    stage: str,
    terms: Terms,
) -> tuple[list[Outcome], Trouble | None]:
    """The outcomes that one sign-off covers, and the trouble with it."""
    lacking = [field for field in FIELDS if not str(fields.get(field, "")).strip()]
    if lacking:
        return [], Trouble("approval.incomplete", name, f"sign-off {name} does not say {', '.join(lacking)}")
    rule = rules.get(fields["rule"])
    if rule is None:
        return [], _no_such_rule(name, fields["rule"], rules)
    if rule.sign_off == "never":
        message = f"sign-off {name} is for {rule.id}, which nobody may sign off: {rule.safety_note() or rule.why}"
        return [], Trouble("approval.refused", name, message)
    short = [outcome for outcome in here if outcome.state == "short"]
    if not short:
        return [], Trouble("approval.unused", name, f"sign-off {name} is for {rule.id} at {fields['pointer']}, "
                           f"{_why_unused(rule, here, outcomes, stage)}")  # fmt: skip
    if not fields.get("thing") and _shares(rule):
        things = ", ".join(str(outcome.key) for outcome in short)
        message = f"sign-off {name} does not say which thing it is for: {things}; give it a line `thing:`"
        return [], Trouble("approval.incomplete", name, message)
    trouble = _outside_terms(name, fields, terms)
    return ([], trouble) if trouble is not None else _hold_against(name, fields, rule, short, terms)


def _outside_terms(name: str, fields: Mapping[str, Any], terms: Terms) -> Trouble | None:
    """The trouble with the days of a sign-off, or with who gave it."""
    if not fields["on"] <= terms.on <= fields["until"]:
        message = f"sign-off {name} holds from {fields['on']} to {fields['until']}; this is {terms.on}"
        return Trouble("approval.lapsed", name, message)
    days = days_between(fields["on"], fields["until"])
    if days > terms.days:
        message = (
            f"sign-off {name} runs {days} days, from {fields['on']} to {fields['until']}; at most {terms.days} count"
        )
        return Trouble("approval.too-long", name, message)
    if terms.approvers is not None and fields["by"].strip() not in terms.approvers:
        message = f"sign-off {name} is by {fields['by'].strip()}, who is not on the list of approvers"
        return Trouble("approval.not-an-approver", name, message)
    return None


def _hold_against(
    name: str, fields: Mapping[str, Any], rule: Rule, short: Sequence[Outcome], terms: Terms
) -> tuple[list[Outcome], Trouble | None]:
    """The outcomes that are no worse than a sign-off was given for, and the trouble with it."""
    rewritten = bool(fields.get("rule_digest")) and fields["rule_digest"] != rule.digest
    try:
        held = [outcome for outcome in short if not _worse(fields, rule, outcome)]
    except quantities.QuantityError as error:
        message = f"sign-off {name} does not say what it was given for: {error}"
        return [], Trouble("approval.incomplete", name, message)
    if not held:
        worse = " and ".join(_worse(fields, rule, short[0]))
        message = f"sign-off {name} was given for {fields['value']} against {fields['limit']}; today {worse}"
        return [], Trouble("approval.worsened", name, message + ", and the rule has changed since" * rewritten)
    if rewritten:
        message = f"{rule.id} has changed since sign-off {name}: {fields['rule_digest']} then, {rule.digest} now"
        return held, Trouble("approval.rule-changed", name, message)
    wide = next((outcome for outcome in held if _wider(fields, rule, outcome, terms.share)), None)
    if wide is not None:
        value, limit = _words(wide, rule, "us")
        message = (
            f"sign-off {name} is for {fields['value']} against {fields['limit']}; found is {value} against {limit}"
        )
        return held, Trouble("approval.too-wide", name, f"{message}; have today's figures signed")
    return held, None


def days_between(first: str, last: str) -> int:
    """Days from one day to another, each ``YYYY-MM-DD``.

    >>> days_between("2026-03-10", "2026-03-17")
    7
    """
    import datetime  # only for a spec that has sign-offs

    return (datetime.date.fromisoformat(last) - datetime.date.fromisoformat(first)).days


def _no_such_rule(name: str, rule_id: str, rules: Mapping[str, Rule]) -> Trouble:
    if rule_id in BUILTIN_RULES or rule_id in READING:
        return Trouble("approval.refused", name, f"sign-off {name} is for {rule_id}, which nobody may sign off: it is "
                       "about the spec itself; fix the spec")  # fmt: skip
    from difflib import get_close_matches  # only for what is misspelt

    near = get_close_matches(rule_id, rules, 1, 0.5)
    meant = f"; did you mean {near[0]}?" if near else ""
    return Trouble("approval.unknown", name, f"sign-off {name} is for rule {rule_id}, which there is not{meant}")


def _why_unused(rule: Rule, here: Sequence[Outcome], outcomes: Sequence[Outcome], stage: str) -> str:
    if here:
        return "which was not checked there; a sign-off does not replace a check"
    if STAGES.index(rule.earliest) > STAGES.index(stage):
        return f"which is not asked before {rule.earliest}; this is {stage}"
    elsewhere = dict.fromkeys(o.pointer for o in outcomes if o.rule == rule.id and o.state == "short")
    return "where nothing is short" + (f"; it is short at {', '.join(elsewhere)}" if elsewhere else "")


def _worse(fields: Mapping[str, Any], rule: Rule, outcome: Outcome) -> list[str]:
    """How an outcome is worse than a sign-off allows; empty where the sign-off covers it.

    Raises :class:`doorlint.quantities.QuantityError` where its value or limit is not of the rule's dimension.
    """
    if outcome.margin is None or rule.dimension is None:
        value, limit = _words(outcome, rule, "us")
        other = [] if fields["value"] == value else ["the value is another one"]
        return other + ([] if {*fields["limit"].split(" or ")} <= {*limit.split(" or ")} else ["the limit is stricter"])
    was, bound = (quantities.read(fields[side], rule.dimension, signed=True) for side in ("value", "limit"))
    slack = SLACK * max(abs(was), abs(bound), abs(outcome.value), abs(outcome.limit))
    sides = rule.kind.is_low(was, bound), rule.kind.is_low(outcome.value, outcome.limit)
    if sides[0] != sides[1]:
        return ["the value is on the other side of what is asked"]
    sign = 1 if sides[0] else -1
    found = {
        "the value is worse": sign * (outcome.value - was) < -slack,
        "the limit is stricter": sign * (bound - outcome.limit) < -slack,
    }
    return [words for words, true in found.items() if true]


def _wider(fields: Mapping[str, Any], rule: Rule, outcome: Outcome, share: float) -> bool:
    """Whether a sign-off is for a value looser than what is found, or a limit stricter than the rule's, by more than a
    share of it."""
    if outcome.margin is None or rule.dimension is None:
        return False
    was, bound = (quantities.read(fields[side], rule.dimension, signed=True) for side in ("value", "limit"))
    value, limit = float(outcome.value), float(outcome.limit)
    sign = 1 if rule.kind.is_low(value, limit) else -1
    looser, stricter = sign * (value - was), sign * (bound - limit)
    return looser > share * abs(value or limit) * (1 + SLACK) or stricter > share * abs(limit or value) * (1 + SLACK)


def _words(outcome: Outcome, rule: Rule, system: quantities.System) -> tuple[str, str]:
    """Value and limit of an outcome as a sign-off gives them."""
    if not rule.kind.compares:
        return "not given", "given"
    return exact(outcome.value, rule.dimension, system), exact(outcome.limit, rule.dimension, system)


def exact(value: Any, dimension: str | None, system: quantities.System = "us") -> str:
    """A value in words that read back unchanged; what is not a quantity is given as it is.

    >>> exact(0.0254, "length"), exact(0.1, "length"), exact(3, "count")
    ('1 in', '3.937007874015748 in', '3')
    >>> exact(("steel", "wood"), None), exact(False, None)
    ('steel or wood', 'false')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return " or ".join(exact(item, None) for item in value)
    if dimension is None or isinstance(value, str):
        return str(value)
    return quantities.write_exact(value, dimension, system)


def drafts(
    rule_id: str,
    approvals: Mapping[str, Mapping[str, Any]],
    outcomes: Sequence[Outcome],
    rules: Mapping[str, Rule],
    stage: str,
    terms: Terms,
    system: quantities.System,
) -> str:
    """The blocks to paste under ``approvals:``, one for every place where the rule is short and nothing covers it.

    Value and limit are written so that they read back unchanged; reason, role and last day are left to fill in.
    Raises :class:`WrongCall` where there is no such rule, nobody may sign it off, or nothing is there to sign off.
    """
    rule = rules.get(rule_id)
    if rule is None:
        refusal = _no_such_rule("", rule_id, rules)
        if refusal.rule == "approval.refused":
            raise WrongCall(f"nobody may sign off {rule_id}: it is about the spec itself; fix the spec")
        raise WrongCall(f"there is no rule {rule_id}{refusal.message.partition('which there is not')[2]}")
    if rule.sign_off == "never":
        raise WrongCall(f"nobody may sign off {rule_id}: {rule.safety_note() or rule.why}")
    mine = [outcome for outcome in outcomes if outcome.rule == rule_id]
    covered = rule_on(approvals, outcomes, rules, stage, terms).covered
    short = [outcome for outcome in mine if outcome.state == "short"]
    wanted = [outcome for outcome in short if outcome.place not in covered]
    if wanted:
        taken = set(approvals)
        return "".join(_draft(outcome, rule, terms.on, system, taken) for outcome in wanted)
    if short:
        raise WrongCall(f"{rule_id} is signed off already: see {', '.join(sorted({*covered.values()}))}")
    if mine:
        raise WrongCall(f"{rule_id} was not checked: {_lacks(mine)}; a sign-off does not replace a check")
    if STAGES.index(rule.earliest) > STAGES.index(stage):
        raise WrongCall(f"{rule_id} is not asked before {rule.earliest}; this is {stage}")
    raise WrongCall(f"{rule_id} is met or does not apply: there is nothing to sign off")


def _lacks(outcomes: Sequence[Outcome]) -> str:
    return ", ".join(dict.fromkeys(name for o in outcomes for name in (o.missing or (o.note or o.reason,))))


def _draft(outcome: Outcome, rule: Rule, on: str, system: quantities.System, taken: set[str]) -> str:
    name = _name(rule.id, outcome.key, taken)
    taken.add(name)
    return "\n".join([f"  {name}:", *(f"    {line}" for line in _block(outcome, rule, on, system))]) + "\n"


def _block(outcome: Outcome, rule: Rule, on: str, system: quantities.System) -> Iterator[str]:
    value, limit = _words(outcome, rule, system)
    yield f"rule: {rule.id}"
    yield f"pointer: {outcome.pointer}"
    if _shares(rule):
        yield f"thing: {outcome.key}"
    yield f"value: {_quoted(value)}"
    yield f"limit: {_quoted(limit)}"
    yield f"rule_digest: {_quoted(rule.digest)}"
    yield "reason:  # why it may stand"
    yield "by:  # role and initials of who signs it off"
    yield f"on: {_quoted(on)}"
    yield "until:  # last day it holds, year-month-day"


def _name(rule: str, key: str | None, taken: Collection[str]) -> str:
    """A name for a sign-off that is free and no longer than names may be.

    >>> _name("hangers.span", "left-2", {"hangers-span-left-2"})
    'hangers-span-left-2-2'
    """
    whole = rule.replace(".", "-") + (f"-{key}" if key else "")
    name, number = whole[:LONGEST_NAME].rstrip("-"), 1
    while name in taken:
        number += 1
        name = f"{whole[: LONGEST_NAME - len(str(number)) - 1]}-{number}"
    return name


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"

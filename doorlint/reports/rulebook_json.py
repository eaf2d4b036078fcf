"""The rules as JSON."""

from __future__ import annotations

from typing import Any

from doorlint.reports.data import dump
from doorlint.rule_listing import BuiltinDetail, RuleDetail, RuleListing
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule


def render(shown: RuleListing | RuleDetail | BuiltinDetail, _version: str, _on: str) -> str:
    """The rules that were asked for."""
    return dump(_data(shown))


def _data(shown: RuleListing | RuleDetail | BuiltinDetail) -> dict[str, Any]:
    if isinstance(shown, BuiltinDetail):
        rule = shown.rule
        return {"rule": shown.id, "title": rule.title, "severity": rule.severity, "why": rule.why, "fix": rule.fix}
    if isinstance(shown, RuleDetail):
        examples = [example._asdict() for example in shown.examples]
        return _rule(shown.library, shown.rule) | {"examples": examples}
    rules = [_rule(shown.library, rule) for rule in shown.rules]
    return {"rules": rules, "sources": shown.sources, "digest": shown.library.digest}


def _rule(library: Library, rule: Rule) -> dict[str, Any]:
    return {
        "rule": rule.id, "title": rule.title, "severity": rule.severity, "stage": rule.stage, "subject": rule.subject,
        "check": rule.check, "standing": library.standing(rule), "house": rule.house, "digest": rule.digest,
        "source": {"standing": rule.source.standing, "document": rule.source.document, "edition": rule.source.edition,
                   "clause": rule.source.clause, "note": rule.source.note},
        "reads": list(rule.reads), "statement": dict(rule.statement),
    }  # fmt: skip

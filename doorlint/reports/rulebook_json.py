"""The rules as JSON."""

from __future__ import annotations

from typing import Any

from doorlint import quantities
from doorlint.reports.data import dump
from doorlint.rule_listing import BuiltinDetail, FigureDetail, RuleDetail, Shown
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule


def render(shown: Shown, _version: str, _on: str) -> str:
    """The rules that were asked for."""
    return dump(_data(shown))


def _data(shown: Shown) -> dict[str, Any]:
    if isinstance(shown, BuiltinDetail):
        own = shown.rule
        return {"rule": shown.id, "title": own.title, "severity": own.severity, "why": own.why, "fix": own.fix}
    if isinstance(shown, FigureDetail):
        rule, figure = shown.rule, shown.figure
        spec, shop = (bound.text(figure.dimension) for bound in (figure.spec, figure.shop))
        return {
            "rule": rule.id, "title": rule.title, "severity": rule.severity, "figure": rule.at,
            "value": quantities.write(figure.value, figure.dimension, "us"), "safe": figure.safe, "spec": spec,
            "shop": shop, "reason": figure.reason, "sign_off": rule.sign_off, "read_by": list(shown.readers),
        }  # fmt: skip
    if isinstance(shown, RuleDetail):
        examples = [example._asdict() for example in shown.examples]
        return _rule(shown.library, shown.rule) | {"examples": examples}
    rules = [_rule(shown.library, rule) for rule in shown.rules]
    return {"rules": rules, "sources": shown.sources, "digest": shown.library.digest}


def _rule(library: Library, rule: Rule) -> dict[str, Any]:
    return {
        "rule": rule.id, "title": rule.title, "severity": rule.severity, "harm": rule.harm, "stage": rule.stage,
        "subject": rule.subject, "check": rule.kind.name, "standing": library.standing(rule), "house": rule.house,
        "digest": rule.digest,
        "source": {"standing": rule.source.standing, "document": rule.source.document, "edition": rule.source.edition,
                   "clause": rule.source.clause, "note": rule.source.note},
        "reads": list(rule.reads), "statement": dict(rule.statement),
    }  # fmt: skip

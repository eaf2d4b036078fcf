"""The rules as a page; each rule has its id as anchor, for links from findings."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.reports import pages
from doorlint.reports.rulebook_text import asked, told
from doorlint.reports.rulebook_text import render as as_text
from doorlint.rule_listing import RuleDetail, RuleListing, Shown

__all__ = ["render"]


class Entry(NamedTuple):
    """One rule of the page."""

    id: str
    title: str
    asked: str
    told: list[tuple[str, str]]


def render(shown: Shown, version: str, _on: str) -> str:
    """The rules that were asked for."""
    return pages.fill(
        "rulebook.html.j2",
        entries=_entries(shown),
        text="" if isinstance(shown, RuleListing | RuleDetail) else as_text(shown, version, _on),
        version=version,
    )


def _entries(shown: Shown) -> list[Entry]:
    if isinstance(shown, RuleDetail):
        examples = [(str(example.side), example.text) for example in shown.examples]
        rule = shown.rule
        return [Entry(rule.id, rule.title, asked(rule), told(shown.library, rule) + examples)]
    if isinstance(shown, RuleListing):
        return [Entry(rule.id, rule.title, asked(rule), told(shown.library, rule)) for rule in shown.rules]
    return []

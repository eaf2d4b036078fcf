"""The rules as a page, folded by subject and rule; each rule has its id as anchor, for links from findings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from doorlint.reports import pages
from doorlint.reports.rulebook_text import facts_of, grade_text
from doorlint.reports.rulebook_text import render as as_text
from doorlint.rule_listing import RuleDetail, RuleListing, Shown
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule

__all__ = ["render"]


class Entry(NamedTuple):
    """One rule of the page."""

    id: str
    title: str
    severity: str
    asked: str
    told: list[tuple[str, str]]


class Subject(NamedTuple):
    """The rules of one subject, in the order of their file."""

    name: str
    entries: list[Entry]


def render(shown: Shown, version: str, _on: str) -> str:
    """The rules that were asked for."""
    if isinstance(shown, RuleListing):
        subjects = _subjects([_entry(shown.library, rule) for rule in shown.rules])
    elif isinstance(shown, RuleDetail):
        examples = [(str(example.side), example.text) for example in shown.examples]
        subjects = _subjects([_entry(shown.library, shown.rule, examples)])
    else:
        subjects = []
    entries = [entry for subject in subjects for entry in subject.entries]
    return pages.fill(
        "rulebook.html.j2",
        subjects=subjects,
        entries=entries,
        alone=len(entries) == 1,
        text="" if entries else as_text(shown, version, _on),
        version=version,
    )


def _entry(library: Library, rule: Rule, examples: Sequence[tuple[str, str]] = ()) -> Entry:
    return Entry(rule.id, rule.title, str(rule.severity), grade_text(rule), [*facts_of(library, rule), *examples])


def _subjects(entries: Iterable[Entry]) -> list[Subject]:
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.id.partition(".")[0], []).append(entry)
    return [Subject(name, some) for name, some in found.items()]

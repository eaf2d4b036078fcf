"""What is wrong in a spec: findings, and what holds the job because it could not be checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from doorlint.derivation import Derivation
from doorlint.editor.document import Document
from doorlint.editor.origins import rule_origin
from doorlint.editor.protocol import Diagnostic, Position, Range, Related
from doorlint.findings import Finding, NotChecked
from doorlint.reports.short import held_gaps
from doorlint.reports.words import gap_text, plain, sentence
from doorlint.rulebook.rule import FindingKey
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["diagnostics", "not_reviewed", "rule_link"]

MOST_RELATED = 5
"""Places that a finding is led back to."""
MOST_NAMED = 3
"""Checks that are named where several wait for the same value."""


def diagnostics(document: Document) -> tuple[Diagnostic, ...]:
    """The findings of a spec and, once for each value that is missing, the checks that wait for it."""
    found = [_finding(document, finding) for _, finding in document.review.numbered]
    return (*found, *_not_checked(document))


def not_reviewed(message: str) -> Diagnostic:
    """What stands in a spec that was not reviewed: its settings or house rules cannot be used, or doorlint failed."""
    start = Position(0, 0)
    return Diagnostic(Range(start, start), "error", "", "", f"Not reviewed: {plain(message)}")


def rule_link(document: Document, rule: str) -> str:
    """The URI of a rule's text: the page of rules that the settings name, else the file that it is written in."""
    page = document.call.policy.rulebook
    if page and rule in document.library.all_rules:
        return f"{page}#{rule}"
    origin = rule_origin(document.library, rule)
    return "" if origin is None else f"{Path(origin.path).as_uri()}#L{origin.line}"


def _finding(document: Document, finding: Finding) -> Diagnostic:
    lines = [sentence(finding.message)]
    if finding.remedy:
        lines.append(sentence(finding.remedy))
    if finding.safety and finding.severity == "error":
        lines.append(f"Safety: {plain(finding.safety)}")
    return Diagnostic(
        document.lines.range(finding.line, finding.column, finding.end),
        finding.severity,
        finding.rule,
        rule_link(document, finding.rule),
        "\n".join(lines),
        tuple(_related(document, finding)),
    )


def _related(document: Document, finding: Finding) -> Iterator[Related]:
    """The findings that it follows from, then the places of the values that it rests on."""
    yield from _causes(document, finding.causes)
    rule, spec = document.library.rules.get(finding.rule), document.review.spec
    if rule is None or not rule.kind.compares or spec is None or document.review.job is None:
        return
    derivation = Derivation(document.review.job, document.library, document.review.system)
    places = {(finding.line, finding.column)}
    for _, step in derivation.compared(rule, finding.thing).steps:
        term = VOCABULARY.leaves.get(step.name)
        if term is None or (term.axis is not None and step.key is None):
            continue
        pointer = VOCABULARY.pointer_of(step.name, step.key)
        line, column, end = spec.span(pointer)
        if spec.text(pointer) is None or (line, column) in places or len(places) > MOST_RELATED:
            continue
        places.add((line, column))
        label = VOCABULARY.label(step.name, step.key)
        yield Related(document.lines.range(line, column, end), plain(f"{label} = {step.text}"))


def _causes(document: Document, causes: Iterable[FindingKey]) -> Iterator[Related]:
    """The places of the findings that something follows from."""
    found = {finding.place: finding for finding in document.review.findings}
    for place in causes:
        if place in found:
            cause = found[place]
            said = f"Follows from: {sentence(cause.message)}"
            yield Related(document.lines.range(cause.line, cause.column, cause.end), said)


def _not_checked(document: Document) -> Iterator[Diagnostic]:
    waiting: dict[str, list[NotChecked]] = {}
    for gap in held_gaps(document.review):
        waiting.setdefault(gap_text(gap), []).append(gap)
    for why, gaps in waiting.items():
        first = gaps[0]
        titles = list(dict.fromkeys(gap.title for gap in gaps))
        more = f" and {len(titles) - MOST_NAMED} more" if len(titles) > MOST_NAMED else ""
        checks = "; ".join(titles[:MOST_NAMED])
        yield Diagnostic(
            document.lines.range(first.line, first.column, first.end),
            "error",
            first.rule,
            rule_link(document, first.rule),
            f"Not checked, {plain(why)}\nWaiting: {plain(checks)}{more}",
            tuple(_causes(document, dict.fromkeys(cause for gap in gaps for cause in gap.causes))),
        )

"""Many specs on one page: verdicts, what the findings are about, the worst margin of each, links to the findings."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from doorlint.findings import Finding, Review, SpecReview, Verdict
from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.words import (
    Step,
    count,
    counts,
    first_steps,
    off_by,
    plain,
    relaxed_of,
    relaxed_texts,
    shared_counterbalance,
    subject,
    titled,
)
from doorlint.rulebook.rule import SEVERITIES

MOST_TOLD = 300
"""Specs whose findings are on the page; with more it would be too heavy for a phone."""
ORDER: tuple[Verdict, ...] = ("unreadable", "hold", "clear")


class Row(NamedTuple):
    """One spec of the summary; ``anchor`` is that of its findings, empty where it has none."""

    spec: SpecReview
    anchor: str
    title: str
    counts: str
    reason: str
    """why it is on hold or unreadable; empty for a clear one"""
    worst: str
    steps: list[Step]
    needs: list[pages.Need]
    blocks: list[pages.Block]


def render(review: Review) -> str:
    """The page."""
    specs = sorted(review.specs, key=_how_bad)
    tally = {verdict: sum(spec.verdict == verdict for spec in specs) for verdict in ORDER}
    headline = f"{count(len(specs), 'spec')}: " + ", ".join(
        f"{number} {'on hold' if verdict == 'hold' else verdict}" for verdict, number in tally.items() if number
    )
    totals = {severity: sum(f.severity == severity for spec in specs for f in spec.findings) for severity in SEVERITIES}
    cells = [(_heading(severity), str(number)) for severity, number in totals.items()]
    cells.append(("Not checked", str(sum(len(spec.not_checked) for spec in specs))))
    cells.append(("Day", review.reviewed_on))
    told = [number for number, spec in enumerate(specs) if _has_more(spec)][:MOST_TOLD]
    anchors = {number: f"spec-{place}" for place, number in enumerate(told, 1)}
    rows = [_row(spec, anchors.get(number, "")) for number, spec in enumerate(specs)]
    return pages.fill(
        "summary.html.j2",
        review=review,
        headline=headline,
        cells=cells,
        rows=rows,
        untold=sum(not row.anchor and _has_more(row.spec) for row in rows),
        subjects=_subjects(specs),
        rules=_rules(rows),
        relaxed=relaxed_texts(relaxed_of(review.specs)),
        cautions=cautions(shared_counterbalance(specs)),
    )


def worst(findings: Iterable[Finding]) -> str:
    """The finding that is off by the largest share of its limit, in words.

    Findings without figures have no margin; where none has one the text is empty.
    """
    shares = [
        (finding.margin / abs(finding.limit.value), finding)
        for finding in findings
        if finding.margin is not None and finding.limit is not None and finding.limit.value
    ]
    if not shares:
        return ""
    share, finding = min(shares, key=lambda pair: pair[0])
    off = " ".join(off_by(finding) or ())
    return ", ".join(filter(None, (off, f"{-share:.0%} of the limit ({finding.rule})")))


def _heading(severity: str) -> str:
    return count(2, severity).partition(" ")[2].capitalize()


def _has_more(spec: SpecReview) -> bool:
    return bool(spec.numbered or spec.gaps or spec.signed_off)


def _how_bad(spec: SpecReview) -> tuple[int, int, int, str]:
    """The key that sorts specs worst first: by verdict, errors, warnings, and file."""
    errors, warnings = (sum(finding.severity == severity for finding in spec.findings) for severity in SEVERITIES[:2])
    return ORDER.index(spec.verdict), -errors, -warnings, spec.file


def _reason(spec: SpecReview) -> str:
    """What holds a spec, in one line: its first error, or the first error rule that was not checked."""
    if spec.verdict == "clear":
        return ""
    errors = [finding.message for finding in spec.findings if finding.severity == "error"]
    gaps = [f"not checked: {gap.title}" for gap in spec.not_checked if gap.severity == "error"]
    causes = errors or gaps or [finding.message for finding in spec.findings]
    more = f" (and {len(causes) - 1} more)" if len(causes) > 1 else ""
    return f"{plain(causes[0])}{more}" if causes else ""


def _row(spec: SpecReview, anchor: str) -> Row:
    return Row(
        spec, anchor, titled(spec), counts(spec), _reason(spec), worst(spec.findings), list(first_steps(spec)),
        pages.needs(spec.not_checked),
        pages.blocks(spec, (pages.Item(number, finding) for number, finding in spec.numbered)),
    )  # fmt: skip


def _rules(rows: Iterable[Row]) -> list[Finding]:
    """A finding of every rule whose findings the page tells, by rule."""
    groups = [items for row in rows if row.anchor for block in row.blocks for items in (block.items, *block.follow)]
    found = {items[0].finding.rule: items[0].finding for items in groups}
    return [found[rule] for rule in sorted(found)]


def _subjects(specs: Iterable[SpecReview]) -> list[tuple[str, ...]]:
    """For each subject, the most errors first: errors, warnings, advisories, not checked, and in how many specs."""
    table: dict[str, list[int]] = {}
    seen: dict[str, set[str]] = {}
    columns = [*SEVERITIES, "not checked"]
    for spec in specs:
        items = [(f.rule, f.severity) for f in spec.findings] + [(gap.rule, "not checked") for gap in spec.not_checked]
        for rule, column in items:
            about = subject(rule)
            table.setdefault(about, [0] * len(columns))[columns.index(column)] += 1
            seen.setdefault(about, set()).add(spec.file)
    order = sorted(table, key=lambda about: ([-number for number in table[about]], about))
    return [(about, *map(str, table[about]), str(len(seen[about]))) for about in order]

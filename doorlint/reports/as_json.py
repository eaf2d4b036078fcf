"""A review as JSON, of the shape of ``schemas/report.schema.json``."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import indent
from typing import Any

from doorlint.findings import (
    Approved,
    Finding,
    LikelySlip,
    Measure,
    NotChecked,
    Relaxed,
    Review,
    Run,
    Since,
    SpecReview,
)
from doorlint.reports.data import dump
from doorlint.rulebook.rule import SEVERITIES


def render(review: Review) -> str:
    """The whole review, keys always present."""
    return "".join(stream(review))


def stream(run: Review | Run) -> Iterator[str]:
    """The whole run, spec by spec; together one JSON document."""
    relaxed: dict[Relaxed, None] = {}
    totals = dict.fromkeys((*SEVERITIES, "not_checked"), 0)
    tool = {"name": "doorlint", "version": run.version}
    head = {
        "tool": tool,
        "reviewed_on": run.reviewed_on,
        "rules": run.library.digest,
        "settings": run.settings,
        "against": run.against or None,
        "removed": list(run.removed),
        "passed_over": run.passed_over,
    }
    yield dump(head).removesuffix("\n}\n") + ',\n  "specs": ['
    start, not_shown = "\n", 0
    for spec in run.specs:
        yield start + indent(dump(_spec(spec)).rstrip("\n"), "    ")
        start = ",\n"
        for finding in spec.findings:
            totals[finding.severity] += 1
        totals["not_checked"] += len(spec.not_checked)
        relaxed |= dict.fromkeys(spec.relaxed)
        not_shown += spec.not_shown
    end = "]" if start == "\n" else "\n  ]"
    rest = {"relaxed": [one._asdict() for one in relaxed], "totals": totals, "not_shown": not_shown}
    yield end + dump(rest).replace("{", ",", 1)


def _spec(spec: SpecReview) -> dict[str, Any]:
    return {
        "file": spec.file,
        "stage": spec.stage,
        "verdict": spec.verdict,
        "digest": spec.spec_digest,
        "since": None if spec.since is None else _since(spec.since),
        "likely_slips": [_slip(slip, spec) for slip in spec.likely_slips],
        "findings": [_numbered(finding, number, spec) for number, finding in spec.numbered],
        "not_checked": [{**gap_data(gap), "stopped_by": list(spec.numbers(gap.causes))} for gap in spec.gaps],
        "approved": [
            {**approved_data(approved), "finding": _numbered(approved.finding, None, spec)}
            for approved in spec.signed_off
        ],
        "met": spec.checked,
    }


def _slip(slip: LikelySlip, spec: SpecReview) -> dict[str, Any]:
    return {
        "slip": slip.slip,
        "pointer": slip.pointer,
        "line": slip.line,
        "given": slip.given,
        "would_be": slip.would_be,
        "says": slip.says,
        "clears": list(spec.numbers(slip.clears)),
        "brings": [{"rule": rule, "severity": severity, "pointer": at} for rule, severity, at in slip.brings],
        "why": slip.why,
        "measure": slip.measure,
    }


def _since(since: Since) -> dict[str, Any]:
    return {
        "new": len(since.new),
        "worse": len(since.worse),
        "better": [finding_data(finding) for finding in since.better],
        "gone": [finding_data(finding) for finding in since.gone],
        "as_before": since.as_before,
    }


def _numbered(finding: Finding, number: int | None, spec: SpecReview) -> dict[str, Any]:
    return {"number": number, "follows_from": list(spec.numbers(finding.causes)), **finding_data(finding)}


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    source = finding.source
    end_line, end_column = finding.end or (finding.line, finding.column)
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "line": finding.line,
        "column": finding.column,
        "end_line": end_line,
        "end_column": end_column,
        "pointer": finding.pointer,
        "message": finding.message,
        "measured": _measure(finding.measured),
        "limit": _measure(finding.limit),
        "margin": finding.margin,
        "marginal": finding.marginal,
        "source": {
            "standing": source.standing,
            "document": source.document,
            "edition": source.edition,
            "clause": source.clause,
        },
        "safety": finding.safety,
        "remedy": finding.remedy,
    }


def _measure(measure: Measure | None) -> dict[str, Any] | None:
    return None if measure is None else {"value": measure.value, "unit": measure.unit, "text": measure.text}


def gap_data(gap: NotChecked) -> dict[str, Any]:
    """One gap as plain data."""
    return {
        "rule": gap.rule,
        "severity": gap.severity,
        "pointer": gap.pointer,
        "reason": gap.reason,
        "missing": list(gap.missing),
        "note": gap.note,
    }


def approved_data(approved: Approved) -> dict[str, Any]:
    """A signed-off finding as plain data."""
    return {"finding": finding_data(approved.finding), "approval": dict(approved.approval)}

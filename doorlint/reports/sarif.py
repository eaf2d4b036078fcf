"""A review as SARIF 2.1.0, for code scanning and editors.

Findings are results, signed-off findings are results with a suppression, and what was not checked is a tool
execution notification of the invocation: neither a pass nor a result. A fingerprint is made of the rule and the
pointer alone, so it stays the same while other lines of the spec move.

Likely slips that clear a finding and bring none are its fixes; they show what to measure, and nothing applies them.

Source: OASIS, Static Analysis Results Interchange Format 2.1.0 (2020): 3.14 run, 3.20 invocation, 3.27 result,
3.35 suppression, 3.49 reporting descriptor, 3.55 fix, 3.57 replacement, 3.58 notification.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any
from urllib.parse import quote

from doorlint.builtin_rules import BUILTIN_RULES
from doorlint.findings import REASONS, Approved, Finding, NotChecked, Review, SpecReview
from doorlint.reports.cautions import cautions
from doorlint.reports.data import dump
from doorlint.reports.markdown import escaped
from doorlint.reports.words import (
    SIGN_OFF,
    gap_text,
    headline,
    plain,
    relaxed_of,
    relaxed_texts,
    sentence,
    shared_counterbalance,
    signed_text,
    slip_text,
    source_text,
    subject,
    sure_text,
)
from doorlint.spec import Node, Patch
from doorlint.spec.edit import written_value
from doorlint.spec.yaml_positions import node_at, span

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {"error": "error", "warning": "warning", "advisory": "note"}


def render(review: Review) -> str:
    """The whole review as one run."""
    return dump(document(review))


def document(review: Review) -> dict[str, Any]:
    """The SARIF log as plain data."""
    rules = _rules(review)
    index = {rule["id"]: number for number, rule in enumerate(rules)}
    reasons = {reason: number for number, reason in enumerate(REASONS)}
    results = [
        result
        for spec in review.specs
        for result in (
            *(_result(spec, finding, index) for _, finding in spec.numbered),
            *(_approved(spec, approved, index) for approved in spec.signed_off),
        )
    ]
    invocation = {
        "executionSuccessful": not any(spec.failed for spec in review.specs),
        "toolExecutionNotifications": [
            _not_checked(spec, gap, index, reasons) for spec in review.specs for gap in spec.gaps
        ],
    }
    driver = {
        "name": "doorlint",
        "version": review.version,
        "semanticVersion": review.version,
        "rules": rules,
        "notifications": [_reason(reason, words) for reason, words in REASONS.items()],
        "properties": {"rulesDigest": review.library.digest},
    }
    run = {
        "tool": {"driver": driver},
        "invocations": [invocation],
        "artifacts": [_artifact(spec) for spec in review.specs],
        "results": results,
        "columnKind": "unicodeCodePoints",
        "properties": {
            "reviewedOn": review.reviewed_on,
            "passedOver": review.passed_over,
            "settings": review.settings,
            "relaxed": relaxed_texts(relaxed_of(review.specs)),
            "cautions": list(cautions(shared_counterbalance(review.specs))),
            "notShown": sum(spec.not_shown for spec in review.specs),
        },
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def fingerprint(*parts: str) -> str:
    """What a finding is, wherever it stands: the SHA-256 of rule and pointer, and of a thing that shares them.

    >>> fingerprint("headroom.swept", "/room/headroom")[:16]
    'c9fe74c07640adeb'
    """
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def file_uri(name: str) -> str:
    """A file's name as a URI reference.

    >>> file_uri("jobs/north dock #2.yaml"), file_uri("c:door.yaml"), file_uri("/srv/door.yaml")
    ('jobs/north%20dock%20%232.yaml', 'c%3Adoor.yaml', 'file:///srv/door.yaml')
    """
    path = quote(name, safe="/", errors="surrogateescape")
    return f"file://{path}" if path.startswith("/") else path


def _rules(review: Review) -> list[dict[str, Any]]:
    """A descriptor of every rule that the run names, by id."""
    named: dict[str, Finding | NotChecked] = {}
    for spec in review.specs:
        for finding in (
            *(finding for _, finding in spec.numbered),
            *(approved.finding for approved in spec.signed_off),
        ):
            named.setdefault(finding.rule, finding)
        for gap in spec.gaps:
            named.setdefault(gap.rule, gap)
    return [_rule(named[rule], review) for rule in sorted(named)]


def _rule(item: Finding | NotChecked, review: Review) -> dict[str, Any]:
    library = review.library
    said, built_in = library.all_rules.get(item.rule), BUILTIN_RULES.get(item.rule)
    severity, why, parts, standing = item.severity, item.title, [item.title], "derived"
    if said is not None:
        severity, why, standing = said.severity, said.why or said.title, library.standing(said)
        parts = [said.why, f"First: {said.safety}" if said.safety else "", f"Source: {source_text(said.source)}."]
        parts.append(SIGN_OFF[said.sign_off])
    elif built_in is not None:
        why, parts = built_in.why, [built_in.why, built_in.fix]
    help_text = " ".join(plain(part) for part in parts if part)
    return {
        "id": item.rule,
        "shortDescription": {"text": sentence(item.title)},
        "fullDescription": {"text": sentence(why)},
        **({"helpUri": f"{review.rulebook}#{item.rule}"} if review.rulebook and said is not None else {}),
        "help": {"text": help_text, "markdown": "\n\n".join(escaped(part) for part in parts if part)},
        "defaultConfiguration": {"level": LEVELS[severity]},
        "properties": {"tags": [subject(item.rule)], "severity": severity, "standing": standing},
    }


def _reason(reason: str, words: str) -> dict[str, Any]:
    return {"id": _slug(reason), "shortDescription": {"text": f"A rule was not checked: {words}."}}


def _artifact(spec: SpecReview) -> dict[str, Any]:
    properties = {"verdict": spec.verdict, "stage": spec.stage, "digest": spec.spec_digest}
    return {
        "location": {"uri": file_uri(spec.file)},
        "description": {"text": f"{headline(spec)}."},
        "roles": ["analysisTarget"],
        "properties": {key: value for key, value in properties.items() if value},
    }


def _result(spec: SpecReview, finding: Finding, index: Mapping[str, int]) -> dict[str, Any]:
    message = sentence(finding.message)
    if finding.remedy:
        message += f" {sentence(finding.remedy)}"
    figures = {"measured": finding.measured, "limit": finding.limit}
    properties: dict[str, Any] = {
        name: {"value": measure.value, "unit": measure.unit, "text": plain(measure.text)}
        for name, measure in figures.items()
        if measure is not None
    }
    if finding.margin is not None:
        properties["margin"] = finding.margin
    fingerprints = {"rulePointer/v1": fingerprint(finding.rule, finding.pointer)}
    if finding.thing is not None:
        fingerprints["rulePointerThing/v1"] = fingerprint(finding.rule, finding.pointer, finding.thing)
    properties |= {"marginal": finding.marginal, "standing": finding.source.standing}
    return {
        "ruleId": finding.rule,
        "ruleIndex": index[finding.rule],
        "level": LEVELS[finding.severity],
        "message": {"text": message},
        "locations": [_location(spec, finding)],
        "partialFingerprints": fingerprints,
        "properties": properties,
        **({"fixes": fixes} if (fixes := list(_fixes(spec, finding))) else {}),
    }


def _fixes(spec: SpecReview, finding: Finding) -> Iterator[dict[str, Any]]:
    """The likely slips that clear a finding, where the spec is at hand and each of their values is written in it."""
    for slip in spec.likely_slips:
        if spec.spec is None or slip.brings or finding.place not in slip.clears:
            continue
        with suppress(LookupError):
            replacements = list(_replacements(spec.spec.written, slip.patch, []))
            change = {"artifactLocation": {"uri": file_uri(spec.file)}, "replacements": replacements}
            words = sentence(f"It looks like {slip_text(slip, spec)}; {sure_text(slip)}")
            yield {"description": {"text": words}, "artifactChanges": [change]}


def _replacements(written: Node, patch: Patch, above: list[str]) -> Iterator[dict[str, Any]]:
    """What a patch writes over, pair by pair; ``LookupError`` for a value that is not written there."""
    if not isinstance(patch, Mapping):
        if not isinstance(patch, str) or not isinstance(node_at(written, above), str):
            raise LookupError(above)
        line, column, (end_line, end_column) = span(written, above)
        region = {"startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column}
        text = f"{written_value(above[-1])}: {written_value(patch)}"
        yield {"deletedRegion": region, "insertedContent": {"text": text}}
        return
    for key, inner in patch.items():
        yield from _replacements(written, inner, [*above, key])


def _approved(spec: SpecReview, approved: Approved, index: Mapping[str, int]) -> dict[str, Any]:
    suppression = {
        "kind": "inSource",
        "status": "accepted",
        "justification": sentence(f"Signed off {signed_text(approved)}"),
    }
    return {**_result(spec, approved.finding, index), "suppressions": [suppression]}


def _not_checked(
    spec: SpecReview, gap: NotChecked, index: Mapping[str, int], reasons: Mapping[str, int]
) -> dict[str, Any]:
    return {
        "descriptor": {"id": _slug(gap.reason), "index": reasons[gap.reason]},
        "associatedRule": {"id": gap.rule, "index": index[gap.rule]},
        "level": "error" if gap.reason == "rule failed" else LEVELS[gap.severity],
        "message": {"text": sentence(f"{gap.title}: not checked, {gap_text(gap)}")},
        "locations": [_location(spec, gap)],
    }


def _location(spec: SpecReview, item: Finding | NotChecked) -> dict[str, Any]:
    end_line, end_column = item.end or (item.line, item.column)
    location: dict[str, Any] = {
        "physicalLocation": {
            "artifactLocation": {"uri": file_uri(spec.file)},
            "region": {
                "startLine": item.line,
                "startColumn": item.column,
                "endLine": end_line,
                "endColumn": end_column,
            },
        }
    }
    if item.pointer:
        name = item.pointer.rpartition("/")[2]
        location["logicalLocations"] = [{"name": name, "fullyQualifiedName": item.pointer, "kind": "property"}]
    return location


def _slug(reason: str) -> str:
    return "not-checked/" + reason.replace(" ", "-")

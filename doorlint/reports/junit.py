"""A review as JUnit XML, for build servers: a suite a spec, a case a finding or a rule that was not checked.

An error is a failure, a rule that could not be checked is skipped, one that crashed and a file that could not be read
are errors of the run; warnings, advisories and signed-off findings pass with their words in ``system-out``. Where no
case fails, the verdict is one more: it passes for a clear spec, and fails for one that is held by something else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple
from xml.etree import ElementTree as ET

from doorlint.findings import Approved, Finding, NotChecked, Review, SpecReview
from doorlint.reports.cautions import cautions
from doorlint.reports.words import (
    SIGN_OFF,
    counterbalance,
    counts,
    gap_text,
    headline,
    plain,
    relaxed_texts,
    signed_text,
    source_text,
)

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document may hold, not even as a reference (W3C, XML 1.0, 5th edition, 2.2)."""


class Case(NamedTuple):
    """One test case: its class and name, how it came out, a word and a text for that."""

    classname: str
    name: str
    outcome: str
    """``failure`` | ``error`` | ``skipped`` | ``system-out`` | empty: passed without a word"""
    message: str = ""
    text: str = ""


def render(review: Review) -> str:
    """The whole review."""
    root = ET.Element("testsuites", name="doorlint")
    suites = [_suite(root, spec, review.reviewed_on) for spec in review.specs]
    for key in ("tests", "failures", "errors"):
        root.set(key, str(sum(int(suite.get(key, "0")) for suite in suites)))
    ET.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def allowed(text: str) -> str:
    """The text without the characters that XML cannot hold.

    >>> allowed("door\\x00\\x1b \\ufffe1")
    'door 1'
    """
    return _NOT_XML.sub("", text)


def _suite(root: ET.Element, spec: SpecReview, day: str) -> ET.Element:
    cases = [*_cases(spec)]
    if not any(case.outcome in {"failure", "error"} for case in cases):
        outcome = "" if spec.verdict == "clear" else "failure"
        cases.insert(0, Case("verdict", headline(spec), outcome, headline(spec), counts(spec)))
    counted = {outcome: sum(case.outcome == outcome for case in cases) for outcome in ("failure", "error", "skipped")}
    suite = ET.SubElement(
        root, "testsuite", name=allowed(plain(spec.file)), tests=str(len(cases)), failures=str(counted["failure"]),
        errors=str(counted["error"]), skipped=str(counted["skipped"]),
    )  # fmt: skip
    properties = ET.SubElement(suite, "properties")
    named = {
        "verdict": spec.verdict, "stage": spec.stage or "", "met": str(spec.checked), "spec": spec.spec_digest,
        "rules": spec.rules_digest, "settings": spec.settings, "reviewed_on": day, **spec.facts,
        **({"not_shown": str(spec.not_shown)} if spec.only else {}),
    }  # fmt: skip
    differs = [("relaxed", text) for text in relaxed_texts(spec.relaxed)]
    for name, value in (*named.items(), *differs):
        ET.SubElement(properties, "property", name=name, value=allowed(plain(value)))
    for case in cases:
        element = ET.SubElement(suite, "testcase", classname=case.classname, name=allowed(plain(case.name)))
        if case.outcome == "system-out":
            ET.SubElement(element, case.outcome).text = allowed(case.text)
        elif case.outcome:
            ET.SubElement(element, case.outcome, message=allowed(plain(case.message))).text = allowed(case.text)
    ET.SubElement(suite, "system-out").text = "\n".join(cautions(counterbalance(spec)))
    return suite


def _cases(spec: SpecReview) -> Iterator[Case]:
    for _, finding in spec.numbered:
        outcome = "system-out"
        if finding.severity == "error":
            outcome = "error" if spec.verdict == "unreadable" else "failure"
        yield Case(finding.rule, _place(finding), outcome, finding.message, _told(spec, finding))
    for approved in spec.signed_off:
        yield Case(approved.finding.rule, _place(approved.finding), "system-out", text=_signed(spec, approved))
    for gap in spec.gaps:
        outcome = "error" if gap.reason == "rule failed" else "skipped"
        text = f"{_at(spec, gap)}\n{gap.severity}: {plain(gap.title)}"
        yield Case(gap.rule, _place(gap), outcome, f"not checked, {gap_text(gap)}", text)


def _place(item: Finding | NotChecked) -> str:
    thing = f" for {item.thing}" if item.thing and item.thing not in item.pointer.split("/") else ""
    return f"{item.rule} at {item.pointer or 'the file'}{thing}"


def _at(spec: SpecReview, item: Finding | NotChecked) -> str:
    return f"{plain(spec.file)}:{item.line}:{item.column}"


def _told(spec: SpecReview, finding: Finding) -> str:
    lines = [_at(spec, finding), f"{finding.severity}: {plain(finding.message)}"]
    if finding.measured is not None and finding.limit is not None:
        lines.append(f"measured {plain(finding.measured.text)}, limit {plain(finding.limit.text)}")
    told = {
        "safety": finding.safety, "try": finding.remedy, "why": finding.why, "source": source_text(finding.source),
        "sign-off": "" if finding.severity == "advisory" else SIGN_OFF[finding.sign_off],
    }  # fmt: skip
    lines += [f"{label}: {plain(text)}" for label, text in told.items() if text]
    return "\n".join(lines)


def _signed(spec: SpecReview, approved: Approved) -> str:
    return f"signed off {signed_text(approved)}\n{_told(spec, approved.finding)}"

"""SARIF: valid by the published schema and by a second validator, and saying what the review says."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import needs
import pytest
from jsonschema import Draft4Validator
from reviews import APPROVAL, HOSTILE, MAKERS, everything, finding, hostile, of, reviewed, spec, text_of

from doorlint.api import review
from doorlint.findings import Approved, Review
from doorlint.reports.sarif import LEVELS, document, file_uri, fingerprint, render
from doorlint.rulebook.rule import SEVERITIES

SCHEMA = Path(__file__).parent / "vendored" / "sarif-2.1.0-rtm.5.json"


@pytest.fixture(scope="module")
def validator() -> Draft4Validator:
    return Draft4Validator(json.loads(SCHEMA.read_text("utf-8")))


def run_of(review: Review) -> dict[str, Any]:
    (run,) = document(review)["runs"]
    assert isinstance(run, dict)
    return run


@pytest.mark.parametrize("make", MAKERS, ids=lambda _: "review")
def test_is_valid_by_the_published_schema(validator: Draft4Validator, make: Callable[[], Review]) -> None:
    assert [error.message for error in validator.iter_errors(json.loads(render(make())))] == []


def test_the_schema_refuses_what_is_wrong(validator: Draft4Validator) -> None:
    log = document(everything())
    log["runs"][0]["results"][0]["level"] = "fatal"
    assert [list(error.absolute_path) for error in validator.iter_errors(log)] == [["runs", 0, "results", 0, "level"]]


@pytest.mark.slow
def test_a_second_validator_finds_nothing_either(tmp_path: Path) -> None:
    tool = needs.node_package("@microsoft/sarif-multitool").parent.parent / ".bin" / "sarif-multitool"

    def errors(log: dict[str, Any], name: str) -> list[str]:
        written, found = tmp_path / f"{name}.sarif", tmp_path / f"{name}-found.sarif"
        written.write_text(json.dumps(log), "utf-8")
        subprocess.run([tool, "validate", written, "--output", found], check=False, capture_output=True)
        (run,) = json.loads(found.read_text("utf-8-sig"))["runs"]
        return [result["ruleId"] for result in run["results"] if result.get("level", "warning") == "error"]

    log = document(everything())
    assert errors(log, "review") == []
    log["runs"][0]["results"][0]["ruleIndex"] = 999
    assert errors(log, "broken")


def test_every_finding_is_a_result_with_its_place_and_level() -> None:
    review = of(reviewed("torsion-install", ("headroom: 20 in", "headroom: 13 in")))
    run = run_of(review)
    rules = run["tool"]["driver"]["rules"]
    findings = review.specs[0].findings
    assert findings
    for said, result in zip(findings, run["results"], strict=True):
        region = result["locations"][0]["physicalLocation"]["region"]
        assert (region["startLine"], region["startColumn"]) == (said.line, said.column)
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == said.rule
        assert result["level"] == LEVELS[said.severity]
        assert said.message.rstrip(".").lower() in result["message"]["text"].lower()
        assert result["locations"][0]["logicalLocations"][0]["fullyQualifiedName"] == said.pointer


def test_every_rule_has_help() -> None:
    for rule in run_of(everything())["tool"]["driver"]["rules"]:
        assert rule["help"]["text"]
        assert rule["help"]["markdown"]
        assert rule["shortDescription"]["text"].endswith(".")
    assert set(LEVELS) == set(SEVERITIES)


def test_fingerprints_survive_edits_elsewhere_and_tell_things_apart() -> None:
    before = run_of(of(spec(findings=(finding(line=12),))))
    after = run_of(of(spec(findings=(finding(line=99, message="headroom is 13 in"), finding(pointer="/room/back")))))
    moved, other = (result["partialFingerprints"]["rulePointer/v1"] for result in after["results"])
    first = before["results"][0]["partialFingerprints"]["rulePointer/v1"]
    assert first == moved == fingerprint("headroom.swept", "/room/headroom")
    assert other != moved
    assert re.fullmatch("[0-9a-f]{64}", moved)


def test_things_that_share_a_pointer_have_fingerprints_of_their_own() -> None:
    shared = tuple(finding(thing=thing, pointer="/torsion/wound") for thing in ("s1", "s2"))
    one, two = (result["partialFingerprints"] for result in run_of(of(spec(findings=shared)))["results"])
    assert one["rulePointer/v1"] == two["rulePointer/v1"]
    assert one["rulePointerThing/v1"] != two["rulePointerThing/v1"]


@pytest.mark.parametrize("name", ["tape-misread-by-a-foot", "rise-too-steep", "hook-up-from-the-angle"])
def test_a_fix_is_a_likely_slip_put_right_at_its_place(name: str) -> None:
    lines = text_of(name).splitlines(keepends=True)
    result = run_of(of(reviewed(name)))["results"][0]
    fix = result["fixes"][0]
    assert "to be sure, " in fix["description"]["text"]
    (change,) = fix["artifactChanges"]
    for replacement in sorted(change["replacements"], key=lambda one: -one["deletedRegion"]["startLine"]):
        region, text = replacement["deletedRegion"], replacement["insertedContent"]["text"]
        row = region["startLine"] - 1
        assert region["endLine"] == row + 1
        lines[row] = lines[row][: region["startColumn"] - 1] + text + lines[row][region["endColumn"] - 1 :]
    again = review("".join(lines), on="2026-05-20", slips=False)
    assert result["ruleId"] not in {finding.rule for finding in again.findings}


def test_a_run_over_many_specs_offers_no_fixes() -> None:
    held = reviewed("rise-too-steep")._replace(spec=None, job=None)
    assert all("fixes" not in result for result in run_of(of(held))["results"])


def test_a_sign_off_is_a_suppression() -> None:
    signed = Approved(finding(severity="warning"), dict(APPROVAL))
    open_, approved = run_of(of(spec(approved=(signed,))))["results"]
    assert "suppressions" not in open_
    (suppression,) = approved["suppressions"]
    assert suppression["status"] == "accepted"
    assert suppression["justification"] == (
        "Signed off by supervisor RT for 30 in against 24 in, on 2026-03-17 until 2026-06-01 (76 days left): "
        "checked on site."
    )


def test_what_was_not_checked_is_a_notification_and_no_result() -> None:
    review = everything()
    run = run_of(review)
    told = run["invocations"][0]["toolExecutionNotifications"]
    gaps = [gap for one in review.specs for gap in one.not_checked]
    rules, reasons = run["tool"]["driver"]["rules"], run["tool"]["driver"]["notifications"]
    assert len(told) == len(gaps) > 4
    for gap, note in zip(gaps, told, strict=True):
        assert rules[note["associatedRule"]["index"]]["id"] == gap.rule
        assert reasons[note["descriptor"]["index"]]["id"] == note["descriptor"]["id"]
        assert all(pointer in note["message"]["text"] for pointer in gap.missing)
    assert not run["invocations"][0]["executionSuccessful"]
    assert run_of(of(spec()))["invocations"][0]["executionSuccessful"]


NAMES = ["a b#c?.yaml", "ümlaut/é.yaml", "50%.yaml", "c:door.yaml", "../up.yaml", "x\udcff.yaml"]


@pytest.mark.parametrize("name", NAMES)
def test_file_names_become_relative_uri_references(name: str) -> None:
    uri = file_uri(name)
    parts = urlsplit(uri)
    assert (parts.scheme, parts.netloc, parts.query, parts.fragment) == ("", "", "", "")
    assert uri.isascii()
    assert unquote(parts.path, errors="surrogateescape") == name


def test_no_message_moves_a_terminal() -> None:
    for text in HOSTILE:
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", render(hostile(text)))

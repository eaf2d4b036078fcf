"""JUnit XML: valid by the schema that build servers use, with counts that agree with the review."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import needs
import pytest
from reviews import MAKERS, everything, finding, gap, of, reviewed, spec

from doorlint.findings import Review
from doorlint.reports.junit import render

SCHEMA = Path(__file__).parent / "vendored" / "junit-10.xsd"


@pytest.fixture(scope="module")
def etree() -> Any:
    return needs.module("lxml.etree")


def parsed(etree: Any, review: Review) -> Any:
    return etree.fromstring(render(review).encode())


@pytest.mark.parametrize("make", MAKERS, ids=lambda _: "review")
def test_is_valid_by_the_schema(etree: Any, make: Callable[[], Review]) -> None:
    schema = etree.XMLSchema(etree.parse(str(SCHEMA)))
    schema.assertValid(parsed(etree, make()))


def test_the_schema_refuses_what_is_wrong(etree: Any) -> None:
    root = parsed(etree, everything())
    del root[0].attrib["failures"]
    assert not etree.XMLSchema(etree.parse(str(SCHEMA))).validate(root)


def test_a_suite_a_spec_and_counts_that_agree(etree: Any) -> None:
    review = everything()
    root = parsed(etree, review)
    assert [suite.get("name") for suite in root] == [one.file for one in review.specs]
    for one, suite in zip(review.specs, root, strict=True):
        cases = suite.findall("testcase")
        whole = len([case for case in cases if case.get("classname") == "verdict"])
        assert whole == (one.verdict == "clear" or not one.findings)
        assert (
            int(suite.get("tests"))
            == len(cases)
            == whole + len(one.findings) + len(one.approved) + len(one.not_checked)
        )
        for kind, attribute in (("failure", "failures"), ("error", "errors"), ("skipped", "skipped")):
            assert int(suite.get(attribute)) == len(suite.findall(f"testcase/{kind}"))
    for attribute in ("tests", "failures", "errors"):
        assert int(root.get(attribute)) == sum(int(suite.get(attribute)) for suite in root)


def test_errors_fail_and_what_was_not_checked_is_skipped(etree: Any) -> None:
    found = (finding(), finding(severity="warning"), finding(severity="advisory"))
    (suite,) = parsed(etree, of(spec(findings=found, not_checked=(gap(), gap(reason="rule failed")))))
    assert [[child.tag for child in case] for case in suite.findall("testcase")] == [
        ["failure"], ["system-out"], ["system-out"], ["skipped"], ["error"],
    ]  # fmt: skip
    assert "/track/weight" in suite.find("testcase/skipped").get("message")
    assert "jobs/door.yaml:12:3" in suite.find("testcase/failure").text


@pytest.mark.parametrize(
    ("held", "failures"),
    [
        (spec(findings=(), not_checked=(gap(),)), 1),
        (spec(findings=(finding(severity="warning"),)), 1),
        (spec(), 1),
        (spec(verdict="clear", findings=()), 0),
    ],
)
def test_a_held_spec_is_never_green(etree: Any, held: Any, failures: int) -> None:
    (suite,) = parsed(etree, of(held))
    assert int(suite.get("failures")) == failures


def test_a_file_that_cannot_be_read_is_an_error_of_the_run(etree: Any) -> None:
    (suite,) = parsed(etree, of(reviewed("tower-order", ("headroom: 26 in", "headroom: 26"))))
    assert (int(suite.get("errors")), int(suite.get("failures"))) == (1, 0)

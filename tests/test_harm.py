"""One principle for the severity of all rules: it follows from the harm that a rule names."""

from __future__ import annotations

from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.rulebook.examples import base
from doorlint.rulebook.files import Contents, pack_of
from doorlint.rulebook.harm import HARMS
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.rule import SEVERITIES, Outcome, Rule
from doorlint.spec import Spec

PRINCIPLE = {
    "error": {"unbuildable", "overload", "drop", "crush", "release", "stuck"},
    "warning": {"trouble", "wear", "revisit"},
    "advisory": {"unusual"},
}
WAITS_FOR_NOTHING = {
    "completeness-operation.strut-weight": "completeness-operation.build waits for the weight of the section",
    "completeness-operation.glass": "completeness-operation.build waits for the weight of the section",
    "completeness-supports.mount-capacity": "the foot of its example is pressed down, and nothing pulls on its anchors",
    "completeness-torsion.hubs": "rules of keys and screws do not apply to a hub that has neither",
    "completeness-torsion.holding": "a drive that nobody measured counts as one that holds nothing",
    "completeness-tower.spring": "a spring that is not described has no rules of springs",
    "completeness-tower.spring-stop": "a spring without its stop is worked out as one without",
    "completeness-tower.capacities": "fittings.answered holds the job for what nobody answers for",
    "completeness-tower.chain-links": "a record; links are worked out where none are written down",
    "completeness-tower.as-loaded": "plates are worked out where none are written down",
    "completeness.job": "no rule reads a name; it keeps a door from being sent to another opening",
    "completeness.opening-notes": "the rules that read them apply where they are given",
    "completeness.room": "doors and tracks that wait for the room come with the order",
    "completeness.obstruction": "a thing without measures is held against nothing",
    "completeness.stand-off": "a practice figure stands in for it",
    "completeness.operation": "the rules of a drive apply where one is given",
    "completeness.tower-standing": "the rules of a tower's foot apply where it is given",
    "completeness.install-record": "a record; its rules apply where somebody wrote something down",
    "completeness.boxes-record": "a record; its rules apply where somebody wrote something down",
    "completeness.clips-record": "a record; no rule reads it",
}
"""Completeness whose severity is its own, each with the reason."""
COMPLETENESS = [rule for rule in load().rules.values() if rule.subject.startswith("completeness")]


def test_the_words_are_those_of_the_principle() -> None:
    graded = {severity: {word for word, (to, _) in HARMS.items() if to == severity} for severity in SEVERITIES}
    assert graded == PRINCIPLE


def test_every_rule_is_as_grave_as_its_harm(library: Library) -> None:
    for rule in library.rules.values():
        usual = next(severity for severity, words in PRINCIPLE.items() if rule.harm in words)
        if rule.source.standing == "memory" and usual == "error":
            usual = "warning"
        if "exception" in rule.statement:
            assert rule.severity != usual, rule.id
            assert rule.severity == rule.statement["severity"]
        else:
            assert rule.severity == usual, rule.id
            assert "severity" not in rule.statement


def gaps(library: Library, spec: Spec, stage: str) -> dict[tuple[str, str, str | None], Outcome]:
    outcomes = library.outcomes(library.job(spec.values, spec.keys), stage)
    return {outcome.place: outcome for outcome in outcomes if outcome.state == "unknown"}


@pytest.mark.parametrize("rule", COMPLETENESS, ids=lambda rule: rule.id)
def test_completeness_is_as_grave_as_the_gravest_rule_that_waits(rule: Rule, library: Library) -> None:
    """Taking out what the rule's own example takes out leaves those rules unknown that wait for it."""
    examples = rule.statement["examples"]
    whole, half = (base(examples["base"]).patched(examples[side]) for side in ("inside", "outside"))
    waiting = gaps(library, half, "commissioned").keys() - gaps(library, whole, "commissioned").keys()
    gravest = min((library.rules[place[0]].severity for place in waiting), key=SEVERITIES.index, default=None)
    if rule.id in WAITS_FOR_NOTHING:
        assert rule.severity != gravest
    else:
        assert rule.severity == gravest


def test_no_exception_is_left_of_a_rule_that_is_gone(library: Library) -> None:
    assert WAITS_FOR_NOTHING.keys() <= library.rules.keys()


STATEMENT = """\
- id: shop.tall
  title: t
  GRADE
  from: survey
  check: {value: room.headroom, at_most: 40 ft}
  message: "{value} {limit}"
  why: w
  safety: s
  sign_off: supervisor
  source: {standing: STANDING, note: n}
  examples: {base: survey-clean, inside: {}, outside: {}}
"""


def read(grade: str, house: bool, standing: str = "practice") -> list[dict[str, Any]]:
    text = STATEMENT.replace("GRADE", grade.replace("; ", "\n  ")).replace("STANDING", standing)
    return pack_of(Contents("rules", {"shop.yaml": text.encode()}.items()), house).rules


@pytest.mark.parametrize(
    ("grade", "house", "message"),
    [
        ("severity: advisory", False, r":3:3: rule shop.tall: found severity advisory; .* write `harm: unusual`$"),
        ("severity: warning", False, r"write `harm: trouble` or `harm: wear` or `harm: revisit`$"),
        ("each: box", False, r"found no harm; say what goes wrong: add a line `harm: ` with one of unbuildable \("),
        ("each: box", True, r"unusual \(advisory: .*\), or `severity: warning`$"),
        ("harm: wear; severity: warning", True, "found severity warning, which follows from harm wear; take the line"),
        ("harm: wear; severity: error", False, r"but harm wear makes it warning; add a line `exception: ` that says"),
        ("harm: wear; exception: x", False, "found an exception without a severity"),
        ("harm: bad", False, "/0/harm: found bad; expected unbuildable, overload"),
    ],
)
def test_the_loader_says_what_to_write(grade: str, house: bool, message: str) -> None:
    with pytest.raises(BrokenRules, match=message):
        read(grade, house)


@pytest.mark.parametrize(
    "grade", ["harm: unusual", "severity: advisory", "harm: drop; severity: advisory; exception: x"]
)
def test_a_house_may_name_harm_or_severity(grade: str) -> None:
    assert len(read(grade, house=True)) == 1

"""What is said of a spec that is YAML but not in order: rule, place and message, each in full."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from job_specs import SMALLEST, TOWER_INSTALL

from doorlint.quantities import QuantityError
from doorlint.spec import read, schema_errors
from doorlint.spec.problems import BUILTIN_RULES, Problem, clean, shown
from doorlint.spec.schema_errors import MOST_PROBLEMS


def only(text: str) -> Problem:
    spec = read(text)
    (problem,) = spec.problems
    assert problem.rule in BUILTIN_RULES
    assert problem.end is not None
    assert problem.end >= (problem.line, problem.column)
    return problem._replace(end=None)  # the end of a place is held in test_yaml_positions


def cases() -> Iterator[tuple[str, Problem]]:
    lines = iter((Path(__file__).parent / "data" / "problems.txt").read_text("utf-8").splitlines())
    text: list[str] = []
    for line in lines:
        if line.startswith("=> "):
            _, rule, pointer, place = line.split(" ", 3)
            number, column = map(int, place.split(":"))
            whole = text[0] == "whole:"
            body = "\n".join(text[1:] if whole else text)
            yield ("" if whole else SMALLEST) + body, Problem(rule, pointer.strip("-"), number, column, next(lines))
            assert next(lines, "") == ""
            text = []
        elif text or not line.startswith("##"):
            text.append(line)
    assert not text


@pytest.mark.parametrize(("text", "problem"), list(cases()))
def test_what_is_said(text: str, problem: Problem) -> None:
    assert only(text) == problem


def test_words_beyond_measure() -> None:
    message = "found 2001 characters; expected text of 1 to 2000 characters; shorten it"
    assert only(f"{SMALLEST}install: {{by: {'x' * 2001}}}") == Problem("spec.shape", "/install/by", 4, 11, message)


def test_things_beyond_number() -> None:
    message = "found 201 things; expected at most 200 things, each by a name; split the job"
    hangers = ", ".join(f"h{number}: {{}}" for number in range(201))
    assert only(f"{SMALLEST}hangers: {{{hangers}}}") == Problem("spec.shape", "/hangers", 4, 1, message)


@pytest.mark.parametrize(
    "day", ["2026-02-29", "2026-04-31", "0000-01-01", "2026-13-01", "2026-3-7", "17.3.2026", "20260317", "today"]
)
def test_a_day_that_is_not_in_the_calendar(day: str) -> None:
    message = f"found {day}; expected a day of the calendar; write year-month-day, such as 2026-03-17"
    assert only(f"{SMALLEST}as_built:\n  on: {day}\n") == Problem("spec.date", "/as_built/on", 5, 3, message)


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        ('tower: {boxes: {b1: {sections: ["s1\\n"]}}}', "/tower/boxes/b1/sections/0"),
        ("tower: {boxes: {b1: {sections: ['s1\n\n  ']}}}", "/tower/boxes/b1/sections/0"),
    ],
)
def test_a_name_has_no_line_end(text: str, pointer: str) -> None:
    problem = only(SMALLEST + text)
    assert (problem.rule, problem.pointer) == ("spec.shape", pointer)
    assert problem.message == "found s1\\n; expected a name on one line; take the line end out"


def test_every_problem_of_a_spec_is_told_in_the_order_of_the_file() -> None:
    text = (
        "stage: orde\n"
        "room:\n"
        "  headroom: 24\n"
        "  headrom: 24 in\n"
        "hangers:\n"
        "  h1: {side: top, drop: [], hole: 1 lb}\n"
        "as_built: {on: 2026-02-30, hand_over: yes}\n"
    )
    assert [(p.rule, p.pointer, p.line, p.column) for p in read(text).problems] == [
        ("spec.shape", "/doorlint", 1, 1),
        ("spec.shape", "/job", 1, 1),
        ("spec.shape", "/stage", 1, 1),
        ("spec.quantity", "/room/headroom", 3, 3),
        ("spec.shape", "/room/headrom", 4, 3),
        ("spec.shape", "/hangers/h1/side", 6, 8),
        ("spec.shape", "/hangers/h1/drop", 6, 19),
        ("spec.quantity", "/hangers/h1/hole", 6, 29),
        ("spec.date", "/as_built/on", 7, 12),
        ("spec.shape", "/as_built/hand_over", 7, 28),
    ]


def test_one_thing_has_one_problem() -> None:
    # A list is neither text nor one of the choices, and 24 has neither the look of a length nor a unit.
    assert len(read(SMALLEST + "opening: {handing: []}\nroom: {headroom: 24}").problems) == 2


def test_more_problems_than_anyone_reads_are_counted() -> None:
    problems = read(SMALLEST + "room:\n" + "".join(f"  k{n}: 1\n" for n in range(MOST_PROBLEMS + 1))).problems
    assert len(problems) == MOST_PROBLEMS + 1
    assert [problem.line for problem in problems[:-1]] == list(range(5, 5 + MOST_PROBLEMS))
    message = "found more than 100 problems; expected a job spec; fix the ones above first"
    assert problems[-1] == Problem("spec.shape", "", 4 + MOST_PROBLEMS, 3, message)


def test_no_more_measures_are_tried_than_can_be_told(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = []

    def read_measure(text: str, dimension: str, **_: bool) -> float:
        tried.append(text)
        raise QuantityError(text, dimension, "x")

    monkeypatch.setattr(schema_errors, "read", read_measure)
    hangers = ", ".join(f"h{n}: {{drop: {n} lb}}" for n in range(180))
    assert len(read(f"{SMALLEST}hangers: {{{hangers}}}").problems) == MOST_PROBLEMS + 1
    assert len(tried) == MOST_PROBLEMS + 1


def test_what_was_written_is_shown_short_and_harmless() -> None:
    # (as a tree, since a text with such characters is not read at all)
    spec = read(TOWER_INSTALL).patched({"stage": "\u202egnirts\x1b[31m" + "x" * 5000, "operation": {"by\u2066\n": "x"}})
    assert [problem.message for problem in spec.problems] == [
        f"found \\u202egnirts\\x1b[31m{'x' * 19}…; expected survey, order, install or commissioned; write one of them",
        "found the key by\\u2066\\n in operation; expected a key of operation; write by",
    ]


def test_shown_and_clean() -> None:
    assert shown("x" * 40) == "x" * 40
    assert shown("x" * 41) == "x" * 39 + "…"
    assert shown("\0" * 41) == "\\x00" * 9 + "\\x0…"
    assert clean("½ é 門\u2028\U000e0001") == "½ é 門\\u2028\\U000e0001"


def hostile() -> dict[str, Callable[[], str]]:
    wide = "{" + ", ".join(f"k{n}: {n}" for n in range(20_000)) + "}"
    wobbles = ", ".join(f"h{n}: {{drop: {n} wobble{n % 97}}}" for n in range(8_000))
    groups, lists = (", ".join(form % n for n in range(9_000)) for form in ("{a%d: 1}", "[%d]"))
    return {
        "unknown keys": lambda: f"room: {wide}",
        "unknown keys everywhere": lambda: "\n".join(f"{'k' * 50}{n}: {{}}" for n in range(15_000)),
        "no such measures": lambda: "torsion: {drum: {radii: [" + "7 wobbles, " * 20_000 + "]}}",
        "many wrong things": lambda: f"hangers: {{{wobbles}}}",
        "groups in a list": lambda: f"tower: {{boxes: {{b1: {{sections: [{groups}]}}}}}}",
        "lists in a list": lambda: f"tower: {{boxes: {{b1: {{sections: [{lists}]}}}}}}",
        "a long word": lambda: f"opening: {{handing: {'x' * 900_000}}}",
        "a long number": lambda: f"wind: {{zone: {'9' * 900_000}}}",
        "a long measure": lambda: f"room: {{headroom: {'9' * 900_000}}}",
        "a long day": lambda: f"install: {{on: {'2026-' * 180_000}}}",
        "digits in a name": lambda: "hangers: {" + ", ".join(f"h{'9' * 900}{n}: {{}}" for n in range(900)) + "}",
        "a wide group for a text": lambda: f"install: {{by: {wide}}}",
        "deep where it does not belong": lambda: "room: " + "{a: " * 60 + "1" + "}" * 60,
    }


@pytest.mark.parametrize("name", hostile())
def test_a_hostile_spec_takes_no_time(name: str) -> None:
    text = SMALLEST + hostile()[name]()
    start = time.perf_counter()
    spec = read(text)
    assert time.perf_counter() - start < 5.0
    assert 0 < len(spec.problems) <= MOST_PROBLEMS + 1
    for problem in spec.problems:
        assert problem.message.isprintable()
        assert len(problem.message) < 400


def test_a_spec_in_order_needs_no_jsonschema() -> None:
    """jsonschema takes longer to import than all the rest; only a spec that is not in order may ask for it."""
    program = (
        "import sys; from doorlint.spec import read; read(sys.stdin.buffer.read()); print('jsonschema' in sys.modules)"
    )
    asked = [
        subprocess.run([sys.executable, "-c", program], input=text, capture_output=True, check=True).stdout.strip()
        for text in (TOWER_INSTALL, b"a: 1")
    ]
    assert asked == [b"False", b"True"]


def test_every_built_in_rule_says_what_why_and_how_to_mend_it() -> None:
    assert all(rule.startswith("spec.") for rule in BUILTIN_RULES)
    assert all(part.strip() for said in BUILTIN_RULES.values() for part in said)

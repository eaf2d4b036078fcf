"""A spec to fill in: every value that a stage asks for, in the vocabulary's order, each with what it means."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule
from doorlint.spec.vocabulary import VOCABULARY, Term

SCHEMA = "job-spec.schema.json"
MODELINE = f"# yaml-language-server: $schema={SCHEMA}"
FIRST_KEYS = {
    "section": ("s1", "s2"),
    "box": ("b1", "b2"),
    "hanger": ("left-1", "right-1"),
    "cable": ("left", "right"),
    "spring": ("left", "right"),
    "reading": ("closed", "mark-1"),
}
OTHER = {"tower": "torsion", "torsion": "tower"}


def spec_to_fill_in(library: Library, stage: str, counterbalance: str) -> str:
    """The text of an empty spec for a stage and a counterbalance (``tower`` or ``torsion``).

    Lines to fill in have no value yet; a value left empty is one not given.
    """
    wanted = {
        name
        for rule in library.in_force(stage)
        if _asks(rule, counterbalance)
        for name in rule.statement["check"]["present"]
    }
    wanted |= {"doorlint", "stage", "job.number"}
    lines = [
        MODELINE,
        f"# An overhead door at the stage of {stage}. What stands empty is not given yet: fill it in.",
        "# Write every measure with its unit: 12'-2 1/2\", 3660 mm. Left and right are seen from inside.",
        "# Take out what the job does not have. Then: doorlint review THIS-FILE",
        f"# An editor helps once the schema lies beside this file: doorlint blank --schema --out {SCHEMA}",
    ]
    fixed = {"doorlint": "1", "stage": stage}
    lines += _lines(VOCABULARY.root.parts.values(), wanted, OTHER[counterbalance], fixed, 0)
    return "\n".join(lines) + "\n"


def _asks(rule: Rule, counterbalance: str) -> bool:
    when = rule.statement.get("when", {})
    return (
        rule.check == "present" and when.get(OTHER[counterbalance]) != "given" and when.get(counterbalance) != "absent"
    )


def _lines(parts: Iterable[Term], wanted: set[str], unwanted: str, fixed: dict[str, str], depth: int) -> Iterator[str]:
    pad = "  " * depth
    for term in parts:
        key = term.pointer.rpartition("/")[2]
        if term.name == unwanted or not _holds(term, wanted):
            continue
        if term.kind == "map":
            axis = term.schema["x-axis"]
            yield f"{pad}{key}:  # {term.description}"
            for name in FIRST_KEYS.get(axis, ("first",)):
                yield f"{pad}  {name}:"
                yield from _lines(term.parts["{}"].parts.values(), wanted, unwanted, fixed, depth + 2)
        elif term.kind == "group":
            yield f"{pad}{key}:"
            yield from _lines(term.parts.values(), wanted, unwanted, fixed, depth + 1)
        else:
            yield from textwrap.wrap(_hint(term), 110, initial_indent=f"{pad}# ", subsequent_indent=f"{pad}# ")
            yield f"{pad}{key}: {fixed.get(term.name, '')}".rstrip()


def _holds(term: Term, wanted: set[str]) -> bool:
    return term.name in wanted or any(_holds(part, wanted) for part in term.parts.values())


def _hint(term: Term) -> str:
    if term.choices:
        return f"{term.description}; one of {', '.join(term.choices)}"
    if term.kind == "flag":
        return f"{term.description}; true or false"
    return f"{term.description}; for example {term.examples[0]}" if term.examples else term.description

"""What a page to fill in shows beside its lines: what must be given, and the job that its drawings are made of."""

from __future__ import annotations

from typing import Literal, NamedTuple

from doorlint.facts import Facts
from doorlint.rulebook.library import Library
from doorlint.scene.survey import example_survey
from doorlint.spec import Spec, read
from doorlint.spec.pointer import steps
from doorlint.template import Blank, blank_of, rules_of

__all__ = ["BlankPage", "page_of"]


class BlankPage(NamedTuple):
    """A blank with what its page needs."""

    blank: Blank
    system: Literal["us", "si"]
    needed: frozenset[str]
    """the values that the stage asks for of every job, by name"""
    example: Facts
    """an opening to show the measures of a survey on"""


def page_of(
    library: Library, stage: str | None, counterbalance: str | None, known: Spec | None, system: Literal["us", "si"]
) -> BlankPage:
    """The page of a blank in the units of the shop; see :func:`doorlint.template.blank_of`."""
    blank = blank_of(library, stage, counterbalance, known)
    things = (steps(line.pointer) for line in blank.lines if line.sort == "thing")
    obstruction = next((path[-1] for path in things if path[:-1] == ["room", "obstructions"]), "first")
    survey = read(example_survey(obstruction))
    example = Facts(library.job(survey.values, survey.keys), system)
    return BlankPage(blank, system, _needed(library, blank), example)


def _needed(library: Library, blank: Blank) -> frozenset[str]:
    """What the rules of completeness ask for whatever else the job has."""
    plans = (library.plans[rule] for rule in rules_of(library, blank.stage, blank.kind))
    return frozenset(
        place.name
        for plan in plans
        if all(condition.name == blank.kind.name for condition in plan.when)
        for place in plan.wanted
    )

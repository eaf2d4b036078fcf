"""What a page to fill in shows beside its lines: the values it must have, and the job that its drawings show."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, Literal, NamedTuple

from doorlint.facts import Facts, Unsized
from doorlint.resources import content
from doorlint.rulebook.library import Library
from doorlint.scene.survey import example_survey
from doorlint.sheet.readings import reading_places
from doorlint.spec import Spec, read
from doorlint.spec.pointer import steps
from doorlint.template import Blank, blank_of, rules_of

__all__ = ["NOT_EVERY_JOB", "BlankPage", "page_of"]


NOT_EVERY_JOB: Final = frozenset({"/room/obstructions", "/torsion/couplers"})
"""Maps of named things that a job may do without."""


class BlankPage(NamedTuple):
    """A blank with what its page needs."""

    blank: Blank
    """as it is in YAML; at the install with lines for balance readings too"""
    system: Literal["us", "si"]
    needed: frozenset[str]
    """the values that the stage asks for of every job, by name"""
    example: Facts
    """an opening to show the measures of a survey on"""
    drawn: Facts | None
    """the job that drawings of door and counterbalance show, or an example of one; nothing for a survey"""
    wanted: Mapping[int, float]
    """imbalance wanted at the mark of each roller (N; heavy is positive), as far as the job tells"""
    plausible: Mapping[str, Any]
    """limits beyond which a measure of the opening was probably misread, SI; as the page's scripts take them"""


def page_of(
    library: Library, stage: str | None, counterbalance: str | None, known: Spec | None, system: Literal["us", "si"]
) -> BlankPage:
    """The page of a blank in the units of the shop; see :func:`doorlint.template.blank_of`."""
    blank = _with_readings(library, blank_of(library, stage, counterbalance, known), known)
    things = (steps(line.pointer) for line in blank.lines if line.sort == "thing")
    obstruction = next((path[-1] for path in things if path[:-1] == ["room", "obstructions"]), "first")
    survey = read(example_survey(obstruction))
    example = Facts(library.job(survey.values, survey.keys), system)
    own = None if known is None else Facts(library.job(known.values, known.keys), system)
    return BlankPage(
        blank, system, _needed(library, blank), example, _drawn(library, blank, own, system),
        {} if own is None else _wanted(own), _plausible(library),
    )  # fmt: skip


def _with_readings(library: Library, blank: Blank, known: Spec | None) -> Blank:
    """A blank for the install with lines for the balance readings, which are first taken then; others as they are."""
    if blank.stage != "install":
        return blank
    own = {line.pointer: line for line in blank.lines}
    later = blank_of(library, "commissioned", blank.kind.name, known).lines
    lines = (own.get(line.pointer, line) for line in later if line.pointer in own or _is_reading(line.pointer))
    return blank._replace(lines=tuple(lines))


def _is_reading(pointer: str) -> bool:
    return pointer == "/as_built" or f"{pointer}/".startswith("/as_built/readings/")


def _drawn(library: Library, blank: Blank, own: Facts | None, system: Literal["us", "si"]) -> Facts | None:
    """What door and counterbalance are drawn by: the job itself once it has them, else an example without sizes."""
    if blank.stage == "survey":
        return None
    if own is not None and own.given("door") and own.given("track") and own.given(blank.kind.name):
        return own
    try:
        text = content("sample_specs", f"{blank.kind.name}-commissioned.yaml")
    except FileNotFoundError:
        return None
    spec = read(text, library.catalog)
    return Unsized(library.job(spec.values, spec.keys), system)


def _wanted(facts: Facts) -> dict[int, float]:
    places = reading_places(facts)
    return {place.roller: place.wanted for place in places if place.roller is not None and place.wanted is not None}


def _needed(library: Library, blank: Blank) -> frozenset[str]:
    """What the rules of completeness ask of every job."""
    compiled_rules = (library.compiled_rules[rule] for rule in rules_of(library, blank.stage, blank.kind))
    return frozenset(
        place.name
        for compiled in compiled_rules
        if all(condition.name == blank.kind.name for condition in compiled.when)
        for place in compiled.wanted
    )


def _plausible(library: Library) -> dict[str, Any]:
    """The practice figures that the rules on a misread opening go by."""
    widths, heights, diagonals = (
        [f"/opening/{group}/{part}" for part in parts.split()]
        for group, parts in (
            ("width", "top middle bottom"), ("height", "left middle right"), ("diagonal", "rising falling"),
        )
    )  # fmt: skip
    figure = {name: figure.value for name, figure in library.practice.items()}
    return {
        "ranges": [
            {
                "pointers": widths, "least": figure["opening_narrowest"], "most": figure["opening_widest"],
                "what": "widths of openings for sectional doors",
            },
            {
                "pointers": heights, "least": figure["opening_lowest"], "most": figure["opening_highest"],
                "what": "heights of openings for sectional doors",
            },
        ],
        "spreads": [
            {"pointers": widths, "most": figure["width_spread"]},
            {"pointers": heights, "most": figure["height_spread"]},
            {"pointers": diagonals, "most": figure["out_of_square"]},
        ],
        "diagonal": {
            "pair": diagonals, "widths": [widths[0], widths[2]],
            "heights": [heights[0], heights[2]], "within": figure["diagonal_agreement"],
        },
    }  # fmt: skip

"""One spec checked against the rules of its stage.

The record depends on the bytes of the spec, the stage and the rules alone, so it can be kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from doorlint import quantities
from doorlint.catalog_findings import PartNote, documents, part_notes
from doorlint.causes import sort_by_cause
from doorlint.cross_spec import SharedValue, shared_values_of
from doorlint.figures.graph import Job
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.quantities import QuantityError, System
from doorlint.rulebook.library import Library
from doorlint.rulebook.practice import beyond, check_figures, given
from doorlint.rulebook.rule import FindingKey, Outcome, Rule, names_in
from doorlint.spec import Spec, read
from doorlint.spec.problems import Problem, shown
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.uncertainty.tolerance import Doubt


class OpenOutcome(NamedTuple):
    """One outcome that is not met, with all that its message needs."""

    outcome: Outcome
    line: int
    column: int
    end: tuple[int, int]
    shown: Mapping[str, Any]
    """values of the names in the rule's message"""
    now: Mapping[str, Any]
    """spec values that the rule says to try"""
    doubts: tuple[Doubt, ...] = ()
    """what could reverse the verdict"""
    documents: tuple[str, ...] = ()
    """what the catalog capacities that the rule reads rest on"""
    causes: tuple[FindingKey, ...] = ()
    """the findings that it follows from, or that stop it"""
    written: Mapping[str, str] = {}
    """texts of the spec for what it shows (``value``, ``limit`` or a name) where rounding would change them"""


class SignOff(NamedTuple):
    """One sign-off as the spec gives it."""

    line: int
    column: int
    end: tuple[int, int]
    fields: Mapping[str, Any]
    file: str = ""
    """the file beside the spec that gives it, empty for the spec itself"""


class Record(NamedTuple):
    """The outcome of checking one spec; nothing in it depends on day, units or settings."""

    digest: str
    stage: str | None
    system: Literal["us", "si"]
    problems: tuple[Problem, ...]
    open: tuple[OpenOutcome, ...]
    close: tuple[OpenOutcome, ...]
    """outcomes that are met by less than can be measured"""
    met: int
    facts: Mapping[str, str]
    approvals: Mapping[str, SignOff]
    shared_values: tuple[SharedValue, ...] = ()
    """what is compared with other specs"""
    parts: tuple[PartNote, ...] = ()
    """possible findings about catalog parts"""
    figures: Mapping[str, tuple[float, int]] = {}
    """the shop figures that the spec sets: value (SI) and line"""
    own_stage: str | None = None
    """the stage that the spec gives itself"""


class Evaluated(NamedTuple):
    """A record with what it was made from; ``job`` is ``None`` for a spec that cannot be read."""

    record: Record
    spec: Spec
    job: Job | None


def evaluate(data: bytes | str, library: Library, stage: str | None = None) -> Evaluated:
    """Read a spec and evaluate every rule of its stage."""
    return evaluate_spec(read(data, library.catalog), digest_of(data), library, stage)


def digest_of(data: bytes | str) -> str:
    """Twelve hex digits of a spec's bytes, so that "reviewed as it was then" can be shown."""
    return shortened(hash_of(data))


def shortened(whole: str) -> str:
    """As much of a whole digest as a report shows."""
    return whole[:12]


def evaluate_spec(
    spec: Spec, digest: str, library: Library, stage: str | None = None, like: Job | None = None
) -> Evaluated:
    """Evaluate the rules for a spec already read; ``like`` is a job whose figures may be shared where they agree."""
    spec = within_bounds(spec, library)
    if spec.problems:
        return Evaluated(Record(digest, None, spec.system, spec.problems, (), (), 0, {}, {}), spec, None)
    job = job_of(spec, library, like)
    stage = stage or spec.values["stage"]
    found, left, impossible, stopped, causes = sort_by_cause(library, job, stage)
    doubted = found.doubts(library, left)
    open_outcomes = [_open_outcome(o, library.rules[o.rule], spec, left, doubted.get(o, ())) for o in found.open]
    open_outcomes += [_open_outcome(o, library.rules[o.rule], spec, job, ()) for o in (*impossible, *stopped)]
    open_outcomes += [
        _open_outcome(o, library.all_rules[o.rule], spec, job, ()) for o in check_figures(library, spec.values)
    ]
    open_outcomes = [one._replace(causes=causes.get(one.outcome.place, ())) for one in open_outcomes]
    close = [_open_outcome(o, library.rules[o.rule], spec, left, doubted[o]) for o in found.close if o in doubted]
    facts = {name: spec.values[f"job.{name}"] for name in ("number", "site", "opening") if f"job.{name}" in spec.values}
    figures = {key: (value, spec.position(f"/practice/{key}")[0]) for key, _, value in given(library, spec.values)}
    record = Record(
        digest=digest,
        stage=stage,
        system=spec.system,
        problems=(),
        open=tuple(open_outcomes),
        close=tuple(close),
        met=found.met,
        facts=facts,
        approvals=sign_offs(spec),
        shared_values=shared_values_of(spec),
        parts=part_notes(spec) if spec.parts else (),
        figures=figures,
        own_stage=spec.values["stage"],
    )
    return Evaluated(record, spec, job)


def job_of(spec: Spec, library: Library, like: Job | None = None) -> Job:
    """The job of a spec already read; ``like`` is a job whose figures may be shared where they agree."""
    if like is None:
        return library.job(spec.values, spec.keys)
    return like.rebase({**library.graph.constants, **spec.values}, spec.keys)


def within_bounds(spec: Spec, library: Library) -> Spec:
    """The spec; where it moves a shop figure further than any spec may, with that as its problems."""
    moved = () if spec.problems else beyond(library, spec.values)
    problems = []
    for key, allowed in moved:
        pointer = f"/practice/{key}"
        line, column, end = spec.span(pointer)
        message = f"found {shown(spec.text(pointer) or '')} for {key}; a spec may set {allowed}; take the line out"
        problems.append(Problem("spec.bound", pointer, line, column, message, end))
    return spec._replace(values={}, keys={}, problems=tuple(problems)) if problems else spec


def _open_outcome(outcome: Outcome, rule: Rule, spec: Spec, job: Job, doubts: tuple[Doubt, ...]) -> OpenOutcome:
    line, column, end = spec.span(outcome.pointer)
    shown, now = {}, {}
    # what is met by too little says so in words of its own
    text = {"unknown": "", "met": rule.safety, "short": f"{rule.message} {rule.safety}"}[outcome.state]
    for place in names_in(text):
        if place in job.graph.nodes:
            value = job.at(place, outcome.key if job.graph.axis_of(place) else None)
            shown[place] = value if isinstance(value, bool | int | float | str) else None
    for name in rule.tries if outcome.state != "unknown" else ():
        if rule.kind.compares and VOCABULARY.part_of(name) not in spec.values:
            continue  # of a part that the job has not, nothing can be changed
        held = spec.values.get(name)
        now[name] = held.get(outcome.key) if isinstance(held, dict) else held
    rests_on: tuple[str, ...] = ()
    if spec.parts and outcome.state != "unknown":
        below = {name: None for read in rule.reads for name in job.graph.upstream(read)}
        rests_on = documents(spec, below, rule.axis, outcome.key)
    written = {} if outcome.state == "unknown" else _written(outcome, rule, spec, {*shown, *now})
    return OpenOutcome(outcome, line, column, end, shown, now, doubts, rests_on, (), written)


def _written(outcome: Outcome, rule: Rule, spec: Spec, names: Iterable[str]) -> dict[str, str]:
    """The texts of the spec for the values that a finding shows, of those that a report would round.

    0.218 in is not 3/16 in: what somebody measured or ordered is shown as written.
    """
    compared = rule.statement.get("check", {}) if rule.kind.compares else {}
    sides = {"value": compared.get("value"), "limit": compared.get(rule.kind.name) if rule.kind.shows_limit else None}
    found = {}
    for place, name in (*((name, name) for name in names), *sides.items()):
        if not isinstance(name, str) or name not in VOCABULARY.leaves:
            continue
        term = VOCABULARY.leaves[name]
        if term.numeric_dimension is None:
            continue
        text = spec.text(VOCABULARY.pointer_of(name, outcome.key if term.axis else None))
        value = spec.values.get(name)
        value = value.get(outcome.key) if isinstance(value, dict) else value
        if text is not None and isinstance(value, float) and _rounded(value, term.numeric_dimension, spec.system):
            found[place] = text
    return found


def _rounded(value: float, dimension: str, system: System) -> bool:
    """Whether the text of a report stands for another value.

    >>> _rounded(0.218 * 0.0254, "length", "us"), _rounded(0.25 * 0.0254, "length", "us")
    (True, False)
    """
    try:
        read = quantities.read(quantities.write(value, dimension, system), dimension, signed=True)
    except QuantityError:  # rounded up from the largest or down from the smallest that is read
        return True
    return not math.isclose(read, value, rel_tol=1e-6)


_SIGNED = [name for name, term in VOCABULARY.leaves.items() if term.axis == "approval"]


def sign_offs(spec: Spec) -> dict[str, SignOff]:
    """The sign-offs that a spec gives, by their names."""
    return {
        key: SignOff(
            *spec.span(f"/approvals/{key}"),
            {name.partition(".")[2]: spec.values[name][key] for name in _SIGNED if key in spec.values.get(name, {})},
        )
        for key in spec.keys.get("approval", ())
    }

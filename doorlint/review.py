"""One spec from text to verdict, in two steps.

``check`` holds the rules against the spec: it depends on the spec's bytes, the stage and the rules only,
so its record can be kept. ``judge`` words it for a day, a unit system and a shop's settings.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, NamedTuple

from doorlint import approvals, quantities
from doorlint.approvals import Ruling, Trouble, place_of, rule_on
from doorlint.built_in import BUILT_IN
from doorlint.errors import WrongCall
from doorlint.figures.graph import Job
from doorlint.findings import Approved, Finding, Measure, NotChecked, SpecReview
from doorlint.rulebook.formula import PLACE
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, STAGES, Outcome, Rule, Severity, Source
from doorlint.spec import Spec, read
from doorlint.spec.problems import clean
from doorlint.spec.vocabulary import VOCABULARY

Units = Literal["us", "si", "as-written"]


class Noted(NamedTuple):
    """One outcome that is not met, with all that wording it needs."""

    outcome: Outcome
    line: int
    column: int
    shown: Mapping[str, Any]
    """values of the names in the rule's message"""


class Signed(NamedTuple):
    """One sign-off as the spec gives it."""

    line: int
    column: int
    said: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Record:
    """What came of holding the rules against one spec; nothing in it depends on day, units or settings."""

    digest: str
    stage: str | None
    system: Literal["us", "si"]
    problems: tuple[tuple[str, str, int, int, str], ...]
    noted: tuple[Noted, ...]
    met: int
    facts: Mapping[str, str]
    approvals: Mapping[str, Signed]


class Checked(NamedTuple):
    """A record with what it was made from; ``job`` is ``None`` for a spec that cannot be read."""

    record: Record
    spec: Spec
    job: Job | None


@dataclass(frozen=True, slots=True)
class Policy:
    """What a shop and a caller may set."""

    on: str
    hold_at: Severity = "error"
    units: Units = "as-written"
    severities: Mapping[str, Severity] = field(default_factory=dict)


def check(data: bytes | str, library: Library, stage: str | None = None) -> Checked:
    """Read a spec and hold every rule of its stage against it."""
    return check_spec(read(data), digest_of(data), library, stage)


def digest_of(data: bytes | str) -> str:
    """Twelve hex digits of a spec's bytes, so that "reviewed as it was then" can be shown."""
    return hashlib.sha256(data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass")).hexdigest()[:12]


def check_spec(spec: Spec, digest: str, library: Library, stage: str | None = None, like: Job | None = None) -> Checked:
    """Hold the rules against a spec already read; ``like`` is a job whose figures may be shared where they agree."""
    if spec.problems:
        problems = tuple((p.rule, p.pointer, p.line, p.column, p.message) for p in spec.problems)
        return Checked(Record(digest, None, spec.system, problems, (), 0, {}, {}), spec, None)
    job = (
        library.job(spec.values, spec.keys)
        if like is None
        else like.become({**library.graph.constants, **spec.values}, spec.keys)
    )
    rung = stage or spec.values["stage"]
    met, others = library.held(job, rung)
    noted = [_note(outcome, library.rules[outcome.rule], spec, job) for outcome in others]
    facts = {name: spec.values[f"job.{name}"] for name in ("number", "site", "opening") if f"job.{name}" in spec.values}
    return Checked(Record(digest, rung, spec.system, (), tuple(noted), met, facts, _approvals(spec)), spec, job)


def judge(
    record: Record, library: Library, policy: Policy, file: str, spec: Spec | None = None, job: Job | None = None
) -> SpecReview:
    """Word a record: severities, units, sign-offs, verdict."""
    system = record.system if policy.units == "as-written" else policy.units
    if record.problems:
        findings = tuple(_problem(*problem) for problem in record.problems)
        return SpecReview(
            file, None, "unreadable", findings, (), (), 0, system, record.digest, library.digest, {}, False, spec, None
        )
    found: list[Finding] = []
    gaps: list[NotChecked] = []
    ruling = _ruling(record, library, policy)
    approved: list[Approved] = []
    for noted in record.noted:
        rule = library.rules[noted.outcome.rule]
        severity = policy.severities.get(rule.id, rule.severity)
        if noted.outcome.state == "unknown":
            gaps.append(_gap(noted, rule, severity))
            continue
        finding = _finding(noted, rule, severity, library, system)
        place = place_of(noted.outcome)
        if place in ruling.covered:
            approved.append(Approved(finding, dict(record.approvals[ruling.covered[place]].said)))
        elif place in ruling.notes:
            found.append(replace(finding, message=f"{finding.message} ({ruling.notes[place]})"))
        else:
            found.append(finding)
    found += [_trouble(trouble, record) for trouble in ruling.troubles]
    found.sort(key=_order)
    gaps.sort(key=_order)
    level = SEVERITIES.index(policy.hold_at)
    held = any(SEVERITIES.index(f.severity) <= level for f in found) or any(gap.severity == "error" for gap in gaps)
    return SpecReview(
        file, record.stage, "hold" if held else "clear", tuple(found), tuple(gaps), tuple(approved), record.met, system,
        record.digest, library.digest, dict(record.facts), any(gap.reason == "rule failed" for gap in gaps), spec, job,
    )  # fmt: skip


def draft_approvals(record: Record, library: Library, policy: Policy, file: str, rule: str) -> str:
    """What to paste into a spec so that a supervisor can sign off where one rule is short.

    Raises :class:`doorlint.errors.WrongCall` for a spec that cannot be read, and where there is no such rule, nobody
    may sign it off, or nothing is there to sign off.
    """
    if record.stage is None:
        _, _, line, column, message = record.problems[0]
        raise WrongCall(f"{file}:{line}:{column}: {message}")
    system = record.system if policy.units == "as-written" else policy.units
    said = {name: signed.said for name, signed in record.approvals.items()}
    outcomes = [noted.outcome for noted in record.noted]
    blocks = approvals.drafts(rule, said, outcomes, library.rules, record.stage, policy.on, system)
    head = f"# Paste under `approvals:` in {clean(file)} and fill in what stands empty; until then it does not count.\n"
    return head + ("" if said else "approvals:\n") + blocks


def _order(said: Finding | NotChecked) -> tuple[int, int, int, str, str]:
    return SEVERITIES.index(said.severity), said.line, said.column, said.rule, said.pointer


def _ruling(record: Record, library: Library, policy: Policy) -> Ruling:
    said = {name: signed.said for name, signed in record.approvals.items()}
    assert record.stage is not None
    return rule_on(said, [noted.outcome for noted in record.noted], library.rules, record.stage, policy.on)


def _trouble(trouble: Trouble, record: Record) -> Finding:
    said = BUILT_IN[trouble.rule]
    signed = record.approvals[trouble.approval]
    source = Source("practice", note="how this tool handles sign-offs")
    return Finding(
        trouble.rule, said.title, said.severity, signed.line, signed.column, f"/approvals/{trouble.approval}",
        trouble.message, None, None, None, False, source, said.why,
        "Until it is settled, treat the finding as not signed off.",
        "never" if said.severity == "error" else "supervisor", said.fix,
    )  # fmt: skip


def _gap(noted: Noted, rule: Rule, severity: Severity) -> NotChecked:
    outcome = noted.outcome
    return NotChecked(
        rule.id,
        rule.title,
        severity,
        outcome.pointer,
        outcome.reason,
        outcome.missing,
        outcome.note,
        noted.line,
        noted.column,
        outcome.key,
    )


def measure(value: Any, dimension: str | None, system: Literal["us", "si"]) -> Measure:
    """A value with its SI unit and the text a report shows."""
    if isinstance(value, bool):
        return Measure(None, "", "true" if value else "false")
    if isinstance(value, int | float) and dimension is not None:
        return Measure(
            float(value), quantities.DIMENSIONS[dimension].si_unit, quantities.write(value, dimension, system)
        )
    if isinstance(value, tuple | list):
        return Measure(None, "", " or ".join(measure(item, None, system).text for item in value))
    return Measure(None, "", str(value))


def _note(outcome: Outcome, rule: Rule, spec: Spec, job: Job) -> Noted:
    line, column = spec.position(outcome.pointer)
    shown = {}
    for place in PLACE.findall(rule.message) if outcome.state == "short" else ():
        if place in job.graph.nodes:
            shown[place] = job.at(place, outcome.key if job.graph.axis_of(place) else None)
    return Noted(outcome, line, column, shown)


def _finding(noted: Noted, rule: Rule, severity: Severity, library: Library, system: Literal["us", "si"]) -> Finding:
    outcome = noted.outcome
    measured = limit = None
    texts: dict[str, str] = {"thing": outcome.key or "", "missing": ", ".join(outcome.missing)}
    if rule.check != "present":
        measured, limit = measure(outcome.value, rule.dimension, system), measure(outcome.limit, rule.dimension, system)
        if measured.value is not None and limit.value is not None and rule.dimension is not None:
            pair = quantities.write_pair(measured.value, limit.value, rule.dimension, system)
            measured, limit = Measure(measured.value, measured.unit, pair[0]), Measure(limit.value, limit.unit, pair[1])
        texts |= {"value": measured.text, "limit": limit.text}
        if outcome.margin is not None:
            texts["short"] = measure(abs(outcome.margin), rule.dimension, system).text
    for name, value in noted.shown.items():
        texts[name] = _shown(value, library.graph.nodes[name].dimension, system)
    source = Source(
        library.standing(rule), rule.source.document, rule.source.edition, rule.source.clause, rule.source.note
    )
    return Finding(
        rule.id, rule.title, severity, noted.line, noted.column, outcome.pointer,
        PLACE.sub(lambda place: texts[place[1]], rule.message),
        measured if measured is not None and measured.value is not None else None,
        limit if limit is not None and limit.value is not None else None,
        outcome.margin, False, source, rule.why, rule.safety, rule.sign_off, _tries(rule), outcome.value,
        outcome.limit, texts.get("short", ""), outcome.key,
    )  # fmt: skip


def _shown(value: Any, dimension: str | None, system: Literal["us", "si"]) -> str:
    if value is None or not isinstance(value, bool | int | float | str):
        return "not known"
    return measure(value, dimension, system).text


def _tries(rule: Rule) -> str | None:
    if not rule.tries:
        return None
    return "try another " + ", or ".join(name.replace("_", " ").replace(".", ": ") for name in rule.tries)


def _problem(rule: str, pointer: str, line: int, column: int, message: str) -> Finding:
    said = BUILT_IN[rule]
    source = Source("derived", note="the job spec's own vocabulary")
    return Finding(rule, said.title, "error", line, column, pointer, message, None, None, None, False, source, said.why,
                   "Nothing in this file was checked; do not order or build from it.", "never", said.fix)  # fmt: skip


def _approvals(spec: Spec) -> dict[str, Signed]:
    names = [name for name, term in VOCABULARY.leaves.items() if term.axis == "approval"]
    return {
        key: Signed(
            *spec.position(f"/approvals/{key}"),
            {name.partition(".")[2]: spec.values[name][key] for name in names if key in spec.values.get(name, {})},
        )
        for key in spec.keys.get("approval", ())
    }


__all__ = ["STAGES", "Policy", "Record", "check", "judge", "measure"]

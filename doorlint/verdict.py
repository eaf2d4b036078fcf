"""The verdict on one spec: a record worded for a day, a unit system and a shop's settings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, Literal

from doorlint import quantities
from doorlint.catalog_findings import catalog_findings
from doorlint.errors import WrongCall
from doorlint.evaluation import OpenOutcome, Record
from doorlint.figures.graph import Job
from doorlint.findings import Approved, Finding, Measure, NotChecked, Relaxed, SpecReview, builtin_finding
from doorlint.named_tuple import NamedTuple
from doorlint.quantities import System
from doorlint.relaxed import by_spec
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, Rule, Severity, Source, filled
from doorlint.spec import Spec
from doorlint.spec.problems import Problem, clean

if TYPE_CHECKING:
    from doorlint.approvals import Ruling, Terms, Trouble

Units = Literal["us", "si", "as-written"]


class Regrade(NamedTuple):
    """A rule's severity as a shop sets it, and why; raising one needs no reason."""

    severity: Severity
    reason: str = ""
    line: int = 0
    """of the settings"""


class Policy(NamedTuple):
    """What a shop and a caller may set."""

    on: str
    hold_at: Severity = "error"
    units: Units = "as-written"
    severities: Mapping[str, Regrade] = {}
    """by the id of the rule"""
    approvers: tuple[str, ...] | None = None
    """who may sign off; ``None`` where anybody may"""
    relaxed: tuple[Relaxed, ...] = ()
    """what the shop and the call set that differs from the library"""
    settings: str = ""
    """digest of the settings, and the revision they are read from; empty where there are none"""
    rulebook: str = ""
    """address of the page of rules; empty where the settings give none"""


def present(
    record: Record, library: Library, policy: Policy, file: str, spec: Spec | None = None, job: Job | None = None
) -> SpecReview:
    """Word a record: severities, units, sign-offs, verdict, and what differs from the library."""
    own = by_spec(record.figures, (record.own_stage, record.stage), library, file)
    review = SpecReview(
        file=file,
        stage=record.stage,
        verdict="clear",
        findings=(),
        not_checked=(),
        approved=(),
        checked=record.met,
        system=_system(record, policy),
        spec_digest=record.digest,
        rules_digest=library.digest,
        facts=dict(record.facts),
        spec=spec,
        job=job,
        relaxed=(*policy.relaxed, *own),
        settings=policy.settings,
    )
    if record.problems:
        return review._replace(verdict="unreadable", findings=tuple(map(_problem, record.problems)))
    if record.open or record.close or record.approvals or record.parts:
        return _with_findings(review, record, library, policy)
    return review


def _with_findings(review: SpecReview, record: Record, library: Library, policy: Policy) -> SpecReview:
    ruling = _ruling(record, library, policy)
    gaps = [_gap(one, library, policy) for one in record.open if one.outcome.state == "unknown"]
    found: list[Finding] = []
    approved: list[Approved] = []
    for one in _worded(record.open, policy):
        if one.outcome.state == "unknown":
            continue
        rule = library.all_rules[one.outcome.rule]
        finding = _regraded(_finding(one, rule, _severity(rule, library, policy), library, review.system), policy)
        place = one.outcome.place
        if place in ruling.covered:
            approved.append(_approved(finding, ruling.covered[place], record, policy))
        elif place in ruling.notes:
            found.append(finding._replace(message=f"{finding.message} ({ruling.notes[place]})"))
        else:
            found.append(finding)
    found += _close_calls(record, library, policy, review.system)
    found += [_regraded(_trouble(trouble, record), policy) for trouble in ruling.troubles]
    found += [_regraded(finding, policy) for finding in catalog_findings(record.parts, policy.on, review.system)]
    found.sort(key=_order)
    gaps.sort(key=_order)
    return review._replace(
        verdict=_verdict(found, gaps, policy),
        findings=tuple(found),
        not_checked=tuple(gaps),
        approved=tuple(approved),
        failed=any(gap.reason == "rule failed" for gap in gaps),
    )


def _worded(one: Iterable[OpenOutcome], policy: Policy) -> Iterable[OpenOutcome]:
    """The outcomes; where other units are asked for, without the texts of the spec."""
    return one if policy.units == "as-written" else (one._replace(written={}) for one in one)


def _close_calls(record: Record, library: Library, policy: Policy, system: System) -> Iterator[Finding]:
    """What is met by less than can be measured, where the verdict depends on it."""
    for one in _worded(record.close, policy):
        rule = library.rules[one.outcome.rule]
        if _holds(_severity(rule, library, policy), policy):
            yield _finding(one, rule, "advisory", library, system)


def with_more(review: SpecReview, more: Iterable[Finding], policy: Policy) -> SpecReview:
    """A reviewed spec with findings that came later."""
    found = sorted((*review.findings, *(_regraded(finding, policy) for finding in more)), key=_order)
    return review._replace(findings=tuple(found), verdict=_verdict(found, review.not_checked, policy))


def _system(record: Record, policy: Policy) -> System:
    return record.system if policy.units == "as-written" else policy.units


def _verdict(found: Iterable[Finding], gaps: Iterable[NotChecked], policy: Policy) -> Literal["hold", "clear"]:
    held = any(_holds(f.severity, policy) for f in found) or any(gap.severity == "error" for gap in gaps)
    return "hold" if held else "clear"


def _holds(severity: Severity, policy: Policy) -> bool:
    return SEVERITIES.index(severity) <= SEVERITIES.index(policy.hold_at)


def _severity(rule: Rule, library: Library, policy: Policy) -> Severity:
    """The severity of a rule in this shop; one about a shop figure is as severe as the severest rule that reads it."""
    if rule.id in policy.severities or not policy.severities or rule.id in library.rules:
        return policy.severities.get(rule.id, rule).severity
    moved = [policy.severities.get(reader.id, reader).severity for reader in library.readers(rule.at)]
    return min(moved, key=SEVERITIES.index, default=rule.severity)


def _regraded(finding: Finding, policy: Policy) -> Finding:
    """A finding with the severity that the shop sets; a lower one than the rule's is explained in the message."""
    set_to = policy.severities.get(finding.rule)
    if set_to is None:
        return finding
    reason = f" (set to {set_to.severity} in this shop: {set_to.reason})" if set_to.reason else ""
    return finding._replace(severity=set_to.severity, message=finding.message + reason)


def draft_approvals(record: Record, library: Library, policy: Policy, file: str, rule: str) -> str:
    """The block to paste into a spec so that a supervisor can sign off a rule that is not met.

    Raises :class:`doorlint.errors.WrongCall` for a spec that cannot be read, and where there is no such rule, nobody
    may sign it off, or nothing is there to sign off.
    """
    if record.stage is None:
        first = record.problems[0]
        raise WrongCall(f"{file}:{first.line}:{first.column}: {first.message}")
    from doorlint.approvals import drafts

    sign_offs = {name: signed.fields for name, signed in record.approvals.items()}
    outcomes = [one.outcome for one in record.open]
    blocks = drafts(rule, sign_offs, outcomes, library.all_rules, record.stage, _terms(record, library, policy),
                    _system(record, policy))  # fmt: skip
    place = f"under `approvals:` in {clean(file)}" if sign_offs else f"at the end of {clean(file)}"
    head = f"# Paste {place} and fill in the empty values; until then it does not count.\n"
    return head + ("" if sign_offs else "approvals:\n") + blocks


def _order(item: Finding | NotChecked) -> tuple[int, int, int, str, str]:
    return SEVERITIES.index(item.severity), item.line, item.column, item.rule, item.pointer


def _ruling(record: Record, library: Library, policy: Policy) -> Ruling:
    from doorlint.approvals import Ruling, rule_on

    if not record.approvals:
        return Ruling({}, (), {})
    sign_offs = {name: signed.fields for name, signed in record.approvals.items()}
    assert record.stage is not None
    return rule_on(sign_offs, [one.outcome for one in record.open], library.all_rules, record.stage,
                   _terms(record, library, policy))  # fmt: skip


def _terms(record: Record, library: Library, policy: Policy) -> Terms:
    """The limits of sign-offs: the shop's figures, or the spec's own where they are stricter."""
    from doorlint.approvals import Terms

    days, share = (
        record.figures[key][0] if key in record.figures else library.practice[key].value
        for key in ("approval_days", "approval_share")
    )
    return Terms(policy.on, int(days), share, policy.approvers)


def _approved(finding: Finding, name: str, record: Record, policy: Policy) -> Approved:
    from doorlint.approvals import days_between

    signed = record.approvals[name]
    left = days_between(policy.on, signed.fields["until"])
    return Approved(finding, {"name": name, **signed.fields, "days_left": left, "file": signed.file})


def _trouble(trouble: Trouble, record: Record) -> Finding:
    from doorlint.builtin_rules import BUILTIN_RULES

    builtin = BUILTIN_RULES[trouble.rule]
    signed = record.approvals[trouble.approval]
    line, column = (1, 1) if signed.file else (signed.line, signed.column)
    place = f"{clean(signed.file)}:{signed.line}:{signed.column}: " if signed.file else ""
    pointer = f"/approvals/{trouble.approval}"
    return builtin_finding(
        builtin,
        Problem(trouble.rule, pointer, line, column, place + trouble.message, signed.end),
        Source("practice", note="how this tool handles sign-offs"),
        safety="Until it is settled, treat the finding as not signed off.",
        sign_off="never" if builtin.severity == "error" else "supervisor",
    )


def _gap(one: OpenOutcome, library: Library, policy: Policy) -> NotChecked:
    outcome = one.outcome
    rule = library.all_rules[outcome.rule]
    return NotChecked(
        rule=rule.id,
        title=rule.title,
        severity=_severity(rule, library, policy),
        pointer=outcome.pointer,
        reason=outcome.reason,
        missing=outcome.missing,
        note=outcome.note,
        line=one.line,
        column=one.column,
        thing=outcome.key,
        end=one.end,
        causes=one.causes,
    )


def measure(value: Any, dimension: str | None, system: System) -> Measure:
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


def _finding(one: OpenOutcome, rule: Rule, severity: Severity, library: Library, system: System) -> Finding:
    from doorlint.hints import doubt_text, to_try

    outcome = one.outcome
    measured, limit = _measures(one, rule, system)
    texts = _texts(one, rule, library, system)
    if measured is not None and limit is not None:
        texts |= {"value": measured.text, "limit": limit.text}
    doubt = doubt_text(one.doubts, system)
    if outcome.state == "met":
        message = f"{rule.title}: met with only {texts['short']} to spare; {doubt}"
        remedy = None
    else:
        message = "; ".join(filter(None, [filled(rule.message, texts), doubt]))
        remedy = to_try(one.now, outcome.key, system, one.written, _goals(rule, texts))
    note = "; ".join(filter(None, [rule.source.note, *(f"capacity of {document}" for document in one.documents)]))
    return Finding(
        rule=rule.id,
        title=rule.title,
        severity=severity,
        line=one.line,
        column=one.column,
        pointer=outcome.pointer,
        message=message,
        measured=measured if measured is not None and measured.value is not None else None,
        limit=limit if limit is not None and limit.value is not None else None,
        margin=outcome.margin,
        marginal=bool(one.doubts),
        source=Source(library.standing(rule), rule.source.document, rule.source.edition, rule.source.clause, note),
        why=rule.why,
        safety=rule.safety_note(texts),
        sign_off=rule.sign_off,
        remedy=remedy,
        value=outcome.value,
        bound=outcome.limit,
        short_by="" if outcome.state == "met" else texts.get("short", ""),
        thing=outcome.key,
        end=one.end,
        causes=one.causes,
    )


def _goals(rule: Rule, texts: Mapping[str, str]) -> dict[str, str]:
    """What a rule asks of the value that it compares, by the name of that value."""
    if not rule.kind.compares:
        return {}
    check = rule.statement.get("check", {})
    goal = rule.kind.goal(check, texts) if check else None
    return {} if goal is None else {check["value"]: filled(goal, texts)}


def _measures(one: OpenOutcome, rule: Rule, system: System) -> tuple[Measure | None, Measure | None]:
    """The value and the limit of a rule that compares, written so that they can be told apart."""
    if not rule.kind.compares:
        return None, None
    measured, limit = (measure(side, rule.dimension, system) for side in (one.outcome.value, one.outcome.limit))
    if measured.value is not None and limit.value is not None and rule.dimension is not None:
        pair = quantities.write_pair(measured.value, limit.value, rule.dimension, system)
        measured, limit = measured._replace(text=pair[0]), limit._replace(text=pair[1])
    written = one.written
    return (
        measured._replace(text=written.get("value", measured.text)),
        limit._replace(text=written.get("limit", limit.text)),
    )


def _texts(one: OpenOutcome, rule: Rule, library: Library, system: System) -> dict[str, str]:
    """What the names in a rule's texts stand for, without value and limit."""
    outcome = one.outcome
    texts = {"thing": outcome.key or "", "missing": ""}
    if outcome.missing:
        from doorlint.hints import named_at

        texts["missing"] = ", ".join(map(named_at, outcome.missing))
    if rule.kind.compares and outcome.margin is not None:
        texts["short"] = measure(abs(outcome.margin), rule.dimension, system).text
    for name, value in one.shown.items():
        texts[name] = one.written.get(name) or _shown(value, library.graph.nodes[name].dimension, system)
    return texts


def _shown(value: Any, dimension: str | None, system: System) -> str:
    if value is None or not isinstance(value, bool | int | float | str):
        return "not known"
    return measure(value, dimension, system).text


def _problem(problem: Problem) -> Finding:
    from doorlint.builtin_rules import BUILTIN_RULES

    return builtin_finding(
        BUILTIN_RULES[problem.rule],
        problem,
        Source("derived", note="the job spec's own vocabulary"),
        safety="Nothing in this file was checked; do not order or build from it.",
    )

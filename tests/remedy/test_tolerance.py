"""How sure the tape is: the screen hides no verdict that trying every cause would turn round."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from jobs import CLEAN, jobs, sample

from doorlint.evaluation import evaluate_spec
from doorlint.figures.graph import Job
from doorlint.rulebook.library import RULE, Library, load
from doorlint.rulebook.margin import SLACK, ErrorBound
from doorlint.rulebook.rule import Outcome
from doorlint.uncertainty import error_bounds
from doorlint.uncertainty.outcomes import sort_outcomes
from doorlint.uncertainty.tolerance import TOGETHER, each_alone, estimated, taped, together, tried
from doorlint.verdict import Policy, present

SLOW = settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
DAY = Policy("2026-03-17")


def at_its_limit(outcome: Outcome) -> bool:
    return outcome.state == "met" and abs(outcome.margin or 0.0) <= SLACK * max(abs(outcome.value), abs(outcome.limit))


@SLOW
@given(jobs())
def test_the_screen_hides_no_verdict_that_could_be_turned_round(made: tuple[Job, str]) -> None:
    job, stage = made
    library = load()
    screened = sort_outcomes(library, job, stage).doubts(library, job)
    meant = [o for o in library.outcomes(job, stage) if o.margin is not None and not at_its_limit(o)]
    alone, every = tried(library, job, meant, each_alone(job)), tried(library, job, meant, together(job))
    assert screened == {o: (*alone.get(o, ()), *every.get(o, ())) for o in meant if o in alone or o in every}


@pytest.mark.slow
@settings(SLOW, max_examples=20)
@given(jobs())
def test_the_trial_itself_leaves_none_out(made: tuple[Job, str]) -> None:
    """Each reading up and down, every verdict made again from the spec's values: nothing shared, nothing screened."""
    job, stage = made
    library = load()
    before = {(o.rule, o.pointer, o.key): o for o in library.outcomes(job, stage) if o.margin is not None}
    turned = set()
    for cause in taped(job):
        axis = job.graph.axis_of(cause.name)
        for off in (cause.by, -cause.by):
            values = dict(job.values)
            held = values[cause.name]
            value = (held if cause.key is None else held[cause.key]) + off
            if cause.name not in ("obstruction.left", "obstruction.right"):
                value = max(value, 0.0)
            values[cause.name] = value if cause.key is None else {**held, cause.key: value}
            for outcome in library.outcomes(library.job(values, dict(job.keys)), stage):
                rule = library.rules[outcome.rule]
                own = axis is None or rule.axis != axis or outcome.key == cause.key
                was = before.get((outcome.rule, outcome.pointer, outcome.key))
                if was is None or rule.dimension == "count" or not own:
                    continue
                if {was.state, outcome.state} == {"met", "short"}:
                    turned.add((was, cause))
    tried_here = tried(library, job, before.values(), each_alone(job))
    said = {(was, doubt.cause) for was, found in tried_here.items() for doubt in found}
    assert {(was, cause) for was, cause in said if cause.tool != "estimate"} == turned


@SLOW
@given(jobs())
def test_no_reading_moves_a_margin_by_more_than_its_bound(made: tuple[Job, str]) -> None:
    job, stage = made
    library = load()
    enough = error_bounds.bounds(library, job, tuple(library.asked(stage)), 0.0, 0.0).alone
    for cause in taped(job):
        below = library.graph.downstream([cause.name])
        held = job.values[cause.name]
        for off in (cause.by, -cause.by):
            value = (held if cause.key is None else held[cause.key]) + off
            moved = job.with_changes({cause.name: value if cause.key is None else {cause.key: value}})
            for rule in library.in_force(stage):
                if RULE + rule.id not in below or rule.dimension == "count":
                    continue
                there = {o.key: o for o in moved.cell(RULE + rule.id)}
                for outcome in job.cell(RULE + rule.id):
                    again = there.get(outcome.key)
                    if outcome.margin is None or again is None or again.margin is None:
                        continue
                    fixed, share = enough.get(RULE + rule.id, ErrorBound(0.0, 0.0))
                    bound = fixed + share * abs(outcome.value)
                    slack = 1e-6 * max(1.0, abs(outcome.value)) * (1e-3 if rule.dimension == "length" else 1.0)
                    assert abs(again.margin - outcome.margin) <= bound * (1 + 1e-6) + slack, (rule.id, cause, outcome)


@pytest.mark.parametrize("name", CLEAN)
def test_the_tape_leaves_no_doubt_about_a_clean_sample(name: str, library: Library) -> None:
    record = evaluate_spec(sample(name), "", library).record
    assert not [doubt for near in record.close for doubt in near.doubts if doubt.cause.tool not in TOGETHER]


def review(name: str, patch: dict[str, Any], library: Library) -> Any:
    record, spec, job = evaluate_spec(sample(name).patched(patch), "", library)
    return present(record, library, DAY._replace(hold_at="warning"), name, spec, job)


def test_a_verdict_met_by_less_than_the_tape_reads_is_an_advisory(library: Library) -> None:
    found = review("tower-order", {"opening": {"floor_fall": "7/16 in"}}, library).findings
    (near,) = [finding for finding in found if finding.rule == "opening.floor-fall"]
    assert near.severity == "advisory"
    assert near.marginal
    assert near.message == (
        f"{near.title}: met with only 1/16 in to spare; "
        "a tape reads to 1/8 in: measure opening floor fall again to 1/16 in"
    )


def test_what_holds_no_job_is_not_called_close(library: Library) -> None:
    patch = {"opening": {"floor_fall": "7/16 in"}}
    record, spec, job = evaluate_spec(sample("torsion-order").patched(patch), "", library)
    found = present(record, library, DAY, "torsion-order", spec, job).findings
    assert not [finding for finding in found if finding.marginal]


def test_a_value_exactly_at_its_limit_is_met(library: Library) -> None:
    found = review("tower-order", {"opening": {"floor_fall": "1/2 in"}}, library).findings
    assert "opening.floor-fall" not in {finding.rule for finding in found}


def test_a_finding_that_the_tape_could_clear_says_so_and_stays_what_it_is(library: Library) -> None:
    found = review("tower-order", {"opening": {"floor_fall": "9/16 in"}}, library).findings
    (short,) = [finding for finding in found if finding.rule == "opening.floor-fall"]
    assert short.severity == "warning"
    assert short.marginal
    assert short.message.endswith("a tape reads to 1/8 in: measure opening floor fall again to 1/16 in")


def test_a_value_that_the_tape_brings_to_its_limit_is_not_in_doubt(library: Library) -> None:
    found = review("tower-order", {"opening": {"floor_fall": "3/8 in"}}, library).findings
    assert "opening.floor-fall" not in {finding.rule for finding in found}


def test_a_drawing_is_trusted_less_than_a_laser(library: Library) -> None:
    def near(tool: str) -> set[str]:
        patch = {"opening": {"measured": {"tool": tool}}, "room": {"headroom": "23 1/4 in"}}
        return {finding.rule for finding in review("tower-order", patch, library).findings if finding.marginal}

    assert "headroom.hardware" in near("drawing")
    assert "headroom.hardware" not in near("laser")


def test_an_estimated_weight_is_named_for_the_scale(library: Library) -> None:
    patch = {"door": {"sections": {"s3": {"weight_from": "estimated"}}}}
    found = review("tower-order", patch, library).findings
    marginal = [finding for finding in found if finding.marginal]
    assert marginal
    assert all("the weight of s3 is an estimate, good to 28.5 lb: weigh it to" in f.message for f in marginal)


def test_a_makers_weight_is_tried_by_its_own_band(library: Library) -> None:
    spec = sample("tower-order").patched({"door": {"sections": {"s3": {"weight_from": "maker"}}}})
    cause = next(estimated(library.job(spec.values, spec.keys)))
    assert (cause.key, cause.tool) == ("s3", "maker")
    assert cause.by == pytest.approx(0.05 * 190 * 4.4482216152605)


def test_a_scale_that_reads_low_for_every_section_is_tried(library: Library) -> None:
    """At 12 in of travel 41 lb stand against 48 lb of friction; with a hundredth of the door more it comes down."""
    found = review("tower-order", {}, library).findings
    (near,) = [finding for finding in found if finding.rule == "tower.sinks"]
    assert near.severity == "advisory"
    assert near.message.endswith(
        "the sections together may weigh 9.7 lb more or less; 8.4 lb would change the verdict: read the balance on site"
    )


def test_all_weights_off_at_once_are_tried_where_one_alone_turns_nothing(library: Library) -> None:
    weights = {f"s{number}": {"weight_from": "maker"} for number in range(1, 6)}
    record = evaluate_spec(sample("torsion-en").patched({"door": {"sections": weights}}), "", library).record
    (near,) = [near for near in record.close if near.outcome.rule == "torsion.stays"]
    assert TOGETHER & {doubt.cause.tool for doubt in near.doubts}


def test_what_counts_the_band_itself_is_not_tried_with_it_again(library: Library) -> None:
    """Pulleys that just carry the heaviest door: no doubt is left about them."""
    pulley = {"pulleys": {"head-near": {"capacity": "1806 lb"}}}
    record = evaluate_spec(sample("tower-order").patched(pulley), "", library).record
    assert "pulleys.load" not in {near.outcome.rule for near in (*record.close, *record.open)}


def test_a_weighed_section_is_believed(library: Library) -> None:
    spec = sample("tower-order")
    assert not list(estimated(library.job(spec.values, spec.keys)))

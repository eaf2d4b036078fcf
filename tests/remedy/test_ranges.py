"""How far measured values may move: just inside nothing changes, just outside something does."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import jobs, sample
from shared import SOME_OR_ALL

from doorlint.figures.graph import Job
from doorlint.remedies.ranges import STEPS, Range, ranges
from doorlint.rulebook.library import Library, load
from doorlint.verdict import Policy

POLICY = Policy("2026-03-17")


def loud(job: Job, stage: str) -> set[tuple[Any, ...]]:
    """Errors and warnings that are short, and errors that are unknown."""
    library = load()
    found = set()
    for outcome in library.outcomes(job, stage):
        severity = library.rules[outcome.rule].severity
        if severity != "advisory" and (outcome.state == "short" or (outcome.state, severity) == ("unknown", "error")):
            found.add((outcome.rule, outcome.pointer, outcome.key, outcome.state))
    return found


def moved(job: Job, name: str, key: str | None, by: float) -> Job:
    value = job.values[name]
    return job.with_changes({name: value + by if key is None else {key: value[key] + by}})


@SOME_OR_ALL
def test_ranges_are_tight(every: int) -> None:
    @settings(max_examples=12 // min(every, 4), deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(jobs(), st.sampled_from(["us", "si"]), st.data())
    def tight(made: tuple[Job, str], system: Any, data: Any) -> None:
        job, stage = made
        found = [r for r in ranges(job, stage, load(), POLICY, system) if r.name in job.graph.nodes]
        before = loud(job, stage)
        for one in data.draw(st.lists(st.sampled_from(found), min_size=1, max_size=4, unique_by=lambda r: r.pointer)):
            step, _ = STEPS[one.dimension][system]
            axis = job.graph.axis_of(one.name)
            key = None if axis is None else next(k for k in job.keys[axis] if f"/{k}/" in one.pointer)
            for sign, stop in ((-1, one.down), (1, one.up)):
                if stop is not None:
                    assert loud(moved(job, one.name, key, sign * stop.moved), stage) == before
                    after = loud(moved(job, one.name, key, sign * (stop.moved + step)), stage)
                    assert after != before
                    assert stop.rule in {rule for rule, *_ in after ^ before}
                elif one.dimension != "length" or one.value >= one.bound or sign > 0:
                    assert loud(moved(job, one.name, key, sign * one.bound), stage) == before

    tight()


def of(library: Library, name: str, system: Any) -> dict[str, Range]:
    spec = sample(name)
    job = library.job(spec.values, spec.keys)
    return {one.pointer: one for one in ranges(job, str(spec.stage), library, POLICY, system)}


def test_si_and_us_agree(library: Library) -> None:
    us, si = of(library, "tower-commissioned", "us"), of(library, "tower-commissioned", "si")
    assert us.keys() == si.keys()
    for pointer, one in us.items():
        other = si[pointer]
        steps = [STEPS[one.dimension][system] for system in ("us", "si")]  # type: ignore[index]
        least_reach = min(step * most for step, most in steps)
        for here, there in ((one.down, other.down), (one.up, other.up)):
            if here is not None and there is not None:
                assert abs(here.moved - there.moved) <= sum(step for step, _ in steps)
            elif here is not None or there is not None:  # one system looks farther than the other
                assert (here or there).moved >= least_reach  # type: ignore[union-attr]


def test_the_header_moves_with_its_diagonals(library: Library) -> None:
    found = of(library, "survey-clean", "us")
    header, left = found["/opening/height"], found["/opening/height/left"]
    assert header.up is None or header.up.rule != "opening.diagonals-agree"
    assert left.up is not None
    assert left.up.rule == "opening.height-spread"


def test_a_search_that_is_ended_leaves_the_rest_out(library: Library) -> None:
    spec = sample("tower-order")
    job = library.job(spec.values, spec.keys)
    asked = iter([False, False, True])
    found = ranges(job, "order", library, POLICY, "us", lambda: next(asked))
    assert [one.pointer for one in found] == ["/opening/height", "/opening/width"]

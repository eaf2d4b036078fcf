"""What would clear it: every remedy clears its finding when it is written into the spec, and brings no other."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import sample
from jsonschema import Draft202012Validator
from shared import DAY, ROOT, SAMPLES, Run, steady, thinned
from syrupy.assertion import SnapshotAssertion

from doorlint.evaluation import evaluate, evaluate_spec
from doorlint.findings import SpecReview
from doorlint.remedies import search
from doorlint.remedies.proposals import Remedies, remedies, with_ranges
from doorlint.reports import remedy_json, remedy_text
from doorlint.rulebook.library import Library, load, outcome_at
from doorlint.spec import Spec
from doorlint.verdict import Policy, Regrade, present

POLICY = Policy(DAY)
SCHEMA = json.loads((ROOT / "schemas" / "remedy.schema.json").read_bytes())
HELD = "sample_specs/rise-too-steep.yaml"
LOUD = ("error", "warning")
UNTOUCHED = ("stage", "approval", "as_built", "reading", "install", "practice", "job")


def held_rules() -> list[str]:
    """Errors and warnings that are held against a value."""
    return [rule.id for rule in load().rules.values() if rule.severity in LOUD and rule.kind.compares]


@cache
def spoiled(rule: str) -> Spec:
    """A clean sample on which the rule is just short."""
    said = load().rules[rule].statement["examples"]
    return sample(said["base"]).patched(said["outside"])


def found_for(spec: Spec, **more: Any) -> Remedies:
    return remedies(evaluate_spec(spec, "", load()), load(), POLICY, "door.yaml", **more)


@cache
def found_of(rule: str) -> Remedies:
    """What clears the sample on which the rule is just short."""
    return found_for(spoiled(rule))


def reviewed(spec: Spec) -> SpecReview:
    record, spec, job = evaluate_spec(spec, "", load())
    return present(record, load(), POLICY, "door.yaml", spec, job)


def open_in(review: SpecReview) -> set[tuple[Any, ...]]:
    """Errors and warnings, and errors that could not be checked, each by rule, pointer and thing."""
    found = {(f.rule, f.pointer, f.thing, "short") for f in review.findings if f.severity in LOUD}
    return found | {(g.rule, g.pointer, g.thing, "unknown") for g in review.not_checked if g.severity == "error"}


def holds_what_it_says(spec: Spec, found: Remedies) -> int:
    """Every remedy written into the spec, read and reviewed from the start; how many there were."""
    before, number = open_in(found.review), 0
    for answer in found.answers:
        target = (answer.finding.rule, answer.finding.pointer, answer.finding.thing, "short")
        assert target in before
        for proposal in answer.proposals:
            number += 1
            changed = spec.patched(proposal.patch)
            assert not changed.problems, (proposal.changes, changed.problems)
            after = open_in(reviewed(changed))
            assert target not in after, proposal.changes
            assert after <= before, (proposal.changes, after - before)
            cleared = {(*place, "short") for place in proposal.clears}
            assert before - after >= cleared, proposal.changes
            outcomes = load().outcomes(load().job(changed.values, changed.keys), found.review.stage or "")
            states = {(o.rule, o.pointer, o.key): o.state for o in outcomes}
            assert {states.get(place, "met") for place in proposal.clears} == {"met"}, proposal.changes
            assert untouched(spec, changed)
    return number


def untouched(before: Spec, after: Spec) -> bool:
    """Nothing is gone, and the stage, records, readings and sign-offs are as they were."""
    kept = all(set(before.keys[axis]) <= set(after.keys.get(axis, ())) for axis in before.keys)
    names = [name for name in before.values if name.partition(".")[0] in UNTOUCHED]
    return kept and all(before.values[name] == after.values.get(name) for name in names)


@pytest.mark.parametrize("rule", thinned(held_rules()[::4], 8))
def test_the_remedies_of_a_rule_clear_it_and_bring_nothing(rule: str) -> None:
    holds_what_it_says(spoiled(rule), found_of(rule))


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(held_rules()), min_size=2, max_size=3, unique=True))
def test_so_do_those_of_several_together(rules: list[str]) -> None:
    said = [load().rules[rule].statement["examples"] for rule in rules]
    spec = sample(said[0]["base"])
    for one in said:
        if one["base"] == said[0]["base"]:
            spec = spec.patched(one["outside"])
    if not spec.problems:
        holds_what_it_says(spec, found_for(spec))


@pytest.mark.slow
def test_most_rules_have_a_remedy_and_most_of_those_no_building_work() -> None:
    answers = {}
    for rule in held_rules()[3::5]:
        found = found_of(rule).answers
        answers[rule] = [answer for answer in found if answer.finding.rule == rule]
    helped = [rule for rule, found in answers.items() if found and found[0].proposals]
    in_stock = [rule for rule in helped if answers[rule][0].in_stock]
    assert len(helped) > 0.6 * len(answers)  # what was misread is measured again, what was not done is done
    assert len(in_stock) > 0.9 * len(helped)


LONG_SEARCH = pytest.param("fixings.hanger-bolt", marks=pytest.mark.slow)


@pytest.mark.parametrize("rule", ["headroom.swept", "cables.factor", "tower.never-slack", "tower.plates", LONG_SEARCH])
def test_corrections_come_first_and_building_work_last(rule: str) -> None:
    order = ("correction", "adjustment", "part", "building work")
    for answer in found_of(rule).answers:
        ranks = [order.index(one.kind) for one in answer.proposals]
        ends = [{0: 0, 3: 2}.get(rank, 1) for rank in ranks]
        assert ends == sorted(ends)
        middle = [len(one.clears) for one, end in zip(answer.proposals, ends, strict=True) if end == 1]
        assert middle == sorted(middle, reverse=True)


def test_springs_of_another_wire_are_offered_with_their_size_and_life() -> None:
    spec = sample("spring-from-another-door")
    found = found_for(spec)
    one = found.widest
    assert one is not None
    assert sorted(rule for rule, _, _ in one.clears) == ["operation.hand-holds", "torsion.drifts", "torsion.runs-down"]
    after = spec.patched(one.patch)
    assert not [finding for finding in reviewed(after).findings if finding.severity != "advisory"]
    wires = set(after.values["spring.wire"].values())
    assert len(wires) == 1
    assert wires != set(spec.values["spring.wire"].values())
    assert after.values["spring.length"] == {
        key: pytest.approx(wire * (after.values["spring.coils"][key] + 5))
        for key, wire in after.values["spring.wire"].items()
    }
    assert all(text in one.changes[0] for text in (" wire, ", " inside", " long", " openings by the textbook", " off"))


def test_where_nothing_in_stock_helps_it_says_what_the_building_lacks() -> None:
    found = found_for(spoiled("room.headroom-survey"))
    (answer,) = [answer for answer in found.answers if answer.finding.rule == "room.headroom-survey"]
    assert not answer.in_stock
    assert answer.proposals[0].changes == ("0.6 in more headroom, 15 1/2 in instead of 14.9 in",)
    text = remedy_text.render(found, "0", DAY)
    assert "Nothing in stock clears it; the building is short:" in text


def test_no_remedy_is_found_in_taking_the_thing_away() -> None:
    spec = sample("tower-order").patched({"room": {"obstructions": {"duct": {"underside": "13 ft"}}}})
    found = found_for(spec)
    assert found.answers
    for answer in found.answers:
        for proposal in answer.proposals:
            assert "duct" in spec.patched(proposal.patch).keys["obstruction"]


def test_what_is_missing_is_given_and_not_changed() -> None:
    found = found_for(sample("tower-order").patched({"room": {"back": None}}))
    (answer,) = [answer for answer in found.answers if answer.finding.rule == "completeness.room"]
    assert not answer.proposals
    assert "room.back-room" in {gap.rule for gap in found.lacking}


def test_what_is_signed_off_is_not_cleared_again() -> None:
    spoiled_spec = sample("tower-order").patched({"opening": {"floor_fall": "3/4 in"}})
    finding = next(f for f in reviewed(spoiled_spec).findings if f.rule == "opening.floor-fall")
    sign_off = {
        "rule": finding.rule, "pointer": finding.pointer, "value": "3/4 in", "limit": "1/2 in", "reason": "it is so",
        "by": "supervisor", "on": DAY, "until": "2026-06-01",
    }  # fmt: skip
    found = found_for(spoiled_spec.patched({"approvals": {"floor": sign_off}}))
    assert "opening.floor-fall" not in {answer.finding.rule for answer in found.answers}


def test_a_clean_job_has_nothing_to_clear() -> None:
    found = found_for(sample("tower-commissioned"))
    assert not found.answers
    assert not found.lacking
    assert found.complete


def test_a_search_that_is_ended_says_so() -> None:
    found = found_for(spoiled("cables.factor"), stop=lambda: True)
    assert not found.complete
    assert {proposal.kind for answer in found.answers for proposal in answer.proposals} <= {"correction"}
    text = " ".join(remedy_text.render(found, "0", DAY).split())
    assert "the search was ended before everything was tried" in text


@pytest.mark.parametrize("rule", ["tower.never-slack", LONG_SEARCH])
def test_a_search_is_bounded(rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = found_of(rule)
    monkeypatch.setattr(search, "MOST_CANDIDATES", 50)
    found = found_for(spoiled(rule))
    assert whole.complete
    assert not found.complete
    assert 50 <= found.candidates < whole.candidates / 2


def test_severities_of_the_shop_count() -> None:
    spec = spoiled("tower.plates")
    quiet = Policy(DAY, severities={"tower.plates": Regrade("advisory", "a trial")})
    found = remedies(evaluate_spec(spec, "", load()), load(), quiet, "door.yaml")
    assert "tower.plates" not in {answer.finding.rule for answer in found.answers}


@pytest.mark.parametrize("rule", thinned(["headroom.swept", "cables.factor", "room.side-tower", "tower.plates"], 4))
def test_si_and_us_agree(rule: str) -> None:
    spec = spoiled(rule)
    units = {"us": Policy(DAY, units="us"), "si": Policy(DAY, units="si")}
    checked = evaluate_spec(spec, "", load())
    us, si = (remedies(checked, load(), policy, "door.yaml") for policy in units.values())
    for one, other in zip(us.answers, si.answers, strict=True):
        assert one.finding.rule == other.finding.rule
        assert one.in_stock == other.in_stock
        assert bool(one.proposals) == bool(other.proposals)
    holds_what_it_says(spec, si)


def of_sample(path: Path, library: Library) -> Remedies:
    return remedies(evaluate(path.read_bytes(), library), library, POLICY, f"sample_specs/{path.name}")


@pytest.mark.slow
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_what_would_clear_a_sample(path: Path, library: Library, snapshot: SnapshotAssertion) -> None:
    """A line a remedy: what it changes, below the finding that it clears."""
    found = of_sample(path, library)
    if found.review.verdict == "clear":
        assert not found.answers
        return
    found = with_ranges(found, library, POLICY)
    text = remedy_text.render(found, "0", DAY)
    assert all(len(line) <= 80 for line in text.splitlines())
    lines = []
    for answer in found.answers:
        lines.append(f"{answer.finding.rule} {answer.finding.pointer}")
        lines += [f"  {one.kind}: {'; '.join(one.changes)}" for one in answer.proposals]
        assert all(change in " ".join(text.split()) for one in answer.proposals for change in one.changes)
    assert "\n".join(lines) == snapshot
    document = remedy_json.document(found, "0", DAY)
    Draft202012Validator(SCHEMA).validate(document)
    assert remedy_json.render(found, "0", DAY) == remedy_json.render(found, "0", DAY)


def test_the_whole_text_of_what_would_clear_a_sample(library: Library, snapshot: SnapshotAssertion) -> None:
    path = next(path for path in SAMPLES if path.stem == "duct-behind-header")
    assert steady(remedy_text.render(with_ranges(of_sample(path, library), library, POLICY), "0", DAY)) == snapshot


def test_the_command_says_what_would_clear_it(run: Run) -> None:
    done = run("remedy", HELD, "--on", DAY)
    assert done.returncode == 1
    assert "#1 correct the spec: track.rise 1/4 in/ft instead of 3/4 in/ft" in done.stdout
    done = run("remedy", "sample_specs/tower-order.yaml", "--on", DAY, "--as", "json")
    assert done.returncode == 0
    Draft202012Validator(SCHEMA).validate(json.loads(done.stdout))


def test_a_remedy_is_a_patch_that_the_change_command_takes_and_is_written_into_a_new_spec(
    run: Run, tmp_path: Path
) -> None:
    held, out = HELD, tmp_path / "new.yaml"
    found = json.loads(run("remedy", held, "--on", DAY, "--as", "json").stdout)
    steep = next(one for one in found["findings"] if one["finding"]["rule"] == "track.rise-most")
    (tmp_path / "patch.yaml").write_text(json.dumps(steep["remedies"][0]["patch"]), "utf-8")
    changed = run("change", held, tmp_path / "patch.yaml", "--on", DAY)
    assert changed.returncode == 0
    assert "nothing new" in changed.stdout
    number = steep["remedies"][0]["number"]
    done = run("remedy", held, "--apply", str(number), "--out", out, "--on", DAY)
    assert (done.returncode, done.stdout) == (1, "")
    was, now = ((ROOT / held).read_text("utf-8").splitlines(), out.read_text("utf-8").splitlines())
    assert [line for line in now if line not in was] == ["  rise: 1/4 in/ft"]
    assert run("review", out, "--on", DAY).returncode == 0
    again = run("remedy", held, "--apply", str(number), "--out", out, "--on", DAY)
    assert again.returncode == 2
    assert "a spec is never written over" in again.stderr
    none = run("remedy", held, "--apply", "99", "--out", tmp_path / "other.yaml", "--on", DAY)
    assert none.returncode == 2
    assert "there is no remedy 99; the remedies are numbered 1 to" in none.stderr
    assert "name its file with --out" in run("remedy", held, "--apply", "1").stderr


def number_text(number: int) -> str:
    return str(number)


@pytest.mark.slow
def test_nothing_measured_or_weighed_is_changed_but_by_building_work() -> None:
    spec = sample("tower-order").patched({"door": {"sections": {"s2": {"weight": "67 lb"}}}})
    found = found_for(spec)
    kinds = {
        (proposal.kind, edit.pointer)
        for answer in found.answers
        for proposal in answer.proposals
        for edit in proposal.edits
        if edit.pointer.endswith("/weight") or edit.pointer.startswith(("/room", "/opening"))
    }
    assert {kind for kind, _ in kinds} <= {"building work"}
    weighed = [answer.measure for answer in found.answers if "s2" in answer.measure]
    assert any("instead of 67 lb would clear it" in said for said in weighed)


def test_a_missing_value_is_measured_or_worked_out() -> None:
    spec = sample("tower-order").patched({"room": {"headroom": None}, "tower": {"hook_up_height": None}})
    said = {answer.finding.pointer: answer.measure for answer in found_for(spec).answers}
    assert said["/room/headroom"].startswith("not given; measure it: ")
    assert said["/tower/hook_up_height"] == "not given; doorlint works it out: 6'-1\""


def test_a_strut_is_not_put_where_one_is() -> None:
    thin = {"weight_from": "maker", "strut": {"kind": "hat", "height": "2 in"}, "second_moment": "0.05 in4"}
    spec = sample("tower-order").patched({"door": {"sections": {f"s{number}": thin for number in range(1, 7)}}})
    for answer in found_for(spec).answers:
        for proposal in answer.proposals:
            assert not [edit for edit in proposal.edits if "/strut/" in edit.pointer]


def test_a_remedy_clears_with_a_margin() -> None:
    found = found_for(sample("tower-order").patched({"tower": {"hook_up_height": "69 in"}}))
    for answer in found.answers:
        for proposal in answer.proposals:
            for place in proposal.clears:
                outcome = outcome_at(proposal.job, place)
                if outcome is not None and outcome.margin is not None and place == answer.finding.place:
                    assert outcome.margin > 1e-6


def test_a_spec_that_cannot_be_read_ends_with_2(run: Run, tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_text("doorlint: 1\nstage: order\n", "utf-8")
    done = run("remedy", tmp_path / "door.yaml", "--on", DAY)
    assert done.returncode == 2
    assert not done.stdout
    assert "door.yaml:1:1" in done.stderr


def test_a_stock_that_cannot_be_used_ends_with_2(run: Run, tmp_path: Path) -> None:
    said = '{dial: x, kind: part, say: x, set: room.headroom, to: ["30 in"]}'
    (tmp_path / "adjustments.yaml").write_text(f"stock:\n- {said}\n", "utf-8")
    done = run("remedy", "sample_specs/rise-too-steep.yaml", "--on", DAY, "--house-rules", tmp_path)
    assert done.returncode == 2
    assert "adjustments.yaml: dial x: room.headroom is measured; only building work changes it" in done.stderr


def test_a_drive_that_finds_no_room_beside_the_tower_goes_to_the_other_side() -> None:
    """Where they no longer stand on one side the check is asked no more."""
    found = found_for(spoiled("room.tower-and-drive"))
    (answer,) = [answer for answer in found.answers if answer.finding.rule == "room.tower-and-drive"]
    moved = [one for one in answer.proposals if one.patch == {"operation": {"side": "left"}}]
    assert [one.clears for one in moved] == [(("room.tower-and-drive", "/operation/side", None),)]
    assert found.job.with_changes({"operation.side": "left"}).cell("rule:room.tower-and-drive") == ()


@pytest.mark.parametrize("rule", ["room.headroom-agrees", "room.ceiling-agrees"])
def test_nothing_is_built_where_one_of_two_measurements_is_wrong(rule: str) -> None:
    answers = [answer for answer in found_for(spoiled(rule)).answers if answer.finding.rule == rule]
    assert answers
    assert not [one.changes for answer in answers for one in answer.proposals if one.kind == "building work"]


def test_no_remedy_stands_twice() -> None:
    """Two dials may come to the same change."""
    for answer in found_for(spoiled("tower.chain-timing")).answers:
        patches = [proposal.patch for proposal in answer.proposals]
        assert patches
        assert not [patch for number, patch in enumerate(patches) if patch in patches[:number]]

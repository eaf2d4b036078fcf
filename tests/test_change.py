"""What a change comes to: edits, figures that move, what the rules say then, the decision, and how it is told."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import jsonschema
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from shared import DAY, FORMS, ROOT, SAMPLES, SOME_OR_ALL, Run, thinned

from doorlint import quantities
from doorlint.batch import Call
from doorlint.changes.comparison import Change, Decision, asks, compare, decide
from doorlint.changes.shifts import KINDS, MET, NOT_ASKED, Kind, Shift, Side
from doorlint.commands import change as change_command
from doorlint.errors import WrongCall
from doorlint.evaluation import Evaluated, evaluate_spec
from doorlint.findings import Approved, Finding, NotChecked
from doorlint.reports import change_json, renderer
from doorlint.revisions import source_of
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import load, own_catalog
from doorlint.rulebook.rule import Source
from doorlint.sheet import SET_OUT
from doorlint.spec import Spec, parse, read
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy, Units, present

LIBRARY = load()
SCHEMA = json.loads((ROOT / "schemas" / "change.schema.json").read_bytes())
WIDE = {"track": {"bracket_spacing": "26 in"}}
SIGN_OFF = {
    "rule": "track.bracket-spacing", "pointer": "/track/bracket_spacing", "value": "26 in", "limit": "24 in",
    "reason": "posts", "by": "supervisor RT", "on": "2026-03-10", "until": "2026-05-31",
}  # fmt: skip
SIGNED = {"approvals": {"brackets": SIGN_OFF}}


def spec_of(sample: str, *patches: dict[str, Any]) -> Spec:
    spec = base(sample)
    for patch in patches:
        spec = spec.patched(patch)
    assert not spec.problems, spec.problems
    return spec


def approved_as(spec: Spec) -> Evaluated:
    return evaluate_spec(spec, "a" * 12, LIBRARY)


def change(before: Spec, after: Spec, *, units: Units = "as-written", stage: str | None = None) -> Change:
    first = evaluate_spec(before, "a" * 12, LIBRARY, stage)
    return compare(first, after, "b" * 12, LIBRARY, Policy(DAY, units=units), ("a.yaml", "b.yaml"), stage=stage)


def found(done: Change) -> dict[tuple[str, str, str | None], Shift]:
    return {(shift.rule, shift.pointer, shift.thing): shift for shift in done.shifts}


def of_rule(done: Change, rule: str) -> set[Kind]:
    return {shift.kind for shift in done.shifts if shift.rule == rule}


# laws

RULES_ON: dict[str, list[str]] = {}
for rule in LIBRARY.rules.values():
    RULES_ON.setdefault(rule.statement["examples"]["base"], []).append(rule.id)
Versions = tuple[str, list[str], list[str]]


@st.composite
def versions(draw: st.DrawFn) -> Versions:
    """A sample, and the rules that its two versions each come short of: up to three, mixed."""
    sample = draw(st.sampled_from(sorted(RULES_ON)))
    some = st.lists(st.sampled_from(RULES_ON[sample]), max_size=3)
    return sample, draw(some), draw(some)


def both(versions: Versions) -> tuple[Spec, Spec]:
    sample, *sides = versions
    one, other = (
        spec_of(sample, *(LIBRARY.rules[rule].statement["examples"]["outside"] for rule in rules)) for rules in sides
    )
    return one, other


MIRROR: dict[Kind, set[Kind]] = {
    "new": {"cleared", "gone", "not checked"},
    "cleared": {"new"},
    "worse": {"better"},
    "better": {"worse"},
    "other": {"other"},
    "as before": {"as before"},
    "not checked": {"new", "checked again", "gone"},
    "checked again": {"not checked"},
    "gone": {"new", "not checked"},
}


@SOME_OR_ALL
def test_a_change_and_its_undoing_mirror_each_other(every: int) -> None:
    @settings(deadline=None, max_examples=60 // every, suppress_health_check=[HealthCheck.too_slow])
    @given(versions())
    @example(("tower-order", [], ["cables.both-sides"]))
    def holds(versions: Versions) -> None:
        before, after = both(versions)
        there, back = change(before, after), change(after, before)
        assert {(edit.pointer, edit.before, edit.after) for edit in there.edits} == {
            (edit.pointer, edit.after, edit.before) for edit in back.edits
        }
        assert [(move.name, move.key, move.before, move.after) for move in there.moves] == [
            (move.name, move.key, move.after, move.before) for move in back.moves
        ]
        one, other = found(there), found(back)
        assert one.keys() == other.keys()
        for place, shift in one.items():
            mirrored = other[place]
            assert (shift.before.state, shift.after.state) == (mirrored.after.state, mirrored.before.state)
            assert mirrored.kind in MIRROR[shift.kind]

    holds()


@SOME_OR_ALL
def test_the_proposed_side_is_what_a_review_by_itself_says(every: int) -> None:
    """Figures that the approved job worked out already are used again only where they are the same."""

    @settings(deadline=None, max_examples=60 // every, suppress_health_check=[HealthCheck.too_slow])
    @given(versions())
    @example(("tower-order", ["cables.both-sides"], []))
    def holds(versions: Versions) -> None:
        before, after = both(versions)
        done = change(before, after)
        alone = evaluate_spec(after, "b" * 12, LIBRARY)
        review = present(alone.record, LIBRARY, Policy(DAY, units=before.system), "b.yaml", alone.spec, alone.job)
        assert done.proposed.findings == review.findings
        assert done.proposed.not_checked == review.not_checked
        assert done.proposed.job is not None
        assert alone.job is not None
        for name, node in LIBRARY.graph.nodes.items():
            if node.dimension is not None:
                assert done.proposed.job.cell(name) == alone.job.cell(name), name

    holds()


@SOME_OR_ALL
def test_the_report_has_the_shape_of_its_schema_and_every_form_tells_it(every: int) -> None:
    @settings(deadline=None, max_examples=40 // every, suppress_health_check=[HealthCheck.too_slow])
    @given(versions())
    def holds(versions: Versions) -> None:
        done = change(*both(versions))
        data = change_json.document(done, "0.0.0", DAY)
        jsonschema.Draft202012Validator(SCHEMA).validate(data)
        for form in ("text", "markdown"):
            text = renderer("change", form)(done, "0.0.0", DAY)
            for shift in done.shifts:
                assert shift.rule in text or "did not fit" in text or "not listed here" in text

    holds()


@pytest.mark.parametrize("sample", thinned(SAMPLES, 3), ids=lambda path: path.stem)
def test_a_change_to_itself_says_nothing(sample: Path) -> None:
    spec = read(sample.read_bytes(), own_catalog())
    done = change(spec, read(sample.read_bytes(), own_catalog()))
    assert (done.edits, done.moves, done.decision) == ((), (), "nothing new")
    assert {shift.kind for shift in done.shifts} <= {"as before"}
    html = renderer("change", "html")(done, "0.0.0", DAY)
    assert "<figure>" not in html


@pytest.mark.parametrize("sample", ["tower-install", "tower-commissioned", "torsion-commissioned"])
def test_the_same_size_in_other_units_is_no_change(sample: str) -> None:
    before = base(sample)
    metric: dict[str, Any] = {}
    for term in VOCABULARY.leaves.values():
        held = before.values.get(term.name)
        if term.kind == "quantity" and held is not None and not term.name.startswith("practice."):
            for key, value in held.items() if term.axis else [(None, held)]:
                _put(metric, VOCABULARY.pointer_of(term.name, key), quantities.write_exact(value, term.dimension, "si"))
    after = before.patched(metric)
    assert {before.text("/room/headroom"), after.text("/room/headroom")} in ({"26 in", "660.4 mm"}, {"20 in", "508 mm"})
    done = change(before, after)
    assert (done.edits, done.moves) == ((), ())
    assert {shift.kind for shift in done.shifts} <= {"as before"}


def _put(patch: dict[str, Any], pointer: str, text: str) -> None:
    *groups, key = pointer.split("/")[1:]
    for group in groups:
        patch = patch.setdefault(group, {})
    patch[key] = text


# what was changed


def test_edits_name_the_value_and_both_sides_as_written() -> None:
    done = change(base("tower-install"), spec_of("tower-install", {"hangers": {"left-1": {"station": "6'-1\""}}}))
    (edit,) = done.edits
    assert edit[:4] == ("/hangers/left-1/station", "hanger left-1: station", "6'-0\"", "6'-1\"")


def test_a_thing_added_or_taken_away_is_one_edit() -> None:
    lamp = {"kind": "light", "from_wall": "9 ft", "underside": "15 ft"}
    patch = {"room": {"obstructions": {"lamp": lamp}}, "hangers": {"left-2": None}}
    there = change(base("tower-install"), spec_of("tower-install", patch))
    told = {edit.pointer: edit for edit in there.edits}
    assert told.keys() == {"/room/obstructions/lamp", "/hangers/left-2"}
    assert told["/room/obstructions/lamp"].after == "kind light, from wall 9 ft, underside 15 ft"
    gone = told["/hangers/left-2"].before
    assert gone is not None
    assert gone.startswith("side left, station 11'-3\"")
    assert gone.endswith("more")


def test_a_group_that_changes_places_is_told_whole() -> None:
    done = change(base("tower-install"), spec_of("tower-install", {"tower": {"cover": None}}))
    (edit,) = done.edits
    assert (edit.label, edit.before, edit.after) == ("tower: cover", "material steel, gage 14, height 7 ft", None)


def test_values_that_change_alike_share_a_line() -> None:
    lower = {"opening": {"height": dict.fromkeys(("left", "middle", "right"), "11'-11\"")}}
    text = renderer("change", "text")(change(base("tower-install"), spec_of("tower-install", lower)), "0.0.0", DAY)
    assert "opening: height left, middle, right: 12'-0\" before, now 11'-11\"" in text


# what moves


def test_a_figure_that_can_no_longer_be_worked_out_says_what_it_wants() -> None:
    done = change(base("tower-install"), spec_of("tower-install", {"track": {"radius": None}}))
    text = renderer("change", "text")(done, "0.0.0", DAY)
    assert re.search(r"now\s+not\s+known\s+\(not\s+given:\s+/track/radius\)", text)
    data = change_json.document(done, "0.0.0", DAY)
    move = next(move for move in data["figures"] if move["figure"] == "sweep.headroom_needed")
    assert (move["after"]["value"], move["after"]["missing"]) == (None, ["/track/radius"])
    assert move["before"]["value"] > 0


def test_what_to_set_out_anew_comes_in_the_order_of_the_work() -> None:
    lower = {"opening": {"height": dict.fromkeys(("left", "middle", "right"), "11'-9\"")}}
    data = change_json.document(change(base("tower-install"), spec_of("tower-install", lower)), "0.0.0", DAY)
    names = [move["figure"] for move in data["figures"] if move["set_out_anew"]]
    assert names == sorted(names, key=SET_OUT.index)
    assert "track.tangent_height" in names
    flags = [move["set_out_anew"] for move in data["figures"]]
    assert flags == sorted(flags, reverse=True)


def test_a_tower_that_neither_job_has_moves_nothing() -> None:
    lower = {"opening": {"height": dict.fromkeys(("left", "middle", "right"), "9'-9\"")}}
    done = change(base("torsion-order"), spec_of("torsion-order", lower))
    assert done.moves
    assert not [move.name for move in done.moves if move.name.startswith("tower.")]


def test_figures_are_told_in_the_approved_units_unless_asked() -> None:
    patch = {"opening": {"width": dict.fromkeys(("top", "middle", "bottom"), "11'-5 3/4\"")}}
    before, after = base("tower-order-metric"), spec_of("tower-order-metric", patch)
    assert after.system == "us"
    assert "3500 mm" in renderer("change", "text")(change(before, after), "0.0.0", DAY)
    assert change(before, after).proposed.system == "si"
    assert change(before, after, units="us").proposed.system == "us"


# what the rules say


def test_some_fixed_and_some_broken() -> None:
    before = spec_of("tower-install", WIDE)
    after = spec_of("tower-install", {"opening": {"diagonal": {"falling": "17'-0 3/4\""}}})
    done = change(before, after)
    assert of_rule(done, "track.bracket-spacing") == {"cleared"}
    assert of_rule(done, "opening.square") == {"new"}
    assert done.decision == "sign-off"


def test_worse_and_better() -> None:
    wider = spec_of("tower-install", {"track": {"bracket_spacing": "27 in"}})
    worse, better = change(spec_of("tower-install", WIDE), wider), change(wider, spec_of("tower-install", WIDE))
    assert of_rule(worse, "track.bracket-spacing") == {"worse"}
    assert of_rule(better, "track.bracket-spacing") == {"better"}
    assert (worse.decision, better.decision) == ("sign-off", "nothing new")
    assert "now" not in renderer("change", "text")(better, "0.0.0", DAY).partition("BETTER")[2].partition("at most")[0]


def test_what_is_no_worse_only_by_a_moved_limit_says_so() -> None:
    """As much is lacking as before; by the approved job's limit it would be more."""
    looser = {"track": {"bracket_spacing": "30 in"}, "practice": {"bracket_spacing": "28.02 in"}}
    done = change(spec_of("tower-install", WIDE), spec_of("tower-install", looser))
    (shift,) = (shift for shift in done.shifts if shift.rule == "track.bracket-spacing")
    assert shift.kind == "limit moved"
    assert done.decision == "sign-off"
    assert shift.before.finding is not None
    assert shift.after.finding is not None
    assert shift.before.finding.message != shift.after.finding.message


def test_another_wrong_choice_is_neither_better_nor_worse() -> None:
    wood, mesh = ({"tower": {"cover": {"material": material}}} for material in ("wood", "plastic"))
    done = change(spec_of("tower-install", wood), spec_of("tower-install", mesh))
    assert "other" in {shift.kind for shift in done.shifts if shift.pointer == "/tower/cover/material"}
    assert done.decision == "hold"


def test_what_can_no_longer_be_checked_holds_where_it_is_an_error() -> None:
    done = change(base("tower-install"), spec_of("tower-install", {"tower": {"head_pulley_height": None}}))
    gaps = [shift for shift in done.shifts if shift.kind == "not checked"]
    assert gaps
    assert done.decision == "hold"
    text = renderer("change", "text")(done, "0.0.0", DAY)
    assert "CANNOT BE CHECKED AFTER THIS CHANGE" in text
    assert "/tower/head_pulley_height" in text


def test_what_is_given_again_is_cleared_and_checked_again() -> None:
    done = change(spec_of("tower-install", {"tower": {"head_pulley_height": None}}), base("tower-install"))
    assert {shift.kind for shift in done.shifts} == {"cleared", "checked again"}
    assert done.decision == "nothing new"


def test_a_thing_taken_away_takes_its_findings_with_it_and_that_is_said() -> None:
    off = {"hangers": {"left-2": {"braced_along": "false"}}}
    done = change(spec_of("tower-install", off), spec_of("tower-install", {"hangers": {"left-2": None}}))
    gone = {shift.rule for shift in done.shifts if shift.kind == "gone"}
    assert "hangers.braced-along" in gone
    assert "No longer asked" in renderer("change", "html")(done, "0.0.0", DAY)


def test_a_sign_off_in_the_proposal_settles_what_it_covers() -> None:
    done = change(base("tower-install"), spec_of("tower-install", WIDE, SIGNED))
    assert of_rule(done, "track.bracket-spacing") == {"signed off"}
    assert done.decision == "sign-off"
    for form in FORMS["change"]:
        assert "supervisor RT" in renderer("change", form)(done, "0.0.0", DAY)


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ({}, "as before"),
        ({"until": "2026-06-01"}, "signed off"),
        ({"limit": "23 in"}, "signed off"),
        ({"value": "27 in", "by": "supervisor LM"}, "signed off"),
    ],
    ids=["unchanged", "later last day", "other limit", "other value and name"],
)
def test_a_sign_off_that_the_proposal_writes_anew_is_another_one(said: dict[str, str], kind: Kind) -> None:
    anew = {"approvals": {"brackets": SIGN_OFF | said}}
    done = change(spec_of("tower-install", WIDE, SIGNED), spec_of("tower-install", WIDE, anew))
    assert of_rule(done, "track.bracket-spacing") == {kind}
    assert done.decision == ("nothing new" if kind == "as before" else "sign-off")
    text = " ".join(renderer("change", "text")(done, "0.0.0", DAY).split())
    assert f"until {said.get('until', SIGN_OFF['until'])}" in text
    (one,) = (one for one in done.shifts if one.rule == "track.bracket-spacing")
    assert one.after.finding is not None
    assert (one.after.finding.message in text) is (kind == "signed off")


def test_a_sign_off_taken_out_opens_the_finding_again() -> None:
    done = change(spec_of("tower-install", WIDE, SIGNED), spec_of("tower-install", WIDE))
    assert of_rule(done, "track.bracket-spacing") == {"open again"}
    assert done.decision == "sign-off"


def test_a_change_beyond_what_was_signed_off_is_worse() -> None:
    wider = spec_of("tower-install", {"track": {"bracket_spacing": "27 in"}}, SIGNED)
    done = change(spec_of("tower-install", WIDE, SIGNED), wider)
    assert of_rule(done, "track.bracket-spacing") == {"worse"}
    assert of_rule(done, "approval.worsened") == {"new"}
    assert done.decision == "sign-off"


def test_a_sign_off_of_what_nobody_may_sign_off_holds() -> None:
    said = {**SIGN_OFF, "rule": "headroom.swept", "pointer": "/room/headroom"}
    done = change(base("tower-install"), spec_of("tower-install", {"approvals": {"fine": said}}))
    assert of_rule(done, "approval.refused") == {"new"}
    assert done.decision == "hold"


def test_a_later_stage_asks_more_and_says_so() -> None:
    done = change(base("tower-order"), spec_of("tower-order", {"stage": "install"}))
    assert (done.approved.stage, done.proposed.stage, done.decision) == ("order", "install", "hold")
    text = " ".join(renderer("change", "text")(done, "0.0.0", DAY).split())
    assert "what install asks first counts as new" in text
    assert "(not asked of the approved job)" in text
    assert change(base("tower-order"), spec_of("tower-order", {"stage": "install"}), stage="order").decision == (
        "nothing new"
    )


def test_going_back_a_stage_clears_nothing() -> None:
    off = {"hangers": {"left-2": {"braced_along": "false"}}}
    done = change(spec_of("tower-install", off), spec_of("tower-install", off, {"stage": "survey"}))
    assert done.proposed.stage == "install"
    assert {shift.kind for shift in done.shifts} == {"as before"}
    assert "checked for install" in " ".join(renderer("change", "text")(done, "0.0.0", DAY).split())


# the decision


def shift(kind: Kind, severity: Any, sign_off: str, *, gap: bool = False) -> Shift:
    source = Source("practice")
    finding = Finding(
        "x.y", "t", severity, 1, 1, "/x", "m", None, None, None, False, source, "", "", sign_off, None
    )  # fmt: skip
    after: Side = MET if kind in ("better", "cleared", "gone") else Side("open", finding)
    if gap:
        after = Side("not checked", NotChecked("x.y", "t", severity, "/x", "input missing", ("/a",), "", 1, 1))
    if kind == "signed off":
        after = Side("signed off", Approved(finding, {}))
    return Shift(kind, "x.y", "/x", None, severity, NOT_ASKED, after)


@pytest.mark.parametrize(
    ("one", "decision"),
    [
        (shift("new", "error", "never"), "hold"),
        (shift("new", "error", "supervisor"), "sign-off"),
        (shift("new", "warning", "supervisor"), "sign-off"),
        (shift("new", "warning", "never"), "hold"),
        (shift("new", "advisory", "never"), "nothing new"),
        (shift("worse", "error", "never"), "hold"),
        (shift("worse", "warning", "supervisor"), "sign-off"),
        (shift("other", "warning", "supervisor"), "sign-off"),
        (shift("open again", "warning", "supervisor"), "sign-off"),
        (shift("not checked", "error", "never", gap=True), "hold"),
        (shift("not checked", "warning", "never", gap=True), "sign-off"),
        (shift("not checked", "advisory", "never", gap=True), "nothing new"),
        (shift("signed off", "warning", "supervisor"), "nothing new"),
        (shift("better", "error", "never"), "nothing new"),
        (shift("cleared", "error", "never"), "nothing new"),
        (shift("gone", "error", "never"), "nothing new"),
        (shift("as before", "error", "never"), "nothing new"),
    ],
    ids=lambda part: part if isinstance(part, str) else f"{part.kind}-{part.severity}",
)
def test_what_a_shift_asks_for(one: Shift, decision: Decision) -> None:
    assert asks(one) == decision
    assert decide((one,)) == decision
    assert decide((shift("cleared", "error", "never"), one)) == decision


def test_no_shift_asks_for_nothing() -> None:
    assert decide(()) == "nothing new"
    assert len(set(KINDS)) == len(KINDS)


# files, patches and how it is told


def changed(approved: str, proposed: str) -> Change:
    return change_command.change(source_of(approved), source_of(proposed), Call((), None, Policy(DAY)))


def write(path: Path, text: str) -> Path:
    path.write_text(text, "utf-8")
    return path


def sample_text(name: str, *pairs: tuple[str, str]) -> str:
    text = (ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8")
    for before, after in pairs:
        assert before in text
        text = text.replace(before, after)
    return text


def test_a_patch_says_what_the_whole_spec_would(tmp_path: Path) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    whole = write(tmp_path / "b.yaml", sample_text("tower-install", ("headroom: 26 in", "headroom: 20 in")))
    patch = write(tmp_path / "p.yaml", "room: {headroom: 20 in}\n")
    by_whole, by_patch = (changed(str(approved), str(side)) for side in (whole, patch))
    assert (by_whole.edits, by_whole.moves, by_whole.decision) == (by_patch.edits, by_patch.moves, by_patch.decision)
    assert [one[:5] for one in by_whole.shifts] == [one[:5] for one in by_patch.shifts]
    assert (by_whole.patch, by_patch.patch) == (False, True)


def test_a_whole_spec_as_json_is_no_patch_however_it_is_indented(tmp_path: Path) -> None:
    text = sample_text("tower-install")
    approved = write(tmp_path / "a.yaml", text)
    whole: Any = parse(text.encode()).tree
    del whole["hangers"]["left-2"]
    for indent in (2, None):
        proposed = write(tmp_path / "b.json", json.dumps({**whole, "doorlint": 1}, indent=indent))
        done = changed(str(approved), str(proposed))
        assert not done.patch
        assert [(edit.pointer, edit.after) for edit in done.edits] == [("/hangers/left-2", None)]


def test_what_git_says_first_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    git = write(tmp_path / "git", "#!/bin/sh\nprintf 'fatal: not your folder\\nTo add it, call\\n' >&2\nexit 128\n")
    git.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path), prepend=os.pathsep)
    with pytest.raises(
        WrongCall, match=r"^main:door\.yaml: git knows no such file .*; it says: fatal: not your folder$"
    ):
        changed("main:door.yaml", "sample_specs/tower-install.yaml")


def test_null_takes_a_value_away(tmp_path: Path) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    patch = write(tmp_path / "p.yaml", "hangers:\n  left-2: null\ntrack:\n  radius:\n")
    done = changed(str(approved), str(patch))
    assert {(edit.pointer, edit.after) for edit in done.edits} == {("/hangers/left-2", None), ("/track/radius", None)}


@pytest.mark.parametrize(
    ("patch", "said"),
    [
        ("room: {headroom: 20}", "/room/headroom: found 20 without a unit"),
        ("room: {hedroom: 20 in}", "/room/hedroom"),
        ("- room", "neither a spec nor changed values"),
        ("room: [", r"p\.yaml:"),
        ("room: &a {headroom: 20 in}", "anchor"),
        ("", "neither a spec nor changed values"),
        ("doorlint: 1\nroom: {headroom: 20 in}", r"p\.yaml:\d+:\d+"),
        ("\x00", r"p\.yaml:"),
    ],
)
def test_a_proposal_that_cannot_be_read_is_refused(tmp_path: Path, patch: str, said: str) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    with pytest.raises(WrongCall, match=said):
        changed(str(approved), str(write(tmp_path / "p.yaml", patch)))


def test_no_more_problems_than_can_be_read_are_told(tmp_path: Path) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    names = "".join(f"  x{number}: 1\n" for number in range(9))
    with pytest.raises(WrongCall, match=r"and 4 more$"):
        changed(str(approved), str(write(tmp_path / "p.yaml", f"room:\n{names}")))


def test_a_side_that_cannot_be_read_exits_2_and_prints_no_decision(run: Run, tmp_path: Path) -> None:
    good = write(tmp_path / "a.yaml", sample_text("tower-install"))
    bad = write(tmp_path / "b.yaml", sample_text("tower-install", ("headroom: 26 in", "headroom: 26")))
    for approved, proposed in ((bad, good), (good, bad), (good, tmp_path), (tmp_path / "none.yaml", good)):
        done = run("change", approved, proposed, "--on", DAY)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr
        assert "Traceback" not in done.stderr


@pytest.mark.parametrize("form", thinned(FORMS["change"], 4))
def test_the_same_change_gives_the_same_bytes(launch: Run, tmp_path: Path, form: str) -> None:
    patch = write(tmp_path / "p.yaml", "room: {headroom: 20 in}\nhangers: {left-2: null}\n")
    words = ("change", "sample_specs/tower-install.yaml", patch, "--as", form, "--on", DAY)
    one = launch(*words, PYTHONHASHSEED="1", TZ="UTC").stdout
    assert one == launch(*words, PYTHONHASHSEED="7", TZ="Asia/Tokyo").stdout


def test_out_is_never_one_of_the_specs(run: Run, tmp_path: Path) -> None:
    spec = write(tmp_path / "a.yaml", sample_text("tower-install"))
    before = spec.read_bytes()
    patch = write(tmp_path / "p.yaml", "room: {headroom: 20 in}\n")
    for target in (spec, patch):
        assert run("change", spec, patch, "--on", DAY, "--out", target).returncode == 2
    assert spec.read_bytes() == before
    assert patch.read_text("utf-8") == "room: {headroom: 20 in}\n"
    report = tmp_path / "report.html"
    assert run("change", spec, patch, "--on", DAY, "--as", "html", "--out", report).returncode == 1
    assert report.read_text("utf-8").startswith("<!doctype html>")


HOSTILE = (
    "<script>alert(1)</script>", "a|b `c` *d*", "[north](http://site.example/x)", "@crew #12", "\u202eback",
    "]]> &amp; \" '", "{{ 7 * 7 }}",
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_spec_says_does_nothing_in_a_report(text: str) -> None:
    after = base("tower-install").patched({"job": {"notes": text, "site": text}, "track": {"bracket_spacing": "27 in"}})
    assert not after.problems
    done = change(base("tower-install"), after)
    assert json.loads(renderer("change", "json")(done, "0.0.0", DAY))["edits"][0]["after"] == text
    html = renderer("change", "html")(done, "0.0.0", DAY)
    assert "<script" not in html
    markdown = renderer("change", "markdown")(done, "0.0.0", DAY)
    assert not re.search(r"<script|(?<!\\)\|b|(?<!\\)\[north|@c|#1", markdown)
    for form in ("text", "markdown"):
        plain = renderer("change", form)(done, "0.0.0", DAY)
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", plain)


def test_the_page_draws_both_outlines() -> None:
    lower = {"opening": {"height": dict.fromkeys(("left", "middle", "right"), "11'-9\"")}}
    html = renderer("change", "html")(change(base("tower-install"), spec_of("tower-install", lower)), "0.0.0", DAY)
    for figure in re.findall(r"<figure>.*?</figure>", html, re.DOTALL):
        assert figure.count('class="was"') > 1
        assert figure.count('class="now"') > 1
    assert "header 11&#39;-9" in html or "header 11'-9" in html


@pytest.mark.parametrize(
    "changed",
    thinned(
        [
            ("tower-install", {"track": None}),
            ("tower-install", {"door": None}),
            ("tower-install", {"opening": None}),
            ("tower-install", {"opening": {"height": None}}),
            ("tower-install", {"tower": None}),
            ("tower-install", {"tower": {"side": "left"}}),
            ("tower-install", {"room": {"ceiling": None}, "hangers": {"left-1": {"drop": None}}}),
            ("tower-install", {"hangers": None, "mounts": None}),
            ("tower-install", {"track": {"radius": None}}),
            ("tower-install", {"door": {"sections": {"s6": None}}}),
            ("torsion-order", {"torsion": {"shaft": None}}),
            ("torsion-order", {"track": {"lift": "high", "high_lift": "12 in"}}),
            ("torsion-order", {"track": {"lift": "vertical"}}),
            ("survey-clean", {"room": {"headroom": "20 in"}}),
            ("survey-clean", {"opening": None, "room": None}),
        ],
        3,
    ),
    ids=str,
)
def test_the_page_draws_what_is_known_on_either_side(changed: tuple[str, dict[str, Any]]) -> None:
    sample, patch = changed
    pair = base(sample), spec_of(sample, patch)
    for before, after in (pair, pair[::-1], (pair[1], pair[1])):
        html = renderer("change", "html")(change(before, after), "0.0.0", DAY)
        for svg in re.findall(r"<svg.*?</svg>", html, re.DOTALL):
            root = ET.fromstring(svg)
            assert root.find("{*}title") is not None
            assert "nan" not in svg
            assert "inf" not in re.sub(r"<desc.*?</desc>|<text.*?</text>", "", svg)


def test_a_long_report_is_cut_where_a_comment_ends() -> None:
    bare = spec_of("tower-install", {"stage": "commissioned", "track": None, "door": None})
    done = change(base("tower-install"), bare)
    text = renderer("change", "markdown")(done, "0.0.0", DAY)
    assert len(text) < 65_536
    assert "not listed here" in text or "did not fit" in text


def test_findings_have_the_shape_that_a_review_gives_them() -> None:
    report = json.loads((ROOT / "schemas" / "report.schema.json").read_bytes())
    mine, reviewed = SCHEMA["$defs"]["finding"], report["$defs"]["finding"]
    numbered = {"number", "follows_from"}  # of a finding in the list of one spec
    assert set(reviewed["required"]) == set(mine["required"]) | numbered
    assert {key: value for key, value in reviewed["properties"].items() if key not in numbered} == mine["properties"]
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


# a change written into the spec, and its sign-off


def test_the_changed_values_are_written_and_remarks_stay(run: Run, tmp_path: Path) -> None:
    text = "# north dock\n" + sample_text("tower-install").replace("headroom: 26 in", "headroom: 26 in  # to the beam")
    approved = write(tmp_path / "a.yaml", text)
    values = {"room": {"headroom": "20 in"}, "track": {"rise": None}, "cables": {"near": {"clips": "4"}}}
    patch = write(tmp_path / "p.yaml", json.dumps(values))
    out = tmp_path / "b.yaml"
    done = run("change", approved, patch, "--apply", "--out", out, "--on", DAY)
    assert (done.returncode, done.stdout) == (1, ""), done.stderr
    merged = out.read_text("utf-8")
    assert approved.read_text("utf-8") == text
    changed_lines = [(old, new) for old, new in zip(text.splitlines(), merged.splitlines(), strict=True) if old != new]
    assert len(changed_lines) == 3
    assert "headroom: 20 in  # to the beam" in merged
    assert read(merged).values == read(text).patched(values).values


def test_headroom_that_follows_the_header_is_written_too(run: Run, tmp_path: Path) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    patch = write(tmp_path / "p.yaml", "opening: {height: {left: 142 in, middle: 142 in, right: 142 in}}\n")
    run("change", approved, patch, "--apply", "--out", tmp_path / "b.yaml", "--on", DAY)
    assert read((tmp_path / "b.yaml").read_bytes()).values["room.headroom"] == pytest.approx(28 * 0.0254)


@pytest.mark.parametrize(
    ("patch", "words", "said"),
    [
        ("hangers: {left-2: null}\n", ["--out", "b.yaml"], "/hangers/left-2 is a whole group"),
        ("room: {headroom: 20 in}\n", [], "--apply needs --out FILE"),
        ("room: {headroom: 20 in}\n", ["--out", "a.yaml"], "a spec is never written over"),
        (sample_text("tower-order"), ["--out", "b.yaml"], "is a whole spec"),
    ],
)
def test_what_cannot_be_written_is_refused_and_nothing_is_written(
    run: Run, tmp_path: Path, patch: str, words: list[str], said: str
) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    write(tmp_path / "p.yaml", patch)
    done = run("change", "a.yaml", "p.yaml", "--apply", *words, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert approved.read_text("utf-8") == sample_text("tower-install")
    assert not (tmp_path / "b.yaml").exists()


def test_the_sign_off_of_a_change_is_drafted(run: Run, tmp_path: Path) -> None:
    approved = write(tmp_path / "a.yaml", sample_text("tower-install"))
    patch = write(tmp_path / "p.yaml", "track: {bracket_spacing: 26 in}\n")
    done = run("change", approved, patch, "--draft-approval", "track.bracket-spacing", "--on", DAY)
    assert done.returncode == 0, done.stderr
    assert "rule: track.bracket-spacing" in done.stdout
    assert "a.yaml" in done.stdout.splitlines()[0]
    refused = run("change", approved, patch, "--draft-approval", "headroom.swept", "--on", DAY)
    assert refused.returncode == 2

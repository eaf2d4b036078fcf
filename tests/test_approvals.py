"""Sign-offs: what each one covers and for how long, what is wrong with those that do not count, and drafts."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shared import DAY, FORMS, ROOT, Run, thinned

from doorlint import approvals
from doorlint.approvals import BUILTIN_RULES, Terms, drafts, rule_on
from doorlint.builtin_rules import BUILTIN_RULES as ALL
from doorlint.errors import WrongCall
from doorlint.evaluation import Evaluated, evaluate_spec
from doorlint.findings import SpecReview
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.rule import STAGES, Outcome, Rule
from doorlint.spec import parse
from doorlint.verdict import Policy, draft_approvals, present

LIBRARY = load()
TERMS = Terms(DAY, 90, 0.1, None)
UNTIL = "2026-05-31"
SIGNED = {"reason": "seen on site", "by": "supervisor RT", "until": UNTIL}
BRACKETS = {
    "rule": "track.bracket-spacing", "pointer": "/track/bracket_spacing", "value": "26 in", "limit": "24 in",
    "on": "2026-03-10", **SIGNED,
}  # fmt: skip
WIDE = {"track": {"bracket_spacing": "26 in"}}


def example(rule: Rule) -> tuple[str, dict[str, Any], str]:
    """Sample and patch that leave a rule short, and a stage that asks it."""
    said = rule.statement["examples"]
    return said["base"], said["outside"], max(rule.stage, base(said["base"]).values["stage"], key=STAGES.index)


def checked(sample: str, *patches: dict[str, Any], library: Library = LIBRARY, stage: str | None = None) -> Evaluated:
    spec = base(sample)
    for patch in patches:
        spec = spec.patched(patch)
    assert not spec.problems, spec.problems
    return evaluate_spec(spec, "", library, stage)


def reviewed(
    sample: str, *patches: dict[str, Any], on: str = DAY, library: Library = LIBRARY, stage: str | None = None
) -> SpecReview:
    done = checked(sample, *patches, library=library, stage=stage)
    return present(done.record, library, Policy(on), "door.yaml", done.spec, done.job)


def with_brackets(**changed: str | None) -> dict[str, Any]:
    """A sign-off for wide brackets, with some of what it says changed or left out."""
    said = {key: value for key, value in {**BRACKETS, **changed}.items() if value is not None}
    return {"approvals": {"brackets": said}}


def troubles(review: SpecReview) -> dict[str, str]:
    return {finding.rule: finding.message for finding in review.findings if finding.rule in BUILTIN_RULES}


def open_rules(review: SpecReview) -> set[str]:
    return {finding.rule for finding in review.findings}


def short(review: SpecReview) -> set[approvals.FindingKey]:
    """What is not met; what is met by less than a tape can tell is an advisory and wants no sign-off."""
    return {
        (finding.rule, finding.pointer, finding.thing)
        for finding in review.findings
        if not (finding.marginal and finding.margin is not None and finding.margin >= 0)
    }


# what a sign-off covers


def test_a_sign_off_takes_the_finding_out_of_the_verdict_and_leaves_it_in_sight() -> None:
    bare, signed = reviewed("tower-install", WIDE), reviewed("tower-install", WIDE, with_brackets())
    assert open_rules(bare) == {"track.bracket-spacing"}
    assert not signed.findings
    (approved,) = signed.approved
    assert approved.finding.message == bare.findings[0].message
    assert approved.approval["by"] == "supervisor RT"


SUPERVISED = [rule.id for rule in LIBRARY.rules.values() if rule.sign_off == "supervisor"]


def drafted(done: Evaluated, rule: str, policy: Policy, library: Library = LIBRARY) -> dict[str, Any]:
    """The approvals that a draft holds, filled in as a supervisor would."""
    tree = parse(draft_approvals(done.record, library, policy, "door.yaml", rule)).tree
    assert isinstance(tree, dict)
    made: Any = tree["approvals"]
    assert all(said["until"] is None and said["reason"] is None and said["by"] is None for said in made.values())
    return {"approvals": {name: {**said, **SIGNED} for name, said in made.items()}}


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("rule", thinned(SUPERVISED, 8))
def test_a_draft_covers_exactly_the_findings_it_was_made_from(rule: str, units: Any) -> None:
    sample, outside, stage = example(LIBRARY.rules[rule])
    policy = Policy(DAY, units=units)
    done = checked(sample, outside, stage=stage)
    before = present(done.record, LIBRARY, policy, "door.yaml", done.spec, done.job)
    mine = {place for place in short(before) if place[0] == rule}
    assert mine
    head = draft_approvals(done.record, LIBRARY, policy, "door.yaml", rule).splitlines()[0]
    assert head.startswith("# Paste at the end of door.yaml and fill in the empty values;")
    after = reviewed(sample, outside, drafted(done, rule, policy), stage=stage)
    assert {(said.finding.rule, said.finding.pointer, said.finding.thing) for said in after.approved} == mine
    assert short(after) == short(before) - mine
    assert not troubles(after)
    late = reviewed(sample, outside, drafted(done, rule, policy), on="2026-10-01", stage=stage)
    assert mine <= short(late)
    assert "approval.lapsed" in troubles(late)


FORBIDDEN = [rule.id for rule in LIBRARY.rules.values() if rule.sign_off == "never"]


@pytest.mark.parametrize("rule", thinned(FORBIDDEN, 8))
def test_what_nobody_may_sign_off_stays_open_and_the_reason_is_said(rule: str) -> None:
    said = LIBRARY.rules[rule]
    sample, outside, stage = example(said)
    bare = reviewed(sample, outside, stage=stage)
    place = next(finding for finding in bare.findings if finding.rule == rule)
    sign_off = {**BRACKETS, "rule": rule, "pointer": place.pointer, "value": "1", "limit": "2"}
    after = reviewed(sample, outside, {"approvals": {"all-fine": sign_off}}, stage=stage)
    assert after.verdict == "hold"
    assert not after.approved
    assert rule in open_rules(after)
    note = (said.safety or said.why).replace("{counterbalance.make_safe}", "")
    refused = troubles(after)["approval.refused"]
    assert all(part in refused for part in note.split(". ") if part)
    assert "{" not in refused
    with pytest.raises(WrongCall, match="nobody may sign off"):
        draft_approvals(checked(sample, outside, stage=stage).record, LIBRARY, Policy(DAY), "door.yaml", rule)


def test_every_error_of_the_library_is_beyond_signing_off() -> None:
    assert {rule.sign_off for rule in LIBRARY.rules.values() if rule.severity == "error"} == {"never"}


BEYOND = {
    "operation.eye-height", "operation.edge-force", "operation.closing-force", "operation.disconnect",
    "operation.hand-release", "operation.released-door", "lifting.line-strength", "lifting.crew-hauls", "cables.losses",
}  # fmt: skip
"""Warnings about somebody caught under the door, a load overhead, or a factor eaten into."""


def test_nor_is_what_carries_or_could_crush_somebody() -> None:
    assert LIBRARY.rules.keys() >= BEYOND
    carriers = {"cables", "pulleys", "hangers", "fixings", "completeness-supports"}
    loud = [rule for rule in SUPERVISED if LIBRARY.rules[rule].severity != "advisory"]
    assert not [rule for rule in loud if rule in BEYOND or rule.partition(".")[0] in carriers]


lengths = st.floats(24.001, 60.0).map(lambda inches: inches * 0.0254)


@given(lengths, lengths, st.sampled_from(["us", "si"]))
def test_a_sign_off_covers_a_value_that_is_no_worse(then: float, now: float, system: Any) -> None:
    """Undisplayed digits count: what was signed off at 25.0001 in is not signed off at 25.0002 in."""
    rule = LIBRARY.rules["track.bracket-spacing"]
    limit = 24 * 0.0254
    short = [_short(rule, value, limit) for value in (then, now)]
    said = {**BRACKETS, **_numbers(short[0], rule, system)}
    ruling = rule_on({"brackets": said}, [short[1]], LIBRARY.rules, "install", TERMS)
    assert (short[1].place in ruling.covered) is (now <= then * (1 + 1e-9))
    assert bool(ruling.notes) is not bool(ruling.covered)


@given(lengths, lengths)
def test_a_sign_off_stands_while_the_limit_is_no_stricter(then: float, now: float) -> None:
    rule = LIBRARY.rules["track.bracket-spacing"]
    was, today = _short(rule, 2.0, then), _short(rule, 2.0, now)
    said = {**BRACKETS, **_numbers(was, rule, "si")}
    ruling = rule_on({"brackets": said}, [today], LIBRARY.rules, "install", TERMS)
    assert bool(ruling.covered) is (now >= then * (1 - 1e-9))
    if not ruling.covered:
        assert "the limit is stricter" in ruling.troubles[0].message


def _short(rule: Rule, value: float, limit: float) -> Outcome:
    return Outcome(rule.id, "/track/bracket_spacing", None, "short", value, limit, limit - value)


def _numbers(outcome: Outcome, rule: Rule, system: Any) -> dict[str, str]:
    value, limit = (approvals.exact(side, rule.dimension, system) for side in (outcome.value, outcome.limit))
    return {"value": value, "limit": limit}


first_days = st.dates(datetime.date(2025, 1, 1), datetime.date(2028, 12, 31))


@given(first_days, st.integers(-5, 130), st.integers(-5, 135))
def test_a_sign_off_holds_from_its_first_day_to_its_last(first: datetime.date, term: int, later: int) -> None:
    on, until, today = ((first + datetime.timedelta(days)).isoformat() for days in (0, term, later))
    done = checked("tower-install", WIDE, with_brackets(on=on, until=until))
    review = present(done.record, LIBRARY, Policy(today), "door.yaml", done.spec, done.job)
    assert bool(review.approved) is (0 <= later <= term <= 90)
    assert bool(troubles(review)) is not bool(review.approved)


def test_a_value_on_the_other_side_of_a_band_is_not_covered() -> None:
    """Signed off as too light; what is too heavy by less is another matter."""
    rule = LIBRARY.rules["balance.in-band"]
    assert rule.kind.name in {"near", "between"}
    low = Outcome(rule.id, "/x", None, "short", -100.0, -50.0, -50.0)
    high = Outcome(rule.id, "/x", None, "short", 60.0, 50.0, -10.0)
    said = {**BRACKETS, "rule": rule.id, "pointer": "/x", **_numbers(low, rule, "us")}
    assert rule_on({"x": said}, [low], LIBRARY.rules, "commissioned", TERMS).covered
    ruling = rule_on({"x": said}, [high], LIBRARY.rules, "commissioned", TERMS)
    assert not ruling.covered
    assert "the other side" in ruling.troubles[0].message


SHORT_LIVED = {"torsion": {"cycles": "50000", "springs": {"left": {"rated_cycles": "14000"}}}}


def test_several_things_at_one_pointer_are_signed_off_one_by_one() -> None:
    """Springs that do not last: each is a finding of its own at the life asked for."""
    rule, patch = "torsion.life", SHORT_LIVED
    done = checked("torsion-order", patch)
    short = [one.outcome for one in done.record.open if one.outcome.rule == rule]
    assert len(short) > 1
    assert len({outcome.pointer for outcome in short}) == 1
    made = drafted(done, rule, Policy(DAY))["approvals"]
    assert len(made) == len(short)
    least = min(made, key=lambda name: int(made[name]["value"]))
    after = reviewed("torsion-order", patch, {"approvals": {least: made[least]}})
    still = {finding.thing for finding in after.findings if finding.rule == rule}
    assert still
    assert still | {said.finding.thing for said in after.approved} == {outcome.key for outcome in short}
    whole = reviewed("torsion-order", patch, {"approvals": made})
    assert {said.finding.thing for said in whole.approved} == {outcome.key for outcome in short}
    assert [said.finding.thing for said in after.approved] == [made[least]["thing"]]


def test_a_sign_off_for_one_of_several_things_says_which() -> None:
    made = drafted(checked("torsion-order", SHORT_LIVED), "torsion.life", Policy(DAY))["approvals"]
    name, said = next(iter(made.items()))
    review = reviewed("torsion-order", SHORT_LIVED, {"approvals": {name: {**said, "thing": None}}})
    assert not review.approved
    assert troubles(review)["approval.incomplete"].startswith(
        f"sign-off {name} does not say which thing it is for: left, "
    )


def test_a_sign_off_whose_thing_got_worse_says_so_of_that_thing_alone() -> None:
    made = drafted(checked("torsion-order", SHORT_LIVED), "torsion.life", Policy(DAY))["approvals"]
    name = next(name for name, said in made.items() if said["thing"] == "right")
    worse = {"torsion": {"cycles": "50000", "springs": {"right": {"rated_cycles": "12000"}}}}
    review = reviewed("torsion-order", worse, {"approvals": {name: made[name]}})
    assert "today the value is worse" in troubles(review)["approval.worsened"]
    one = [
        finding.thing for finding in review.findings if "sign-off" in finding.message and finding.rule == "torsion.life"
    ]
    assert one == ["right"]


# what is wrong with one that does not count


@pytest.mark.parametrize("field", approvals.FIELDS)
@pytest.mark.parametrize("gone", [None, "", "  "])
def test_a_sign_off_that_leaves_something_open_does_not_count(field: str, gone: str | None) -> None:
    if field in ("on", "until"):
        gone = None  # a day that is no day makes the spec unreadable
    review = reviewed("tower-install", WIDE, with_brackets(**{field: gone}))
    assert troubles(review) == {"approval.incomplete": f"sign-off brackets does not say {field}"}
    assert "track.bracket-spacing" in open_rules(review)


@pytest.mark.parametrize("value", ["26", "26 lb", "about 26 in", "inf", "nan", "1e999 in", "26 in or so"])
@pytest.mark.parametrize("side", ["value", "limit"])
def test_a_figure_that_is_none_is_no_figure(side: str, value: str) -> None:
    review = reviewed("tower-install", WIDE, with_brackets(**{side: value}))
    assert not review.approved
    assert "does not say what it was given for" in troubles(review)["approval.incomplete"]


def test_a_misspelt_rule_is_named_with_the_one_that_is_meant() -> None:
    review = reviewed("tower-install", WIDE, with_brackets(rule="track.bracket-spacin"))
    assert "did you mean track.bracket-spacing?" in troubles(review)["approval.unknown"]
    assert "track.bracket-spacing" in open_rules(review)


@pytest.mark.parametrize("rule", ["spec.quantity", "approval.lapsed"])
def test_what_is_wrong_with_the_spec_itself_is_not_signed_off(rule: str) -> None:
    review = reviewed("tower-install", with_brackets(rule=rule))
    assert "fix the spec" in troubles(review)["approval.refused"]
    assert review.verdict == "hold"


def test_a_worse_value_brings_the_finding_back_with_a_note() -> None:
    worse = {"track": {"bracket_spacing": "26 1/64 in"}}
    review = reviewed("tower-install", worse, with_brackets())
    finding = next(finding for finding in review.findings if finding.rule == "track.bracket-spacing")
    assert "sign-off brackets was given for 26 in against 24 in; today the value is worse" in finding.message
    assert troubles(review)["approval.worsened"] in finding.message
    assert not review.approved


def test_a_better_value_is_still_covered() -> None:
    assert reviewed("tower-install", {"track": {"bracket_spacing": "25 in"}}, with_brackets()).approved


def test_a_stricter_limit_brings_it_back() -> None:
    review = reviewed("tower-install", WIDE, with_brackets(), {"practice": {"bracket_spacing": "23 in"}})
    assert "the limit is stricter" in troubles(review)["approval.worsened"]


def test_a_looser_limit_does_not() -> None:
    assert reviewed("tower-install", WIDE, with_brackets(), {"practice": {"bracket_spacing": "25 in"}}).approved


def test_a_sign_off_of_what_is_met_is_unused() -> None:
    review = reviewed("tower-install", with_brackets())
    assert "where nothing is short" in troubles(review)["approval.unused"]
    assert review.verdict == "clear"


def test_a_sign_off_at_another_thing_says_where_it_is_short() -> None:
    review = reviewed("tower-install", WIDE, with_brackets(pointer="/track/spacing"))
    assert "it is short at /track/bracket_spacing" in troubles(review)["approval.unused"]
    assert "track.bracket-spacing" in open_rules(review)


def test_a_sign_off_of_a_later_stage_says_so() -> None:
    rule, pointer = "hangers.last-from-end", "/hangers/left-2/station"
    said = {**BRACKETS, "rule": rule, "pointer": pointer, "value": "10 in", "limit": "12 in"}
    review = reviewed("tower-install", {"approvals": {"odd": said}}, stage="survey")
    assert f"not asked before {LIBRARY.rules[rule].earliest}" in troubles(review)["approval.unused"]


def test_what_was_not_checked_cannot_be_signed_off() -> None:
    rule = "opening.square"
    said = {**BRACKETS, "rule": rule, "pointer": "/opening/diagonal", "value": "5/8 in", "limit": "1/2 in"}
    patch = {"opening": {"diagonal": {"falling": None}}}
    review = reviewed("tower-install", patch, {"approvals": {"square": said}})
    assert rule in {gap.rule for gap in review.not_checked}
    assert "not checked" in troubles(review)["approval.unused"]
    assert not review.approved
    done = checked("tower-install", patch)
    with pytest.raises(WrongCall, match="was not checked: /opening/diagonal/falling"):
        draft_approvals(done.record, LIBRARY, Policy(DAY), "door.yaml", rule)


def test_a_rule_written_anew_is_said_and_the_sign_off_stands() -> None:
    digest = LIBRARY.rules["track.bracket-spacing"].digest
    same = reviewed("tower-install", WIDE, with_brackets(rule_digest=digest))
    assert not same.findings
    anew = reviewed("tower-install", WIDE, with_brackets(rule_digest="0" * 12))
    assert anew.approved
    assert troubles(anew)["approval.rule-changed"].endswith(f"000000000000 then, {digest} now")
    assert anew.verdict == "clear"


def test_one_of_two_sign_offs_is_enough() -> None:
    both = with_brackets(until="2026-03-11")
    both["approvals"]["again"] = BRACKETS
    review = reviewed("tower-install", WIDE, both)
    assert [said.approval["until"] for said in review.approved] == [UNTIL]
    assert set(troubles(review)) == {"approval.lapsed"}
    assert open_rules(review) == {"approval.lapsed"}


def test_a_choice_is_covered_while_it_is_the_same_choice() -> None:
    rule = next(rule for rule in LIBRARY.rules.values() if rule.kind.name == "one_of" and rule.sign_off == "supervisor")
    outcome = Outcome(rule.id, "/x", None, "short", "drawing", ("tape", "laser"))
    said = {**BRACKETS, "rule": rule.id, "pointer": "/x", "value": "drawing", "limit": "tape or laser"}
    for now, covered in (
        (outcome, True),
        (outcome._replace(limit=("tape", "laser", "rod")), True),
        (outcome._replace(limit=("tape",)), False),
        (outcome._replace(value="guess"), False),
    ):
        assert bool(rule_on({"x": said}, [now], LIBRARY.rules, "commissioned", TERMS).covered) is covered


# drafts


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("track.bracket-spacin", "did you mean track.bracket-spacing?"),
        ("no.such", "there is no rule no.such"),
        ("approval.lapsed", "nobody may sign off approval.lapsed"),
        ("opening.square", "there is nothing to sign off"),
        ("record.friction", "not asked before commissioned; this is install"),
    ],
)
def test_where_there_is_nothing_to_draft_it_says_why(rule: str, said: str) -> None:
    with pytest.raises(WrongCall, match=said.replace("?", r"\?").replace(".", r"\.")):
        draft_approvals(checked("tower-install", WIDE).record, LIBRARY, Policy(DAY), "door.yaml", rule)


def test_what_is_signed_off_is_not_drafted_again() -> None:
    done = checked("tower-install", WIDE, with_brackets())
    with pytest.raises(WrongCall, match="signed off already: see brackets"):
        draft_approvals(done.record, LIBRARY, Policy(DAY), "door.yaml", "track.bracket-spacing")


@given(st.text("ab-", min_size=1, max_size=80), st.sets(st.text("ab-", max_size=45), max_size=5))
def test_a_draft_has_a_name_that_is_free_and_may_be_one(key: str, taken: set[str]) -> None:
    name = approvals._name("hangers.span", key, taken)
    assert name not in taken
    assert 0 < len(name) <= approvals.LONGEST_NAME


def test_names_of_drafts_do_not_meet_those_in_the_spec() -> None:
    lapsed = with_brackets(until="2026-03-11")
    lapsed["approvals"] = {"track-bracket-spacing": lapsed["approvals"]["brackets"]}
    done = checked("tower-install", WIDE, lapsed)
    text = draft_approvals(done.record, LIBRARY, Policy(DAY), "door.yaml", "track.bracket-spacing")
    assert "  track-bracket-spacing-2:\n" in text
    assert "\napprovals:" not in text  # they are there already


def test_drafts_refuses_a_rule_of_nobody() -> None:
    with pytest.raises(WrongCall, match="there is no rule"):
        drafts("x.y", {}, [], LIBRARY.rules, "install", TERMS, "us")


@pytest.fixture
def wide(tmp_path: Path) -> Path:
    path = tmp_path / "door.yaml"
    text = (ROOT / "sample_specs" / "tower-install.yaml").read_text("utf-8")
    path.write_text(text.replace("bracket_spacing: 24 in", "bracket_spacing: 26 in"), "utf-8")
    return path


def test_a_draft_pasted_and_filled_in_counts(run: Run, wide: Path) -> None:
    before = wide.read_bytes()
    draft = run("review", wide, "--draft-approval", "track.bracket-spacing", "--on", DAY)
    assert (draft.returncode, draft.stderr) == (0, "")
    assert wide.read_bytes() == before
    pasted = before.decode() + draft.stdout
    wide.write_text(pasted, "utf-8")
    unfilled = run("review", wide, "--as", "json", "--on", DAY)
    assert "does not say reason, by, until" in unfilled.stdout
    for line, filled in (("reason:", "reason: posts"), ("by:", "by: supervisor RT"), ("until:", "until: 2026-05-31")):
        pasted = pasted.replace(f"    {line}  #", f"    {filled}  #")
    wide.write_text(pasted, "utf-8")
    assert run("review", wide, "--on", DAY, "--hold-at", "warning").returncode == 0
    assert run("review", wide, "--on", "2026-10-01", "--hold-at", "warning").returncode == 1


@pytest.mark.parametrize("rule", ["headroom.swept", "opening.square", "no.such", "spec.yaml"])
def test_no_draft_exits_2(run: Run, wide: Path, rule: str) -> None:
    done = run("review", wide, "--draft-approval", rule, "--on", DAY)
    assert (done.returncode, done.stdout) == (2, "")
    assert rule in done.stderr


def test_a_draft_is_for_one_spec_that_can_be_read(run: Run, wide: Path) -> None:
    done = run("review", wide, ROOT / "sample_specs", "--draft-approval", "track.bracket-spacing")
    assert done.returncode == 2
    assert "a sign-off is for one spec" in done.stderr
    wide.write_text("doorlint: 1\nroom: {headroom: 24}\n", "utf-8")
    done = run("review", wide, "--draft-approval", "track.bracket-spacing")
    assert done.returncode == 2
    assert f"{wide}:" in done.stderr


# in every form


@pytest.fixture
def signed(wide: Path) -> Path:
    said = {**BRACKETS, "reason": "posts <26> | in"}
    block = "".join(f"    {key}: {json.dumps(value)}\n" for key, value in said.items())
    wide.write_text(f"{wide.read_text('utf-8')}approvals:\n  brackets:\n{block}", "utf-8")
    return wide


@pytest.mark.parametrize("form", FORMS["review"])
def test_a_signed_off_finding_is_in_sight_and_outside_the_exit_code(run: Run, signed: Path, form: str) -> None:
    done = run("review", signed, "--as", form, "--on", DAY, "--hold-at", "error")
    assert done.returncode == 0, done.stderr
    for said in ("track.bracket-spacing", "supervisor RT", UNTIL):
        assert said in done.stdout
    assert "posts" in done.stdout.lower()
    assert ("posts <26>" in done.stdout.lower()) is (form in {"text", "short", "github", "json", "sarif"})


def test_in_sarif_it_is_suppressed(run: Run, signed: Path) -> None:
    (log,) = json.loads(run("review", signed, "--as", "sarif", "--on", DAY).stdout)["runs"]
    (result,) = log["results"]
    (suppression,) = result["suppressions"]
    assert (suppression["kind"], suppression["status"]) == ("inSource", "accepted")
    late = json.loads(run("review", signed, "--as", "sarif", "--on", "2026-10-01").stdout)["runs"][0]
    assert {result["ruleId"] for result in late["results"]} == {"track.bracket-spacing", "approval.lapsed"}
    assert not any("suppressions" in result for result in late["results"])
    rules = {rule["id"]: rule for rule in late["tool"]["driver"]["rules"]}
    assert BUILTIN_RULES["approval.lapsed"].fix.split("`")[0] in rules["approval.lapsed"]["help"]["text"]


@pytest.mark.parametrize("form", [form for form in FORMS["review"] if form not in ("short", "github")])
def test_a_report_says_which_spec_rules_and_day_it_is_of(run: Run, signed: Path, form: str, library: Library) -> None:
    text = run("review", signed, "--as", form, "--on", DAY).stdout
    (spec,) = json.loads(run("review", signed, "--as", "json", "--on", DAY).stdout)["specs"]
    for said in (spec["digest"], library.digest, DAY):
        assert said in text


@pytest.mark.parametrize("form", ["markdown", "html"])
def test_so_does_a_report_of_several(run: Run, signed: Path, form: str, library: Library) -> None:
    text = run("review", signed, ROOT / "sample_specs" / "survey-clean.yaml", "--as", form, "--on", DAY).stdout
    (spec,) = json.loads(run("review", signed, "--as", "json", "--on", DAY).stdout)["specs"]
    for said in (spec["digest"], library.digest, DAY):
        assert said in text


@pytest.mark.parametrize("rule", ALL)
def test_the_rule_book_explains_the_built_in_rules(run: Run, rule: str) -> None:
    done = run("rulebook", rule, "--as", "json")
    assert done.returncode == 0
    said = json.loads(done.stdout)
    assert (said["rule"], said["severity"]) == (rule, ALL[rule].severity)
    assert said["why"]
    assert said["fix"]

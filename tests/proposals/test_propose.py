"""Proposals: what follows is worked out, what is given stays, and nothing is offered that a review would hold."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from proposing import amiss, filled
from shared import DAY, ROOT, Run

from doorlint import api, quantities
from doorlint.errors import WrongCall
from doorlint.proposals.search import Proposals, Variant
from doorlint.spec import read

SURVEY = "sample_specs/survey-clean.yaml"
BEST = "tower-right-standard-15"
SCHEMA = json.loads((ROOT / "schemas" / "propose.schema.json").read_bytes())


@pytest.fixture(scope="module")
def text() -> str:
    return (ROOT / SURVEY).read_text("utf-8")


@pytest.fixture(scope="module")
def found(text: str) -> Proposals:
    return api.propose(text, name=SURVEY, on=DAY)


@pytest.fixture(scope="module")
def best(found: Proposals) -> Variant:
    return found.variants[0]


def test_a_survey_goes_to_a_clear_order_with_only_open_values_typed(best: Variant) -> None:
    order = api.review(filled(best), on=DAY)
    assert order.stage == "order"
    assert (order.verdict, amiss(order)) == ("clear", [])


def test_what_is_open_holds_the_proposal_and_nothing_else_does(best: Variant) -> None:
    assert best.review.verdict == "hold"
    missing = {one.pointer for one in best.open}
    for gap in best.review.not_checked:
        assert missing & set(gap.missing) or gap.rule.startswith("completeness"), gap
    for finding in best.review.findings:
        assert finding.severity == "advisory" or finding.rule.startswith("completeness"), finding


def test_plates_and_links_follow_once_the_sections_are_weighed(best: Variant) -> None:
    weighed = [one.pointer for one in best.open if one.pointer.endswith("/weight")]
    weights = {at: f"{100 - number} lb" for number, at in enumerate(weighed)}
    again = api.propose(filled(best, **weights), on=DAY, stage="order", pick=best.name).variants[0]
    assert again.open == ()
    assert {"/tower/boxes/b1/plates", "/tower/boxes/b1/chain/links"} <= {value.pointer for value in again.values}
    order = api.review(again.text, on=DAY)
    assert (order.verdict, amiss(order)) == ("clear", [])


def test_the_text_keeps_every_line_and_marks_what_it_adds(text: str, best: Variant) -> None:
    lines = best.text.splitlines()
    old = [line.replace("stage: survey", "stage: order") for line in text.splitlines()]
    added = [line for line in lines if line not in old]
    assert [line for line in lines if line in old] == old
    said = [line for line in added if not line.endswith(":")]
    assert all(line.endswith("# proposed") or "# open: " in line for line in said), said
    assert sum("# proposed" in line for line in said) == len(best.values)
    assert sum("# open: " in line for line in said) == len(best.open)


def test_what_is_given_is_never_replaced(text: str) -> None:
    given = text + "door: {width: 10'-3\", thickness: 1 3/4 in}\ntower:\n  jamb_gap: 7 in\n  # keep clear\n"
    variant = api.propose(given, on=DAY, variants=1).variants[0]
    spec = read(variant.text)
    assert [spec.text(at) for at in ("/door/width", "/door/thickness", "/tower/jamb_gap")] == [
        "10'-3\"", "1 3/4 in", "7 in",
    ]  # fmt: skip
    assert not {"/door/width", "/door/thickness", "/tower/jamb_gap"} & {value.pointer for value in variant.values}
    assert "  # keep clear\n" in variant.text


def test_a_given_value_that_fights_the_design_is_a_finding(text: str) -> None:
    found = api.propose(text + "tower: {head_pulley_height: 9 ft}\n", on=DAY, pick=BEST)
    assert found.variants == ()
    assert {one.rule for one in found.binding} >= {"tower.door-under-cable"}


def test_nothing_fits_a_room_that_is_too_low_and_the_binding_measure_is_told(text: str) -> None:
    found = api.propose(text.replace("headroom: 30 in", "headroom: 7 in"), on=DAY, pick=BEST)
    assert found.variants == ()
    nearest = found.binding[0]
    assert nearest.rule.startswith("headroom.")
    assert "7 in" in nearest.message


def test_under_a_foot_of_headroom_top_rollers_get_guides_of_their_own() -> None:
    shed = (ROOT / "tests/proposals/surveys/low-shed.yaml").read_text("utf-8")
    [variant] = api.propose(shed, on=DAY, variants=1).variants
    assert variant.name == "torsion-low-headroom-20"
    assert amiss(api.review(filled(variant), on=DAY)) == []
    lower = api.propose(shed.replace("11 in", "10 1/2 in"), on=DAY, pick=variant.name)
    assert lower.variants == ()
    assert lower.binding[0].rule == "headroom.hardware", "the door fits still, a shaft over the header does not"


def test_json_has_the_shape_of_its_schema(run: Run) -> None:
    done = run("propose", SURVEY, "--as", "json", "--on", DAY)
    report = json.loads(done.stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(report)
    assert done.returncode == 1
    assert report["variants"][0]["values"]["/tower/hook_up_height"]["grade"] == "derived"


def test_a_design_is_picked_by_its_name_and_written_to_a_new_file(run: Run, tmp_path: Path, found: Proposals) -> None:
    second = found.variants[1]
    target = tmp_path / "order.yaml"
    assert run("propose", SURVEY, "--pick", second.name, "--on", DAY, "--out", target).returncode == 1
    assert target.read_text("utf-8") == second.text
    refused = run("propose", SURVEY, "--pick", "elsewhere", "--on", DAY)
    assert refused.returncode == 2
    assert second.name in refused.stderr


def test_nothing_is_printed_where_nothing_fits(run: Run, text: str, tmp_path: Path) -> None:
    low = tmp_path / "low.yaml"
    low.write_text(text.replace("headroom: 30 in", "headroom: 7 in"), "utf-8")
    done = run("propose", low, "--on", DAY, "--pick", BEST)
    assert (done.returncode, done.stdout) == (1, "")
    assert "nothing fits" in done.stderr


@pytest.mark.parametrize("sample", ["tower-order", "torsion-order"])
def test_an_order_goes_on_to_install_with_its_hangers_placed(sample: str) -> None:
    order = (ROOT / "sample_specs" / f"{sample}.yaml").read_text("utf-8")
    variant = api.propose(order, on=DAY, variants=1).variants[0]
    spec = read(variant.text)
    assert spec.stage == "install"
    assert {"left-1", "left-2", "right-1", "right-2"} <= set(spec.keys["hanger"])
    asked = {one.pointer: one for one in variant.open}
    assert "it pulls" in asked["/hangers/left-1/ceiling_capacity"].why
    assert all(one.usual is None for one in asked.values()), "what the building carries has no usual value"
    held = [finding for finding in variant.review.findings if finding.severity == "error"]
    assert all(one.rule.startswith("completeness") or one.rule == "fittings.answered" for one in held), held


def test_stages_that_nothing_is_proposed_for_are_refused(text: str) -> None:
    with pytest.raises(WrongCall, match="nothing is proposed for the stage of survey"):
        api.propose(text, on=DAY, stage="survey")


def test_slips_of_the_pen_are_put_right_and_said(text: str, best: Variant) -> None:
    slipped = text.replace("headroom:", "hedroom:").replace("floor_finished: true", "floor_finished: yes")
    slipped = slipped.replace("jamb_material: masonry", "jamb_material: Masonery")
    variant = api.propose(slipped, on=DAY, pick=best.name).variants[0]
    said = {value.pointer: (value.text, value.working) for value in variant.values if value.grade == "spelling"}
    assert said == {
        "/opening/floor_finished": ("true", "written yes"),
        "/opening/jamb_material": ("masonry", "written Masonery"),
        "/room/headroom": ("30 in", "written hedroom"),
    }
    assert "  headroom: 30 in  # was hedroom\n" in variant.text
    again = api.propose(variant.text, on=DAY, stage="order", pick=best.name).variants[0]
    assert "  headroom: 30 in  # was hedroom\n" in again.text, "a reading is never taken for a proposal"


def test_a_number_without_its_unit_is_for_a_person_to_mend(text: str) -> None:
    with pytest.raises(WrongCall, match="without a unit"):
        api.propose(text.replace("headroom: 30 in", "headroom: 30"), on=DAY)


@pytest.mark.parametrize("pick", [("--pick", BEST), pytest.param((), marks=pytest.mark.slow)], ids=["one", "all"])
def test_what_is_wrong_with_the_spec_itself_comes_before_designs_that_do_not_fit(
    text: str, tmp_path: Path, run: Run, pick: tuple[str, ...]
) -> None:
    spec = tmp_path / "door.yaml"
    spec.write_text(text.replace("middle: 10'-0\", bottom", "middle: 11'-0\", bottom"), "utf-8")
    assert spec.read_text("utf-8") != text
    said = run("propose", spec, "--as", "text", "--on", DAY, *pick).stdout
    first = said.partition("NOTHING FITS")[2].partition("DOES NOT FIT")[0]
    assert "The spec itself is on hold." in first
    assert "[opening.width-middle]" in first


def test_sections_have_the_height_that_each_gives(text: str) -> None:
    given = "door: {sections: {each: {height: 21 in}}}\n"
    heights = read(api.propose(text + given, on=DAY, variants=1).variants[0].text).values["section.height"]
    assert list(heights.values()) == [quantities.read("21 in", "length")] * 7


def test_what_each_gives_is_kept_for_the_things_that_are_added(text: str) -> None:
    given = (
        "door: {sections: {each: {weight: 130 lb, weight_from: maker}}}\n"
        "tower: {boxes: {each: {tare: 30 lb, capacity: 400 lb}}}\n"
        "cables: {each: {part: rope-7x19-galvanized-1/4}}\n"
    )
    variant = api.propose(text + given, on=DAY, variants=1).variants[0]
    spec = variant.review.spec
    assert spec is not None
    assert set(spec.values["section.weight"].values()) == {quantities.read("130 lb", "weight")}
    assert set(spec.values["box.tare"].values()) == {quantities.read("30 lb", "weight")}
    assert set(spec.values["cable.diameter"].values()) == {quantities.read("1/4 in", "length")}
    pointers = {value.pointer for value in variant.values} | {one.pointer for one in variant.open}
    assert not [at for at in pointers if at.endswith(("/weight_from", "/tare", "/diameter")) and "pulleys" not in at]
    review = api.review(filled(variant), on=DAY)
    assert (review.verdict, amiss(review)) == ("clear", [])

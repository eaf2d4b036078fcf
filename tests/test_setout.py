"""The setting-out sheet: its data, its order, and what it says of a job that is held."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from doorlint import quantities
from doorlint.api import review
from doorlint.counterbalance import every
from doorlint.evaluation import evaluate_spec
from doorlint.findings import SpecReview
from doorlint.reports.sheet_text import render
from doorlint.resources import folder
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import load
from doorlint.sheet import SET_OUT, Sheet, set_out
from doorlint.sheet.work import work
from doorlint.verdict import Policy, present

WORK = work(*every())
SAMPLES = ("tower-order", "tower-install", "tower-commissioned", "tower-order-metric", "torsion-install")
KEYS = {
    "verdict", "figures", "curve", "boxes", "chains", "hangers", "cables", "order_of_work",
    "springs", "shaft", "drifts", "faults", "mounts", "expected_readings", "load_path", "sizes", "conversions",
}  # fmt: skip


def reviewed(name: str, *changes: tuple[str, str]) -> SpecReview:
    text = (folder("sample_specs") / f"{name}.yaml").read_text("utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    return review(text, name=f"{name}.yaml", on="2026-05-20")


def sheet(name: str, *changes: tuple[str, str], shown_working: bool = False) -> Sheet:
    return set_out(reviewed(name, *changes), load(), shown_working=shown_working)


def test_every_name_of_the_work_is_in_the_vocabulary() -> None:
    nodes = load().graph.nodes
    assert [name for name in SET_OUT if name not in nodes] == []
    assert len(SET_OUT) == len(set(SET_OUT))


def test_every_number_of_a_step_is_called_by_a_few_words() -> None:
    for task in WORK:
        assert len(set(task.numbers.values())) == len(task.numbers), task.title
        assert all(0 < len(label) <= 28 for label in task.numbers.values()), task.title


def test_chain_and_cable_are_touched_behind_a_lock_off() -> None:
    touching = [task for task in WORK if re.search(r"chain|cable|plates|Wind", task.title + task.do)]
    assert len(touching) >= 5
    assert all(
        task.lock_off for task in touching if task.title not in ("Raise the tower", "If a spring or a cable breaks")
    )


@pytest.mark.parametrize("name", SAMPLES)
def test_data_has_every_key_and_is_json(name: str) -> None:
    data = sheet(name).data
    assert set(data) == KEYS
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    for figure in data["figures"].values():
        assert set(figure) == {"value", "unit", "text", "working", "source"}
        assert figure["source"]["standing"] in {"published", "second-hand", "derived", "practice", "memory"}


@pytest.mark.parametrize("name", SAMPLES)
def test_text_keeps_to_eighty_columns(name: str) -> None:
    text = render(sheet(name), "0", "2026-05-20")
    assert max(map(len, text.splitlines())) <= 80
    assert "HOLD" not in text


def test_boxes_chains_and_cables_of_a_tower() -> None:
    data = sheet("tower-commissioned").data
    assert [box["plates"] for box in data["boxes"]] == [21, 27, 30, 31, 26, 25]
    assert data["boxes"][0]["sections"] == ["s1"]
    assert (data["chains"][0]["from"], data["chains"][0]["to"]) == ("b1", "b2")
    assert {cable["cable"] for cable in data["cables"]} == {"near", "far"}
    assert {"travel", "door", "counterweight", "residual"} == set(data["curve"][0])


def test_curve_of_springs_and_no_boxes() -> None:
    data = sheet("torsion-install").data
    assert data["boxes"] == data["chains"] == data["drifts"] == []
    assert [spring["spring"] for spring in data["springs"]] == ["left", "right"]
    assert [bearing["bearing"] for bearing in data["shaft"]["bearings"]] == ["center", "left", "right"]
    assert {(fault["part"], fault["held_by"]) for fault in data["faults"]} == {
        ("spring", "nothing"), ("cable", "the other cable"), ("shaft", "nothing"), ("bearing", "nothing"),
        ("spring pad", "nothing"),
    }  # fmt: skip
    assert all(cable["cut_length"] > 4.0 and cable["factor"] > 5.0 for cable in data["cables"])
    assert {"travel", "door", "springs", "residual"} == set(data["curve"][0])


def test_boxes_are_loaded_behind_the_lock_and_balanced_in_turn() -> None:
    titles = [step["title"] for step in sheet("tower-install").data["order_of_work"]]
    balancing = [f"Balance b{k}" for k in range(1, 7)]
    assert [title for title in titles if title.startswith("Balance b")] == balancing
    steps = ["Raise box 1 to the hook-up mark", "Clip the cables", "Load the boxes", "Restrain the door both ways"]
    places = [titles.index(title) for title in (*steps, *balancing, "Set the bumpers")]
    assert places == sorted(places)
    assert [step["step"] for step in sheet("tower-install").data["order_of_work"]] == list(range(1, len(titles) + 1))


def test_a_held_job_says_so_across_top_and_bottom() -> None:
    held = sheet("tower-install", ("headroom: 26 in", "headroom: 12 in"))
    assert held.data["verdict"] == "hold"
    text = render(held, "0", "2026-05-20").splitlines()
    assert "HOLD" in text[0]
    assert "HOLD" in text[-1]
    assert any("headroom.swept" in line for line in text)


def test_what_is_not_known_says_what_is_missing() -> None:
    lacking = sheet("tower-order", ("  plate: 10 lb\n", ""), ("      plates: ", "      # plates: "))
    entries = [entry for step in lacking.data["order_of_work"] for entry in step["numbers"]]
    plates = [entry for entry in entries if entry["name"] == "box.plates_wanted"]
    assert plates[0]["value"] is None
    assert plates[0]["missing"] == ["/tower/plate"]
    assert "not known: give /tower/plate" in render(lacking, "0", "2026-05-20")


def test_json_working_reaches_the_spec() -> None:
    figure = sheet("tower-order", shown_working=True).data["figures"]["tower.rest_gap"]
    assert figure["unit"] == "m"
    assert figure["text"] == "1 3/4 in"
    assert figure["working"].splitlines()[0].endswith("= hook-up height - travel of the open door / 2 = 1 3/4 in")
    assert "Radius of the curve = 15 in (given, /track/radius)" in figure["working"]


def test_metric_sheet_is_metric() -> None:
    text = render(sheet("tower-order-metric"), "0", "2026-05-20")
    assert " mm" in text
    assert " kg" in text
    assert " lb" not in text


def test_a_review_without_a_job_has_no_sheet() -> None:
    unread = review("doorlint: 1\nstage: nowhere\n", name="bad.yaml", on="2026-05-20")
    with pytest.raises(ValueError, match="no figures to set out by"):
        set_out(unread, load())


@pytest.mark.parametrize("name", ["tower-order", "tower-order-metric", "tower-high-lift"])
def test_what_is_set_out_passes_review_unchanged(name: str) -> None:
    """Plates, links, rates and stops of a sheet, typed as they are printed, into the spec that left them open."""
    spec = base(name)
    boxes, sprung = spec.values["box.tare"], spec.values["box.chain.spring.stop"]
    left_open = {
        "plates": None,
        "chain": {"links": None, "spring": {"rate": None, "stretch_at_stop": None}},
    }
    rigid = {"plates": None, "chain": {"links": None}}
    last = {"plates": None}
    keys = list(boxes)
    patch = {key: left_open if key in sprung else last if key == keys[-1] else rigid for key in keys}
    spec = spec.patched({"tower": {"boxes": patch}})
    record, spec, job = evaluate_spec(spec, "", load())
    data = set_out(present(record, load(), Policy("2026-05-20"), "door.yaml", spec, job), load()).data
    found: dict[str, Any] = {one["box"]: {"plates": str(one["plates"])} for one in data["boxes"]}
    for chain in data["chains"]:
        made: dict[str, Any] = {"links": str(chain["links_wanted"])}
        if chain["rate_wanted"] is not None:
            rate = quantities.write(chain["rate_wanted"], "spring-rate", spec.system)
            stop = quantities.write(chain["stretch"], "length", spec.system)
            made["spring"] = {"rate": rate, "stretch_at_stop": stop}
        found[chain["from"]]["chain"] = made
    record, spec, job = evaluate_spec(spec.patched({"tower": {"boxes": found}}), "", load())
    review_of_it = present(record, load(), Policy("2026-05-20"), "door.yaml", spec, job)
    loud = [(one.rule, one.message) for one in review_of_it.findings if one.severity != "advisory"]
    assert (loud, review_of_it.verdict) == ([], "clear")

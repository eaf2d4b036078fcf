"""Hangers, mountings, cables and pulleys of whole jobs: loads add up, and what is missing stays unknown."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shared import DAY

from doorlint.evaluation import evaluate_spec
from doorlint.figures.graph import Job, Unknown
from doorlint.mechanics.link_statics import on_straight
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import RULE, Library
from doorlint.verdict import Policy, present

POUND = 4.4482216152605


def job_of(library: Library, name: str, patch: dict[str, Any] | None = None) -> Job:
    spec = base(name).patched(patch or {})
    assert not spec.problems
    return library.job(spec.values, spec.keys)


def on_level(job: Job) -> float:
    path, door, travel = (job.cell(name) for name in ("track.path", "door.shape", "door.open_travel"))
    return path.cos * sum(bearing.load for bearing in on_straight(path, door, travel))


@pytest.mark.parametrize("name", ["tower-install", "torsion-install"])
def test_hangers_and_head_plates_carry_the_level_part_of_the_door_and_the_track(name: str, library: Library) -> None:
    job = job_of(library, name)
    tracks = job.cell("overhead.tracks")
    carried = sum(support.open for track in tracks.values() for support in track.carried)
    track_weight = 2 * job.cell("track.weight") * job.cell("track.horizontal_length")
    assert carried == pytest.approx(on_level(job) + job.cell("track.path").cos ** 2 * track_weight, rel=1e-9)


def test_a_hanger_never_carries_less_at_its_worst_than_with_the_door_open(library: Library) -> None:
    job = job_of(library, "tower-install")
    for key, load in job.cell("hanger.load").items():
        assert job.at("hanger.worst_load", key) >= load
        assert job.at("hanger.uplift", key) >= 0.0


def test_both_tracks_with_the_same_stations_are_worked_out_once(library: Library) -> None:
    tracks = job_of(library, "tower-install").cell("overhead.tracks")
    assert tracks["left"] is tracks["right"]


def test_a_missing_track_weight_is_unknown_and_not_nothing(library: Library) -> None:
    load = job_of(library, "tower-install", {"track": {"weight": None}}).at("hanger.worst_load", "left-1")
    assert isinstance(load, Unknown)
    assert load.missing == ("/track/weight",)


def test_a_missing_station_leaves_the_whole_track_unknown(library: Library) -> None:
    load = job_of(library, "tower-install", {"hangers": {"left-1": {"station": None}}}).at("hanger.load", "left-2")
    assert isinstance(load, Unknown)
    assert load.missing == ("/hangers/left-1/station",)


@pytest.mark.parametrize("station", ["11'-3\"", "13 ft"], ids=["two at one place", "behind the end"])
def test_hangers_that_are_no_beams_supports_are_not_modelled(station: str, library: Library) -> None:
    load = job_of(library, "tower-install", {"hangers": {"left-1": {"station": station}}}).at("hanger.load", "left-2")
    assert isinstance(load, Unknown)
    assert load.reason == "not modelled"


def test_a_vertical_lift_has_no_hanger_loads_to_check(library: Library) -> None:
    job = job_of(library, "tower-install", {"track": {"lift": "vertical"}})
    assert job.at("hanger.load", "left-1") is None
    assert not [outcome for outcome in job.cell(RULE + "hangers.ceiling-load") if outcome.state == "short"]
    assert job.at("mount.track_bearing", "head-left") == 0.0


def down_and_across(job: Job, key: str) -> float:
    value: float = job.at("mount.bearing", key)
    return value


def test_one_mounting_at_the_head_of_the_tower_holds_all_when_the_far_cable_breaks(library: Library) -> None:
    """5T down and T sideways with both cables, 6T down with the near one alone; T a quarter of the hanging boxes."""
    job = job_of(library, "tower-install", {"mounts": {"head-right": None}})
    pull = job.cell("tower.cable_tension")
    assert down_and_across(job, "tower-head") == pytest.approx(6 * pull, rel=1e-12)
    job = job_of(library, "tower-install", {"mounts": {"tower-head": None}})
    front = job.at("mount.track_bearing", "head-right")
    assert down_and_across(job, "head-right") == pytest.approx(6 * pull + front, rel=1e-12)


def test_pulleys_and_eye_bolts_share_the_head_of_the_tower(library: Library) -> None:
    """4T on the head plate once the far cable is gone, 2T on the tower; with the near one gone 2T down and 2T inward
    on the far side, and 2T along at the foot."""
    job = job_of(library, "tower-install")
    pull, front = job.cell("tower.cable_tension"), job.at("mount.track_bearing", "head-left")
    assert down_and_across(job, "head-right") == pytest.approx(4 * pull + front, rel=1e-12)
    assert down_and_across(job, "tower-head") == pytest.approx(2 * pull, rel=1e-12)
    assert down_and_across(job, "head-left") == pytest.approx(math.hypot(2 * pull + front, 2 * pull), rel=1e-12)
    assert down_and_across(job, "tower-foot") == pytest.approx(2 * pull, rel=1e-12)


def test_pulley_loads_add_up_to_the_head_loads(library: Library) -> None:
    """Near head pulley 2T and crossing T down, eye bolts 2T: 5T; far head pulley T down and T inward."""
    job = job_of(library, "tower-install")
    pull = job.cell("tower.cable_tension")
    times = {"head-near": (2, 0, 4), "box-far": (2, 4, 4)}
    times |= dict.fromkeys(("crossing", "head-far"), (math.sqrt(2), 2 * math.sqrt(2), 0))
    for key, several in times.items():  # both cables there, near gone, far gone
        assert [case.force for case in job.at("pulley.cases", key)] == pytest.approx([pull * one for one in several])
        assert job.at("pulley.load", key) == pytest.approx(pull * max(several))


def test_a_torsion_shaft_puts_half_the_door_on_each_head_plate(library: Library) -> None:
    job = job_of(library, "torsion-install")
    front = job.at("mount.track_bearing", "head-left")
    assert down_and_across(job, "head-left") == pytest.approx(job.cell("door.load") / 2 + front, rel=1e-12)


def test_wind_is_shared_by_the_track_mountings_of_a_side(library: Library) -> None:
    one = job_of(library, "tower-install").at("mount.wind_pull", "track-left-1")
    more = {"part": "track", "side": "left", "onto": "steel", "fixing": {"kind": "bolt", "count": "6"}}
    two = job_of(library, "tower-install", {"mounts": {"track-left-2": more}})
    assert two.at("mount.wind_pull", "track-left-1") == pytest.approx(one / 2)
    assert two.at("mount.wind_pull", "track-right-1") == pytest.approx(one)
    assert one / POUND == pytest.approx(20 * 146 / 12 * 12 / 2, rel=1e-3)  # 20 psf on half of 12'-2" x 12'-0"


def test_wind_pressure_that_nobody_gives_is_unknown(library: Library) -> None:
    pull = job_of(library, "tower-install", {"wind": {"required_pressure": None}}).at("mount.wind_pull", "track-left-1")
    assert isinstance(pull, Unknown)


def test_a_cable_without_the_makers_strength_takes_the_tables(library: Library) -> None:
    near = {"cables": {"near": {"strength": None}}}
    assert job_of(library, "tower-order", near).at("cable.catalogue_strength", "near") / POUND == pytest.approx(7000)


def test_a_cable_that_no_table_has_asks_for_the_makers_strength(library: Library) -> None:
    near = {"cables": {"near": {"strength": None, "diameter": "6.5 mm"}}}
    found = job_of(library, "tower-order", near).at("cable.catalogue_strength", "near")
    assert isinstance(found, Unknown)
    assert found.reason == "input missing"
    assert found.missing[0].startswith("/cables")


def test_a_tower_job_without_its_boxes_does_not_fall_back_on_half_the_door(library: Library) -> None:
    tension = job_of(library, "tower-order", {"tower": {"boxes": None}}).at("cable.tension", "near")
    assert isinstance(tension, Unknown)


def test_the_weaker_of_end_and_bend_counts_and_not_both(library: Library) -> None:
    clips = job_of(library, "tower-order").at("cable.strength_kept", "near")
    assert clips == pytest.approx(0.80)
    swaged = {"cables": {"near": {"end": "swaged"}}}
    assert job_of(library, "tower-order", swaged).at("cable.strength_kept", "near") == pytest.approx(0.91)  # D/d 20
    straight = {"cables": {"near": {"end": "swaged"}}, "pulleys": {key: {"diameter": "12 in"} for key in
                ("head-near", "head-far", "crossing", "box-near", "box-far")}}  # fmt: skip
    assert job_of(library, "tower-order", straight).at("cable.strength_kept", "near") == pytest.approx(0.95)


def test_screws_from_the_side_are_loaded_across(library: Library) -> None:
    across = {"hangers": {"left-1": {"fixing": {"across": "true"}}}}
    job = job_of(library, "tower-install", across)
    assert job.at("hanger.worst_pull", "left-1") == 0.0
    carried = math.hypot(job.at("hanger.pull", "left-1"), job.at("hanger.along", "left-1"))
    assert job.at("hanger.worst_shear", "left-1") == pytest.approx(carried / 2)


def test_a_fixing_that_only_a_document_can_answer_for_is_unknown_without_one(library: Library) -> None:
    anchored = {"hangers": {"left-1": {"onto": "concrete", "fixing": {"kind": "anchor"}}}}
    job = job_of(library, "tower-install", anchored)
    (unknown,) = [outcome for outcome in job.cell(RULE + "fixings.hanger-use") if outcome.state == "unknown"]
    assert unknown.key == "left-1"
    assert unknown.missing[0].startswith("/hangers")


def test_a_lag_holds_by_the_gravity_of_the_wood_to_the_power_of_one_and_a_half(library: Library) -> None:
    def hold(gravity: str) -> Any:
        fixing = {"fixing": {"gravity": gravity}}
        return job_of(library, "torsion-install", {"hangers": {"left-1": fixing}}).at("hanger.formula_pull", "left-1")

    assert hold("0.49") / hold("0.46") == pytest.approx((0.49 / 0.46) ** 1.5)
    beyond = hold("0.30")
    assert isinstance(beyond, Unknown)
    assert beyond.reason == "outside table"


def test_a_track_is_fastened_against_the_wind_asked_for_and_that_of_the_site(library: Library) -> None:
    site = {"speed": "134 mph", "speed_map": "ultimate", "exposure": "C", "roof_height": "26 ft", "zone": "5"}
    both = job_of(library, "tower-install", {"wind": {"required_pressure": "8 psf", **site}})
    share = both.cell("wind.site_pressure") / both.cell("wind.required_pressure")
    assert share > 2
    asked, there = (both.at(f"mount.{name}", "track-left-1") for name in ("wind_pull", "site_wind_pull"))
    assert there == pytest.approx(share * asked)
    alone = job_of(library, "tower-install", {"wind": {"required_pressure": None, **site}})
    assert alone.cell("mount.site_wind_pull") == both.cell("mount.site_wind_pull")
    assert alone.cell("rule:fixings.track-hold") == ()
    assert {outcome.state for outcome in alone.cell("rule:fixings.track-hold-site")} == {"met"}


def test_half_a_description_of_the_site_is_no_demand(library: Library) -> None:
    job = job_of(library, "tower-install", {"wind": {"speed": "134 mph"}})
    assert isinstance(job.cell("wind.demand"), Unknown)


def test_a_cable_is_pulled_by_springs_that_pull_more_than_the_door_weighs(library: Library) -> None:
    job = job_of(library, "torsion-install")
    wound = job.with_changes({"torsion.wound": 2 * job.values["torsion.wound"]})
    assert wound.at("cable.tension", "left") == pytest.approx(job.cell("torsion.pull_closed"))
    assert wound.at("cable.tension_alone", "left") == pytest.approx(2 * job.cell("torsion.pull_closed"))


@pytest.mark.parametrize("rule", ["cables.losses", "cables.alone", "headroom.hardware"])
def test_a_pulley_of_unknown_size_is_not_taken_for_none(rule: str, library: Library) -> None:
    job = job_of(library, "tower-install", {"pulleys": {"head-far": {"diameter": None}}})
    assert {outcome.state for outcome in job.cell(RULE + rule)} == {"unknown"}


def said_by(job: Job, rule: str) -> list[tuple[str, float | None]]:
    return [(outcome.state, outcome.value) for outcome in job.cell(RULE + rule)]


@pytest.mark.parametrize(
    ("mounts", "held"),
    [
        ({}, 2),
        ({"tower-head": {"side": "left"}}, 1),
        ({"tower-head": {"side": "left"}, "tower-foot": {"side": "left"}}, 0),
        ({"head-right": {"side": "left"}}, 2),
    ],
    ids=["as drawn", "head across", "both across", "a head plate is none of the tower's"],
)
def test_a_tower_is_held_by_the_mountings_on_its_own_side(mounts: dict[str, Any], held: int, library: Library) -> None:
    job = job_of(library, "tower-install", {"mounts": mounts})
    assert job.cell("overhead.tower_mounts") == held
    assert said_by(job, "fixings.tower") == [("met" if held == 2 else "short", held)]


@pytest.mark.parametrize(("side", "state"), [("left", "met"), ("right", "short"), ("centre", "short")])
def test_a_drive_is_held_by_a_mounting_on_its_own_side(side: str, state: str, library: Library) -> None:
    job = job_of(library, "tower-install", {"mounts": {"operator": {"side": side}}})
    assert said_by(job, "fixings.drive") == [(state, float(state == "met"))]
    there = job_of(library, "tower-install", {"operation": {"side": side}, "mounts": {"operator": {"side": side}}})
    assert said_by(there, "fixings.drive") == [("met", 1)]


@pytest.mark.parametrize(
    ("mount", "rule"), [("tower-head", "fixings.tower"), ("tower-foot", "fixings.tower"), ("operator", "fixings.drive")]
)
def test_a_mounting_without_a_side_is_not_taken_for_one_on_either(mount: str, rule: str, library: Library) -> None:
    job = job_of(library, "tower-install", {"mounts": {mount: {"side": None}}})
    (said,) = job.cell(RULE + rule)
    assert said.state == "unknown"
    assert said.missing[0].startswith("/mounts")
    other = {"fixings.tower": "fixings.drive", "fixings.drive": "fixings.tower"}[rule]
    assert [state for state, _ in said_by(job, other)] == ["met"]


def test_pulleys_of_crossing_and_boxes_belong_to_the_towers_side(library: Library) -> None:
    job = job_of(library, "tower-order", {"pulleys": {"box-far": {"side": "left"}, "crossing": {"side": None}}})
    assert job.at("pulley.stands", "box-far") == "across from the tower"
    states = {outcome.key: outcome.state for outcome in job.cell(RULE + "pulleys.side")}
    assert states == {"box-near": "met", "box-far": "short", "crossing": "unknown"}
    moved = job_of(library, "tower-order", {"tower": {"side": "left"}})
    assert {outcome.state for outcome in moved.cell(RULE + "pulleys.side")} == {"short"}


@pytest.mark.parametrize("name", ["torsion-order", "torsion-commissioned"])
def test_springs_half_too_weak_hold_the_door_whatever_drives_it(name: str, library: Library) -> None:
    weak: dict[str, Any] = {"wound": "3.6 turns", "pre_wind": None}
    motor: dict[str, Any] = {
        "by": "motor",
        "side": "right",
        "pull": "600 lbf",
        "limits": {"open": "true", "close": "true"},
    }
    spec = base(name).patched({"torsion": weak, "operation": motor})
    assert not spec.problems
    record, spec, job = evaluate_spec(spec, "", library)
    review = present(record, library, Policy(DAY), "door.yaml", spec, job)
    held = [
        one for one in review.findings if one.rule in {"torsion.slack-open", "torsion.runs-down", "torsion.drops-open"}
    ]
    assert len(held) == 3
    assert {(one.severity, one.sign_off) for one in held} == {("error", "never")}
    assert review.verdict == "hold"


@pytest.mark.parametrize("rule", ["balance.safe", "balance.in-band"])
@pytest.mark.parametrize(("up", "state"), [(None, "met"), ("150 lb", "short")], ids=["as read", "far too heavy"])
def test_springs_of_which_only_the_play_is_said_are_springs(
    up: str | None, state: str, rule: str, library: Library
) -> None:
    reading = {} if up is None else {"as_built": {"readings": {"mark-2": {"up": up, "down": "100 lb"}}}}
    job = job_of(library, "torsion-commissioned", {"torsion": {"wound": None, "pre_wind": "0.8962 turns"}, **reading})
    assert job.cell("counterbalance.on_springs") is True
    states = {outcome.key: outcome.state for outcome in job.cell(RULE + rule)}
    assert len(states) == 6
    assert states["mark-2"] == state
    assert {states[key] for key in states if key != "mark-2"} == {"met"}

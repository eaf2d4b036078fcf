"""Adjustments: its own dials can be used, a broken one is refused by name, and a shop adds its own."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any

import pytest
from jobs import INCH, sample

from doorlint.errors import BrokenRules
from doorlint.figures.graph import Job
from doorlint.remedies.options import Option, adjustments_of, apply, before, options
from doorlint.rulebook.adjustments import KINDS, NEVER, Adjustment, adjustments
from doorlint.rulebook.library import Library, load
from doorlint.spec.vocabulary import VOCABULARY


@pytest.fixture(scope="module")
def own(library: Library) -> dict[str, Adjustment]:
    return {dial.name: dial for dial in adjustments_of(library)}


def job(library: Library, name: str) -> Job:
    spec = sample(name)
    return library.job(spec.values, spec.keys)


def settings(own: Adjustment, job: Job, key: str | None = None) -> list[Any]:
    return [setting for option in options(own, job, "us") if option.key == key for setting in option.settings]


def test_every_kind_is_there(own: dict[str, Adjustment]) -> None:
    assert {dial.kind for dial in own.values()} == set(KINDS)


def test_nothing_but_building_work_changes_what_is_measured(own: dict[str, Adjustment]) -> None:
    for dial in own.values():
        measured = [name for name in dial.names if VOCABULARY.leaves[name].known == "measured"]
        assert not measured or dial.kind == "building work", dial.name


def test_records_readings_sign_offs_and_shop_figures_are_nobodys_dial(own: dict[str, Adjustment]) -> None:
    for dial in own.values():
        assert not [name for name in dial.names if name.partition(".")[0] in NEVER], dial.name


def test_what_holds_a_load_is_only_made_stronger(own: dict[str, Adjustment]) -> None:
    for dial in own.values():
        if dial.sets.rpartition(".")[2] in {"capacity", "strength", "fittings_strength", "shear_capacity", "keeper"}:
            assert dial.only == "more" or dial.values == (True,) or dial.name == "published-strength", dial.name


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"set": "room.height"}, "dial it: room.height is no spec value"),
        ({"set": "as_built.hook_up_height"}, "as_built.hook_up_height is nobody's dial"),
        ({"set": "stage", "to": ["order"]}, "stage is nobody's dial"),
        ({"set": "practice.tape"}, "practice.tape is nobody's dial"),
        ({"set": "room.headroom"}, "room.headroom is measured; only building work changes it"),
        ({"to": ["12 lb"]}, "12 lb"),
        ({"set": "track.lift", "to": ["sideways"]}, "track.lift is one of standard, high, vertical, low-headroom"),
        ({"to": None, "work_out": "door.load"}, "door.load is no length"),
        ({"to": None, "work_out": "door.lode"}, "door.lode is neither a spec value nor a figure"),
        ({"with": {"hanger.station": "3 ft"}}, "hanger.station is of each hanger"),
        ({"set": "hanger.braced_along", "to": ["yes"]}, "hanger.braced_along is true or false, not yes"),
        ({"say": "it becomes {aftr}"}, r"say: \{aftr\} is not filled in; write \{before\}"),
        ({"when": {"track.left": "given"}}, "when: track.left is no part of the spec"),
        ({"to": None, "step": {"us": "0 in", "si": "5 mm"}}, "track.radius has no steps"),
        ({"not_for": ["room.headrom-agrees"]}, "not_for: room.headrom-agrees is no rule"),
        ({"follow": {"pulley.sight": {"pulley.at": ["box"]}}}, "pulley.sight is no spec value"),
        ({"follow": {"tower.side": {"pulley.at": ["box"]}}}, "follow: tower.side is no word of named things"),
        ({"follow": {"pulley.diameter": {"pulley.at": ["box"]}}}, "follow: pulley.diameter is no word of named things"),
        ({"follow": {"pulley.side": {"mount.part": ["track"]}}}, "follow: mount.part is no value of each pulley"),
        ({"follow": {"pulley.side": {"pulley.at": ["roof"]}}}, "pulley.at is one of .*, not roof"),
        (
            {"set": "hanger.side", "to": ["left"], "follow": {"pulley.side": {"pulley.at": ["box"]}}},
            "follow: pulley.side is no word of named things that could follow hanger.side",
        ),
    ],
)
def test_a_dial_that_cannot_be_used_is_refused_by_name(library: Library, changed: dict[str, Any], message: str) -> None:
    said = {"dial": "it", "kind": "part", "say": "it", "set": "track.radius", "to": ["12 in"], **changed}
    with pytest.raises(BrokenRules, match=f"shop/adjustments.yaml: dial it: .*{message.removeprefix('dial it: ')}"):
        adjustments([("shop", [{key: value for key, value in said.items() if value is not None}])], library.graph)


def test_settings_are_round_sizes_from_where_it_stands_outward(library: Library, own: dict[str, Adjustment]) -> None:
    found = list(options(own["hook-up-height"], job(library, "tower-order"), "us"))
    up, down = ([round(setting / INCH, 6) for setting in option.settings[:3]] for option in found)
    assert (up, down) == ([73.25, 73.5, 73.75], [72.75, 72.5, 72.25])


def test_a_metric_job_gets_metric_steps(library: Library, own: dict[str, Adjustment]) -> None:
    metric = job(library, "tower-order-metric")
    up, _ = options(own["hook-up-height"], metric, "si")
    assert all(abs(setting * 1000 % 5) < 1e-6 or abs(setting * 1000 % 5 - 5) < 1e-6 for setting in up.settings)


def test_one_direction_only(library: Library, own: dict[str, Adjustment]) -> None:
    now = job(library, "tower-order").values["room.headroom"]
    assert min(settings(own["headroom"], job(library, "tower-order"))) > now


def test_a_dial_is_not_offered_for_what_is_not_there(library: Library, own: dict[str, Adjustment]) -> None:
    torsion = job(library, "torsion-order")
    assert not list(options(own["hook-up-height"], torsion, "us"))
    assert not list(options(own["plates"], torsion, "us"))
    assert not list(options(own["hanger-fixing-size"], job(library, "tower-install"), "us"))


def test_what_comes_with_a_change_changes_too(library: Library, own: dict[str, Adjustment]) -> None:
    door = job(library, "tower-order")
    option = next(iter(options(own["door-width"], door, "us")))
    changes = apply(option, option.settings[0], door, "us")
    assert changes is not None
    ratio = changes["door.width"] / door.values["door.width"]
    assert ratio > 1
    weights = door.values["section.weight"]
    assert changes["section.weight"] == {key: pytest.approx(weight * ratio) for key, weight in weights.items()}


def test_a_strut_brings_its_weight(library: Library, own: dict[str, Adjustment]) -> None:
    bare = job(library, "tower-order")
    option = next(option for option in options(own["strut"], bare, "us") if option.key == "s3")
    changes = apply(option, option.settings[0], bare, "us")
    assert changes is not None
    assert changes["section.strut"] == {"s3": True}
    added = changes["section.weight"]["s3"] - bare.values["section.weight"]["s3"]
    assert added == pytest.approx(changes["section.strut.weight"]["s3"])
    assert added > 0


def test_the_far_end_of_a_thing_moves_with_the_near_one(library: Library, own: dict[str, Adjustment]) -> None:
    duct = job(library, "tower-commissioned")
    option = next(iter(options(own["obstruction-aside"], duct, "us")))
    changes = apply(option, option.settings[4], duct, "us")
    assert changes is not None
    shift = changes["obstruction.left"]["duct"] - duct.values["obstruction.left"]["duct"]
    assert changes["obstruction.right"]["duct"] - duct.values["obstruction.right"]["duct"] == pytest.approx(shift)


def test_one_more_hanger_is_like_its_neighbour(library: Library, own: dict[str, Adjustment]) -> None:
    built = job(library, "tower-install")
    option = next(iter(options(own["hanger-added"], built, "us")))
    changes = apply(option, option.settings[0], built, "us")
    assert changes is not None
    assert changes["hanger.leg_a"] == {"left-3": built.values["hanger.leg_a"]["left-1"]}
    assert built.with_changes(changes).keys["hanger"] == ("left-1", "left-2", "left-3", "right-1", "right-2")


def test_what_is_worked_out_is_rounded_as_the_trade_does(library: Library, own: dict[str, Adjustment]) -> None:
    wrong = job(library, "tower-order").with_changes({"cable.length": {"near": 6.0}})
    (option,) = options(own["cable-length-worked-out"], wrong, "us")
    changes = apply(option, 0, wrong, "us")
    assert changes is not None
    cut = wrong.cell("cable.cut_length")["near"]
    assert changes["cable.length"]["near"] / INCH == pytest.approx(round(cut / INCH * 2) / 2)


def test_all_things_of_a_kind_are_turned_together(library: Library, own: dict[str, Adjustment]) -> None:
    ropes = job(library, "tower-order")
    (option,) = options(own["galvanized-cable"], ropes, "us")
    assert before(option.adjustment, ropes, None) == pytest.approx(0.25 * INCH)
    changes = apply(option, option.settings[0], ropes, "us")
    assert changes is not None
    assert set(changes["cable.diameter"]) == {"near", "far"}


HOUSE = """
    stock:
    - {dial: curve-radius, kind: part, say: "our curve of {after}", set: track.radius, to: [14 in]}
    - {dial: roof-raised, kind: building work, say: "{more} more", set: room.headroom, step: {us: 1 in, si: 25 mm}}
"""


def house(place: Path, text: str) -> Library:
    (place / "adjustments.yaml").write_text(textwrap.dedent(text), "utf-8")
    return load((place,))


def test_a_house_adds_dials_and_takes_the_place_of_others(tmp_path: Path, library: Library) -> None:
    shop = {dial.name: dial for dial in adjustments_of(house(tmp_path, HOUSE))}
    assert shop.keys() == {dial.name for dial in adjustments_of(library)} | {"roof-raised"}
    assert shop["curve-radius"].values == (pytest.approx(14 * INCH),)


def test_a_house_stock_of_another_shape_is_refused_where_it_stands(tmp_path: Path) -> None:
    broken = 'stock:\n- {dial: x, kind: gadget, say: x, set: track.radius, to: ["12 in"]}\n'
    with pytest.raises(BrokenRules, match=r"adjustments\.yaml:2:13: /stock/0/kind"):
        house(tmp_path, broken)


@pytest.mark.parametrize(
    "wrong", ["not_for: room.headroom-agrees", "not_for: []", "follow: {}", "follow: [mount.side]"]
)
def test_what_follows_and_what_it_is_no_remedy_of_have_their_shape(wrong: str, tmp_path: Path) -> None:
    name = wrong.partition(":")[0]
    broken = f'stock:\n- {{dial: x, kind: part, say: x, set: track.radius, to: ["12 in"], {wrong}}}\n'
    with pytest.raises(BrokenRules, match=rf"adjustments\.yaml:2:\d+: /stock/0/{name}"):
        house(tmp_path, broken)


def test_rays_have_names_of_their_own(library: Library) -> None:
    here = job(library, "tower-commissioned")
    every: list[Option] = [option for dial in adjustments_of(library) for option in options(dial, here, "us")]
    assert len({option.name for option in every}) == len(every)


def test_what_stands_on_the_towers_side_goes_with_it(library: Library, own: dict[str, Adjustment]) -> None:
    """Head plates, tracks and head pulleys are on both sides and stay where they are."""
    built = job(library, "tower-install")
    (option,) = options(own["tower-side"], built, "us")
    assert apply(option, "left", built, "us") == {
        "tower": True,
        "tower.side": "left",
        "mount.side": {"tower-head": "left", "tower-foot": "left"},
        "pulley.side": {"crossing": "left", "box-near": "left", "box-far": "left"},
    }


def test_what_stood_across_from_the_tower_does_not_follow_it(library: Library, own: dict[str, Adjustment]) -> None:
    across = job(library, "tower-install").with_changes(
        {"pulley.side": {"box-far": "left"}, "mount.side": {"tower-head": None}}
    )
    (option,) = options(own["tower-side"], across, "us")
    changes = apply(option, "left", across, "us")
    assert changes is not None
    assert changes["pulley.side"].keys() == {"crossing", "box-near"}
    assert changes["mount.side"].keys() == {"tower-foot"}


@pytest.mark.parametrize("thin", ["far", "near"])
def test_of_things_that_are_not_alike_none_is_made_less(
    thin: str, library: Library, own: dict[str, Adjustment]
) -> None:
    spec = sample("tower-order").patched({"cables": {thin: {"diameter": "3/16 in", "strength": "4200 lb"}}})
    unlike = library.job(spec.values, spec.keys)
    assert before(own["galvanized-cable"], unlike, None) == pytest.approx(3 / 16 * INCH)
    (option,) = options(own["galvanized-cable"], unlike, "us")
    turned = [apply(option, setting, unlike, "us") for setting in option.settings]
    sizes = [{key: round(size / INCH, 6) for key, size in one["cable.diameter"].items()} for one in turned if one]
    assert sizes == [{"near": size, "far": size} for size in (0.25, 0.3125, 0.375)]
    assert turned[0] is None  # 7/32 in: more for the one cable, less for the other

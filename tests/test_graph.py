"""The engine: cells on demand, missing values, columns, and the same job with some values changed."""

from __future__ import annotations

from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import NamedTuple, get_args

import pytest

from doorlint.errors import BrokenFigure, MissingInput, NotModelled, OutsideTable
from doorlint.figures.annotations import check_annotations
from doorlint.figures.error_gain import AS_MUCH, Curve, gain_of
from doorlint.figures.graph import Graph, Job, Unknown
from doorlint.figures.kinds import Each, Length, Weight
from doorlint.figures.parameter_names import spoken
from doorlint.figures.signature import signatures_of
from doorlint.rulebook.library import Library

calls: list[str] = []


class Word(NamedTuple):
    name: str
    axis: str | None = None
    dimension: str | None = "length"
    pointer: str = ""


WORDS = {
    word.name: word
    for word in (
        Word("room.headroom", pointer="/room/headroom"),
        Word("track.radius", pointer="/track/radius"),
        Word("hanger.station", "hanger", pointer="/hangers/{}/station"),
        Word("hanger.weight", "hanger", "weight", pointer="/hangers/{}/weight"),
    )
}


def module(name: str, *functions: object) -> ModuleType:
    made = ModuleType(f"figures.{name}")
    for function in functions:
        function.__module__ = made.__name__  # type: ignore[attr-defined]
        setattr(made, function.__name__, function)  # type: ignore[attr-defined]
    return made


def job(values: dict[str, object], *modules: ModuleType) -> Job:
    graph = Graph(
        WORDS, {"hanger": "/hangers"}, {"practice.gap": 0.5}, {"practice.gap": "length"}, signatures_of(modules)
    )
    keys = {"hanger": tuple(values.get("hanger.station", {}))} if "hanger.station" in values else {}  # type: ignore[arg-type]
    return graph.job(values, keys)


def free(room_headroom: Length, practice_gap: Length) -> Length:
    calls.append("free")
    return room_headroom - practice_gap


def twice(sweep_free: Length) -> Length:
    calls.append("twice")
    return 2 * sweep_free


def bend(track_radius: Length) -> Length:
    calls.append("bend")
    return track_radius


def test_a_cell_is_worked_out_once_and_only_when_asked() -> None:
    calls.clear()
    made = job({"room.headroom": 2.0}, module("sweep", free, twice, bend))
    assert made.cell("sweep.twice") == 3.0
    assert made.cell("sweep.twice") == 3.0
    assert calls == ["free", "twice"]


def test_a_missing_value_is_unknown_and_names_its_pointer() -> None:
    made = job({}, module("sweep", free, twice))
    assert made.cell("sweep.twice") == Unknown("input missing", ("/room/headroom",))


def test_a_missing_value_is_none_only_where_it_may_be() -> None:
    def either(room_headroom: Length | None, track_radius: Length) -> Length:
        return track_radius if room_headroom is None else room_headroom

    assert job({"track.radius": 3.0}, module("sweep", either)).cell("sweep.either") == 3.0
    assert job({"room.headroom": 3.0}, module("sweep", either)).cell("sweep.either") == Unknown(
        "input missing", ("/track/radius",)
    )


def test_what_does_not_apply_spreads_without_becoming_a_gap() -> None:
    def never(room_headroom: Length) -> Length | None:
        return None

    def after(sweep_never: Length) -> Length:
        raise AssertionError("not called")

    assert job({"room.headroom": 1.0}, module("sweep", never, after)).cell("sweep.after") is None


def test_but_changes_only_what_lies_downstream() -> None:
    made = job({"room.headroom": 2.0, "track.radius": 1.0}, module("sweep", free, twice, bend))
    made.cell("sweep.twice"), made.cell("sweep.bend")
    calls.clear()
    other = made.with_changes({"track.radius": 4.0})
    assert (other.cell("sweep.twice"), other.cell("sweep.bend")) == (3.0, 4.0)
    assert calls == ["bend"]
    assert made.cell("sweep.bend") == 1.0


def test_what_reads_the_same_as_before_is_not_worked_out_again() -> None:
    def least(room_headroom: Length, track_radius: Length) -> Length:
        calls.append("least")
        return min(room_headroom, track_radius)

    def after(sweep_least: Length) -> Length:
        calls.append("after")
        return 2 * sweep_least

    made = job({"room.headroom": 2.0, "track.radius": 1.0}, module("sweep", least, after))
    assert made.cell("sweep.after") == 2.0
    calls.clear()
    other = made.with_changes({"room.headroom": 3.0})
    assert (other.cell("sweep.after"), calls) == (2.0, ["least"])
    assert other.cells.known["sweep.after"] is made.cells.known["sweep.after"]
    assert (other.with_changes({"track.radius": 4.0}).cell("sweep.after"), calls[1:]) == (6.0, ["least", "after"])


def test_each_thing_has_its_own_value_and_its_own_gap() -> None:
    def pull(hanger_weight: Weight, practice_gap: Length) -> Weight:
        return hanger_weight * practice_gap

    made = job({"hanger.station": {"a": 1.0, "b": 2.0}, "hanger.weight": {"b": 8.0}}, module("hanger", pull))
    assert made.cell("hanger.pull") == {"a": Unknown("input missing", ("/hangers/a/weight",)), "b": 4.0}
    assert made.at("hanger.pull", "b") == 4.0


def test_a_whole_column_wants_every_value() -> None:
    def total(hanger_weight: Each[Weight]) -> Weight:
        return sum(hanger_weight.values())

    values: dict[str, object] = {"hanger.station": {"a": 1.0, "b": 2.0}, "hanger.weight": {"a": 3.0, "b": 8.0}}
    assert job(values, module("tower", total)).cell("tower.total") == 11.0
    values["hanger.weight"] = {"b": 8.0}
    assert job(values, module("tower", total)).cell("tower.total").missing == ("/hangers/a/weight",)
    assert job({}, module("tower", total)).cell("tower.total").missing == ("/hangers",)


def test_a_column_may_be_made_at_once() -> None:
    def load(hanger_station: Each[Length]) -> Each[Weight]:
        return {key: 2 * station for key, station in hanger_station.items()}

    made = job({"hanger.station": {"a": 1.0, "b": 2.0}}, module("hanger", load))
    assert made.cell("hanger.load") == {"a": 2.0, "b": 4.0}


def test_a_new_key_makes_a_new_thing_and_taking_all_away_removes_it() -> None:
    made = job({"hanger.station": {"a": 1.0, "b": 2.0}})
    more = made.with_changes({"hanger.station": {"c": 3.0}})
    assert more.keys["hanger"] == ("a", "b", "c")
    assert made.keys["hanger"] == ("a", "b")
    assert more.with_changes({"hanger.station": {"a": None}}).keys["hanger"] == ("b", "c")


def test_become_keeps_what_does_not_depend_on_the_difference() -> None:
    made = job({"room.headroom": 2.0, "track.radius": 1.0}, module("sweep", free, twice, bend))
    made.cell("sweep.twice"), made.cell("sweep.bend")
    calls.clear()
    other = made.rebase({**made.values, "room.headroom": 5.0}, made.keys)
    assert (other.cell("sweep.twice"), other.cell("sweep.bend")) == (9.0, 1.0)
    assert calls == ["free", "twice"]


@pytest.mark.parametrize(
    ("error", "reason"),
    [(OutsideTable("no row"), "outside table"), (NotModelled("no model"), "not modelled")],
)
def test_a_figure_may_decline(error: Exception, reason: str) -> None:
    def declining(track_radius: Length) -> Length:
        raise error

    found = job({"track.radius": 1.0}, module("sweep", declining)).cell("sweep.declining")
    assert found == Unknown(reason, (), str(error))


def test_a_figure_may_find_that_it_needs_a_value_after_all() -> None:
    def needy(track_radius: Length) -> Length:
        raise MissingInput("room.headroom")

    found = job({"track.radius": 1.0}, module("sweep", needy)).cell("sweep.needy")
    assert found == Unknown("input missing", ("/room/headroom",))


def test_a_crash_in_a_figure_stays_in_that_figure() -> None:
    def crashing(track_radius: Length) -> Length:
        return 1 / 0

    found = job({"track.radius": 1.0}, module("sweep", crashing)).cell("sweep.crashing")
    assert found.reason == "rule failed"
    assert "sweep.crashing: ZeroDivisionError" in found.note


def test_a_figure_that_reads_a_name_nobody_gives_is_refused() -> None:
    def lost(track_colour: Length) -> Length:
        return track_colour

    with pytest.raises(ValueError, match=r"sweep\.lost reads track_colour"):
        job({}, module("sweep", lost))


def test_a_ring_of_figures_is_refused() -> None:
    def one(sweep_two: Length) -> Length:
        return sweep_two

    def two(sweep_one: Length) -> Length:
        return sweep_one

    with pytest.raises(ValueError, match=r"ring: sweep\.one -> sweep\.two -> sweep\.one"):
        job({}, module("sweep", one, two))


def test_a_name_spoken_like_another_is_refused() -> None:
    def radius(room_headroom: Length) -> Length:
        return room_headroom

    with pytest.raises(ValueError, match="spoken the same"):
        job({}, module("track", radius))


def test_what_a_figure_declares_of_errors_is_of_its_own_parameters(library: Library) -> None:
    declared = {node.name: gain_of(node.function) for node in library.graph.nodes.values() if node.function is not None}
    special = {name: gain for name, gain in declared.items() if gain != AS_MUCH}
    assert {"obstruction.door_clearance", "sweep.height", "opening.finished_width"} <= special.keys()
    for name, gain in special.items():
        reads = {spoken(read) for read in library.graph.nodes[name].reads}
        assert set(gain.by_parameter) <= reads, name
        assert set(gain.by_curve) <= set(get_args(Curve)), name


@pytest.mark.parametrize(
    ("head", "says"),
    [
        ("def reach(door_height: Lenght) -> Length:", r"door.py:5: figure door.reach: found Lenght; .*; write Length"),
        (
            "def reach(\n    door_height: Length,\n) -> Each[Wieght | None]:",
            r"door.py:7: .*; write Weight$",
        ),
        ("def reach(door_height: Length) -> Qqqq:", r"found Qqqq; .*; write one of Each, Length, "),
    ],
)
def test_a_misspelt_kind_of_value_is_named_with_its_line(head: str, says: str, tmp_path: Path) -> None:
    path = tmp_path / "door.py"
    path.write_text(f"from __future__ import annotations\nfrom doorlint.figures.kinds import *\n\n\n{head}\n    ...\n")
    spec = spec_from_file_location("door", path)
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    with pytest.raises(BrokenFigure, match=says):
        check_annotations(module.reach)

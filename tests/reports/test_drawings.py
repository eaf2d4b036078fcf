"""The drawings: to scale, no words on lines or on each other, and what is missing is named."""

from __future__ import annotations

import ast
import itertools
import math
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from reviews import TORSION, TOWER, reviewed
from shared import SOME_OR_ALL, thinned

from doorlint import reports
from doorlint.counterbalance import every as counterbalances
from doorlint.facts import Facts
from doorlint.findings import SpecReview
from doorlint.mechanics.connections import mounting
from doorlint.reports.curves import balance, curves
from doorlint.reports.drawing import Canvas
from doorlint.reports.html import drawings
from doorlint.reports.paper import SIZE, Box, text_width
from doorlint.reports.pictures import NARROW, PATTERN, WIDE, Drawn, Size, View, marked, overlaid, pictured, views
from doorlint.resources import folder
from doorlint.rulebook.library import Library
from doorlint.scene.closed_fit import CLOSED_FIT, ENLARGED, closed_fit
from doorlint.scene.job import site_of
from doorlint.scene.pattern import patterns
from doorlint.scene.shapes import Solid
from doorlint.sheet.work import work
from doorlint.spec import VOCABULARY

NAMES = (
    "survey-clean",
    "tower-order",
    "tower-install",
    "tower-commissioned",
    "tower-order-metric",
    "torsion-commissioned",
)
DRAWN = ("opening", "room", "door", "track", "hangers", "tower", "cables", "pulleys", "torsion", "mounts")
SVG = "{http://www.w3.org/2000/svg}"


def facts_of(review: SpecReview) -> Facts:
    assert review.job is not None
    return Facts(review.job, review.system)


def views_of(facts: Facts, size: Size = WIDE) -> list[View]:
    return views(pictured(facts), facts.system, size)


def view_of(facts: Facts, name: str) -> tuple[View, Drawn]:
    (wide,), (narrow,) = ([view for view in views_of(facts, width) if view.name == name] for width in (WIDE, NARROW))
    return wide, marked([wide], [narrow], ())[0]


CHANGES: tuple[tuple[str, tuple[str, str]], ...] = (
    ("tower-order", ("lift: standard", "lift: vertical")),
    ("tower-order", ("lift: standard", "lift: low-headroom")),
    (
        "tower-order",
        (
            "  lift: standard\n  radius: 15 in",
            "  lift: low-headroom\n  radius: 12 in\n  vertical_length: 133 in\n"
            "  upper: {above: 4 in, radius: 8 in, offset: 1 in}",
        ),
    ),
    ("tower-install", ("  lift: standard", "  lift: follow-the-roof\n  vertical_length: 11 ft")),
    ("tower-install", ("radius: 15 in", "radius: 12 in")),
    ("tower-install", ("radius: 15 in", "radius: 20 in")),
    ("tower-install", ("side: right", "side: left")),
    ("tower-install", ("headroom: 26 in", "headroom: 4 in")),
    ("tower-install", ("headroom: 26 in", "headroom: 60 in")),
    ("tower-commissioned", ("side_right: 32 in", "side_right: 21 in")),
    ("torsion-install", ("headroom: 20 in", "headroom: 12 in")),
    ("torsion-commissioned", ("wound: 7 3/4 turns", "wound: 6 turns")),
)
"""Jobs whose drawings are tight in other places, each one sample with one value changed."""


JOBS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    *((path.stem, ()) for path in sorted(folder("sample_specs").glob("*.yaml"))),
    ("tower-commissioned", TOWER),
    ("torsion-install", TORSION),
    *((name, (change,)) for name, change in CHANGES),
)
IDS = [f"{number}-{name}" for number, (name, _) in enumerate(JOBS)]


@cache
def job_review(number: int) -> SpecReview:
    name, changes = JOBS[number]
    return reviewed(name, *changes, slips=False)


def collisions(boxes: list[Box]) -> list[tuple[Box, Box]]:
    return [pair for pair in itertools.combinations(boxes, 2) if pair[0].meets(pair[1])]


@pytest.mark.parametrize("number", thinned(range(len(JOBS)), 8), ids=IDS)
def test_no_words_lie_on_words_or_on_lines_or_off_the_paper(number: int) -> None:
    review = job_review(number)
    facts = facts_of(review)
    both = [views_of(facts, width) for width in (WIDE, NARROW)]
    marked(*both, review.numbered)
    assert len(JOBS) >= 30
    for view in (view for width in both for view in width):
        assert view.canvas.placed
        words_are_free(view)


def words_are_free(view: View) -> None:
    canvas = view.canvas
    assert collisions(canvas.placed) == []
    for box in canvas.placed:
        assert box.left >= 0
        assert box.top >= 0
        assert box.right <= canvas.width
        assert box.bottom <= canvas.height
        inner = Box(box.left + 0.5, box.top + 0.5, box.right - 0.5, box.bottom - 0.5)
        crossing = [stroke for stroke in [*canvas.strokes, *canvas.leaders] if inner.crossed_by(*stroke)]
        assert crossing == [], (view.name, box)


@pytest.mark.parametrize("name", ["tower-install", "torsion-install", "torsion-vertical-install"])
def test_fasteners_carry_what_their_mounting_does_and_one_is_the_worst(name: str) -> None:
    facts = facts_of(reviewed(name))
    found = patterns(facts)
    assert len(found) >= 3
    seen = views([(picture, scene, site_of(facts)) for picture, scene in found], "us", PATTERN)
    for view, (picture, scene) in zip(seen, found, strict=True):
        view.canvas.svg("test", view.title, " ".join(view.says))
        words_are_free(view)
        assert sum("worst" in line for label in scene.labels for line in label.lines) == 1
        key = picture.name.removeprefix("fasteners-")
        duration = facts.known("mount.load_set", key)
        loads = [one for one in facts.known("mount.loads", key) if one.duration <= duration]
        points, heel = facts.known("mount.points", key), facts.known("mount.fixing.pattern.heel", key)
        shares = mounting.carried(points, loads, heel, duration)
        for axis, along in enumerate(zip(*((one.along_u, one.along_v) for one in shares), strict=True)):
            assert sum(along) == pytest.approx(sum(one.force.force[axis] for one in loads), abs=1e-6)


@SOME_OR_ALL
def test_every_dimension_says_what_it_measures(every: int) -> None:
    """Beside a step of a sheet the step names the measure, so its small drawing need not."""
    beside = {task.picture for task in work(*counterbalances())}
    for review in map(job_review, range(0, len(JOBS), every)):
        for _, scene, _ in pictured(facts_of(review)):
            for dimension in scene.dimensions:
                named = re.match(r"[a-z]{2}[a-z ]+ ", dimension.words)
                assert named or beside.issuperset(dimension.on), dimension.words


def test_a_duct_is_at_one_height_in_every_drawing_where_floor_is_still_to_come() -> None:
    review = reviewed("duct-behind-header", ("floor_finished: true", "floor_finished: false\n  floor_to_come: 4 in"))
    before = facts_of(review)
    (key,) = before.column("obstruction.low")
    underside = before.known("obstruction.underside", key)
    after = Facts(before.job.with_changes({"obstruction.underside": {key: underside - 0.1}}), before.system)
    low = underside - 0.1 - 4 * 0.0254
    assert after.known("obstruction.low", key) == pytest.approx(low)
    found = {drawn.name: drawn for drawn in overlaid(before, after)}
    assert set(found) >= {"wall", "side"}
    for name in ("wall", "side"):
        texts = [text.text or "" for text in ET.fromstring(found[name].svg).iter(f"{SVG}text")]
        assert [text for text in texts if "underside" in text and "before" not in text] == [
            f"{key}, underside {after.write(low, 'length')}"
        ]
    for width in (WIDE, NARROW):
        for view in views_of(after, width):
            for at in view.places.get(f"/room/obstructions/{key}", ()):
                assert at[1] < view.scale(0.0, low)[1] or view.name == "plan"


def test_what_no_change_moves_is_not_drawn_again() -> None:
    facts = facts_of(reviewed("tower-install"))
    assert overlaid(facts, facts) == []


@given(some.lists(some.tuples(some.floats(0, 300), some.floats(0, 200), some.integers(1, 30)), max_size=60))
@settings(max_examples=40, deadline=None)
def test_labels_never_meet_however_many_there_are(wanted: list[tuple[float, float, int]]) -> None:
    canvas = Canvas(300, 200)
    for x, y, length in wanted:
        canvas.label("m" * (length % 9 + 1), (x, y))
        canvas.marks([(number, "error") for number in range(1 + length % 6)], (y, x))
    canvas.svg("test", "test", "test")
    assert collisions(canvas.placed) == []


def test_a_fixed_text_that_is_laid_over_another_is_noticed() -> None:
    canvas = Canvas(300, 200)
    canvas.text("one", (100, 100))
    canvas.text("two", (104, 103))
    assert len(collisions(canvas.placed)) == 1


@pytest.mark.parametrize("number", thinned(range(0, len(JOBS), 4), 2), ids=IDS[::4])
def test_every_drawing_is_a_titled_picture_with_ids_of_its_own(number: int) -> None:
    review = job_review(number)
    facts = facts_of(review)
    drawn = drawings(facts, review.numbered)
    ids: list[str] = []
    for one in drawn:
        root = ET.fromstring(one.svg)
        assert root.get("role") == "img"
        assert re.fullmatch(r"0 0 [\d.]+ [\d.]+", root.get("viewBox", ""))
        assert root.findtext(f"{SVG}title")
        assert root.findtext(f"{SVG}desc")
        assert not root.findall(f".//{SVG}pattern")
        for text in (one.svg, one.narrow):
            found = [element.get("id", "") for element in ET.fromstring(text).iter() if element.get("id")]
            assert set(ET.fromstring(text).get("aria-labelledby", "").split()) <= set(found)
            ids += found
    assert len(ids) == len(set(ids))


def lines_of(drawn: Drawn, kind: str) -> list[list[tuple[float, float]]]:
    return [
        [(float(x), float(y)) for x, y in (point.split(",") for point in element.get("points", "").split())]
        for element in ET.fromstring(drawn.svg).iter()
        if element.get("class") == kind
    ]


def test_the_elevation_is_to_scale() -> None:
    facts = facts_of(reviewed("tower-commissioned"))
    _, drawn = view_of(facts, "wall")
    ((left, top), *_, (right, _)) = next(iter(lines_of(drawn, "opening")))[1], next(iter(lines_of(drawn, "opening")))[3]
    width, height = facts.known("opening.finished_width"), facts.known("opening.finished_height")
    floor = lines_of(drawn, "opening")[0][0][1]
    assert (right - left) / (floor - top) == pytest.approx(width / height, rel=2e-3)
    ((tower_left, tower_foot), (tower_right, _), (_, tower_top), _) = lines_of(drawn, "tower")[0]
    unit = (right - left) / width
    assert (tower_foot - tower_top) / unit == pytest.approx(facts.known("tower.height"), abs=2e-3)
    assert (tower_right - tower_left) / unit == pytest.approx(facts.known("tower.width"), abs=3e-3)
    assert tower_left > right  # the sample's tower stands on the right


def test_the_swept_line_is_as_high_as_the_figure_says() -> None:
    facts = facts_of(reviewed("torsion-commissioned"))
    view, drawn = view_of(facts, "side")
    (swept,) = lines_of(drawn, "sweep")
    header = view.scale(0.0, facts.known("opening.finished_height"))[1]
    highest = (header - min(y for _, y in swept)) / view.scale.unit
    assert highest == pytest.approx(facts.known("sweep.height"), abs=0.003)


def test_hangers_stand_at_their_stations_behind_the_curve() -> None:
    facts = facts_of(reviewed("torsion-install"))
    view, drawn = view_of(facts, "side")
    xs = sorted({line[0][0] for line in lines_of(drawn, "hanger")})
    stations = sorted(set(facts.column("hanger.station").values()))
    path = facts.known("track.path")
    expected = [
        view.scale(path.end_y + station * path.cos + facts.known("track.wall_offset"), 0)[0] for station in stations
    ]
    assert xs == pytest.approx(expected, abs=0.1)


def test_findings_are_marked_where_they_are() -> None:
    review = reviewed("tower-commissioned", *TOWER)
    drawn = drawings(facts_of(review), review.numbered)
    on = {one.name: set(one.marked) for one in drawn}
    numbers = {finding.rule: number for number, finding in enumerate(review.findings, 1)}
    assert numbers["room.side-left"] in on["wall"]
    assert numbers["headroom.hardware"] in on["wall"] & on["header"]
    for one in drawn:
        runs = [text.text or "" for text in ET.fromstring(one.svg).iterfind(f".//{SVG}g/{SVG}text")]
        ends = [(int(run.partition("-")[0]), int(run.rpartition("-")[2])) for run in runs]
        assert sorted(number for first, last in ends for number in range(first, last + 1)) == sorted(one.marked)


@pytest.mark.parametrize("every", [pytest.param(20, id="some"), pytest.param(4, id="quarter", marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", ["tower-commissioned", "torsion-commissioned"])
def test_whatever_one_value_is_missing_the_rest_is_drawn(name: str, every: int) -> None:
    job = reviewed(name).job
    assert job is not None
    drawn = [term for term in VOCABULARY.leaves.values() if term.pointer.split("/")[1] in DRAWN]
    for term in [term for term in drawn if term.name in job.values][::every]:
        gone = job.values[term.name]
        facts = Facts(job.with_changes({term.name: dict.fromkeys(gone) if term.axis else None}), "us")
        for view in views_of(facts):
            view.canvas.svg("test", view.title, " ".join(view.says))
            assert collisions(view.canvas.placed) == [], term.name
        curves(facts, WIDE.width)
        balance(facts)


@pytest.mark.parametrize(
    ("name", "change", "said"),
    [
        ("tower-install", {"tower.side": None}, "The tower: not given: /tower/side"),
        ("tower-install", {"section.height": {"s3": None}}, "The closed door: not given: /door/sections/s3/height"),
        ("torsion-install", {"torsion.shaft.height": None}, "The torsion shaft: not given: /torsion/shaft/height"),
        ("torsion-install", {"track.radius": None}, "The track: not given: /track/radius"),
        ("tower-order", {"track.lift": "low-headroom"}, "The track: not given: /track/vertical_length"),
        ("tower-install", {"hanger.station": {"left-1": None}}, "Hanger left-1: not given: /hangers/left-1/station"),
        ("survey-clean", {"opening.width.top": None, "opening.width.middle": None, "opening.width.bottom": None},
         "The wall seen from inside: not given: /opening/width/top"),
    ],
)  # fmt: skip
def test_what_is_not_drawn_is_said_with_its_reason(name: str, change: dict[str, object], said: str) -> None:
    job = reviewed(name).job
    assert job is not None
    facts = Facts(job.with_changes(change), "us")
    views_of(facts)
    curves(facts, WIDE.width)
    assert any(said in reason for reason in facts.left_out), facts.left_out


def test_a_survey_says_that_there_is_no_door_yet() -> None:
    review = reviewed("survey-clean")
    facts = facts_of(review)
    drawings(facts, review.numbered)
    assert "The door: the spec gives none yet" in facts.left_out


def test_the_table_at_the_marks_is_what_the_figures_say() -> None:
    facts = facts_of(reviewed("tower-commissioned"))
    rows = balance(facts)
    assert [row[0] for row in rows] == ["closed", *(f"mark of b{number}" for number in range(6, 0, -1)), "open"]
    assert rows[-2][4] == facts.write(facts.known("box.residual", "b1"), "pull")
    assert rows[0][2] == facts.write(facts.known("door.pull_closed"), "weight")


def test_every_name_that_a_drawing_reads_is_a_name_of_the_graph(library: Library) -> None:
    asked = {"known", "column", "needs", "first", "all_known", "given"}
    names = set()
    package = Path(reports.__file__).parent.parent
    rooms = [*package.glob("scene/*.py"), *package.glob("counterbalance/**/*.py"), package / "reports/curves.py"]
    for module in rooms:
        tree = ast.parse(module.read_text("utf-8"))
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            if isinstance(call.func, ast.Attribute) and call.func.attr in asked:
                words = (word.value for word in ast.walk(call) if isinstance(word, ast.Constant))
                names |= {word for word in words if isinstance(word, str)}
    dotted = {name for name in names if re.fullmatch(r"[a-z_]+(\.[a-z_]*[a-z])+", name)}
    assert len(dotted) > 60
    assert {name for name in dotted if name not in library.graph.nodes and name not in VOCABULARY.containers} == set()


def test_hatching_stays_in_its_rectangle() -> None:
    canvas, box = Canvas(100, 100), Box(10.0, 20.0, 47.0, 60.0)
    canvas.hatch(box)
    root = ET.fromstring(canvas.svg("test", "test", "test"))
    (path,) = root.iter(f"{SVG}path")
    points = [pair.split(",") for pair in re.split("[ML]", path.get("d", ""))[1:]]
    assert len(points) == 20
    assert all(box.left <= float(x) <= box.right and box.top <= float(y) <= box.bottom for x, y in points)


def test_widths_grow_with_the_text() -> None:
    assert math.isclose(text_width("12'-0\""), 33.1, abs_tol=1.0)
    assert text_width("漢字") == 2 * SIZE


@pytest.mark.parametrize("name", ["tower-install", "torsion-low-headroom-install"])
def test_the_gap_is_drawn_as_wide_as_it_is(name: str) -> None:
    facts = facts_of(reviewed(name))
    scene = closed_fit(facts)
    assert scene is not None
    (face,) = (shape for shape in scene.shapes if shape.name == "outer face")
    assert isinstance(face, Solid)
    drawn = {round(up, 6): across / ENLARGED for across, up in face.profile[1:-3]}
    assert drawn == {round(gap.height, 6): pytest.approx(gap.width) for gap in facts.known("jamb.gaps")}
    pointers = {spot.pointer for spot in scene.spots}
    assert {"/track/jamb_clearance/top", "/door/sections/s1/hinge"} <= pointers
    (view,) = views([(CLOSED_FIT, scene, site_of(facts))], "us", WIDE)
    view.canvas.svg("test", view.title, " ".join(view.says))
    words_are_free(view)

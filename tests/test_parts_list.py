"""The parts list: three samples counted by hand, what is not decided, catalog parts, and the forms."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest
from shared import ROOT, Run

from doorlint.api import parts
from doorlint.parts_list import PartsList

DAY = "2026-06-01"


def listed(name: str, *changes: tuple[str, str], **options: Any) -> PartsList:
    text = (ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return parts(text, name=name, on=DAY, **options)


# Counted by hand from the spec: rollers are 2 a joint and 2 at each end; a chain below every box but the lowest;
# fasteners are the count of each fixing; clips the clips of each end.
TOWER_INSTALL = [
    (1, "bottom section", "12'-2\" x 24 in x 2 in", ""),
    (3, "intermediate section", "12'-2\" x 24 in x 2 in", ""),
    (1, "intermediate section", "12'-2\" x 24 in x 2 in, glass 9 sq ft", ""),
    (1, "top section", "12'-2\" x 24 in x 2 in", ""),
    *[(2, "end hinge", f"number {number}", "") for number in range(1, 6)],
    (14, "roller", "for 3 in track", ""),
    (1, "bottom seal", "", "12'-2\""),
    (1, "header seal", "", "12'-2\""),
    (2, "jamb seal", "", "12'-0\""),
    (2, "vertical track", "3 in", "11'-6\""),
    (2, "horizontal track", "3 in, curve radius 15 in", "12'-6\""),
    (2, "wall angle", "", "11'-4\""),
    (2, "bumper", "", ""),
    (2, "hanger angle", "2 in x 2 in x 1/8 in", "46 in"),
    (8, "hanger brace", "2 in x 2 in x 1/8 in, cut on site", ""),
    (2, "hanger angle", "2 in x 2 in x 1/8 in", "45 in"),
    (4 * 2 + 2 * 6 + 4 * 4, "bolt", "3/8 in", ""),
    (4, "anchor", "1/2 in", ""),
    (1, "lift cable", "1/4 in, 7x19, galvanized", "30'-7 1/2\""),
    (3 + 3, "cable clip", "for 1/4 in", ""),
    (1, "lift cable", "1/4 in, 7x19, galvanized", "17'-11 1/2\""),
    (2, "box pulley", "5 in in the groove", ""),
    (1, "crossing pulley", "5 in in the groove", ""),
    (2, "head pulley", "5 in in the groove", ""),
    (1, "tower", "14'-6\" x 14 in x 12 in", ""),
    (1, "tower cover", "steel, 14 gage, 7 ft high", ""),
    (2, "eye bolt", "6 in of thread", ""),
    (6, "counterweight box", "12 in high, 28 lb empty", ""),
    (21 + 27 + 30 + 31 + 26 + 25, "plate", "10 lb", ""),
    (1, "chain", "grade 43, 5/16 in, 6 links of slack", ""),
    (5 * 2, "chain fitting", "breaks at 9000 lb or more", ""),
    (1, "chain spring", "57 lbf/in, with stop", ""),
    (4, "chain", "grade 43, 5/16 in, 7 links of slack", ""),
    *[(1, "chain spring", f"{rate} lbf/in, with stop", "") for rate in (66, 68, 58, 56)],
    (1, "operator", "chain-hoist, 150 lbf pull", ""),
]
TORSION_INSTALL = [
    (1, "bottom section", "10'-2\" x 24 in x 1 3/4 in", ""),
    (3, "intermediate section", "10'-2\" x 24 in x 1 3/4 in", ""),
    (1, "top section", "10'-2\" x 24 in x 1 3/4 in", ""),
    *[(2, "end hinge", f"number {number}", "") for number in range(1, 5)],
    (12, "roller", "for 2 in track", ""),
    (1, "bottom seal", "", "10'-2\""),
    (1, "header seal", "", "10'-2\""),
    (2, "jamb seal", "", "10'-0\""),
    (2, "vertical track", "2 in", "9'-6\""),
    (2, "horizontal track", "2 in, curve radius 15 in", "10'-6\""),
    (2, "wall angle", "", "9'-4\""),
    (2, "bumper", "", ""),
    (4, "hanger angle", "1 1/2 in x 1 1/2 in x 1/8 in", "24 in"),
    (8, "hanger brace", "1 1/2 in x 1 1/2 in x 1/8 in, cut on site", ""),
    (4 * 2 + 2 * 5 + 3 * 4, "lag screw", "5/16 in, 2 in of thread", ""),
    (2, "lift cable", "5/32 in, 7x19, galvanized", "14'-1\""),
    (2, "swaged sleeve", "for 5/32 in", ""),
    (1, "shaft", "1 in", "10'-10\""),
    (2, "cable drum", "2 3/4 in to the cable", ""),
    (1, "torsion spring", "0.3437 in wire, 2 5/8 in inside, 140 coils, right-wound", "49 7/8 in"),
    (2, "winding cone and anchor cone", "for 2 5/8 in inside", ""),
    (1, "torsion spring", "0.3437 in wire, 2 5/8 in inside, 140 coils, left-wound", "49 7/8 in"),
    (3, "bearing plate", "for 1 in shaft", ""),
    (1, "lock", "", ""),
]
METRIC = [
    (1, "bottom section", "3550 mm x 500 mm x 45 mm", ""),
    (3, "intermediate section", "3550 mm x 500 mm x 45 mm", ""),
    (1, "intermediate section", "3550 mm x 500 mm x 45 mm, glass 0.6 m2", ""),
    (1, "top section", "3550 mm x 500 mm x 45 mm", ""),
    *[(2, "end hinge", f"number {number}", "") for number in range(1, 6)],
    (14, "roller", "for 76.2 mm track", ""),
    (1, "bottom seal", "", "3550 mm"),
    (1, "header seal", "", "3550 mm"),
    (2, "jamb seal", "", "3001 mm"),
    (2, "vertical track", "76.2 mm", "2850 mm"),
    (2, "horizontal track", "76.2 mm, curve radius 380 mm", "3150 mm"),
    (2, "wall angle", "", "2800 mm"),
    (2, "bumper", "", ""),
    (1, "lift cable", "6 mm, 7x19, galvanized", "8200 mm"),
    (6, "cable clip", "for 6 mm", ""),
    (1, "lift cable", "6 mm, 7x19, galvanized", "4520 mm"),
    (2, "box pulley", "125 mm in the groove", ""),
    (1, "crossing pulley", "125 mm in the groove", ""),
    (2, "head pulley", "125 mm in the groove", ""),
    (1, "tower", "3750 mm x 360 mm x 300 mm", ""),
    (1, "tower cover", "steel, 14 gage, 2140 mm high", ""),
    (2, "eye bolt", "150 mm of thread", ""),
    (6, "counterweight box", "260 mm high, 12 kg empty", ""),
    (140, "plate", "4 kg", ""),
    (1, "chain", "grade 43, 8 mm, 3 links of slack", ""),
    (10, "chain fitting", "breaks at 4000 kg or more", ""),
    (2, "chain spring", "7.8 N/mm, with stop", ""),
    (3, "chain", "grade 43, 8 mm, 5 links of slack", ""),
    (1, "chain spring", "8.4 N/mm, with stop", ""),
    (1, "chain", "grade 43, 8 mm, 4 links of slack", ""),
    *[(1, "chain spring", f"{rate} N/mm, with stop", "") for rate in (8.7, 6.9)],
    (1, "operator", "motor, 700 N pull", ""),
]


@pytest.mark.parametrize(
    ("name", "by_hand"),
    [("tower-install", TOWER_INSTALL), ("torsion-install", TORSION_INSTALL), ("tower-order-metric", METRIC)],
)
def test_a_list_counted_by_hand(name: str, by_hand: list[tuple[int, str, str, str]]) -> None:
    made = [(piece.count, piece.part, piece.size, piece.length_text) for piece in listed(name).pieces]
    lengths = [(count, part, size, _inches(length)) for count, part, size, length in made]
    assert lengths == [(count, part, size, _inches(length)) for count, part, size, length in by_hand]


def _inches(length: str) -> float | str:
    """A length in one notation."""
    from doorlint import quantities

    return round(quantities.read(length, "length"), 4) if length else ""


def test_what_is_not_decided_is_listed_and_never_guessed() -> None:
    made = listed(
        "tower-order", (", hinge: 2", ""), ("clips: 3, ", ""), ("size: 3 in\n", "\n"), ("lift: standard", "lift:")
    )
    lines = {(piece.part, piece.size): piece.count for piece in made.pieces}
    assert lines["end hinge", "number not decided"] == 2
    assert lines["roller", "for not decided track"] == 14
    assert lines["cable clip", "for 1/4 in"] is None
    assert {
        "/door/sections/s2/hinge", "/track/size", "/track/lift", "/cables/near/clips", "/cables/far/clips",
        "/hangers", "/mounts",
    } <= set(made.undecided)  # fmt: skip


def test_a_survey_has_nothing_decided() -> None:
    made = listed("survey-clean")
    assert made.pieces == ()
    assert made.undecided == ("/door/sections", "/track", "/cables", "/operation", "/hangers", "/mounts")


def test_what_is_worked_out_counts_as_decided() -> None:
    made = listed("tower-order", ("      plates: 21\n", ""), (", length: 17'-11 1/2\"", ""))
    assert not [pointer for pointer in made.undecided if "b1" in pointer or "near" in pointer]
    (plates,) = [piece for piece in made.pieces if piece.part == "plate"]
    assert plates.count == 160
    near = next(piece for piece in made.pieces if piece.pointers == ("/cables/near",))
    assert near.length == pytest.approx(5.4737, rel=0.01)


def test_a_catalog_part_is_named_with_its_document() -> None:
    changes = (
        ("construction: 7x19, finish: galvanized, strength: 7000 lb", "part: rope-7x19-galvanized-1/4"),
        ("height: 12 in\n      capacity: 350 lb", "part: box-12"),
    )
    made = listed("tower-order", *changes, house_rules=[ROOT / "tests" / "house" / "catalog"])
    named = {piece.part: (piece.catalog, piece.document) for piece in made.pieces if piece.catalog}
    assert named == {
        "lift cable": ("rope-7x19-galvanized-1/4", "FAA Advisory Circular 43.13-1B, 1998, Table 7-3"),
        "counterweight box": ("box-12", "Works drawing W-12, 2026, sheet 3"),
    }


def test_the_lowest_box_has_no_chain_below_it() -> None:
    each = ("    b1:\n      sections: [s1]", "    each: {chain: {grade: 43}}\n    b1:\n      sections: [s1]")
    made = listed("tower-order", each)
    assert sum(piece.count or 0 for piece in made.pieces if piece.part == "chain") == 5


def test_json_holds_what_the_list_holds(run: Run) -> None:
    done = run("parts", "sample_specs/torsion-install.yaml", "--as", "json", "--on", DAY)
    data = json.loads(done.stdout)
    assert done.returncode == 0
    assert data["undecided"] == []
    keys = {"part", "count", "size", "length", "length_text", "for", "catalog", "document"}
    assert all(line.keys() == keys for line in data["parts"])
    shaft = next(line for line in data["parts"] if line["part"] == "shaft")
    assert (shaft["length"], shaft["for"]) == (pytest.approx(3.302), ["/torsion/shaft"])


def test_csv_reads_back(run: Run) -> None:
    rows = list(csv.reader(io.StringIO(run("parts", "sample_specs/tower-install.yaml", "--as", "csv").stdout)))
    assert rows[0] == ["part", "count", "size", "length", "for", "catalog", "document"]
    assert [(int(count), part, size) for part, count, size, *_ in rows[1:]] == [line[:3] for line in TOWER_INSTALL]


@pytest.mark.parametrize("form", ["text", "json", "csv", "html"])
def test_a_held_job_says_so(run: Run, form: str) -> None:
    done = run("parts", "sample_specs/motor-against-a-lock.yaml", "--as", form, "--on", DAY)
    assert done.returncode == 1
    assert form == "csv" or "hold" in done.stdout.lower()


def test_a_spec_that_cannot_be_read_has_no_list(run: Run, tmp_path: Any) -> None:
    (tmp_path / "door.yaml").write_text("doorlint: 1\nstage: order\njob: {}\nroom: {headroom: 26}\n")
    done = run("parts", tmp_path / "door.yaml")
    assert done.returncode == 2
    assert "found 26 without a unit" in done.stderr

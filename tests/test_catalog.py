"""Catalogs of parts: how they are loaded, what they stand for, and what is found about them."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from shared import ROOT

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.evaluation import evaluate
from doorlint.findings import SpecReview
from doorlint.mechanics.connections.fastener import Backing, Fastener, bites
from doorlint.result_cache import record_of
from doorlint.rulebook.library import Library, load, own_catalog
from doorlint.spec import read
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.verdict import Policy, present

HOUSE = ROOT / "tests" / "house" / "catalog"
ON = "2026-06-01"


@pytest.fixture(scope="module")
def library() -> Library:
    return load((HOUSE,))


def review(library: Library, text: str, on: str = ON) -> SpecReview:
    record, spec, job = evaluate("doorlint: 1\nstage: order\njob: {}\n" + text, library)
    return present(record, library, Policy(on=on), "door.yaml", spec, job)


def found(library: Library, text: str, on: str = ON) -> list[tuple[str, str, str]]:
    said = review(library, text, on).findings
    return [(f.rule.removeprefix("catalog."), f.severity, f.message) for f in said if f.rule.startswith("catalog.")]


def test_the_ropes_are_those_of_the_table_that_rules_read(library: Library) -> None:
    table = library.tables["rope-strength"]
    rows = {(row[0], row[1], row[2]): row[3] for row in table.rows}
    ropes = [part.read for part in own_catalog().values() if part.kind == "rope"]
    assert {(rope["construction"], rope["finish"], rope["diameter"]): rope["strength"] for rope in ropes} == rows


def test_a_chain_breaks_at_its_grade_on_both_legs_of_its_wire() -> None:
    chains = [part.read for part in own_catalog().values() if part.kind == "chain"]
    assert len(chains) == 12
    for chain in chains:
        newtons = 2 * math.pi / 4 * chain["size"] ** 2 * chain["grade"] * 10e6
        assert newtons - 10 * 4.4482216152605 < chain["strength"] <= newtons


def test_the_thread_of_a_lag_is_half_its_length_and_half_an_inch_less_the_tip() -> None:
    tips = {"1/4": 5 / 32, "5/16": 3 / 16, "3/8": 7 / 32}
    lags = [part for part in own_catalog().values() if part.name.startswith("lag-")]
    assert len(lags) == 15
    for lag in lags:
        size, length = lag.name.removeprefix("lag-").split("x")
        one = Fastener("lag", lag.read["diameter"], lag.read["length"], plate=0.0)
        thread = min(float(length) / 2 + 0.5, 6) - tips[size]
        assert bites(one, Backing("wood", 1.0))[1] == pytest.approx(thread * 0.0254, abs=1e-12)
        assert lag.read["diameter"] == quantities.read(f"{size} in", "length")


def test_the_schema_offers_the_parts_of_the_library() -> None:
    offered = {kind: set(VOCABULARY.schema["$defs"][f"{kind}-part"]["examples"]) for kind in VOCABULARY.catalogs}
    held = {kind: {part.name for part in own_catalog().values() if part.kind == kind} for kind in offered}
    assert offered == held, "run: python tests/part_names.py"


def test_every_capacity_rests_on_a_document(library: Library) -> None:
    for part in library.catalog.values():
        group = VOCABULARY.catalogs[part.kind][0].name
        leaves = [VOCABULARY.leaves.get(f"{group}.{name}") for name in part.read]
        names = [leaf.name for leaf in leaves if leaf is not None and leaf.capacity]
        assert not names or re.match(r"[A-Z]", part.document), part.name


ROPE = "cables: {near: {part: rope-7x19-galvanized-1/4, %s}}"


@pytest.mark.parametrize(
    ("text", "rule", "severity", "message"),
    [
        (
            ROPE % "strength: 7001 lb", "over-capacity", "error",
            "cable near strength 7001 lb is more than rope-7x19-galvanized-1/4 carries: 7000 lb (FAA",
        ),
        (ROPE % "strength: 6000 lb", "lower-capacity", "advisory", "cable near strength 6000 lb is less than rope"),
        (
            ROPE % "diameter: 5/16 in", "differs", "warning",
            "cable near diameter is 5/16 in; rope-7x19-galvanized-1/4 has 1/4 in",
        ),
        (
            ROPE % "finish: stainless", "differs", "warning",
            "cable near finish is stainless; rope-7x19-galvanized-1/4 has galvanized",
        ),
        (
            "pulleys: {a: {part: pulley-4, keeper: false}}", "differs", "warning",
            "pulley a keeper is false; pulley-4 has true",
        ),
        (
            "tower: {boxes: {b1: {part: box-12, tare: 29 lb}}}", "differs", "warning",
            "box b1 tare is 29 lb; box-12 has 28 lb",
        ),
        (
            "tower: {boxes: {b1: {chain: {part: chain-43-5/16, grade: 70}}}}", "differs", "warning",
            "box b1 chain grade is 70;",
        ),
        (
            "torsion: {drum: {part: drum-2-3/4, width: 5 in}}", "differs", "warning",
            "torsion drum width is 5 in; drum-2-3/4",
        ),
    ],
)  # fmt: skip
def test_a_value_beside_a_part_counts_and_is_a_finding(
    library: Library, text: str, rule: str, severity: str, message: str
) -> None:
    ((got, grade, said),) = found(library, text)
    assert (got, grade) == (rule, severity)
    assert said.startswith(message)


def test_the_value_beside_a_part_is_the_one_that_counts(library: Library) -> None:
    spec = read("doorlint: 1\nstage: order\njob: {}\n" + ROPE % "strength: 6000 lb", library.catalog)
    assert spec.values["cable.strength"]["near"] == quantities.read("6000 lb", "weight")


@pytest.mark.parametrize("text", [ROPE % "", ROPE % "diameter: 0.25 in, strength: 7000 lb", ROPE % "clips: 3"])
def test_nothing_is_said_of_a_part_that_is_as_its_catalog_says(library: Library, text: str) -> None:
    assert found(library, text) == []


def test_a_capacity_of_the_part_that_each_names_is_not_that_of_another_part(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "ropes.yaml").write_text(GOOD % "thin: {values: {diameter: 1/8 in}}")
    shop = load((tmp_path,))
    text = "cables: {each: {part: rope-7x19-galvanized-1/4}, near: {part: thin%s}, far: {}}"
    ((rule, severity, message),) = found(shop, text % "")
    assert (rule, severity) == ("other-part", "error")
    assert message == (
        "cable near strength 7000 lb is that of rope-7x19-galvanized-1/4, which `each` names; "
        "thin has none in its catalog"
    )
    assert found(shop, text % ", strength: 2000 lb") == []


def test_a_mounting_keeps_its_word_part_and_names_its_plate_as_hardware(library: Library) -> None:
    spec = read(
        "doorlint: 1\nstage: order\njob: {}\n"
        "mounts: {each: {part: track, side: left}, a: {hardware: head-plate}, b: {hardware: brackets-2}}\n",
        library.catalog,
    )
    assert spec.values["mount.part"] == {"a": "head-plate", "b": "track"}
    assert spec.values["mount.acts.out"] == {"a": pytest.approx(4 * 0.0254)}
    assert [(use.pointer, use.part) for use in spec.parts] == [("/mounts/a", "head-plate"), ("/mounts/b", "brackets-2")]
    [other] = found(library, "mounts: {a: {part: operator, hardware: head-plate}}")
    assert other[:2] == ("differs", "warning")
    [problem] = read(
        "doorlint: 1\nstage: order\njob: {}\nmounts: {a: {hardware: pulley-5}}\n", library.catalog
    ).problems
    assert (problem.pointer, problem.rule) == ("/mounts/a/hardware", "spec.part")


def test_what_each_says_otherwise_is_said_once(library: Library) -> None:
    text = "cables: {each: {part: rope-7x19-galvanized-1/4, strength: 8000 lb}, near: {}, far: {}}"
    ((rule, severity, _),) = found(library, text)
    assert (rule, severity) == ("over-capacity", "error")


def test_a_document_is_in_force_on_its_last_day_and_not_after(library: Library) -> None:
    text = "tower: {boxes: {each: {part: box-12}, b1: {sections: [s1]}, b2: {sections: [s2]}}}"
    assert found(library, text, "2027-12-31") == []
    ((rule, severity, message),) = found(library, text, "2028-01-01")
    assert (rule, severity) == ("document-lapsed", "warning")
    assert message == "box-12: its document ran out on 2027-12-31 (Works drawing W-12, 2026, sheet 3)"


def test_a_finding_says_which_document_its_capacity_rests_on(library: Library) -> None:
    text = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
    rope = text.replace(
        "diameter: 1/4 in, construction: 7x19, finish: galvanized, strength: 7000 lb,",
        "part: rope-7x7-galvanized-1/16,",
    )
    assert rope != text
    record, spec, job = evaluate(rope, library)
    done = present(record, library, Policy(on=ON), "door.yaml", spec, job)
    notes = [f.source.note for f in done.findings if f.rule.startswith("cables.")]
    assert len(notes) == 6
    said = "capacity of rope-7x7-galvanized-1/16: FAA Advisory Circular 43.13-1B, 1998, Table 7-3"
    assert all(note.endswith(said) for note in notes)


def test_what_is_kept_of_a_review_says_the_same(library: Library) -> None:
    import json

    text = "doorlint: 1\nstage: order\njob: {}\n" + ROPE % "strength: 8000 lb"
    record = evaluate(text, library).record
    assert record_of(json.loads(json.dumps(record))) == record


GOOD = "catalog: rope\ntitle: Rope\nsource: {standing: practice, note: invented}\nparts:\n  %s\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            GOOD.replace("rope", "rop", 1) % "r: {values: {diameter: 6 mm}}",
            "1:1: found rop, which no group .* write rope",
        ),
        (GOOD % "r: {values: {diameter: 6}}", "5:16: part r: found 6 without a unit"),
        (GOOD % "r: {values: {diametr: 6 mm}}", "5:16: part r: found the key diametr .*write diameter"),
        (GOOD % "r: {values: {part: other}}", "5:7: found the name of another part in r"),
        (
            GOOD.replace("rope", "mount", 1) % "r: {values: {part: track, hardware: other}}",
            "5:7: found the name of another part in r",
        ),
        (
            GOOD.replace("rope", "mount", 1) % "r: {values: {part: track, fixing: {part: other}}}",
            "5:7: found the name of another part in r",
        ),
        (
            GOOD.replace("rope", "tower", 1) % "r: {values: {width: 14 in, boxes: {b1: {tare: 28 lb}}}}",
            "5:30: found named things in r",
        ),
        (GOOD % "R 1: {values: {diameter: 6 mm}}", "R 1"),
        (GOOD % "r: {values: {}}", "at least 1"),
        (GOOD % "r: {value: {diameter: 6 mm}}", "found"),
        ("catalog: rope\n", "found no title"),
    ],
)
def test_a_catalog_that_does_not_fit_is_refused(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "ropes.yaml").write_text(text)
    with pytest.raises(BrokenRules, match=said):
        load((tmp_path,))


def test_a_shop_may_take_the_place_of_a_part_of_the_library_but_not_say_one_twice(tmp_path: Path) -> None:
    folder = tmp_path / "parts"
    folder.mkdir()
    text = GOOD % "rope-7x19-galvanized-1/4: {values: {diameter: 1/4 in, strength: 6400 lb}}"
    (folder / "ropes.yaml").write_text(text)
    shop = load((tmp_path,)).catalog["rope-7x19-galvanized-1/4"]
    assert (shop.house, shop.values["strength"]) == (tmp_path.name, "6400 lb")
    (folder / "twice.yaml").write_text(text)
    with pytest.raises(BrokenRules, match=r"twice\.yaml:5:3: part rope-7x19-galvanized-1/4 is there twice"):
        load((tmp_path,))


def test_a_catalog_is_part_of_the_digest_of_the_rules(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    file = tmp_path / "parts" / "ropes.yaml"
    file.write_text(GOOD % "r: {values: {diameter: 6 mm}}")
    before = load((tmp_path,)).digest
    file.write_text(GOOD % "r: {values: {diameter: 7 mm}}")
    assert load((tmp_path,)).digest != before


def test_a_kept_rule_book_has_the_same_catalog(tmp_path: Path) -> None:
    from doorlint.rulebook.library import _loaded

    whole = load((HOUSE,)).catalog
    load((HOUSE,), tmp_path)
    _loaded.cache_clear()
    assert load((HOUSE,), tmp_path).catalog == whole

"""The load path: no part in the drawing of the mechanism is without a row, and its arrows are forces of its rows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from shared import DAY, review_text

from doorlint.counterbalance import the_one
from doorlint.evaluation import evaluate
from doorlint.facts import Facts
from doorlint.reports.load_path import breaks, load_rows
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library
from doorlint.scene.shapes import Scene
from doorlint.verdict import Policy, present

SAMPLES = sorted(
    path.stem
    for path in (Path(__file__).parent.parent / "sample_specs").glob("t*.yaml")
    if re.match("tower|torsion", path.stem)
)
ROWS = {
    # of the tower
    "tower": {"tower head V", "slab under the tower"}, "stop": {"base-stop"}, "box": {"box", "box-top", "box-bottom"},
    "plate": {"box"}, "link": {"chain", "chain fitting"}, "spring of": {"spring-stop", "chain"},
    "box pulley": {"box pulley"}, "head pulley": {"head pulley"}, "eye bolt": {"eye-bolt"},
    "eye bolt cable": {"cable", "cable end"}, "lift cable": {"cable", "cable end"},
    # of the shaft
    "shaft": {"shaft"}, "bearing": {"bearing"}, "drum": {"drum"}, "cable": {"cable", "cable end", "bottom-bracket"},
    "spring": {"spring"}, "winding cone": {"hub set screws", "hub key"},
}  # fmt: skip
"""By the first words of a shape's name: the rows of which the part it shows needs one."""
NO_PART = {"floor"}


def facts_of(sample: str, library: Library) -> Facts:
    path = Path(__file__).parent.parent / "sample_specs" / f"{sample}.yaml"
    job = evaluate(path.read_bytes(), library).job
    assert job is not None
    return Facts(job, "us")


def mechanism_of(facts: Facts) -> Scene:
    kind = the_one(facts.job.values)
    assert kind is not None
    ((_, scene),) = kind.own_drawings(facts)
    return scene


def part_of(shape: str) -> str:
    return max((words for words in {*ROWS, *NO_PART} if f"{shape} ".startswith(f"{words} ")), key=len, default=shape)


@pytest.mark.parametrize("sample", SAMPLES)
def test_no_part_in_the_drawing_of_the_mechanism_is_without_a_row(sample: str, library: Library) -> None:
    facts = facts_of(sample, library)
    kind = the_one(facts.job.values)
    assert kind is not None
    rows = {row["part"] for row in kind.lists["load_path"](facts)}
    shown = {part_of(shape.name) for shape in mechanism_of(facts).shapes} - NO_PART
    assert shown
    assert not [part for part in sorted(shown) if not ROWS.get(part, set()) & rows]


@pytest.mark.parametrize("sample", ["tower-install", "torsion-install"])
def test_arrows_of_the_mechanism_are_forces_of_the_load_path(sample: str, library: Library) -> None:
    facts = facts_of(sample, library)
    forces = {row.force for row in load_rows(facts) if row.case == "closed at rest"}
    words = [arrow.words for arrow in mechanism_of(facts).arrows if arrow.words]
    assert len(words) >= 4
    assert not [said for said in words if not any(said.endswith(force) for force in forces)]


@pytest.mark.parametrize("sample", ["tower-install", "torsion-install"])
def test_a_page_shows_the_load_path_and_the_report_only_what_is_found(sample: str, library: Library) -> None:
    from doorlint.findings import Review

    path = Path(__file__).parent.parent / "sample_specs" / f"{sample}.yaml"
    record, spec, job = evaluate(path.read_bytes(), library)
    review = Review("0", DAY, (present(record, library, Policy(DAY), path.name, spec, job),), library)
    page, text = review_text("html", review), review_text("text", review)
    assert job is not None
    rows, faults = load_rows(Facts(job, "us")), breaks(Facts(job, "us"))
    assert page.count("<tr><th") >= len(rows) + len(faults)
    assert all(one.part in page for one in faults)
    assert "Nothing else holds the door when one of these parts breaks" in " ".join(text.split())
    assert "closed at rest" not in text
    assert any(one.single for one in faults)


@pytest.mark.parametrize("sample", ["tower-install", "torsion-tube"])
def test_one_case_of_each_part_governs(sample: str, library: Library) -> None:
    rows = [row for row in load_rows(facts_of(sample, library)) if row.force != "-"]
    governing = [row.part for row in rows if row.governs]
    assert set(governing) == {row.part for row in rows}


def test_a_person_holds_a_hand_worked_european_door_of_which_a_broken_spring_leaves_little(library: Library) -> None:
    helper = {
        "side": "left", "wind": "right", "wire": "0.2 in", "inside_diameter": "2 5/8 in", "coils": "100",
        "dead_coils": "5", "material": "oil-tempered", "rate": "9 lbf in/turn", "anchor": "100 in",
    }  # fmt: skip
    patch = {"torsion": {"devices": {"spring_break": "false"}, "springs": {"helper": helper}}}
    spec = base("torsion-en").patched(patch)
    assert not spec.problems
    job = library.job(spec.values, spec.keys)
    left = job.at("spring.broken_short", "helper")
    assert 0.0 < left < 200.0
    assert job.at("spring.safeguard", "helper") == "a person"
    assert job.at("spring.safeguard", "left") == "nothing"
    driven = spec.patched({"operation": {"by": "chain-hoist", "holding": "1 lbf"}})
    assert library.job(driven.values, driven.keys).at("spring.safeguard", "helper") != "a person"


def test_what_holds_a_tower_door_with_a_part_gone(library: Library) -> None:
    """The other cable, the drive of a lower chain, nothing of the upper one."""
    kind = the_one({"tower": True})
    assert kind is not None
    spec = base("tower-install").patched({"operation": {"holding": "400 lbf"}})
    held = {
        one["thing"]: one["held_by"] for one in kind.lists["faults"](Facts(library.job(spec.values, spec.keys), "us"))
    }
    assert held["/cables/near"] == held["/cables/far"] == "the other cable"
    assert held["/tower/boxes/b1/chain"] == "nothing"
    assert held["/tower/boxes/b5/chain"] == "the drive"

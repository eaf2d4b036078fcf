"""A blank asks for all that the rules of its stage read, and for no more typing than `each` and a catalog need."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from shared import ROOT, SAMPLES, Run, filled_in
from shortest import only, shortest, typed

from doorlint.commands import blank as command
from doorlint.commands.options import call_of
from doorlint.evaluation import evaluate
from doorlint.rulebook.library import Library, load
from doorlint.spec import parse, read
from doorlint.spec.vocabulary import EACH, PART, VOCABULARY, Term
from doorlint.verdict import Policy, present

STAGES = ("survey", "order", "install", "commissioned")
HOUSE = ROOT / "tests" / "house" / "catalog"
CLEAN = {"tower": "tower-commissioned", "torsion": "torsion-commissioned"}


def plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    return list(node) if isinstance(node, list) else node


@cache
def job(kind: str) -> Any:
    """A finished job, written out in full."""
    path = ROOT / "sample_specs" / f"{CLEAN[kind]}.yaml"
    return plain(read(path.read_bytes(), load().catalog).tree)


@cache
def asked(stage: str, kind: str) -> frozenset[str]:
    """The names of the values that a blank has a line for."""
    tree = parse(filled_in(load(), stage, kind)).tree
    assert isinstance(tree, dict)
    return frozenset(_names(VOCABULARY.root, plain(tree)))


def _names(term: Term, node: Any) -> Any:
    for key, value in node.items():
        part = term.parts.get(key) or term.parts.get("{}")
        if isinstance(value, dict):
            yield from _names(part, value)
        elif part is not None:
            yield part.name


def review(tree: Any, stage: str, library: Library | None = None) -> Any:
    library = library or load()
    record, spec, made = evaluate(json.dumps(tree | {"stage": stage}, ensure_ascii=False), library)
    assert spec.problems == ()
    return present(record, library, Policy("2026-06-01"), "door.yaml", spec, made)


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("kind", CLEAN)
def test_what_a_blank_asks_for_is_enough_to_check_everything(kind: str, stage: str) -> None:
    """A clean job with nothing but what its blank asks for leaves as little unchecked as with all it says."""
    whole = review(job(kind), stage)
    filled = review(only(VOCABULARY.root, job(kind), set(asked(stage, kind))), stage)
    assert [(gap.rule, gap.pointer) for gap in filled.not_checked] == [
        (gap.rule, gap.pointer) for gap in whole.not_checked
    ]
    assert filled.verdict == "clear"


@pytest.mark.parametrize("every", [pytest.param(28, id="some"), pytest.param(7, id="most", marks=pytest.mark.slow)])
@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("kind", CLEAN)
def test_nothing_that_is_missing_is_not_asked_for(kind: str, stage: str, every: int) -> None:
    """Of a clean job any one value is taken out: what the review then misses has a line in the blank."""
    names = sorted(set(_names(VOCABULARY.root, only(VOCABULARY.root, job(kind), set(asked(stage, kind))))))
    for name in names[::every]:
        less = only(VOCABULARY.root, job(kind), set(VOCABULARY.leaves) - {name})
        if name not in ("doorlint", "stage") and "job" in less:
            for gap in review(less, stage).not_checked:
                for pointer in gap.missing:
                    assert _leaves(pointer) & asked(stage, kind), (name, gap.rule, pointer)


def _leaves(pointer: str) -> set[str]:
    """The names of the values at a pointer or below it."""
    term = VOCABULARY.root
    for step in pointer.split("/")[1:]:
        term = term.parts.get(step) or term.parts["{}"]
    return {leaf.name for leaf in VOCABULARY.leaves.values() if f"{leaf.pointer}/".startswith(f"{term.pointer}/")}


def test_what_ended_as_not_checked_before_has_its_line() -> None:
    wanted = {
        "section.hinge", "section.second_moment", "cable.clip_spacing", "cable.turn_back", "mount.part", "mount.reach",
        "pulley.at", "pulley.capacity", "box.chain.spring.stretch_at_stop",
    }  # fmt: skip
    assert wanted <= asked("install", "tower")


def test_another_counterbalance_and_later_stages_are_not_asked_for() -> None:
    assert not [name for name in asked("install", "torsion") if name.startswith(("box.", "tower.", "pulley."))]
    assert not [name for name in asked("install", "tower") if name.startswith(("spring.", "torsion.", "as_built"))]
    assert not [name for name in asked("survey", "tower") if name.startswith(("track.", "door.", "hanger."))]


@pytest.mark.parametrize(("height", "sections"), [("12'-0\"", 6), ("12'-1\"", 7), ("8 ft", 4), ("3000 mm", 5)])
def test_a_blank_has_as_many_sections_and_boxes_as_the_opening_needs(height: str, sections: int) -> None:
    sizes = f"{{left: {height}, middle: {height}, right: {height}}}"
    survey = read(f"doorlint: 1\nstage: survey\njob: {{number: J-1}}\nopening: {{height: {sizes}}}\n")
    tree: Any = parse(filled_in(load(), "order", "tower", survey)).tree
    assert list(tree["door"]["sections"]) == [EACH, *(f"s{number}" for number in range(1, sections + 1))]
    boxes = tree["tower"]["boxes"]
    assert list(boxes) == [EACH, *(f"b{number}" for number in range(1, sections + 1))]
    assert ["chain" in boxes[f"b{number}"] for number in range(1, sections + 1)] == [True] * (sections - 1) + [False]


def test_what_is_said_once_stays_said_once() -> None:
    text = (
        "doorlint: 1\nstage: order\njob: {number: J-1}\n"
        "cables: {each: {part: rope-7x19-galvanized-1/4, end: clips}, near: {side: right}, far: {side: left}}\n"
    )
    known = read(text, load().catalog)
    filled = filled_in(load(), "install", "tower", known)
    tree: Any = parse(filled).tree
    assert tree["cables"][EACH][PART] == "rope-7x19-galvanized-1/4"
    assert tree["cables"][EACH]["end"] == "clips"
    assert "strength" not in tree["cables"][EACH], "the part gives it"
    assert "clips" in tree["cables"][EACH]
    assert list(tree["cables"]["near"]) == ["side", "length"]
    again = read(filled, load().catalog)
    assert again.values["cable.strength"] == known.values["cable.strength"]
    assert filled_in(load(), "install", "tower", again) == filled


def _no_text(node: Any) -> Any:
    """What an editor makes of a YAML text: numbers and flags are no texts."""
    if isinstance(node, dict):
        return {key: _no_text(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_no_text(item) for item in node]
    if node in ("true", "false"):
        return node == "true"
    return int(node) if isinstance(node, str) and node.isdigit() else node


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("kind", CLEAN)
def test_an_empty_line_passes_in_an_editor(kind: str, stage: str) -> None:
    schema = Draft202012Validator(json.loads(command.schema(call_of({}))))
    tree = _no_text(plain(parse(filled_in(load(), stage, kind)).tree))
    assert [error.message for error in schema.iter_errors(tree)] == []
    tree["room"]["hedroom"] = "26 in"
    tree["opening"]["floor_fall"] = 26
    tree["job"] = None
    found = sorted(error.json_path for error in schema.iter_errors(tree))
    assert found == ["$.job", "$.opening.floor_fall", "$.room"]


def test_an_editor_is_offered_the_parts_of_every_catalog_in_use(run: Run) -> None:
    plain_schema = json.loads(run("blank", "--schema").stdout)
    shop = json.loads(run("blank", "--schema", "--house-rules", HOUSE).stdout)
    assert "rope-7x19-galvanized-1/4" in plain_schema["$defs"]["rope-part"]["examples"]
    assert plain_schema["$defs"]["box-part"]["examples"] == []
    assert shop["$defs"]["box-part"]["examples"] == ["box-12", "box-18"]


# What need not be typed at a stage: doorlint works it out, or it is written down once the work is done; and what has a
# default that this job takes, or that no rule asks for.
WORKED_OUT = {"order": ("box.plates", "box.chain.links", "cable.length"), "install": ("box.plates", "cable.length")}
DEFAULTS = {
    "tower": ("door.bottom_roller", "door.top_roller", "mount.width", "track.joint_gap", "install.on"),
    "torsion": ("door.bottom_roller", "door.top_roller", "track.joint_gap", "install.on"),
}
MOST = {
    ("tower", "survey"): 37, ("tower", "order"): 130, ("tower", "install"): 200, ("tower", "commissioned"): 240,
    ("torsion", "survey"): 37, ("torsion", "order"): 130, ("torsion", "install"): 200, ("torsion", "commissioned"): 240,
}  # fmt: skip


def to_type(kind: str, stage: str) -> tuple[Any, Any]:
    """A clean job of a stage as it need be typed: in full, and with `each` and the catalogs."""
    names = asked(stage, kind) - set(WORKED_OUT.get(stage, ())) - set(DEFAULTS[kind])
    if stage == "install":
        names = {name for name in names if not name.startswith("install.")}
    tree = only(VOCABULARY.root, job(kind), set(names)) | {"stage": stage}
    return tree, shortest(tree, load((HOUSE,)).catalog)


@pytest.mark.parametrize(("kind", "stage"), MOST)
def test_a_job_takes_few_typed_values(kind: str, stage: str) -> None:
    full, short = to_type(kind, stage)
    done = review(short, stage, load((HOUSE,)))
    assert done.verdict == "clear"
    whole = review(job(kind), stage)
    assert {gap.rule for gap in done.not_checked} == {gap.rule for gap in whole.not_checked}
    assert not [finding for finding in done.findings if finding.rule.startswith("catalog.")]
    assert typed(short) <= MOST[kind, stage] <= typed(full) + 5


if __name__ == "__main__":
    for kind, stage in MOST:
        full, short = to_type(kind, stage)
        print(f"{kind:8} {stage:13} {typed(full):4} -> {typed(short):4}")


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_a_blank_of_a_sample_reads_with_the_same_values(sample: Any) -> None:
    known = read(sample.read_bytes(), load().catalog)
    again = read(filled_in(load(), known=known), load().catalog)
    assert again.values == known.values
    assert {use[:3] for use in again.parts} == {use[:3] for use in known.parts}

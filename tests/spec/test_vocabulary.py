"""The vocabulary as the schema gives it, and the schemas that the walk would not understand."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from doorlint.quantities import DIMENSIONS, read
from doorlint.resources import folder
from doorlint.spec.vocabulary import VOCABULARY, vocabulary_of

SCHEMA = json.loads(folder("schemas").joinpath("job-spec.schema.json").read_text("utf-8"))


@pytest.mark.parametrize(
    ("name", "pointer", "axis", "kind"),
    [
        ("stage", "/stage", None, "choice"),
        ("doorlint", "/doorlint", None, "count"),
        ("room.headroom", "/room/headroom", None, "quantity"),
        ("section.weight", "/door/sections/{}/weight", "section", "quantity"),
        ("section.glass", "/door/sections/{}/glass", "section", "group"),
        ("section", "/door/sections/{}", "section", "group"),
        ("door.sections", "/door/sections", None, "map"),
        ("hangers", "/hangers", None, "map"),
        ("hanger.fixing.gravity", "/hangers/{}/fixing/gravity", "hanger", "number"),
        ("box.sections", "/tower/boxes/{}/sections", "box", "names"),
        ("box.chain.spring.rate", "/tower/boxes/{}/chain/spring/rate", "box", "quantity"),
        ("torsion.drum.radii", "/torsion/drum/radii", None, "lengths"),
        ("as_built.on", "/as_built/on", None, "date"),
        ("operation.lock.fitted", "/operation/lock/fitted", None, "flag"),
        ("job.notes", "/job/notes", None, "text"),
    ],
)
def test_a_name_is_its_path_with_the_axis_for_the_map(name: str, pointer: str, axis: str | None, kind: str) -> None:
    term = VOCABULARY.term(name)
    assert (term.name, term.pointer, term.axis, term.kind) == (name, pointer, axis, kind)
    assert VOCABULARY.pointer_of(name, "k/1") == pointer.replace("{}", "k~11")


def test_what_else_is_known_of_a_term() -> None:
    stage, headroom = VOCABULARY.term("stage"), VOCABULARY.term("room.headroom")
    assert stage.choices == ("survey", "order", "install", "commissioned")
    assert (stage.dimension, stage.known, stage.record_only) == (None, None, False)
    assert (headroom.dimension, headroom.known, headroom.examples) == ("length", "measured", ("24 in",))
    assert VOCABULARY.term("job.notes").record_only
    assert VOCABULARY.term("torsion.drum.radii").dimension == "length"


def test_every_term_is_described_and_every_quantity_has_a_dimension() -> None:
    for term in VOCABULARY.terms():
        assert term.description, term.name
        assert (term.dimension in DIMENSIONS) == (term.kind in ("quantity", "lengths")), term.name


def test_every_example_of_a_quantity_reads() -> None:
    for term in VOCABULARY.leaves.values():
        for example in term.schema.get("examples", ()) if term.kind == "quantity" and term.dimension else ():
            read(example, term.dimension or "")


def test_every_value_that_says_what_a_part_carries_is_marked() -> None:
    """More of it than the catalog gives is an error, so none may be forgotten."""
    named = {
        n for n, term in VOCABULARY.leaves.items() if n.endswith(("capacity", "strength", "rating")) and term.dimension
    }
    assert named <= {name for name, term in VOCABULARY.leaves.items() if term.capacity}


def test_axes_name_their_map_and_keys() -> None:
    axis = VOCABULARY.axes["box"]
    assert (axis.name, axis.pointer, axis.map) == ("box", "/tower/boxes", "tower.boxes")
    assert axis.pattern == "^(each|b[1-9][0-9]?)$"
    assert {term.axis for term in VOCABULARY.terms()} - {None} == set(VOCABULARY.axes)
    assert {axis.map for axis in VOCABULARY.axes.values()} == {t.name for t in VOCABULARY.terms() if t.kind == "map"}


def test_a_name_that_is_not_there_is_a_key_error() -> None:
    with pytest.raises(KeyError, match=r"room\.headrom"):
        VOCABULARY.term("room.headrom")


def _set(*path: Any) -> Callable[[dict[str, Any]], None]:
    *way, last, value = path

    def change(schema: dict[str, Any]) -> None:
        node: Any = schema
        for step in way:
            node = node[step]
        node[last] = value

    return change


ROOM = ("properties", "room", "properties")
SECTIONS = ("properties", "door", "properties", "sections")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (_set("oneOf", []), "walk of a group does not know this use of oneOf"),
        (_set("additionalProperties", True), "a group must refuse other keys"),
        (_set("properties", "job", "patternProperties", {}), "/job: the walk of a group .* patternProperties"),
        (_set("properties", "stage", "minLength", 1), "/stage: the walk of a choice .* minLength"),
        (_set("properties", "doorlint", "multipleOf", 2), "/doorlint: the walk of a count .* multipleOf"),
        (_set("properties", "doorlint", {"type": "integer", "minimum": 1}), "/doorlint: .* maximum"),
        (_set("properties", "job", "properties", "site", "minLength", 1), "/job/site: the walk of a text .* minLength"),
        (_set(*ROOM, "headroom", "maxLength", 9), "/room/headroom: beside .ref only description, examples, x-capacity"),
        (_set("properties", "job", "properties", "site", "x-positive", True), "/job/site: .* a text .* x-positive"),
        (_set("$defs", "length", "format", "x"), "/opening/width/top: the walk of a quantity .* format"),
        (_set(*ROOM, "headroom", {"type": "null"}), "the walk knows no type 'null'"),
        (_set(*ROOM, "headroom", {"type": ["string", "integer"]}), "the walk knows no type"),
        (_set(*ROOM, "headroom", {}), "the walk knows no type None"),
        (_set(*SECTIONS, "minProperties", 1), "/door/sections: the walk of a map .* minProperties"),
        (_set(*SECTIONS, "propertyNames", {"maxLength": 3}), "/door/sections: names of things are given by a pattern"),
        (_set(*SECTIONS, "additionalProperties", {"type": "boolean"}), "/door/sections: named things are groups"),
        (
            _set(*SECTIONS, "additionalProperties", "properties", "glass", SCHEMA["properties"]["hangers"]),
            "/door/sections/{}/glass: an axis inside the axis section",
        ),
        (
            _set(
                "properties", "torsion", "properties", "drum", "properties", "radii", "items", {"$ref": "#/$defs/date"}
            ),
            "/torsion/drum/radii: a list is of names by a pattern or of quantities",
        ),
        (_set(*SECTIONS, "propertyNames", {"pattern": "^s[1-9]$"}), "/door/sections: its names must let each through"),
        (
            _set("properties", "track", "properties", "rope", {"$ref": "#/$defs/rope-part"}),
            "/track/rope: a group names one catalog part, part or rope",
        ),
        (_set(*SECTIONS, "x-axis", "hanger"), "two nodes of the schema have one name"),
    ],
)
def test_a_schema_that_the_walk_does_not_know_is_refused(
    change: Callable[[dict[str, Any]], None], message: str
) -> None:
    schema = copy.deepcopy(SCHEMA)
    vocabulary_of(schema)
    change(schema)
    with pytest.raises(ValueError, match=message):
        vocabulary_of(schema)


def test_data_is_found_beside_the_package_and_inside_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("doorlint.resources._PACKAGE", str(tmp_path / "doorlint"))
    with pytest.raises(FileNotFoundError, match="installed without its folder 'rules'"):
        folder("rules")
    (tmp_path / "rules").mkdir()
    assert folder("rules") == tmp_path / "rules"
    (tmp_path / "doorlint" / "data" / "rules").mkdir(parents=True)
    assert folder("rules") == tmp_path / "doorlint" / "data" / "rules"

"""The rule library as a whole."""

from __future__ import annotations

import json
import re

from doorlint.figures import SUBJECTS, modules
from doorlint.figures.notes import note_of
from doorlint.quantities import DIMENSIONS
from doorlint.resources import folder
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.rule import STAGES, STANDINGS
from doorlint.spec.vocabulary import VOCABULARY


def test_every_module_of_figures_is_listed() -> None:
    there = {path.stem for path in (folder("schemas").parent / "doorlint" / "figures").glob("*.py")}
    assert there - {
        "__init__",
        "annotations",
        "cells",
        "error_gain",
        "fixing_inputs",
        "graph",
        "kinds",
        "notes",
        "parameter_names",
        "signature",
        "table",
        "working",
    } == set(SUBJECTS)
    assert len(modules()) == len(SUBJECTS)


def test_every_figure_says_label_unit_and_source(library: Library) -> None:
    for node in library.graph.nodes.values():
        if node.function is not None:
            note = note_of(node.function)
            assert note.source[0] in STANDINGS, node.name
            if note.source[0] in {"published", "second-hand"}:
                assert note.source[1], f"{node.name} lacks its document"
                assert note.source[3], f"{node.name} lacks its clause"


def test_units_in_docstrings_are_those_of_the_annotations(library: Library) -> None:
    for node in library.graph.nodes.values():
        if node.function is None:
            continue
        given = node.function.__annotations__["return"]
        if node.dimension is None and re.search(r"^(Each\[)?(tuple\[)?(Text|Flag|str)\b", given):
            assert note_of(node.function).unit == "-", f"{node.name} gives {given}, which has no unit"
        if node.dimension is not None:
            unit = DIMENSIONS[node.dimension].si_unit
            assert note_of(node.function).unit == unit, (
                f"{node.name}: docstring says {note_of(node.function).unit}, annotation {unit}"
            )


def test_every_word_of_the_spec_is_read_or_marked_record_only(library: Library) -> None:
    readers = {read for node in library.graph.nodes.values() for read in node.reads}
    own = {"doorlint", "stage"}
    dead = [
        term.name
        for term in VOCABULARY.leaves.values()
        if not term.record_only and term.name not in readers | own
        and term.axis != "approval" and not term.name.startswith(("job.", "practice."))
    ]  # fmt: skip
    assert not dead


def test_every_shop_figure_and_table_is_read(library: Library) -> None:
    readers = {read for node in library.graph.nodes.values() for read in node.reads}
    signed = {"practice.approval_days", "practice.approval_share"}  # what sign-offs are held to
    constants = [name for name in library.graph.constants if name not in readers | signed]
    assert not constants


def test_every_figure_serves_a_rule_a_sheet_a_drawing_or_an_adjustment(library: Library) -> None:
    """A figure that nothing reads is shown on a sheet or a drawing or works an adjustment out, or has no reason."""
    readers = {read for node in library.graph.nodes.values() for read in node.reads}
    readers |= {read for rule in library.rules.values() for read in rule.reads}  # a message shows some
    source = "".join(
        path.read_text("utf-8")
        for place in (
            "doorlint/counterbalance",
            "doorlint/scene",
            "doorlint/sheet",
            "doorlint/reports",
            "doorlint/remedies",
            "doorlint/change",
            "doorlint/uncertainty",
        )
        for path in sorted((folder("schemas").parent / place).rglob("*.py"))
    )
    readers |= set(re.findall(r"[a-z_]+\.[a-z_]+", (folder("rules") / "adjustments.yaml").read_text("utf-8")))
    idle = [
        node.name
        for node in library.graph.nodes.values()
        if node.function is not None and node.name not in readers and f'"{node.name}"' not in source
    ]
    assert not idle


def test_shop_figures_are_those_of_the_schema(library: Library) -> None:
    plain = {"number": "ratio", "integer": "count"}
    schema = json.loads((folder("schemas") / "job-spec.schema.json").read_bytes())
    given = {
        key: said["$ref"].rpartition("/")[2] if "$ref" in said else plain[said["type"]]
        for key, said in schema["properties"]["practice"]["properties"].items()
    }
    assert given == {key: shop.dimension for key, shop in library.practice.items()}


def test_no_error_rests_on_memory_and_all_say_what_to_do_first(library: Library) -> None:
    for rule in library.rules.values():
        if rule.severity == "error":
            assert rule.source.standing != "memory", rule.id
            assert rule.safety, rule.id


def test_every_input_of_an_error_is_asked_for_at_its_stage(library: Library) -> None:
    """What an error rule needs is on a completeness list of its stage or an earlier one."""
    words = VOCABULARY.leaves
    for rule in library.rules.values():
        if rule.severity != "error" or not rule.kind.compares:
            continue
        asked = {
            name
            for other in library.rules.values()
            if not other.kind.compares and STAGES.index(other.stage) <= STAGES.index(rule.stage)
            for name in other.statement["check"]["present"]
        }
        asked |= {name for name, allowed in rule.statement.get("when", {}).items() if allowed == "given"}
        lacking = sorted(
            name for name in _needed(library, RULE + rule.id)
            if name in words and name not in asked | {"stage", "doorlint"} and not name.startswith("practice.")
        )  # fmt: skip
        assert not lacking, f"{rule.id} needs {lacking}, which no completeness rule asks for at {rule.stage}"


def _needed(library: Library, name: str) -> set[str]:
    found: set[str] = set()
    queue = [name]
    while queue:
        here = queue.pop()
        for need in library.graph.nodes[here].needs:
            if need not in found:
                found.add(need)
                queue.append(need)
    return found


def test_messages_state_both_sides(library: Library) -> None:
    for rule in library.rules.values():
        if rule.kind.has_figure:
            assert "{value" in rule.message, rule.id
            assert "{limit" in rule.message, rule.id


def test_standing_is_the_weakest_in_the_chain(library: Library) -> None:
    for rule in library.rules.values():
        chain = [source.standing for source in library.sources(rule.reads)]
        assert library.standing(rule) == max([rule.source.standing, *chain], key=STANDINGS.index)

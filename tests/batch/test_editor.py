"""What an editor shows of a spec: yaml-language-server, headless, led to our schema by the first line of the file."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator
from pathlib import Path

import needs
import pytest
from lsp_client import Client, place_of
from shared import ROOT, SAMPLES, Run, thinned

SERVER = needs.node_package("yaml-language-server")
SPEC = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
SETTINGS = {
    "yaml": {"schemaStore": {"enable": False}, "validate": True, "hover": True, "completion": True},
    "http": {},
    "[yaml]": {},
    "editor": {},
}


@pytest.fixture(scope="module")
def editor() -> Iterator[Client]:
    made = Client(["node", SERVER / "bin" / "yaml-language-server", "--stdio"], settings=SETTINGS)
    yield made
    made.close()


def beside(name: str) -> Path:
    """A file among the sample specs, which the editor has open and nobody has saved."""
    return ROOT / "sample_specs" / name


@pytest.mark.parametrize("path", thinned(SAMPLES, 7), ids=lambda path: path.stem)
def test_samples_have_nothing_wrong_in_an_editor(path: Path, editor: Client) -> None:
    assert editor.open(path, path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("old", "new", "at"),
    [
        ("floor_fall: 1/8 in", "floor_fal: 1/8 in", "floor_fal"),
        ("jamb_material: steel", "jamb_material: stele", "stele"),
        ("headroom: 26 in", "headroom: 26", "26\n"),
        ("stage: order", "stage: ordered", "ordered"),
    ],
)
def test_what_is_wrong_stands_on_its_line(old: str, new: str, at: str, editor: Client) -> None:
    text = SPEC.replace(old, new)
    (problem,) = editor.open(beside(f"wrong-{at.strip()}.yaml"), text)
    assert problem["range"]["start"]["line"] == place_of(text, at)["line"]


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        ("headroom: 26 in", "header"),
        ("floor_fall:", "How far the floor is out of level across the opening"),
        ("hinge: 1", "inge"),
    ],
)
def test_hovering_over_a_key_says_what_it_is_in_the_words_of_the_trade(mark: str, said: str, editor: Client) -> None:
    path = beside("hover.yaml")
    editor.open(path, SPEC)
    found = editor.ask("textDocument/hover", textDocument={"uri": path.as_uri()}, position=place_of(SPEC, mark))
    text = json.dumps(found["contents"])
    assert said in text, text


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("stage: |", {"survey", "order", "install", "commissioned"}),
        ("opening:\n  |", {"width", "height", "floor_fall", "jamb_material"}),
        ("opening:\n  jamb_material: |", {"wood", "concrete", "masonry", "steel"}),
        ("door:\n  sections:\n    s1:\n      |", {"height", "weight", "hinge"}),
        ("hangers:\n  each:\n    |", {"part", "leg_a", "braced_along"}),
        ("cables:\n  each:\n    part: |", {"rope-7x19-galvanized-1/4", "rope-7x19-stainless-1/8"}),
        ("cables:\n  near:\n    part: |", {"rope-7x19-galvanized-1/4"}),
    ],
)
def test_completion_offers_our_vocabulary(typed: str, offered: set[str], editor: Client) -> None:
    text = SPEC.partition("\n")[0] + "\n" + typed
    path = beside(f"complete-{zlib.crc32(typed.encode())}.yaml")
    editor.open(path, text.replace("|", ""))
    found = editor.ask(
        "textDocument/completion", textDocument={"uri": path.as_uri()}, position=place_of(text, "|")
    )  # fmt: skip
    assert offered <= {item["label"] for item in (found["items"] if isinstance(found, dict) else found)}


def test_a_blank_spec_leads_to_the_schema_beside_it(run: Run, tmp_path: Path, editor: Client) -> None:
    (tmp_path / "job-spec.schema.json").write_text(run("blank", "--schema").stdout, "utf-8")
    text = run("blank", "--stage", "order").stdout.replace("floor_fall:", "floor_fal: 1/8 in")
    problems = editor.open(tmp_path / "door.yaml", text)
    lines = {problem["range"]["start"]["line"] for problem in problems}
    assert place_of(text, "floor_fal:")["line"] in lines
    assert not any("schema" in problem["message"].lower() for problem in problems)
    assert len(problems) == 1, "a line that is not filled in yet passes"


def test_the_schema_of_a_blank_offers_each_and_the_parts_of_a_shop(run: Run, tmp_path: Path, editor: Client) -> None:
    house = ROOT / "tests" / "house" / "catalog"
    (tmp_path / "job-spec.schema.json").write_text(run("blank", "--schema", "--house-rules", house).stdout, "utf-8")
    first = run("blank").stdout.partition("\n")[0]
    for typed, offered in (
        ("hangers:\n  |", {"each"}),
        ("tower:\n  boxes:\n    each:\n      |", {"part", "tare"}),
        ("tower:\n  boxes:\n    each:\n      part: |", {"box-12", "box-18"}),
    ):
        text = f"{first}\n{typed}"
        path = tmp_path / f"complete-{zlib.crc32(typed.encode())}.yaml"
        editor.open(path, text.replace("|", ""))
        found = editor.ask(
            "textDocument/completion", textDocument={"uri": path.as_uri()}, position=place_of(text, "|")
        )  # fmt: skip
        assert offered <= {item["label"] for item in (found["items"] if isinstance(found, dict) else found)}

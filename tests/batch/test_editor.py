"""What an editor shows of a spec: yaml-language-server, headless, led to our schema by the first line of the file."""

from __future__ import annotations

import json
import subprocess
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import needs
import pytest
from shared import ROOT, SAMPLES, Run, thinned

SERVER = needs.node_package("yaml-language-server")
SPEC = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
SETTINGS = {
    "yaml": {"schemaStore": {"enable": False}, "validate": True, "hover": True, "completion": True},
    "http": {},
    "[yaml]": {},
    "editor": {},
}


class Editor:
    """The side of the language server protocol that an editor has."""

    def __init__(self) -> None:
        self.server = subprocess.Popen(
            ["node", SERVER / "bin" / "yaml-language-server", "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self.asked = 0
        self.noted: list[dict[str, Any]] = []
        self.ask("initialize", processId=None, rootUri=None, capabilities={"workspace": {"configuration": True}})
        self.tell("initialized")

    def close(self) -> None:
        self.server.kill()
        self.server.communicate()

    def tell(self, method: str, **params: Any) -> None:
        self._send({"method": method, "params": params})

    def ask(self, method: str, **params: Any) -> Any:
        self.asked += 1
        self._send({"id": self.asked, "method": method, "params": params})
        while True:
            message = self._next()
            if message.get("id") == self.asked and "method" not in message:
                assert "error" not in message, message
                return message["result"]
            self.noted.append(message)

    def open(self, path: Path, text: str) -> list[dict[str, Any]]:
        """Open a document; what is wrong with it."""
        uri = path.as_uri()
        self.tell("textDocument/didOpen", textDocument={"uri": uri, "languageId": "yaml", "version": 1, "text": text})
        while True:
            message = self.noted.pop(0) if self.noted else self._next()
            if message.get("method") == "textDocument/publishDiagnostics" and message["params"]["uri"] == uri:
                return message["params"]["diagnostics"]  # type: ignore[no-any-return]

    def _send(self, message: dict[str, Any]) -> None:
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self.server.stdin is not None
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(data), data))
        self.server.stdin.flush()

    def _next(self) -> dict[str, Any]:
        """The next message that is for us; what the server asks of an editor is answered on the way."""
        assert self.server.stdout is not None
        while True:
            size = 0
            while (line := self.server.stdout.readline()) not in (b"\r\n", b""):
                name, _, value = line.partition(b":")
                size = int(value) if name.lower() == b"content-length" else size
            assert size, "the server is gone"
            message: dict[str, Any] = json.loads(self.server.stdout.read(size))
            if "id" not in message or "method" not in message:
                return message
            items = message.get("params", {}).get("items", [])
            self._send({"id": message["id"], "result": [SETTINGS.get(item["section"]) for item in items] or None})


@pytest.fixture(scope="module")
def editor() -> Iterator[Editor]:
    made = Editor()
    yield made
    made.close()


def place_of(text: str, mark: str) -> dict[str, int]:
    before = text[: text.index(mark)].split("\n")
    return {"line": len(before) - 1, "character": len(before[-1])}


def beside(name: str) -> Path:
    """A file among the sample specs, which the editor has open and nobody has saved."""
    return ROOT / "sample_specs" / name


@pytest.mark.parametrize("path", thinned(SAMPLES, 7), ids=lambda path: path.stem)
def test_samples_have_nothing_wrong_in_an_editor(path: Path, editor: Editor) -> None:
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
def test_what_is_wrong_stands_on_its_line(old: str, new: str, at: str, editor: Editor) -> None:
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
def test_hovering_over_a_key_says_what_it_is_in_the_words_of_the_trade(mark: str, said: str, editor: Editor) -> None:
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
def test_completion_offers_our_vocabulary(typed: str, offered: set[str], editor: Editor) -> None:
    text = SPEC.partition("\n")[0] + "\n" + typed
    path = beside(f"complete-{zlib.crc32(typed.encode())}.yaml")
    editor.open(path, text.replace("|", ""))
    found = editor.ask(
        "textDocument/completion", textDocument={"uri": path.as_uri()}, position=place_of(text, "|")
    )  # fmt: skip
    assert offered <= {item["label"] for item in (found["items"] if isinstance(found, dict) else found)}


def test_a_blank_spec_leads_to_the_schema_beside_it(run: Run, tmp_path: Path, editor: Editor) -> None:
    (tmp_path / "job-spec.schema.json").write_text(run("blank", "--schema").stdout, "utf-8")
    text = run("blank", "--stage", "order").stdout.replace("floor_fall:", "floor_fal: 1/8 in")
    problems = editor.open(tmp_path / "door.yaml", text)
    lines = {problem["range"]["start"]["line"] for problem in problems}
    assert place_of(text, "floor_fal:")["line"] in lines
    assert not any("schema" in problem["message"].lower() for problem in problems)
    assert len(problems) == 1, "a line that is not filled in yet passes"


def test_the_schema_of_a_blank_offers_each_and_the_parts_of_a_shop(run: Run, tmp_path: Path, editor: Editor) -> None:
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

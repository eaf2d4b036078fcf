"""The language server in a process of its own, over its real wire."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import needs
import pytest
from lsp_client import Client, place_of
from opened import SIGNED, WIDE, margin, sample
from shared import ROOT

needs.module("pygls", "editor")

COMMAND = (sys.executable, "-m", "doorlint", "language-server")
SPEC = (ROOT / "sample_specs" / "duct-behind-header.yaml").read_text("utf-8")
CLEAR = SPEC.replace("""underside: 13'-0\"""", """underside: 15'-0\"""")


Start = Callable[..., Client]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("doors")


@pytest.fixture(scope="module")
def start(place: Path, cache: Path) -> Iterator[Start]:
    """Start a server that works in a folder of specs."""
    running: list[Client] = []

    def started(root: Path = place, command: Sequence[str] = COMMAND, **more: Any) -> Client:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(cache)}
        running.append(Client(command, cwd=root, root=root, env=environment, stderr=subprocess.DEVNULL, **more))
        return running[-1]

    yield started
    for one in running:
        one.close()


@pytest.fixture(scope="module")
def editor(start: Start) -> Client:
    return start()


def ask(editor: Client, method: str, path: Path, position: dict[str, int]) -> Any:
    return editor.ask(f"textDocument/{method}", textDocument={"uri": path.as_uri()}, position=position)


def test_findings_come_when_a_spec_is_opened_and_go_when_it_is_put_right(editor: Client, place: Path) -> None:
    path = place / "door.yaml"
    found = editor.open(path, SPEC)
    assert {(one["code"], *one["range"]["start"].values()) for one in found} == margin(SPEC)
    assert 1 in {one["severity"] for one in found}
    (first,) = [one for one in found if one["code"] == "sweep.obstruction"]
    assert first["range"]["start"] == place_of(SPEC, "underside:")
    assert "Safety: " in first["message"]
    assert first["codeDescription"]["href"].startswith("file://")
    assert "track: wall offset = 3 in" in {place["message"] for place in first["relatedInformation"]}
    began = time.monotonic()
    editor.change(path, CLEAR, 2)
    assert editor.published(path, 2) == []
    assert time.monotonic() - began >= 0.2, "it waits until nobody types"
    editor.tell("textDocument/didClose", textDocument={"uri": path.as_uri()})
    assert editor.published(path) == []


def test_only_the_last_of_many_changes_is_reviewed(editor: Client, place: Path) -> None:
    path = place / "typed.yaml"
    editor.open(path, SPEC)
    for version in range(2, 12):
        editor.change(path, SPEC if version % 2 else CLEAR, version)
    assert len(editor.published(path, 11)) == len(margin(SPEC))
    assert not [note for note in editor.noted if note["method"] == "textDocument/publishDiagnostics"]


@pytest.mark.slow
def test_positions_are_utf_16_also_where_an_editor_offers_more(start: Start, place: Path) -> None:
    capabilities = {"general": {"positionEncodings": ["utf-8", "utf-32", "utf-16"]}}
    editor = start(capabilities=capabilities)
    assert editor.capabilities["positionEncoding"] == "utf-16"
    text = SPEC.replace("job:", 'job: {site: "\U0001f6aa\U0001f6aa dock", numbr: J-1}\nold:', 1).replace("\n", "\r\n")
    found = editor.open(place / "astral.yaml", text)
    (slip,) = [one for one in found if "numbr" in one["message"]]
    assert slip["range"]["start"] == place_of(text, "numbr")


def test_while_the_text_is_broken_the_last_figures_are_shown(editor: Client, place: Path) -> None:
    path = place / "broken.yaml"
    editor.open(path, SPEC)
    broken = SPEC.replace("  headroom: 26 in", "  headroom: {26 in")
    editor.change(path, broken, 2)
    (problem,) = editor.published(path, 2)
    assert problem["code"] == "spec.yaml"
    said = ask(editor, "hover", path, place_of(broken, "side_left"))["contents"]["value"]
    assert "`14 in` = 356 mm" in said
    assert "last figures" in said
    editor.change(path, SPEC, 3)
    assert len(editor.published(path, 3)) == len(margin(SPEC))
    assert "last figures" not in ask(editor, "hover", path, place_of(SPEC, "side_left"))["contents"]["value"]


def test_other_yaml_is_left_alone(editor: Client, place: Path) -> None:
    path = place / "other.yaml"
    assert editor.open(path, "services: {door: [}\n") == []
    assert ask(editor, "hover", path, {"line": 0, "character": 2}) is None
    assert ask(editor, "completion", path, {"line": 1, "character": 0})["items"] == []


@pytest.mark.parametrize(
    "name", ["untitled:Untitled-1", "git:/doors/d-3.yaml?main", "file:///doors/d%00.yaml", "x", ""]
)
def test_a_text_that_is_no_file_is_reviewed(name: str, editor: Client) -> None:
    assert editor.open(name, SPEC)


@pytest.mark.parametrize("name", ["north dock #2.yaml", "tür 50 %.yaml", "a%20b.yaml"])
def test_a_file_may_have_any_name(name: str, editor: Client, place: Path) -> None:
    path = place / name
    assert len(editor.open(path, SPEC)) == len(margin(SPEC))
    editor.change(path, CLEAR, 2)
    assert editor.published(path, 2) == []
    assert ask(editor, "hover", path, place_of(SPEC, "headroom")) is not None
    assert ask(editor, "completion", path, place_of(SPEC, "tool: ", 6))["items"]


def test_of_a_document_that_is_not_open_there_is_nothing_to_say(editor: Client, place: Path) -> None:
    assert ask(editor, "hover", place / "closed.yaml", {"line": 0, "character": 0}) is None
    assert ask(editor, "completion", place / "closed.yaml", {"line": 0, "character": 0})["items"] == []


@pytest.mark.slow
def test_settings_and_house_rules_of_the_workspace_are_followed_and_their_faults_shown(
    start: Start, tmp_path: Path
) -> None:
    editor = start(tmp_path)
    shutil.copytree(ROOT / "tests" / "house" / "stricter", tmp_path / "shop")
    settings = tmp_path / ".doorlint.yaml"
    settings.write_text(f"severity: {{{SIGNED}: {{to: error}}}}\n", "utf-8")
    path = tmp_path / "door.yaml"
    (graded,) = [one for one in editor.open(path, WIDE) if one["code"] == SIGNED]
    assert graded["severity"] == 1
    settings.write_text("house_rules: [shop]\nrulebook: https://shop.example/rules.html\n", "utf-8")
    editor.noted.clear()
    editor.tell("textDocument/didSave", textDocument={"uri": path.as_uri()})
    found = editor.published(path)
    (linked,) = [one for one in found if one["code"] == SIGNED]
    assert linked["severity"] == 2
    assert linked["codeDescription"]["href"] == f"https://shop.example/rules.html#{SIGNED}"
    settings.write_text("hold_at: wrning\n", "utf-8")
    editor.noted.clear()
    editor.tell("workspace/didChangeWatchedFiles", changes=[{"uri": settings.as_uri(), "type": 2}])
    (fault,) = editor.published(path)
    assert "Not reviewed" in fault["message"]
    assert "wrning" in fault["message"]


def test_sign_offs_beside_the_spec_count(editor: Client, place: Path) -> None:
    path = place / "signed.yaml"
    beside = place / "signed.approvals.yaml"
    beside.write_text("approvals: {a: {rule: no.such-rule}}\n", "utf-8")
    assert "approval.incomplete" in {one["code"] for one in editor.open(path, SPEC)}


@pytest.mark.slow
def test_keys_are_left_to_another_server_where_the_editor_says_so(start: Start, place: Path) -> None:
    editor = start(options={"complete_keys": False})
    path = place / "keys.yaml"
    text = SPEC.replace("room:\n", "room:\n  \n").replace("tool: tape", "tool: ")
    editor.open(path, text)
    line = place_of(text, "room:\n")["line"] + 1
    assert ask(editor, "completion", path, {"line": line, "character": 2})["items"] == []
    offered = ask(editor, "completion", path, place_of(text, "tool: ", 6))["items"]
    assert {one["label"] for one in offered} == {"tape", "laser", "drawing"}


@pytest.mark.slow
def test_actions_come_with_the_diagnostics_that_they_settle(editor: Client, place: Path) -> None:
    path = place / "acts.yaml"
    text = sample("hook-up-from-the-angle")
    found = editor.open(path, text)
    span = {"start": place_of(text, "hook_up_height:"), "end": place_of(text, "hook_up_height:", 3)}
    asked = {"textDocument": {"uri": path.as_uri()}, "range": span}
    made = editor.ask("textDocument/codeAction", **asked, context={"diagnostics": found})
    remedy = next(one for one in made if one["title"].startswith("Remedy: "))
    assert "tower.never-slack" in {one["code"] for one in remedy["diagnostics"]}
    ((edit,),) = remedy["edit"]["changes"].values()
    assert edit["range"]["start"] == {"line": span["start"]["line"], "character": 0}
    assert edit["newText"].startswith("  hook_up_height: ")
    automatic = editor.ask("textDocument/codeAction", **asked, context={"diagnostics": found, "triggerKind": 2})
    assert not any(one["title"].startswith(("Remedy: ", "Likely slip: ")) for one in automatic)
    others = editor.ask("textDocument/codeAction", **asked, context={"diagnostics": found, "only": ["refactor"]})
    assert others == []


@pytest.mark.slow
def test_a_print_inside_does_not_reach_the_wire(start: Start, place: Path) -> None:
    code = (
        "import os, sys\nfrom doorlint import cli\nfrom doorlint.editor import document\nwas = document.reviews\n"
        "def loud(*arguments):\n"
        "    print('stray'); sys.stdout.flush(); os.write(1, b'Content-Length: 3\\r\\n\\r\\n{}!')\n"
        "    os.system('echo stray'); return was(*arguments)\n"
        "document.reviews = loud\ncli.main(['language-server'])\n"
    )
    editor = start(command=[sys.executable, "-c", code])
    assert len(editor.open(place / "loud.yaml", SPEC)) == len(margin(SPEC))


@pytest.mark.slow
def test_the_server_ends_as_the_protocol_has_it_and_when_its_editor_is_gone(start: Start) -> None:
    assert start().shut_down() == 0
    assert start().hang_up() == 0


def test_what_is_no_request_gets_an_error_and_nothing_else_breaks(editor: Client, place: Path) -> None:
    assert "error" in editor.reply("textDocument/nothing", position={"line": 0})
    editor.tell("textDocument/hover", position={"line": "x"})
    editor.tell("textDocument/didChange")
    path = place / "after.yaml"
    assert len(editor.open(path, SPEC)) == len(margin(SPEC))
    for line, character in ((10**6, 0), (0, 10**6), (30, 10**9)):
        ask(editor, "hover", path, {"line": line, "character": character})
        ask(editor, "completion", path, {"line": line, "character": character})
        ask(editor, "definition", path, {"line": line, "character": character})


def test_the_server_never_writes(editor: Client, place: Path) -> None:
    path = place / "kept.yaml"
    path.write_text(SPEC, "utf-8")
    before = path.stat().st_mtime_ns
    editor.open(path, CLEAR)
    editor.change(path, SPEC, 2)
    editor.published(path, 2)
    assert (path.read_text("utf-8"), path.stat().st_mtime_ns) == (SPEC, before)


@pytest.mark.slow
def test_a_fault_of_doorlint_is_said_in_the_margin_and_ends_nothing(start: Start, place: Path) -> None:
    code = (
        "from doorlint import cli\nfrom doorlint.editor import server\nwas = server.diagnostics\n"
        "def failing(document):\n"
        "    assert 'J-1016' not in document.text, 'no such job'\n    return was(document)\n"
        "server.diagnostics = failing\ncli.main(['language-server'])\n"
    )
    editor = start(command=[sys.executable, "-c", code])
    (fault,) = editor.open(place / "faulty.yaml", SPEC)
    assert fault["message"] == "Not reviewed: doorlint itself failed on it: AssertionError: no such job"
    assert len(editor.open(place / "whole.yaml", SPEC.replace("J-1016", "J-1017"))) == len(margin(SPEC))


@pytest.mark.slow
def test_notifications_leave_nothing_behind() -> None:
    from lsprotocol import types as lsp  # only where the extra is there

    from doorlint.editor.server import _made

    protocol = _made(None).protocol
    for _ in range(100):
        protocol._handle_notification(lsp.SET_TRACE, lsp.SetTraceParams(lsp.TraceValue.Off))
    assert len(protocol._request_futures) <= 1

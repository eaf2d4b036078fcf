"""How fast findings come while somebody types, and whether a long session leaks or breaks anything."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import needs
import pytest
from lsp_client import Client
from opened import sample
from shared import ROOT
from soak import Session

from doorlint.spec import Node, parse

pytestmark = pytest.mark.slow
needs.module("pygls", "editor")


def test_random_edits_break_nothing_and_leave_no_memory_behind(tmp_path: Path) -> None:
    session = Session(tmp_path, seed=7)
    seen = list(session.run(20))
    assert session.edits > 20
    assert session.editor.shut_down() == 0
    early, late = seen[len(seen) // 3].memory, seen[-1].memory
    assert late < 1.25 * early, [one.memory for one in seen]


def count(node: Node) -> int:
    """How many values a tree holds."""
    if isinstance(node, dict):
        return sum(map(count, node.values()))
    return sum(map(count, node)) if isinstance(node, list) else 1


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    place = tmp_path_factory.mktemp("fast")
    made = Client([sys.executable, "-m", "doorlint", "language-server"], cwd=ROOT, root=place)
    yield made
    made.close()


def worked(editor: Client) -> float:
    """Seconds of processor time that a server has used."""
    fields = Path(f"/proc/{editor.server.pid}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@pytest.mark.parametrize(
    ("name", "mark", "least"),
    [("tower-commissioned", "bottom_roller: 3 in", 450), ("torsion-commissioned", "bottom_roller: 3 in", 350)],
)
def test_a_large_spec_takes_less_than_a_twentieth_of_a_second(
    name: str, mark: str, least: int, editor: Client, tmp_path: Path
) -> None:
    """The work of the server from a text on the wire to its findings, warm; in processor time, for its machine may do
    other things beside."""
    text, path, turns = sample(name), tmp_path / "large.yaml", 40
    assert count(parse(text).tree) >= least
    used: list[float] = []
    for turn in range(2 * turns):
        if turn >= turns:
            used.append(worked(editor))
        editor.open(path, text.replace(mark, f"{mark[: mark.index(':')]}: {3 + turn / 256} in", 1))
        editor.tell("textDocument/didClose", textDocument={"uri": path.as_uri()})
        editor.published(path)
    assert (worked(editor) - used[0]) / turns < 0.05

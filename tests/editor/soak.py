"""A long session of random edits with the language server: python tests/editor/soak.py [--minutes N] [--seed N]

Somebody types into a spec without sense: letters come and go, lines are moved, pasted and taken out, hostile text is
put in, and now and then all is put right again. In between the editor asks for whatever a server answers. The server
must answer everything, end with the session and not before, and hold no more memory late than early.
"""

from __future__ import annotations

import argparse
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from lsp_client import Client  # noqa: E402 - from the folder of the tests, wherever this is started

SAMPLES = [
    "tower-commissioned", "torsion-commissioned", "hanger-unbraced", "duct-behind-header", "survey-clean",
    "hook-up-from-the-angle", "balance-read-one-way",
]  # fmt: skip
WORDS = [
    "24 in", "0", "12'-0\"", "1e30 ft", "{", "}", "[", "]", ": ", "- ", "#", "'", '"', "\t", "\r\n", "\n\n", "|", ">",
    "&a", "*a", "!!int 3", "<<: *a", "---\n", "...", "\ufeff", "\u202e", "\x00", "\ud83d\udeaa", "\u2028",
    "doorlint: 2", "stage: commissioned", "approvals: {a: {rule: headroom.swept}}", "practice: {tape: 9 in}",
    "each: {}", "part: rope", "é" * 50, "[" * 200,
]  # fmt: skip
ASKED = ["hover", "completion", "definition", "codeAction"]


class Seen(NamedTuple):
    """The server after so many edits."""

    seconds: float
    edits: int
    memory: int
    """KiB"""


class Session:
    """One editor, one server, one document after the other."""

    def __init__(self, place: Path, seed: int, command: list[str] | None = None) -> None:
        self.chance = random.Random(seed)
        self.path = place / "typed.yaml"
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(place / "cache")}
        server = command or [sys.executable, "-m", "doorlint", "language-server"]
        self.editor = Client(server, cwd=place, root=place, env=environment, stderr=subprocess.DEVNULL)
        self.edits = self.asked = self.refused = 0
        self.waits: list[float] = []
        """seconds from an edit to what is wrong with the text, the wait for quiet among them"""

    def run(self, seconds: float) -> Iterator[Seen]:
        """Type for so long; the server is looked at about a hundred times."""
        start = looked = time.monotonic()
        while time.monotonic() - start < seconds:
            self.document()
            if time.monotonic() - looked >= seconds / 100:
                looked = time.monotonic()
                yield Seen(looked - start, self.edits, self.memory())

    def memory(self) -> int:
        """What the server holds at present."""
        status = Path(f"/proc/{self.editor.server.pid}/status").read_text("ascii")
        return int(status.partition("VmRSS:")[2].split()[0])

    def document(self) -> None:
        """Open a sample, spoil it and put it right again."""
        text = whole = (ROOT / "sample_specs" / f"{self.chance.choice(SAMPLES)}.yaml").read_text("utf-8")
        if self.chance.random() < 0.2:
            text = whole = whole.replace("\n", "\r\n")
        self.editor.open(self.path, text)
        for version in range(2, self.chance.randint(3, 25)):
            text = whole if self.chance.random() < 0.1 else self.changed(text)
            began = time.monotonic()
            self.editor.change(self.path, text, version)
            self.edits += 1
            if self.chance.random() < 0.5:
                self.editor.published(self.path, version)
                self.waits.append(time.monotonic() - began)
            for _ in range(self.chance.randint(0, 3)):
                self.ask(text)
        self.editor.tell("textDocument/didClose", textDocument={"uri": self.path.as_uri()})

    def changed(self, text: str) -> str:
        """The text after one thoughtless change."""
        chance = self.chance
        at = chance.randint(0, len(text))
        lines = text.splitlines(keepends=True) or [""]
        line = chance.randrange(len(lines))
        match chance.randrange(6):
            case 0:
                return text[:at] + chance.choice(WORDS) + text[at:]
            case 1:
                return text[:at] + text[at + chance.choice([1, 1, 1, 10, 500]) :]
            case 2:
                return text[:at] + chance.choice("abcins0123456789 '\"/.:-{}\n") + text[at:]
            case 3:
                return "".join([*lines[:line], *lines[line : line + chance.randint(1, 9)], *lines[line:]])
            case 4:
                return "".join([*lines[:line], *lines[line + chance.randint(1, 9) :]])
            case _:
                other = chance.randrange(len(lines))
                lines[line], lines[other] = lines[other], lines[line]
                return "".join(lines)

    def ask(self, text: str) -> None:
        """Ask for something at a random place, inside of the text or not."""
        method = self.chance.choice(ASKED)
        lines = text.split("\n")
        line = self.chance.randrange(len(lines) + 2)
        position = {"line": line, "character": self.chance.randint(0, 60)}
        params: dict[str, Any] = {"textDocument": {"uri": self.path.as_uri()}}
        if method == "codeAction":
            search = self.chance.random() < 0.1
            params |= {"range": {"start": position, "end": position}}
            params |= {"context": {"diagnostics": [], "triggerKind": 1 if search else 2}}
        else:
            params |= {"position": position}
        answer = self.editor.reply(f"textDocument/{method}", **params)
        self.asked += 1
        self.refused += "error" in answer
        assert "error" not in answer, (method, answer, text)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        session = Session(Path(place), asked.seed)
        for seen in session.run(60 * asked.minutes):
            print(f"{seen.seconds:7.0f} s {seen.edits:7} edits {seen.memory / 1024:7.1f} MiB", flush=True)
        waits = sorted(session.waits)
        print(f"{session.edits} edits, {session.asked} questions, none refused; exit code {session.editor.shut_down()}")
        median = statistics.median(waits)
        print(f"edit to findings, 0.2 s of quiet among it: median {median:.3f} s, worst {waits[-1]:.3f} s")


if __name__ == "__main__":
    main()

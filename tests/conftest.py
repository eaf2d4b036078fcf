"""What every test room shares: the library, the sample specs, and the command line in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from shared import ROOT, Run

from doorlint.rulebook.library import Library, load

collect_ignore = ["fuzz/fuzz.py"]
"""A program that changes the whole package as soon as it is imported; it has no examples to run."""


@pytest.fixture(scope="session")
def library() -> Library:
    return load()


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """``run("review", "door.yaml")``: doorlint in a process of its own, cache and home inside ``tmp_path``."""

    def call(
        *words: str | Path, stdin: str | bytes = "", cwd: Path = ROOT, **more: str
    ) -> subprocess.CompletedProcess[str]:
        env = {**os.environ, "HOME": str(tmp_path), "XDG_CACHE_HOME": str(tmp_path / "cache"), "NO_COLOR": "1", **more}
        data = stdin.encode() if isinstance(stdin, str) else stdin
        done = subprocess.run(
            [sys.executable, "-m", "doorlint", *map(str, words)],
            input=data,
            capture_output=True,
            cwd=cwd,
            env=env,
            check=False,
        )
        return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())

    return call

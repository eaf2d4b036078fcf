"""What every test room shares: the library, the sample specs, and the command line in a process of its own."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings
from shared import ROOT, Run, in_process

from doorlint.rulebook.library import Library, load

settings.register_profile("new-examples", deadline=None)
settings.register_profile("same-examples", deadline=None, derandomize=True)
settings.load_profile("same-examples")  # a red run is the commit's fault; to search: --hypothesis-profile=new-examples

collect_ignore = ["fuzz/fuzz.py"]
"""A program that changes the whole package as soon as it is imported; it has no examples to run."""


COMPILED = tempfile.TemporaryDirectory(prefix="doorlint-compiled-")


def pytest_collection() -> None:
    """Programs that tests start find compiled what the ones before have read, and leave nothing beside the sources.

    Not earlier: the workers of this run are not to compile all libraries once more.
    """
    os.environ["PYTHONPYCACHEPREFIX"] = COMPILED.name
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


gc.disable()  # until everything is collected: thousands of tests are no garbage, and looking through them takes seconds


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()


@pytest.fixture(scope="session")
def library() -> Library:
    return load()


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder in which commands keep checked rules and records; a test of the cache itself names its own."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def run(tmp_path: Path, cache: Path) -> Run:
    """``run("review", "door.yaml")``: the command in this process, its home inside ``tmp_path``, one cache for all.

    ``launch`` asks for the same in a process of its own, which takes half a second more.
    """
    return _runner(tmp_path, cache, in_process)


@pytest.fixture
def launch(tmp_path: Path, cache: Path) -> Run:
    """``launch("review", "door.yaml", TZ="UTC")``: the command in a process of its own, for what only that can show."""
    return _runner(tmp_path, cache, _launched)


def _runner(
    home: Path, cache: Path, how: Callable[[list[str], bytes, Path, dict[str, str]], subprocess.CompletedProcess[str]]
) -> Run:
    def call(
        *words: str | Path, stdin: str | bytes = "", cwd: Path = ROOT, **more: str
    ) -> subprocess.CompletedProcess[str]:
        env = {**os.environ, "HOME": str(home), "XDG_CACHE_HOME": str(cache), "NO_COLOR": "1", **more}
        return how([*map(str, words)], stdin.encode() if isinstance(stdin, str) else stdin, cwd, env)

    return call


def _launched(words: list[str], stdin: bytes, cwd: Path, env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "doorlint", *words]
    done = subprocess.run(call, input=stdin, capture_output=True, cwd=cwd, env=env, check=False)
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())

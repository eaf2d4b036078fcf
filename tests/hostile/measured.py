"""doorlint in a process of its own, with what it took: for input that means harm.

All runs share one cache folder for the checked rules, which halves their time; a test of the cache names its own.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from shared import DAY, ROOT, in_process

LAUNCH = Path(__file__).with_name("launch.py")
WALL = 60
"""Seconds after which whatever still runs is taken to hang."""
GUARD = 2 * 2**30
"""Bytes that a process may map before the machine that runs the tests is protected from it."""
GOOD = (ROOT / "sample_specs" / "tower-order.yaml").read_bytes()


WARM = tempfile.TemporaryDirectory(prefix="doorlint-hostile-")
RUNS: list[tuple[str, Ended]] = []
"""Every run so far, with the test that asked for it."""


class Ended(NamedTuple):
    """How a run ended: exit code, both streams, seconds of processor time, and the most memory it held, in MB; the last
    two are no number where nobody measured."""

    code: int
    out: str
    err: str
    seconds: float
    peak: float

    def within(self, seconds: float, peak: float) -> bool:
        """Whether it took no more than that, where it was measured."""
        return math.isnan(self.peak) or (self.seconds < seconds and self.peak < peak)

    @property
    def specs(self) -> dict[str, dict[str, Any]]:
        """The specs of a JSON report by file."""
        return {spec["file"]: spec for spec in json.loads(self.out)["specs"]}


def command(*words: str | bytes | Path) -> list[str | bytes]:
    """doorlint's command line, started so that no module of the working folder can take the place of one of ours."""
    return [sys.executable, "-P", "-m", "doorlint", *(os.fspath(word) for word in words)]


def environment(place: Path, **more: str | None) -> dict[str, str]:
    """Surroundings with home inside a folder; ``None`` takes a variable away."""
    said = {**os.environ, "HOME": str(place), "XDG_CACHE_HOME": WARM.name, "NO_COLOR": "1", **more}
    return {name: value for name, value in said.items() if value is not None}


def doorlint(
    *words: str | bytes | Path,
    place: Path,
    stdin: bytes | int = b"",
    stdout: int = subprocess.PIPE,
    largest_file: int = 0,
    before: Sequence[str] = (),
    **more: str | None,
) -> Ended:
    """Run doorlint in ``place``; ``before`` is a command that starts it, ``more`` are environment variables."""
    if largest_file:
        more["PYTHONDONTWRITEBYTECODE"] = "1"  # Python would keep as compiled what is cut off there
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "took.json"
        limits = [str(report), str(WALL), str(GUARD), str(largest_file)]
        done = subprocess.run(
            [sys.executable, "-IS", str(LAUNCH), *limits, *before, *command(*words)],
            **({"input": stdin} if isinstance(stdin, bytes) else {"stdin": stdin}),
            stdout=stdout,
            stderr=subprocess.PIPE,
            cwd=place,
            env=environment(place, **more),
            check=False,
        )
        code, seconds, peak = json.loads(report.read_text("ascii"))
    ended = Ended(code, (done.stdout or b"").decode(), done.stderr.decode(), seconds, peak / 1e6)
    RUNS.append((os.environ.get("PYTEST_CURRENT_TEST", "").rpartition(" (")[0], ended))
    return ended


def called(*words: str | Path, place: Path, stdin: bytes = b"", **more: str) -> Ended:
    """Run doorlint in this process, where what it says matters and what it takes does not."""
    env = {name: value for name, value in environment(place, **more).items() if value is not None}
    done = in_process([*map(str, words)], stdin, place, env)
    return Ended(done.returncode, done.stdout, done.stderr, math.nan, math.nan)


WAYS = [pytest.param(called, id="said"), pytest.param(doorlint, id="measured", marks=pytest.mark.slow)]
"""What many inputs are tried in: what is said of each, at once, and, slowly, what a process of its own takes for it."""


def reviewed(*paths: str | bytes | Path, place: Path, how: Callable[..., Ended] = doorlint, **more: Any) -> Ended:
    """A review as JSON, for a fixed day."""
    return how("review", "--as", "json", "--on", DAY, "--", *paths, place=place, **more)

"""An interrupt from the keyboard, alone and with workers: no verdict, nothing left behind."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from measured import GOOD, command, doorlint, environment
from shared import thinned

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads processor times from /proc")

LONGEST = 60.0
"""Seconds of wall time after which whatever waits here gives up."""
FILES = 12_000
"""Specs of one folder: several times what is reviewed before the interrupt, however late a loaded machine brings it."""


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of many specs, no two alike."""
    folder = tmp_path_factory.mktemp("jobs")
    for number in range(FILES):
        text = GOOD.replace(b"headroom: 26 in", b"headroom: 26.%05d in" % number)
        (folder / f"door-{number}.yaml").write_bytes(text)
    return folder


@pytest.fixture(scope="module")
def alone(jobs: Path) -> float:
    """Seconds of processor time that a review of one spec takes: nearly all of it goes before the first spec."""
    done = doorlint("review", "door-0.yaml", "--cache", "none", place=jobs)
    assert done.code == 0
    return done.seconds


@pytest.mark.parametrize("workers", thinned(["2", "1"], 2))
@pytest.mark.parametrize("out", thinned([["--out", "report"], []], 2), ids=["file", "printed"])
def test_an_interrupt_is_no_verdict_and_leaves_nothing_behind(
    workers: str, out: list[str], jobs: Path, alone: float, tmp_path: Path
) -> None:
    place = tmp_path / "place"
    place.mkdir()
    words = command("review", jobs, "--cache", "none", "--workers", workers, *out)
    with (
        (tmp_path / "printed").open("wb") as printed,
        subprocess.Popen(
            words,
            cwd=place,
            env=environment(place),
            stdout=printed,
            stderr=subprocess.PIPE,
            start_new_session=True,
            preexec_fn=_heard,
        ) as run,
    ):
        try:
            _await(lambda: run.poll() is not None or _worked(run.pid) > alone + 1.0)
            assert run.poll() is None, "it ended before it could be interrupted"
            os.killpg(run.pid, signal.SIGINT)  # as a terminal does: to all of the group
            _, said = run.communicate(timeout=LONGEST)
            assert (run.returncode, said) == (130, b"doorlint: interrupted\n")
            _await(lambda: not _is_there(run.pid))  # no worker is left
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(run.pid, signal.SIGKILL)
    assert list(place.iterdir()) == []
    assert len(list(jobs.iterdir())) == FILES


def _heard() -> None:
    # What a script of the shell starts in the background ignores an interrupt, and so would all that it starts.
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _await(happened: Callable[[], bool]) -> None:
    end = time.monotonic() + LONGEST
    while not happened():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.02)


def _worked(group: int) -> float:
    """Seconds of processor time of the processes of a group: a parent that waits for its workers works little."""
    ticks = 0
    for path in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            fields = path.read_text("utf-8", "replace").rpartition(")")[2].split()
            ticks += sum(map(int, fields[11:13])) if int(fields[2]) == group else 0
    return ticks / os.sysconf("SC_CLK_TCK")


def _is_there(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True

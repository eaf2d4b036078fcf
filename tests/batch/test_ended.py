"""What is left when a run is ended from outside, and how one ends that cannot go on: never with 1, a verdict."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from shared import ROOT, thinned

SPEC = (ROOT / "sample_specs" / "tower-install.yaml").read_text("utf-8")
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}

pytestmark = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs /proc to see processes")


def children(pid: int) -> list[int]:
    try:
        return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text("ascii").split()]
    except FileNotFoundError:
        return []


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text("ascii").rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def waited_for(ready: object, seconds: float = 20.0) -> None:
    end = time.monotonic() + seconds
    while not ready():  # type: ignore[operator]
        assert time.monotonic() < end
        time.sleep(0.002)


@pytest.fixture
def many(tmp_path: Path) -> Path:
    folder = tmp_path / "many"
    folder.mkdir()
    for number in range(800):
        (folder / f"d{number}.yaml").write_text(f"{SPEC}# {number}\n", "utf-8")
    return folder


def started(folder: Path) -> subprocess.Popen[bytes]:
    words = ["review", str(folder), "--workers", "2", "--cache", "none", "--out", str(folder.parent / "report")]
    return subprocess.Popen(
        [sys.executable, "-m", "doorlint", *words], stderr=subprocess.PIPE, env=ENVIRONMENT, start_new_session=True
    )


@pytest.mark.parametrize("delay", thinned([0.0, 0.3], 2))
@pytest.mark.parametrize("name", thinned(["SIGTERM", "SIGHUP", "SIGKILL"], 2))
def test_nothing_is_left_of_a_run_that_is_ended(name: str, delay: float, many: Path) -> None:
    with started(many) as run:
        waited_for(lambda: len(children(run.pid)) == 2)
        time.sleep(delay)
        workers = children(run.pid)
        run.send_signal(getattr(signal, name))
        assert run.wait(20) == (-signal.SIGKILL if name == "SIGKILL" else 128 + getattr(signal, name))
    waited_for(lambda: not any(map(alive, workers)), 5)
    if name != "SIGKILL":  # a killed process removes nothing
        assert os.listdir(many.parent) == ["many"]


@pytest.mark.parametrize("delay", thinned([0.0, 0.02, 0.2], 3))
def test_a_worker_that_is_killed_ends_the_run(delay: float, many: Path) -> None:
    with started(many) as run:
        waited_for(lambda: children(run.pid))
        time.sleep(delay)
        os.kill(children(run.pid)[0], signal.SIGKILL)
        assert run.wait(10) == 2
        assert run.stderr is not None
        assert b"a worker died" in run.stderr.read()
    assert os.listdir(many.parent) == ["many"]


def ended(code: str, *flags: str) -> subprocess.CompletedProcess[str]:
    """A process that runs some lines and then a review of a clear spec."""
    lines = (
        f"import sys\nsys.argv = ['doorlint', 'review', {str(ROOT / 'sample_specs' / 'survey-clean.yaml')!r}]\n{code}"
    )
    call = f"{lines}\nfrom doorlint.__main__ import main\nmain()\n"
    return subprocess.run(
        [sys.executable, *flags, "-c", call], capture_output=True, text=True, check=False, env=ENVIRONMENT
    )


def test_without_the_c_part_of_pyyaml_it_says_what_to_install() -> None:
    done = ended("sys.modules['yaml._yaml'] = None")
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "doorlint: PyYAML is installed without its C part; install a build that has it: "
        "pip install --force-reinstall pyyaml"
    ]


@pytest.mark.parametrize("module", ["click", "yaml", "doorlint.batch", "doorlint.reports.text", "doorlint.cli.review"])
def test_a_library_that_is_not_there_is_no_verdict(module: str) -> None:
    assert ended(f"sys.modules[{module!r}] = None").returncode == 2


@pytest.mark.parametrize("error", thinned(["MemoryError()", "RecursionError()", "OSError(5, 'x')", "KeyError('x')"], 4))
@pytest.mark.parametrize("where", ["doorlint.batch.reviews", "doorlint.sources.gather", "doorlint.verdict.present"])
def test_no_crash_is_a_verdict(error: str, where: str) -> None:
    module, _, name = where.rpartition(".")
    code = f"import {module} as m\ndef fail(*a, **k): raise {error}\nm.{name} = fail\n"
    done = ended(code)
    assert done.returncode == 2


def test_without_docstrings_it_is_refused_in_one_line() -> None:
    done = ended("", "-OO")
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert "without -OO" in done.stderr
    assert ended("", "-O").returncode == 0

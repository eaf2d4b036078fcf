"""What a run does to the machine, by Python's own audit events: it reads, and writes what it was asked to write."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import needs
import pytest
from measured import GOOD, environment
from shared import FORMS, thinned
from test_hostile_words import spec_of

WATCHED = """
import os, sys
log = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
del sys.argv[1]

def note(event, args):
    if event == "open":
        path, mode, flags = args
        if isinstance(path, int) or not flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC):
            return
    elif event == "compile":
        if b"canary" not in (args[0].encode() if isinstance(args[0], str) else args[0] or b""):
            return
    elif not event.startswith(("socket.", "subprocess.", "os.", "shutil.", "ctypes.", "webbrowser.", "urllib.")):
        return
    elif event in ("os.listdir", "os.scandir", "os.walk", "os.putenv", "os.unsetenv"):
        return
    os.write(log, f"{event} {args!r}\\n".encode("utf-8", "backslashreplace"))

sys.addaudithook(note)
from doorlint.cli import main
main()
"""


def watched(place: Path, *words: str) -> list[str]:
    """The events of a run that change or reach anything outside of it, or make code of what says canary."""
    log = place / "events"
    done = subprocess.run(
        [sys.executable, "-P", "-c", WATCHED, str(log), *words],
        cwd=place,
        env=environment(place, PYTHONDONTWRITEBYTECODE="1"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    return log.read_text("utf-8").splitlines()


def reads(event: str) -> bool:
    """Whether an event is git, asked for what it holds."""
    return re.match(r"subprocess\.Popen \('[\w/.-]*', \['[\w/]*git', '(blame|cat-file|rev-parse)',", event) is not None


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "door.yaml").write_bytes(spec_of("__import__('canary')", "12 in"))
    (tmp_path / "jobs" / "other.yaml").write_bytes(GOOD)
    return tmp_path


CALLS = (
    *(["review", "jobs/door.yaml", "--as", form] for form in FORMS["review"]),
    ["review", "jobs"],
    ["setout", "jobs/other.yaml", "--as", "html"],
    ["change", "jobs/other.yaml", "jobs/door.yaml"],
    ["remedy", "jobs/door.yaml"],
    ["rulebook"],
    ["rulebook", "headroom.swept"],
    ["blank"],
    ["blank", "--as", "html"],
)


@pytest.mark.parametrize("words", thinned(CALLS, 8), ids=" ".join)
def test_a_run_changes_nothing_and_reaches_nothing(words: list[str], place: Path) -> None:
    assert [event for event in watched(place, *words, "--cache", "none") if not reads(event)] == []


@pytest.mark.parametrize("words", thinned(CALLS, 8), ids=" ".join)
def test_a_report_is_all_that_is_written(words: list[str], place: Path) -> None:
    touched = [event for event in watched(place, *words, "--cache", "none", "--out", "report") if not reads(event)]
    assert all("/.report." in event or "'.report." in event for event in touched), touched
    assert {event.split()[0] for event in touched} == {"open", "os.chmod", "os.rename"}


def test_git_is_asked_for_a_revision_and_nothing_else_is_started(place: Path) -> None:
    needs.command("git")
    git = ["git", "-c", "user.name=crew", "-c", "user.email=crew@site.example"]
    for words in (["init", "-q", "-b", "main"], ["add", "jobs"], ["commit", "-q", "-m", "doors"]):
        subprocess.run([*git, *words], cwd=place, check=True, capture_output=True)
    events = watched(place, "change", "main:jobs/door.yaml", "jobs/door.yaml", "--cache", "none")
    started = [event for event in events if event.startswith("subprocess.Popen")]
    assert started
    assert all(reads(event) for event in started)
    assert not [event for event in events if event.startswith(("socket.", "os."))]

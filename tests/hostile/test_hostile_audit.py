"""What a run does to the machine, by Python's own audit events: it reads, and writes what it was asked to write."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import needs
import pytest
from measured import GOOD, environment
from shared import DAY

WATCHED = """
import os, sys
log = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
del sys.argv[1]

def note(event, args):
    if event == "open":
        path, mode, flags = args
        if isinstance(path, int) or not flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC):
            return
    elif event == "exec":
        code = args[0]
        if code.co_filename != "<string>":  # a module that is imported
            return
        args = (code.co_names,)
    elif not event.startswith(("socket.", "subprocess.", "os.", "shutil.", "ctypes.", "webbrowser.", "pty.", "urllib.")):
        return
    elif event in ("os.listdir", "os.scandir", "os.walk", "os.putenv", "os.unsetenv"):
        return
    os.write(log, f"{event} {args!r}\\n".encode("utf-8", "backslashreplace"))

sys.addaudithook(note)
from doorlint.cli import main
main()
"""


def watched(place: Path, *words: str) -> list[str]:
    """The events of a run that change or reach anything outside of it, or make code of text."""
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


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "door.yaml").write_bytes(GOOD.replace(b"headroom: 26 in", b"headroom: 12 in"))
    (tmp_path / "jobs" / "other.yaml").write_bytes(GOOD)
    return tmp_path


CALLS = (
    *(
        ["review", "jobs/door.yaml", "--as", form, "--on", DAY]
        for form in ("text", "json", "sarif", "junit", "markdown")
    ),
    ["review", "jobs/door.yaml", "--as", "html", "--on", DAY],
    ["review", "jobs", "--on", DAY],
    ["setout", "jobs/other.yaml", "--as", "html"],
    ["change", "jobs/other.yaml", "jobs/door.yaml"],
    ["remedy", "jobs/door.yaml"],
    ["rulebook"],
    ["rulebook", "headroom.swept"],
    ["blank"],
)


@pytest.mark.parametrize("words", CALLS, ids=" ".join)
def test_a_run_changes_nothing_and_reaches_nothing(words: list[str], place: Path) -> None:
    events = [event for event in watched(place, *words, "--cache", "none") if not event.startswith("exec ")]
    assert events == []


@pytest.mark.parametrize("words", CALLS, ids=" ".join)
def test_a_report_is_all_that_is_written(words: list[str], place: Path) -> None:
    events = watched(place, *words, "--cache", "none", "--out", "report")
    touched = [event for event in events if not event.startswith("exec ")]
    assert touched
    assert all("/.report." in event or "'.report." in event for event in touched), touched
    assert {event.split()[0] for event in touched} == {"open", "os.chmod", "os.rename"}


@pytest.mark.parametrize("words", CALLS, ids=" ".join)
def test_no_text_of_a_spec_becomes_code(words: list[str], place: Path) -> None:
    """Code is made of formulas and of named tuples; none of it has a name that a spec or a rule could choose."""
    made = {event for event in watched(place, *words, "--cache", "none") if event.startswith("exec ")}
    names = {name for event in made for name in eval(event[len("exec ") :])[0]}
    assert not [name for name in names if name.startswith("__") and name not in ("__new__", "__module__")], names
    assert names.isdisjoint({"eval", "exec", "open", "compile", "getattr", "setattr", "globals", "import", "os", "sys"})


def test_git_is_asked_for_a_revision_and_nothing_else_is_started(place: Path) -> None:
    needs.command("git")
    git = ["git", "-c", "user.name=crew", "-c", "user.email=crew@site.example"]
    for words in (["init", "-q", "-b", "main"], ["add", "jobs"], ["commit", "-q", "-m", "doors"]):
        subprocess.run([*git, *words], cwd=place, check=True, capture_output=True)
    events = watched(place, "change", "main:jobs/door.yaml", "jobs/door.yaml", "--cache", "none")
    started = [event for event in events if event.startswith("subprocess.Popen")]
    assert len(started) == 2
    assert all("['git', 'cat-file'," in event for event in started)
    assert not [event for event in events if event.startswith(("socket.", "open", "os.rename", "os.remove"))]

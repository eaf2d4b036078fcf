"""Questions to git, without a shell."""

from __future__ import annotations

import os

from doorlint.errors import WrongCall

__all__ = ["GitRefusal", "ask", "program"]

SECONDS = 30


class GitRefusal(WrongCall):
    """git refused a question; the message is the first line of its output."""


def ask(*words: str, cwd: str | None = None, stdin: bytes = b"") -> bytes:
    """The output of a git command; raises :class:`GitRefusal` where it fails, :class:`WrongCall` without git."""
    import subprocess  # only where git is asked: it is slow to import

    git = program()
    if git is None:
        raise WrongCall("there is no git program on the PATH; install git, or name a file")
    try:
        done = subprocess.run([git, *words], cwd=cwd, input=stdin, capture_output=True, check=False, timeout=SECONDS)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise WrongCall(f"git cannot be asked: {error}") from None
    if done.returncode != 0:
        raise GitRefusal(done.stderr.decode("utf-8", "replace").strip().partition("\n")[0])
    return done.stdout


def program() -> str | None:
    """The git program of the PATH, never one in the working folder: a branch could bring that."""
    names = ("git.exe",) if os.name == "nt" else ("git",)
    for folder in os.environ.get("PATH", os.defpath).split(os.pathsep):
        for name in names:
            path = os.path.join(folder, name)
            if os.path.isabs(folder) and not _here(folder) and os.path.isfile(path) and os.access(path, os.X_OK):
                return path
    return None


def _here(folder: str) -> bool:
    try:
        return os.path.samefile(folder, ".")
    except OSError:
        return False

"""One side of a change: a file, a patch file, or a file as it was at a git revision."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from doorlint.errors import WrongCall
from doorlint.fleet import Source, data_of
from doorlint.spec.marked import LIMIT

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")


def bytes_of(side: str) -> bytes:
    """The bytes that ``side`` names: a path, or ``REV:path``; a path that is there goes first.

    Raises :class:`WrongCall` where there is no such file or revision.
    """
    path = Path(side)
    revision, colon, inside = side.partition(":")
    if not path.exists() and colon and inside and len(revision) > 1:
        return _at_revision(revision, inside)
    try:
        return data_of(Source(side, path))
    except OSError as error:
        raise WrongCall(f"{side}: cannot be read: {error.strerror or error}") from None


def _at_revision(revision: str, path: str) -> bytes:
    if not REVISION.fullmatch(revision):
        raise WrongCall(f"{revision!r} is no git revision; write a branch, a tag or a commit before the colon")
    where = path if path.startswith(("./", "../", "/")) else f"./{path}"
    try:
        done = subprocess.run(
            ["git", "cat-file", "blob", f"{revision}:{where}"], capture_output=True, check=False, timeout=30
        )
    except (OSError, subprocess.TimeoutExpired):
        raise WrongCall(f"{revision}:{path}: git is not to be had here; give a file instead") from None
    if done.returncode != 0:
        raise WrongCall(f"{revision}:{path}: git knows no such file at that revision, seen from this folder")
    return done.stdout[: LIMIT + 1]

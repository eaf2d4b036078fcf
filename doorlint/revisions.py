"""Files as they were at a git revision."""

from __future__ import annotations

import os
import re
import subprocess

from doorlint.errors import WrongCall
from doorlint.sources import Source
from doorlint.spec.yaml_positions import LIMIT

__all__ = ["source_of"]

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")


def source_of(side: str) -> Source:
    """The file that ``side`` names: a path, or ``REV:path``; a path that is there takes precedence.

    Raises :class:`WrongCall` where there is no such revision, or no such file at it.
    """
    revision, colon, inside = side.partition(":")
    if not os.path.exists(side) and colon and inside and len(revision) > 1:
        return Source(side, None, _at_revision(revision, inside))
    return Source(side, side)


def _at_revision(revision: str, path: str) -> bytes:
    """The bytes of a file at a git revision, the path taken from the working folder as for any file."""
    if not REVISION.fullmatch(revision):
        raise WrongCall(f"{revision!r} is no git revision; write a branch, a tag or a commit before the colon")
    where = path if path.startswith(("./", "../", "/")) else f"./{path}"
    size = int(_git("-s", revision, path, where))
    if size > LIMIT:
        raise WrongCall(f"{revision}:{path}: holds {size} bytes, which is no spec; a spec has at most {LIMIT}")
    return _git("blob", revision, path, where)


def _git(what: str, revision: str, path: str, where: str) -> bytes:
    try:
        done = subprocess.run(
            ["git", "cat-file", what, f"{revision}:{where}"],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
            timeout=30,
        )
    except (OSError, subprocess.TimeoutExpired):
        raise WrongCall(f"{revision}:{path}: git is not to be had here; give a file instead") from None
    if done.returncode != 0:
        said = done.stderr.decode("utf-8", "replace").strip().partition("\n")[0]
        none = "git knows no such file at that revision, seen from this folder"
        raise WrongCall(f"{revision}:{path}: {none}; it says: {said}")
    return done.stdout

"""Files as they were at a git revision."""

from __future__ import annotations

import os
import re

from doorlint import git
from doorlint.errors import WrongCall
from doorlint.sidecar import sidecar_path
from doorlint.sources import Source
from doorlint.spec.yaml_positions import LIMIT

__all__ = ["commit_of", "source_of"]

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")
PATHS = ("./", "../", "/")
"""A side that starts so is a path, whatever comes behind."""


def source_of(side: str) -> Source:
    """The file that ``side`` names: a path, or ``REV:path``.

    Raises :class:`WrongCall` where there is no such revision, or no such file at it, and where a file of that very
    name exists too: a branch could have added it.
    """
    revision, colon, inside = side.partition(":")
    if not (colon and inside and len(revision) > 1) or side.startswith(PATHS):
        return Source(side, side)
    if os.path.lexists(side):
        if not _is_revision(revision):
            return Source(side, side)
        both = f"there is a git revision {revision} and a file named {side}"
        raise WrongCall(f"{side}: {both}; write ./{side} for the file, or take the file away")
    data = _at_revision(revision, inside)
    beside = sidecar_path(inside)
    return Source(side, None, data, sidecar=_at_revision(revision, beside) if _has(revision, beside) else None)


def commit_of(revision: str) -> str:
    """The whole hash of a revision's commit; raises :class:`WrongCall` where git knows none."""
    if not REVISION.fullmatch(revision):
        raise WrongCall(f"{revision!r} is not a git revision; write a branch, a tag or a commit")
    try:
        found = git.ask("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    except git.GitRefusal:
        raise WrongCall(f"{revision} is not a git revision seen from this folder; check the name") from None
    return found.decode().strip()


def _is_revision(revision: str) -> bool:
    try:
        commit_of(revision)
    except WrongCall:
        return False
    return True


def _has(revision: str, path: str) -> bool:
    try:
        git.ask("cat-file", "-e", f"{revision}:{_where(path)}")
    except git.GitRefusal:
        return False
    return True


def _where(path: str) -> str:
    """A path as git takes it from the working folder."""
    return path if path.startswith(PATHS) else f"./{path}"


def _at_revision(revision: str, path: str) -> bytes:
    """The bytes of a file at a git revision, the path taken from the working folder as for any file."""
    if not REVISION.fullmatch(revision):
        raise WrongCall(f"{revision!r} is no git revision; write a branch, a tag or a commit before the colon")
    place = f"{revision}:{_where(path)}"
    try:
        size = int(git.ask("cat-file", "-s", place))
        if size > LIMIT:
            raise WrongCall(f"{revision}:{path}: holds {size} bytes, which is no spec; a spec has at most {LIMIT}")
        return git.ask("cat-file", "blob", place)
    except git.GitRefusal as refusal:
        none = "git knows no such file at that revision, seen from this folder"
        raise WrongCall(f"{revision}:{path}: {none}; it says: {refusal}") from None

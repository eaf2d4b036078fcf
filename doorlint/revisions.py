"""The two sides of a change: files, a patch file, or a file as it was at a git revision."""

from __future__ import annotations

import os
import re
import subprocess

from doorlint.batch import Source, data_of
from doorlint.change.comparison import Change, compare
from doorlint.errors import WrongCall
from doorlint.rulebook.library import Library
from doorlint.spec import Patch, Spec, declares, parse, read
from doorlint.spec.yaml_positions import LIMIT
from doorlint.verdict import Policy, digest_of, evaluate

__all__ = ["bytes_of", "changed"]

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")
MOST_TOLD = 5


def changed(approved: str, proposed: str, library: Library, policy: Policy, stage: str | None = None) -> Change:
    """Hold a proposed change against what was approved.

    Either side is a path or ``REV:path``; ``proposed`` may hold only the changed values, as a merge
    patch (RFC 7396) of the approved spec. Raises :class:`WrongCall` for a side that cannot be read.
    """
    data, other = bytes_of(approved), bytes_of(proposed)
    before = evaluate(data, library, stage)
    if before.spec.problems:
        raise WrongCall(_problems(approved, before.spec))
    tree = parse(other).tree
    patch = not declares(other) and not (isinstance(tree, dict) and "doorlint" in tree)
    after = before.spec.patched(_patch(proposed, other)) if patch else read(other)
    if after.problems:
        raise WrongCall(_problems(proposed, after, patch))
    return compare(before, after, digest_of(other), library, policy, (approved, proposed), stage=stage, patch=patch)


def _patch(name: str, data: bytes) -> Patch:
    """The changed values that a file holds."""
    marked = parse(data)
    if marked.problem is not None:
        raise WrongCall(f"{name}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    if not isinstance(marked.tree, dict):
        raise WrongCall(f"{name}: neither a spec nor changed values, written as in a spec: room: {{headroom: 21 in}}")
    return marked.tree


def _problems(name: str, spec: Spec, patch: bool = False) -> str:
    """Why a spec cannot be read; what a patch brings has no place in a text, so its pointers are told."""
    told = [
        f"{name}: {p.pointer}: {p.message}" if patch else f"{name}:{p.line}:{p.column}: {p.message}"
        for p in spec.problems[:MOST_TOLD]
    ]
    more = len(spec.problems) - MOST_TOLD
    return "\n".join([*told, f"and {more} more"] if more > 0 else told)


def bytes_of(side: str) -> bytes:
    """The bytes that ``side`` names: a path, or ``REV:path``; a path that is there goes first.

    Raises :class:`WrongCall` where there is no such file or revision.
    """
    revision, colon, inside = side.partition(":")
    if not os.path.exists(side) and colon and inside and len(revision) > 1:
        return _at_revision(revision, inside)
    try:
        return data_of(Source(side, side))
    except (OSError, ValueError) as error:
        raise WrongCall(f"{side}: cannot be read: {getattr(error, 'strerror', None) or error}") from None


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

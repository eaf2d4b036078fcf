"""The two sides of a change: files, a patch file, or a file as it was at a git revision."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from doorlint.errors import WrongCall
from doorlint.fleet import Source, data_of
from doorlint.review import Policy, check, digest_of
from doorlint.rulebook.library import Library
from doorlint.spec import Spec, declares, parse, read
from doorlint.spec.marked import LIMIT
from doorlint.whatif.change import Change, compare

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")


def changed(approved: str, proposed: str, library: Library, policy: Policy, stage: str | None = None) -> Change:
    """Hold a proposed change against what was approved.

    Either side is a path or ``REV:path``; ``proposed`` may hold only the changed values, as a merge
    patch (RFC 7396) of the approved spec. Raises :class:`WrongCall` for a side that cannot be read.
    """
    data = bytes_of(approved)
    before = check(data, library, stage)
    _refuse(approved, before.spec)
    other = bytes_of(proposed)
    after = read(other) if declares(other[:4096]) else _patched(before.spec, proposed, other)
    _refuse(proposed, after)
    return compare(before, after, digest_of(other), library, policy, (approved, proposed), stage)


def _patched(spec: Spec, name: str, data: bytes) -> Spec:
    patch = parse(data)
    if patch.problem is not None:
        raise WrongCall(f"{name}:{patch.problem.line}:{patch.problem.column}: {patch.problem.message}")
    if not isinstance(patch.tree, dict):
        raise WrongCall(f"{name}: neither a spec nor changed values; write them as in a spec, room: {{headroom: 21 in}}")
    return spec.patched(patch.tree)  # type: ignore[arg-type]


def _refuse(name: str, spec: Spec) -> None:
    if spec.problems:
        first = spec.problems[0]
        raise WrongCall(f"{name}:{first.line}:{first.column}: {first.message}")


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

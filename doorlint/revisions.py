"""Files as they were at a git revision."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Iterable, Iterator, Sequence

from doorlint import git
from doorlint.errors import WrongCall
from doorlint.named_tuple import NamedTuple
from doorlint.sidecar import sidecar_path
from doorlint.sources import ENDINGS, Source, gather, posix
from doorlint.spec import declares
from doorlint.spec.yaml_positions import LIMIT

__all__ = [
    "FolderAt",
    "bytes_at",
    "commit_of",
    "committer_of",
    "files_at",
    "folder_of",
    "is_unborn",
    "source_of",
    "sources_at",
    "top_and_prefix",
]

REVISION = re.compile(r"[A-Za-z0-9_.][A-Za-z0-9_./@^~{}-]*")
PATHS = ("./", "../", "/")
"""A side that starts with one of these is a path."""
TOP = ("--show-toplevel", "--show-prefix")


class FolderAt(NamedTuple):
    """A folder as it is at a commit of a git repository."""

    top: str
    """the repository's own folder"""
    commit: str
    path: str
    """of the folder, from the repository's root on"""
    name: str
    """what to call it in a message"""


def top_and_prefix() -> tuple[str, str]:
    """The repository that the working folder is in, and the path of the working folder inside it.

    Raises :class:`WrongCall` where it is in none.
    """
    try:
        top, prefix = (git.ask("rev-parse", what).decode("utf-8", "surrogateescape") for what in TOP)
    except git.GitRefusal as refusal:
        raise WrongCall(f"this folder is in no git repository; git says: {refusal}") from None
    return top.removesuffix("\n"), prefix.removesuffix("\n")


def files_at(folder: FolderAt) -> list[str]:
    """The names of all files in a folder at a commit, from the folder on; empty where git holds no such folder."""
    try:
        tree = f"{folder.commit}:{folder.path}"
        names = git.ask("ls-tree", "-r", "-z", "--name-only", "--full-tree", tree, cwd=folder.top)
    except git.GitRefusal:
        return []
    return [name for name in names.decode("utf-8", "surrogateescape").split("\0") if name]


def bytes_at(folder: FolderAt, name: str) -> bytes | None:
    """The bytes of a file in a folder at a commit, one more than the limit at most; ``None`` where git holds none."""
    place = f"{folder.commit}:{folder.path}/{name}" if folder.path else f"{folder.commit}:{name}"
    try:
        return git.ask("cat-file", "blob", place, cwd=folder.top)[: LIMIT + 1]
    except git.GitRefusal:
        return None


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


def folder_of(side: str) -> dict[str, Source] | None:
    """The specs in the folder that ``side`` names, a path or ``REV:path``, by their names inside it.

    ``None`` where it names no folder. Raises :class:`WrongCall` as :func:`source_of` does.
    """
    revision, colon, inside = side.partition(":")
    if os.path.isdir(side):
        found: Iterable[Source] = gather([side], strict=False).sources
        return {_inside(source.name, side): source for source in found}
    if not (colon and len(revision) > 1) or side.startswith(PATHS) or os.path.lexists(side):
        return None
    if not _is_revision(revision) or not _is_tree(revision, inside or "."):
        return None
    at = sources_at(revision, [inside or "."])
    return {_inside(source.name, inside or "."): source._replace(name=f"{revision}:{source.name}") for source in at}


def _inside(name: str, folder: str) -> str:
    return os.path.relpath(name, folder).replace(os.sep, "/")


def _is_tree(revision: str, path: str) -> bool:
    try:
        return git.ask("cat-file", "-t", f"{revision}:{_where(path)}").strip() == b"tree"
    except git.GitRefusal:
        return False


def committer_of(name: str, line: int, *, at_revision: bool) -> str:
    """Who committed a line of a file, in words; empty where git does not know.

    ``name`` is ``REV:path`` where it is ``at_revision``.
    """
    revision, _, path = name.partition(":") if at_revision else ("", "", name)
    try:
        words = [commit_of(revision)] if revision else []
        told = git.ask("blame", "--porcelain", "-L", f"{line},{line}", *words, "--", path).decode("utf-8", "replace")
    except WrongCall:
        return ""
    about = dict(text.partition(" ")[::2] for text in told.splitlines())
    if told.startswith("0" * 40):
        return "not committed yet"
    day = datetime.datetime.fromtimestamp(int(about["committer-time"]), datetime.UTC).date().isoformat()
    return f"committed by {about['committer']} on {day}"


def commit_of(revision: str) -> str:
    """The whole hash of a revision's commit; raises :class:`WrongCall` where git knows none."""
    if not REVISION.fullmatch(revision):
        raise WrongCall(f"{revision!r} is not a git revision; write a branch, a tag or a commit")
    try:
        found = git.ask("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    except git.GitRefusal:
        raise WrongCall(f"{revision} is not a git revision seen from this folder; check the name") from None
    return found.decode().strip()


def is_unborn() -> bool:
    """Whether the working folder is in a repository that has no commit yet."""
    try:
        git.ask("symbolic-ref", "--quiet", "HEAD")
    except git.GitRefusal:
        return False
    return not _is_revision("HEAD")


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
        raise WrongCall(f"{revision!r} is not a git revision; write a branch, a tag or a commit before the colon")
    place = f"{revision}:{_where(path)}"
    try:
        size = int(git.ask("cat-file", "-s", place))
        if size > LIMIT:
            raise WrongCall(f"{revision}:{path}: holds {size} bytes, too large for a spec; a spec has at most {LIMIT}")
        return git.ask("cat-file", "blob", place)
    except git.GitRefusal as refusal:
        none = "git knows no such file at that revision, seen from this folder"
        raise WrongCall(f"{revision}:{path}: {none}; it says: {refusal}") from None


class _Entry(NamedTuple):
    """A file in a tree of git."""

    name: str
    oid: str
    size: int


def sources_at(revision: str, paths: Sequence[str]) -> tuple[Source, ...]:
    """The specs behind some paths as they were at a revision, by the names that they have, or would have, now.

    What counts as a spec is what counts as one in :func:`doorlint.sources.gather`. Raises :class:`WrongCall` where the
    working folder is in no repository, there is no such revision, or a path is outside of the repository.
    """
    top, _ = top_and_prefix()
    root, commit = os.path.realpath(top), commit_of(revision)
    found: dict[str, Source] = {}
    for path in paths:
        inside = os.path.relpath(os.path.realpath(path), root).replace(os.sep, "/")
        if inside.startswith("../"):
            raise WrongCall(f"{path} is outside of the git repository {top}")
        entries = {entry.name: entry for entry in _entries(commit, inside, top)}
        data = _blobs([entry.oid for entry in entries.values()], top)
        for name, entry in entries.items():
            named = name == inside
            shown = posix(path) if named else posix(os.path.join(path, os.path.relpath(name, inside)))
            text = data[entry.oid]
            if named or (_looks_like_a_spec(os.path.relpath(name, inside)) and declares(text)):
                beside = entries.get(sidecar_path(name))
                found[shown] = Source(shown, None, text, sidecar=None if beside is None else data[beside.oid])
    return tuple(source for _, source in sorted(found.items()))


def _looks_like_a_spec(name: str) -> bool:
    return name.lower().endswith(ENDINGS) and not any(part.startswith(".") for part in name.split("/"))


def _entries(commit: str, inside: str, top: str) -> Iterator[_Entry]:
    """The YAML files below a path of a commit, ordinary ones of a spec's size."""
    where = [] if inside == "." else ["--", inside]
    listed = git.ask("ls-tree", "-r", "-z", "-l", "--full-tree", commit, *where, cwd=top)
    for line in listed.decode("utf-8", "surrogateescape").split("\0"):
        about, _, name = line.partition("\t")
        mode, _, oid, size = about.split() if name else ("", "", "", "")
        if mode.startswith("100") and (name == inside or name.lower().endswith(ENDINGS)) and int(size) <= LIMIT:
            yield _Entry(name, oid, int(size))


def _blobs(oids: Sequence[str], top: str) -> dict[str, bytes]:
    """The bytes of some files, by one call of git."""
    told = git.ask("cat-file", "--batch", cwd=top, stdin="".join(f"{oid}\n" for oid in oids).encode()) if oids else b""
    found, at = {}, 0
    for oid in oids:
        end = told.index(b"\n", at)
        size = int(told[at:end].split()[2])
        found[oid] = told[end + 1 : end + 1 + size]
        at = end + size + 2
    return found

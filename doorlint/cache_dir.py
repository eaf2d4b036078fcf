"""A cache folder: kept between runs, safe to delete, never trusted across users."""

from __future__ import annotations

import os
import stat
import zlib
from contextlib import suppress

from doorlint.file_input import PathName

__all__ = ["MOST", "load", "opened", "private", "store"]

MOST = 16
"""Things of one kind that are kept; a new one takes the place of the oldest."""


def private(folder: PathName) -> bool:
    """Whether a folder is ours and nobody else may write in it; it is created where it is missing."""
    try:
        os.makedirs(folder, mode=0o700, exist_ok=True)
        return _ours(os.stat(folder))
    except OSError:
        return False


def opened(path: PathName, flags: int = os.O_RDONLY) -> int | None:
    """A file of a private folder opened, or ``None`` where there is none or somebody else could have written it."""
    try:
        handle = os.open(path, flags | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0), 0o600)
    except OSError:
        return None
    state = os.fstat(handle)
    if stat.S_ISREG(state.st_mode) and _ours(state):
        return handle
    os.close(handle)
    return None


def load(folder: PathName, name: str) -> bytes | None:
    """What was stored under a name, complete as it was written; ``None`` where it is not."""
    if not private(folder):
        return None
    handle = opened(os.path.join(folder, name))
    if handle is None:
        return None
    with os.fdopen(handle, "rb") as file:
        check, data = file.readline(), file.read()
    return data if check == _check(data) else None


def store(folder: PathName, name: str, data: bytes) -> None:
    """Keep something under a name, ``kind-of-what``; a failure to write is ignored."""
    from pathlib import Path

    from doorlint.file_output import write_whole

    if private(folder):
        with suppress(OSError):
            write_whole(Path(folder, name), (_check(data) + data,), mode=0o600)
            tidy(folder, name.partition("-")[0])


def tidy(folder: PathName, kind: str) -> None:
    """Delete all but the newest things of a kind."""
    with suppress(OSError):
        found = [entry for entry in os.scandir(folder) if entry.name.startswith(f"{kind}-")]
        for entry in sorted(found, key=lambda entry: entry.stat().st_mtime, reverse=True)[MOST:]:
            os.unlink(entry)


def _ours(state: os.stat_result) -> bool:
    own = not hasattr(os, "geteuid") or state.st_uid == os.geteuid()
    return own and not state.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _check(data: bytes) -> bytes:
    return b"%08x\n" % zlib.crc32(data)

"""Bounded reads of ordinary files."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["PathName", "head", "refuse_unless_ordinary"]

PathName: TypeAlias = "str | Path"
"""Where something lies. Here and wherever a short run comes by, pathlib is not imported: with what it needs it takes
3 ms."""


_FLAGS = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
_LEAST = 4096
"""Bytes asked for at once, where a file says that it is shorter than it is."""


def head(path: PathName, size: int) -> bytes:
    """The first ``size`` bytes of an ordinary file.

    Raises :class:`OSError` for a file that is not there or closed to us, and for a folder, a pipe or a device: to
    open one of those may wait for ever, and reading it may never end.
    """
    refuse_unless_ordinary(os.stat(path))
    handle = os.open(path, _FLAGS)
    try:
        state = os.fstat(handle)
        refuse_unless_ordinary(state)  # it may have been exchanged since
        piece = min(size, max(state.st_size + 1, _LEAST))
        found = b""
        while len(found) < size and (part := os.read(handle, min(piece, size - len(found)))):
            found += part
        return found
    finally:
        os.close(handle)


def refuse_unless_ordinary(state: os.stat_result) -> None:
    """Raises :class:`OSError` for a folder, a pipe, a socket or a device."""
    if not stat.S_ISREG(state.st_mode):
        raise OSError(0, "not an ordinary file")

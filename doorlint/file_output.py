"""Atomic writes: a file is written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable
from typing import TYPE_CHECKING

from doorlint.file_input import refuse_unless_ordinary

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["write_whole"]

_LONGEST = 40
"""Characters of the file's name in that of the temporary one, whose name must not grow too long."""


def write_whole(path: Path, parts: Iterable[bytes], mode: int | None = None) -> None:
    """Write a file through a temporary one beside it and a rename; raises :class:`OSError`.

    Only an ordinary file is replaced: a rename would put a file in the place of a device or a pipe.

    ``parts`` are written as they come; what interrupts them leaves the file as it was. ``mode`` is what a new file
    may be used for; left out, what the process gives to any file.
    """
    with contextlib.suppress(FileNotFoundError):
        refuse_unless_ordinary(path.stat())
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:_LONGEST]}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.writelines(parts)
        os.chmod(name, 0o666 & ~_mask() if mode is None else mode)
        os.replace(name, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask

"""Files are written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

__all__ = ["write_quietly", "write_whole"]


def write_whole(path: Path, data: bytes) -> None:
    """Write a file through a temporary one beside it and a rename; raises :class:`OSError`."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise


def write_quietly(path: Path, data: bytes) -> None:
    """Keep something that can be made again: where it cannot be written, nothing is said."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_whole(path, data)

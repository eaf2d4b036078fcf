"""Many specs: which files there are, each read within bounds, all reviewed in one fixed order."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from doorlint.errors import WrongCall
from doorlint.reading import head
from doorlint.spec import declares
from doorlint.spec.marked import LIMIT

HEAD = 4096
ENDINGS = (".yaml", ".yml")


class Source(NamedTuple):
    """A file to review, or the text that came in its place."""

    name: str
    path: Path | None
    data: bytes | None = None
    named: bool = True
    """named outright by the caller, not met in a folder"""


def gather(paths: Sequence[str]) -> list[Source]:
    """The files behind some paths, each once, in the order of their names.

    In a folder, only ``*.yaml`` and ``*.yml`` are looked at, links to folders are not followed, and
    files that do not declare themselves are left out. Raises :class:`WrongCall` for a path that is
    not there and where nothing at all is to be reviewed.
    """
    found: dict[str, Source] = {}
    for name in paths:
        path = Path(name)
        if path.is_dir():
            for inside in _walk(path):
                found.setdefault(inside.as_posix(), Source(inside.as_posix(), inside, named=False))
        else:
            found[path.as_posix()] = Source(path.as_posix(), path)
    sources = [source for _, source in sorted(found.items()) if source.named or _declares(source)]
    if not sources:
        raise WrongCall(
            f"nothing to review in {', '.join(paths)}: a spec has a line starting `doorlint:` in its first 4 KB"
        )
    return sources


def data_of(source: Source) -> bytes:
    """The bytes of a file, one more than the limit at most; raises :class:`OSError` with a plain reason."""
    if source.data is not None:
        return source.data
    assert source.path is not None
    return head(source.path, LIMIT + 1)


def _walk(folder: Path) -> Iterator[Path]:
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.endswith(ENDINGS) and not name.startswith("."):
                yield Path(place, name)


def _declares(source: Source) -> bool:
    assert source.path is not None
    try:
        return declares(head(source.path, HEAD))
    except OSError:
        return True  # that it cannot be read is for the review to say


def names(sources: Iterable[Source]) -> list[str]:
    """The names of some sources."""
    return [source.name for source in sources]

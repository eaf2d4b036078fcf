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
    trouble: str = ""
    """why a folder could not be looked into, for which this stands"""


def gather(paths: Sequence[str]) -> list[Source]:
    """The files behind some paths, each once, in the order of their names.

    In a folder, only ``*.yaml`` and ``*.yml`` are looked at, links to folders are not followed, and
    files that do not declare themselves are left out; a folder that cannot be looked into stands for what it holds.
    Raises :class:`WrongCall` for an empty path and where nothing at all is to be reviewed.
    """
    found: dict[str, Source] = {}
    for name in paths:
        if not name:
            raise WrongCall("a path is empty; name a spec or a folder, or . for this one")
        if os.path.isdir(name):
            for source in _walk(Path(name)):
                found.setdefault(source.name, source)
        else:
            path = Path(name)
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
    if source.trouble:
        raise OSError(0, source.trouble)
    assert source.path is not None
    return head(source.path, LIMIT + 1)


def _walk(folder: Path) -> Iterator[Source]:
    folders = [folder]
    while folders:
        place = folders.pop()
        try:
            with os.scandir(place) as entries:
                inside = [entry for entry in entries if not entry.name.startswith(".")]
        except OSError as error:
            yield Source(place.as_posix(), place, trouble=error.strerror or str(error))
            continue
        for entry in inside:
            path = Path(entry.path)
            if entry.is_dir():
                folders += [] if entry.is_symlink() else [path]
            elif entry.name.endswith(ENDINGS):
                yield Source(path.as_posix(), path, named=False)


def _declares(source: Source) -> bool:
    assert source.path is not None
    try:
        return declares(head(source.path, HEAD))
    except OSError:
        return True  # that it cannot be read is for the review to say


def names(sources: Iterable[Source]) -> list[str]:
    """The names of some sources."""
    return [source.name for source in sources]

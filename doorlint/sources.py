"""The files to review: which ones there are behind some paths, and the bytes of each, read within bounds."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence

from doorlint.errors import WrongCall
from doorlint.file_input import head
from doorlint.named_tuple import NamedTuple
from doorlint.sidecar import is_sidecar, spec_path
from doorlint.spec import declares
from doorlint.spec.yaml_positions import LIMIT

__all__ = ["ENDINGS", "Gathered", "Source", "data_of", "gather", "given_data_of", "posix", "text_source"]

ENDINGS = (".yaml", ".yml")


class Source(NamedTuple):
    """A file to review, or the text that came in its place."""

    name: str
    path: str | None
    data: bytes | None = None
    named: bool = True
    """named outright by the caller, not met in a folder"""
    trouble: str = ""
    """why a folder could not be looked into, for which this stands"""
    sidecar: bytes | None = None
    """the sign-offs beside a text that came in place of a file"""


class Gathered(NamedTuple):
    """The files behind some paths."""

    sources: tuple[Source, ...]
    passed_over: int
    """files that do not declare themselves as specs"""


def gather(paths: Sequence[str], strict: bool = True) -> Gathered:
    """The files behind some paths, each once, in the order of their names.

    In a folder, only ``*.yaml`` and ``*.yml`` are looked at, links to folders are not followed, and
    files that do not declare themselves are passed over; a folder that cannot be read stands for what it holds.
    Sign-offs beside a spec are neither; where they are named outright, their spec is meant.
    Unless ``strict``, files named outright that do not declare themselves are passed over too, and nothing may be left.
    Raises :class:`WrongCall` for an empty path and where there is nothing to review at all.
    """
    found: dict[str, Source] = {}
    for name in paths:
        if not name:
            raise WrongCall("a path is empty; name a spec or a folder, or . for this one")
        if os.path.isdir(name):
            for source in _walk(posix(name)):
                found.setdefault(source.name, source)
        else:
            path = _spec_of(posix(name))
            found[path] = Source(path, path, named=strict)
    once: dict[str, Source] = {}
    for _, source in sorted(found.items()):
        once.setdefault(_whole(source.path or ""), source)
    sources = tuple(source for source in once.values() if source.named or _declares(source))
    others = [path for path in once.keys() - {_whole(source.path or "") for source in sources} if not is_sidecar(path)]
    if strict and not sources:
        over = f" ({len(others)} other files passed over)" if others else ""
        raise WrongCall(f"nothing to review in {', '.join(paths)}{over}: a spec has a line starting `doorlint:`")
    return Gathered(sources, len(others))


def _spec_of(path: str) -> str:
    """The spec that is meant where the sign-offs beside it are named, as by a hook that lists changed files."""
    if not is_sidecar(path) or not os.path.exists(spec_path(path)) or _declares(Source(path, path)):
        return path
    return spec_path(path)


def posix(name: str, separator: str = os.sep) -> str:
    """A path as it is shown: with slashes, and without parts that lead nowhere; a share of Windows keeps its two.

    >>> posix("./jobs//north/"), posix("/jobs"), posix(".")
    ('jobs/north', '/jobs', '.')
    >>> posix(r"\\\\server\\jobs", "\\\\"), posix(r"jobs\\north", "\\\\")
    ('//server/jobs', 'jobs/north')
    """
    path = name.replace(separator, "/")
    parts = [part for part in path.split("/") if part not in ("", ".")]
    root = "//" if separator == "\\" and path.startswith("//") else "/" if path.startswith("/") else ""
    return root + "/".join(parts) or "."


def data_of(source: Source) -> bytes:
    """The bytes of a file, one more than the limit at most; raises :class:`OSError` with a plain reason."""
    if source.data is not None:
        return source.data
    if source.trouble:
        raise OSError(0, source.trouble)
    assert source.path is not None
    return head(source.path, LIMIT + 1)


def given_data_of(source: Source) -> bytes:
    """The bytes of a file that a command cannot do without; raises :class:`WrongCall` where they cannot be read."""
    try:
        return data_of(source)
    except (OSError, ValueError) as error:
        raise WrongCall(f"{source.name}: cannot be read: {getattr(error, 'strerror', None) or error}") from None


def text_source(text: str | bytes, name: str = "spec") -> Source:
    """A text in the place of a file.

    >>> text_source("doorlint: 1", "door.yaml")
    Source(name='door.yaml', path=None, data=b'doorlint: 1', named=True, trouble='', sidecar=None)
    """
    return Source(name, None, text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text)


def _whole(path: str) -> str:
    """A path from the root on, so that one file has one name; as it is where the working folder is gone."""
    try:
        return os.path.abspath(path)
    except OSError:
        return path


def _walk(folder: str) -> Iterator[Source]:
    folders = [folder]
    while folders:
        place = folders.pop()
        try:
            with os.scandir(place) as entries:
                inside = [entry for entry in entries if not entry.name.startswith(".")]
        except OSError as error:
            yield Source(place, place, trouble=error.strerror or str(error))
            continue
        for entry in inside:
            path = entry.name if place == "." else f"{place.rstrip('/')}/{entry.name}"
            if entry.is_dir(follow_symlinks=False):
                folders.append(path)
            elif entry.name.lower().endswith(ENDINGS):
                yield Source(path, path, named=False)


def _declares(source: Source) -> bool:
    assert source.path is not None
    try:
        return declares(head(source.path, LIMIT))
    except OSError:
        return True  # that it cannot be read is for the review to say

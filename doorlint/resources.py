"""The places of the data that comes with doorlint."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

from doorlint.version import __version__

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["content", "folder", "stamp"]

_PACKAGE = os.path.dirname(os.path.abspath(__file__))


def folder(name: str) -> Path:
    """The folder ``rules``, ``schemas`` or ``sample_specs`` of this installation.

    A wheel carries it inside the package, as ``doorlint/data/<name>``; in a source checkout it stands beside the
    package.

    Raises:
        FileNotFoundError: there is no such folder in either place.

    >>> folder("schemas").joinpath("job-spec.schema.json").is_file()
    True
    """
    from pathlib import Path  # 3 ms with what it needs; a short run can do without

    return Path(_place(name))


def content(name: str, file: str) -> bytes:
    """What a file of one of these folders holds.

    >>> content("schemas", "job-spec.schema.json")[:1]
    b'{'
    """
    with open(f"{_place(name)}/{file}", "rb") as opened:
        return opened.read()


def _place(name: str) -> str:
    for place in (f"{_PACKAGE}/data/{name}", f"{os.path.dirname(_PACKAGE)}/{name}"):
        if os.path.isdir(place):
            return place
    raise FileNotFoundError(f"doorlint is installed without its folder {name!r}; install it again")


@cache
def stamp() -> str:
    """What tells this program from any other: where it lies, its version, and size and time of each of its files, those
    of its rules and schemas among them.

    The cache is stored under it, so that no entry outlives the code that made it.
    """
    places = [_PACKAGE, _place("schemas"), _place("rules")]
    return "\n".join([_PACKAGE, __version__, *(line for place in places for line in _stamps(place))])


def _stamps(place: str) -> Iterator[str]:
    with os.scandir(place) as entries:
        inside = sorted(entries, key=lambda entry: entry.name)
    for entry in inside:
        if entry.name.endswith((".py", ".json", ".yaml")):
            state = entry.stat()
            yield f"{entry.path} {state.st_size} {state.st_mtime_ns}"
        elif "." not in entry.name and entry.name != "__pycache__" and entry.is_dir():
            yield from _stamps(entry.path)

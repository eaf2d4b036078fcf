"""Where the data that comes with doorlint lies."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

from doorlint.version import __version__

__all__ = ["folder", "stamp"]


def folder(name: str) -> Path:
    """The folder ``rules``, ``schemas`` or ``sample_specs`` of this installation.

    A wheel carries it inside the package, as ``doorlint/data/<name>``; in a source checkout it stands beside the
    package.

    Raises:
        FileNotFoundError: there is no such folder in either place.

    >>> folder("schemas").joinpath("job-spec.schema.json").is_file()
    True
    """
    package = Path(__file__).parent
    for place in (package / "data" / name, package.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"doorlint is installed without its folder {name!r}; install it again")


@cache
def stamp() -> str:
    """What tells this program from any other: where it lies, its version, and size and time of each of its files, those
    of its rules and schemas among them.

    What is kept between runs is kept under it, so that nothing outlives the code that made it.
    """
    package = Path(__file__).parent
    said = [str(package), __version__]
    for place in (str(package), str(folder("schemas")), str(folder("rules"))):
        for inside, folders, names in os.walk(place):
            folders.sort()
            for name in sorted(names):
                if name.endswith((".py", ".json", ".yaml")):
                    state = os.stat(f"{inside}/{name}")
                    said.append(f"{inside}/{name} {state.st_size} {state.st_mtime_ns}")
    return "\n".join(said)

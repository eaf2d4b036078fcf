"""Where the data that comes with doorlint lies."""

from __future__ import annotations

from pathlib import Path

__all__ = ["folder"]


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

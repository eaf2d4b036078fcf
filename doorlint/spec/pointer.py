"""JSON pointers (RFC 6901): the names of the places in a spec."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["escaped", "pointer", "steps"]


def escaped(key: str) -> str:
    """A key as one token of a pointer (section 3).

    >>> escaped("a/b~c")
    'a~1b~0c'
    """
    return key.replace("~", "~0").replace("/", "~1")


def pointer(path: Iterable[str | int]) -> str:
    """The pointer of a path of keys and item numbers.

    >>> pointer(["tower", "boxes", "b1", "sections", 0])
    '/tower/boxes/b1/sections/0'
    """
    return "".join(f"/{escaped(str(step))}" for step in path)


def steps(pointer: str) -> list[str]:
    """The keys, and item numbers as text, of a pointer (section 4). Raises ``ValueError`` for a text that is none.

    >>> steps("/a~1b~0c/0")
    ['a/b~c', '0']
    """
    if pointer and not pointer.startswith("/"):
        raise ValueError(f"{pointer!r} is no JSON pointer; it must be empty or start with /")
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer.split("/")[1:]]

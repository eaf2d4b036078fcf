"""Plain data as JSON text."""

from __future__ import annotations

import json
from math import isfinite
from typing import Any

__all__ = ["dump", "number"]


def dump(data: Any) -> str:
    r"""JSON, two spaces a level and a line end, in which only characters that show stand as themselves.

    What turns the reading direction, or is half of a character, may come from the name of a file. Raises
    ``ValueError`` for a number that is not finite, which JSON does not have.

    >>> dump(["door \u202e.yaml"])
    '[\n  "door \\u202e.yaml"\n]\n'
    """
    lines = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False).split("\n")
    return "\n".join(line if line.isprintable() else _escaped(line) for line in lines) + "\n"


def number(value: object) -> float | None:
    """The value where it is a number that JSON has, else nothing.

    >>> number(0.5), number(float("inf")), number("level")
    (0.5, None, None)
    """
    return value if isinstance(value, float) and isfinite(value) else None


def _escaped(line: str) -> str:
    return "".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in line)

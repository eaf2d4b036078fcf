"""Results that are computed once for each library and freed with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from doorlint.rulebook.library import Library

P = ParamSpec("P")
R = TypeVar("R")

MOST_RESULTS = 64
"""Results that one function keeps for one library."""


def per_library(function: Callable[Concatenate[Library, P], R]) -> Callable[Concatenate[Library, P], R]:
    """Remember what a function of a library returns for as long as the library is in use; nothing it returns may hold
    the library itself. Arguments have to be hashable and are passed by position."""
    results: WeakKeyDictionary[Library, dict[tuple[Any, ...], R]] = WeakKeyDictionary()

    def remembered(library: Library, /, *args: P.args, **kwargs: P.kwargs) -> R:
        mine = results.get(library)
        if mine is None:
            mine = results[library] = {}
        if args not in mine:
            if len(mine) >= MOST_RESULTS:
                mine.clear()
            mine[args] = function(library, *args, **kwargs)
        return mine[args]

    return remembered

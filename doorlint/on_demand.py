"""A mapping that makes each value when it is first used."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Generic, TypeVar

T = TypeVar("T")


class OnDemand(Mapping[str, T], Generic[T]):
    """Names, and the function that makes the value of one.

    >>> made = OnDemand(["a", "bc"], len)
    >>> made["bc"], "c" in made, list(made)
    (2, False, ['a', 'bc'])
    """

    __slots__ = ("_made", "_maker", "_names")

    def __init__(self, names: Iterable[str], maker: Callable[[str], T]) -> None:
        self._names, self._maker = dict.fromkeys(names), maker
        self._made: dict[str, T] = {}

    def __getitem__(self, name: str) -> T:
        if name not in self._made:
            if name not in self._names:
                raise KeyError(name)
            self._made[name] = self._maker(name)
        return self._made[name]

    def add(self, name: str) -> None:
        """One name more."""
        self._names[name] = None

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def __contains__(self, name: object) -> bool:
        return name in self._names

"""One line of a parts list, and what its lines are made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from doorlint import quantities
from doorlint.facts import Facts
from doorlint.spec import Spec
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["OPEN", "Piece", "Pieces"]

FINEST: Final = 64
"""Parts of an inch that a cut length is written to."""
OPEN: Final = "not decided"
"""Stands for a size that nobody decided."""


@dataclass(frozen=True, slots=True)
class Piece:
    """So many equal parts. ``length`` is a cut length (m) or ``None``, ``length_text`` the same in words; ``count`` is
    ``None`` where nobody decided it. ``pointers`` say for which things they are; ``catalog`` names the catalog part,
    ``document`` what its capacity rests on."""

    part: str
    count: int | None
    size: str
    length: float | None
    length_text: str
    pointers: tuple[str, ...]
    catalog: str | None
    document: str | None


class Pieces:
    """What the lines are made from: the facts of a job and the catalog parts that its spec names.

    ``undecided`` collects the pointers of values that a line asks for and the job does not have.
    """

    def __init__(self, facts: Facts, spec: Spec) -> None:
        self.facts = facts
        self._spec = spec
        self.undecided: dict[str, None] = {}
        self._catalog = {(use.group, use.key): spec.catalog[use.part] for use in spec.parts}

    def asks_for(self, group: str) -> None:
        """Note a group that the job has to have and does not."""
        if not self.given(group):
            self.undecided[self.pointer(group)] = None

    def value(self, name: str, key: str | None = None, figure: str | None = None) -> Any:
        """A spec value, else the figure that works it out; ``None``, and noted as undecided, where there is neither."""
        value = self.facts.known(name, key)
        if value is None and figure is not None:
            value = self.facts.known(figure, key)
        if value is None:
            self.undecided[self.pointer(name, key)] = None
        return value

    def text(self, name: str, key: str | None = None, figure: str | None = None) -> str:
        """The same in words, as it is written unless the list is in other units."""
        value = self.value(name, key, figure)
        if value is None:
            return OPEN
        written = self._spec.text(self.pointer(name, key)) if self.facts.system == self._spec.system else None
        dimension = VOCABULARY.leaves[name].numeric_dimension
        return written or (str(value) if dimension is None else self._write(value, dimension))

    def _write(self, value: float, dimension: str) -> str:
        return quantities.write(value, dimension, self.facts.system, denominator=FINEST)

    def pointer(self, name: str, key: str | None = None) -> str:
        """The pointer of a value or a group."""
        return VOCABULARY.pointer_of(name, key)

    def given(self, name: str, key: str | None = None) -> bool:
        """Whether the job has this value, or this group, of the thing."""
        held = self.facts.job.values.get(name)
        return (held.get(key) if isinstance(held, dict) else held) is not None

    def piece(
        self,
        part: str,
        count: int | None,
        size: str,
        at: str,
        key: str | None = None,
        *,
        length: float | None = None,
        group: str | None = None,
    ) -> Piece:
        """A line for the value or group ``at``; ``group`` is the one that may name a catalog part."""
        held = self._catalog.get((group or at, key))
        text = "" if length is None else self._write(length, "length")
        catalog, document = (None, None) if held is None else (held.name, held.document)
        return Piece(part, count, size, length, text, (self.pointer(at, key),), catalog, document)

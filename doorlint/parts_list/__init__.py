"""The parts list of a job: what an order desk types into its books, with what is not decided yet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from doorlint.facts import Facts
from doorlint.findings import SpecReview
from doorlint.parts_list import counterbalance, door, supports
from doorlint.parts_list.piece import Piece, Pieces

__all__ = ["PartsList", "Piece", "list_parts"]


GROUPS = ("door.sections", "track", "cables", "operation", "hangers", "mounts")
"""What every job has, in the order of a spec: what is not there yet is not decided."""


class PartsList(NamedTuple):
    """The parts of one reviewed spec."""

    review: SpecReview
    pieces: tuple[Piece, ...]
    undecided: tuple[str, ...]
    """pointers of what the list needs and nobody decided"""


def list_parts(review: SpecReview) -> PartsList:
    """The parts of a spec that was reviewed alone, equal ones on one line.

    Raises :class:`ValueError` for a review that kept no job: one of many, or of a spec that cannot be read.
    """
    if review.job is None or review.spec is None:
        raise ValueError(f"{review.file}: there is no job to list the parts of")
    pieces = Pieces(Facts(review.job, review.system), review.spec)
    for group in GROUPS:
        pieces.asks_for(group)
    found = [*door.pieces(pieces), *supports.pieces(pieces), *counterbalance.pieces(pieces)]
    return PartsList(review, tuple(_together(found)), tuple(pieces.undecided))


def _together(pieces: Iterable[Piece]) -> Iterator[Piece]:
    """Equal pieces as one, in the order of the first of them; a count that is not decided leaves the sum open."""
    found: dict[tuple[str, str, float | None, str | None], list[Piece]] = {}
    for piece in pieces:
        found.setdefault((piece.part, piece.size, piece.length, piece.catalog), []).append(piece)
    for same in found.values():
        counts = [piece.count for piece in same if piece.count is not None]
        pointers = dict.fromkeys(pointer for piece in same for pointer in piece.pointers)
        count = sum(counts) if len(counts) == len(same) else None
        yield replace(same[0], count=count, pointers=tuple(pointers))

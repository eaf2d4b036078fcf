"""The parts list as text for a terminal or a page of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.parts_list import PartsList, Piece
from doorlint.reports.text import wrap
from doorlint.reports.words import made_from, plain, relaxed_texts, titled

WIDTH = 78
HOLD = " HOLD - DO NOT ORDER FROM THIS LIST "


def render(listed: PartsList, version: str, on: str) -> str:
    """The whole list; that of a held job says HOLD at its top and its bottom."""
    return "\n".join(_lines(listed, version, on)) + "\n"


def _lines(listed: PartsList, version: str, on: str) -> Iterator[str]:
    review = listed.review
    held = review.verdict != "clear"
    if held:
        yield HOLD.center(WIDTH, "#")
        yield ""
    yield from wrap(f"PARTS LIST  {titled(review)}", "", "  ")
    yield from wrap(f"{plain(review.file)}, stage {review.stage}, spec {review.spec_digest}", "", "  ")
    yield ""
    for piece in listed.pieces:
        yield from _piece(piece)
    if listed.undecided:
        yield ""
        yield f"NOT DECIDED ({len(listed.undecided)})"
        for pointer in listed.undecided:
            yield f"  {plain(pointer)}"
    yield ""
    for text in relaxed_texts(review.relaxed):
        yield from wrap(f"not as in the library: {text}", "")
    yield from wrap(f"doorlint {version}, {made_from(review)}, listed for {on}", "")
    if held:
        yield ""
        yield HOLD.center(WIDTH, "#")


def _piece(piece: Piece) -> Iterator[str]:
    count = "?" if piece.count is None else str(piece.count)
    what = ", ".join(filter(None, [piece.part, piece.size]))
    length = f", {piece.length_text} long" if piece.length_text else ""
    yield from wrap(f"{what}{length}", f"{count:>5}  ")
    if piece.catalog is not None:
        yield from wrap(plain(f"catalog {piece.catalog}: {piece.document}"), " " * 9)
    yield from wrap(f"for {plain(', '.join(piece.pointers))}", " " * 9)

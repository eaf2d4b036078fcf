"""The parts list as CSV (RFC 4180) for a spreadsheet or an ordering system; what is not decided stands last."""

from __future__ import annotations

import csv
import io

from doorlint.parts_list import PartsList
from doorlint.reports.words import plain

HEAD = ("part", "count", "size", "length", "for", "catalog", "document")


def render(listed: PartsList, _version: str, _on: str) -> str:
    """One line a part, with a head; lengths in words."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HEAD)
    for piece in listed.pieces:
        count = "" if piece.count is None else str(piece.count)
        cells = (piece.part, count, piece.size, piece.length_text, " ".join(piece.pointers))
        writer.writerow([_cell(cell or "") for cell in (*cells, piece.catalog, piece.document)])
    for pointer in listed.undecided:
        writer.writerow(["not decided", "", "", "", _cell(pointer), "", ""])
    return out.getvalue()


def _cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    >>> _cell("=1+1"), _cell("1/4 in")
    ("'=1+1", '1/4 in')
    """
    text = plain(text)
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) else text

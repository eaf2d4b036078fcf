"""What holds the door to the building: hanger angles, braces and fasteners."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.parts_list.piece import Piece, Pieces

__all__ = ["pieces"]

FASTENERS = {"lag": "lag screw", "bolt": "bolt", "anchor": "anchor", "clamp": "clamp"}
"""What each kind of fixing is called on the list; a weld is no part."""


def pieces(of: Pieces) -> Iterator[Piece]:
    """The lines of hangers and fixings."""
    for key in of.facts.keys("hanger"):
        legs = " x ".join(of.text(f"hanger.{leg}", key) for leg in ("leg_a", "leg_b", "leg_thickness"))
        yield of.piece("hanger angle", 1, legs, "hanger", key, length=of.value("hanger.drop", key))
        for brace in ("braced_across", "braced_along"):
            if of.facts.known(f"hanger.{brace}", key):
                yield of.piece("hanger brace", 1, f"{legs}, cut on site", f"hanger.{brace}", key, group="hanger")
    for axis in ("hanger", "mount"):
        for key in of.facts.keys(axis):
            yield from _fasteners(of, axis, key)


def _fasteners(of: Pieces, axis: str, key: str) -> Iterator[Piece]:
    kind = of.value(f"{axis}.fixing.kind", key)
    if kind == "weld":
        return
    size = of.text(f"{axis}.fixing.diameter", key)
    if kind == "lag":
        size += f", {of.text(f'{axis}.fixing.thread_length', key)} of thread"
    part = FASTENERS.get(kind, "fastener")
    yield of.piece(part, of.value(f"{axis}.fixing.count", key), size, f"{axis}.fixing", key)

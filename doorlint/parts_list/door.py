"""The door itself and its track: sections, struts, hinges, rollers, track, seals."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.parts_list.piece import Piece, Pieces

__all__ = ["pieces"]


def pieces(of: Pieces) -> Iterator[Piece]:
    """The lines of the door and its track."""
    keys = of.facts.keys("section")
    if keys:
        yield from _sections(of, keys)
        yield from _hardware(of, keys)
    if of.given("door"):
        yield from _seals(of)
    if of.given("track"):
        yield from _track(of)


def _sections(of: Pieces, keys: tuple[str, ...]) -> Iterator[Piece]:
    for key in keys:
        place = "bottom section" if key == keys[0] else "top section" if key == keys[-1] else "intermediate section"
        size = f"{of.text('door.width')} x {of.text('section.height', key)} x {of.text('door.thickness')}"
        if of.given("section.glass.area", key):
            size += f", glass {of.text('section.glass.area', key)}"
        yield of.piece(place, 1, size, "section", key)
    for key in keys:
        kind = of.facts.known("section.strut.kind", key)
        if kind not in (None, "none"):
            size = f"{kind}, {of.text('section.strut.height', key)} high"
            yield of.piece("strut", 1, size, "section.strut", key, length=of.value("door.width"))


def _hardware(of: Pieces, keys: tuple[str, ...]) -> Iterator[Piece]:
    for key in keys[:-1]:
        yield of.piece("end hinge", 2, f"number {of.text('section.hinge', key)}", "section.hinge", key)
    yield of.piece("roller", 2 * (len(keys) + 1), f"for {of.text('track.size')} track", "door.sections")


def _seals(of: Pieces) -> Iterator[Piece]:
    width = of.value("door.width")
    yield of.piece("bottom seal", 1, "", "door.width", length=width)
    yield of.piece("header seal", 1, "", "opening.width", length=width)
    yield of.piece("jamb seal", 2, "", "opening.height", length=of.facts.known("opening.greatest_height"))


def _track(of: Pieces) -> Iterator[Piece]:
    size = of.text("track.size")
    lift = of.value("track.lift")
    curve = of.facts.known("track.tangent_height")
    if lift == "vertical":
        yield of.piece("vertical track", 2, size, "track.size", length=curve)
    else:
        yield of.piece("vertical track", 2, size, "track.vertical_length", length=curve)
        bent = f"{size}, curve radius {of.text('track.radius')}"
        length = of.value("track.horizontal_length")
        yield of.piece("horizontal track", 2, bent, "track.horizontal_length", length=length)
    yield of.piece("wall angle", 2, "", "track.angle_length", length=of.value("track.angle_length"))
    yield of.piece("bumper", 2, "", "track")

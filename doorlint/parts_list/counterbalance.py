"""What balances and moves the door: cables, pulleys, tower with boxes and chains, shaft with springs, operator."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.parts_list.piece import OPEN, Piece, Pieces

__all__ = ["pieces"]


def pieces(of: Pieces) -> Iterator[Piece]:
    """The lines of the counterbalance and the operator."""
    for key in of.facts.keys("cable"):
        yield from _cable(of, key)
    for key in of.facts.keys("pulley"):
        size = f"{of.text('pulley.diameter', key)} in the groove"
        yield of.piece(f"{of.text('pulley.at', key)} pulley", 1, size, "pulley", key)
    if of.given("tower"):
        yield from _tower(of)
        yield from _boxes(of)
    if of.given("torsion"):
        yield from _torsion(of)
    by = of.facts.known("operation.by")
    if by not in (None, "hand"):
        yield of.piece("operator", 1, f"{by}, {of.text('operation.pull')} pull", "operation")
    if of.facts.known("operation.lock.fitted"):
        yield of.piece("lock", 1, "", "operation.lock")


def _cable(of: Pieces, key: str) -> Iterator[Piece]:
    diameter = of.text("cable.diameter", key)
    size = f"{diameter}, {of.text('cable.construction', key)}, {of.text('cable.finish', key)}"
    yield of.piece("lift cable", 1, size, "cable", key, length=of.value("cable.length", key, "cable.cut_length"))
    end = of.value("cable.end", key)
    if end == "clips":
        forged = ", forged" if of.facts.known("cable.clip_forged", key) else ""
        yield of.piece("cable clip", of.value("cable.clips", key), f"for {diameter}{forged}", "cable.clips", key)
    elif end is not None:
        part = "swaged sleeve" if end == "swaged" else "wedge socket"
        yield of.piece(part, 1, f"for {diameter}", "cable.end", key)


def _tower(of: Pieces) -> Iterator[Piece]:
    size = " x ".join(of.text(f"tower.{side}") for side in ("height", "width", "depth"))
    yield of.piece("tower", 1, size, "tower")
    material = of.value("tower.cover.material")
    if material != "none":
        gage = f", {of.text('tower.cover.gage')} gage" if material == "steel" else ""
        height = of.text("tower.cover.height")
        yield of.piece("tower cover", 1, f"{material or OPEN}{gage}, {height} high", "tower.cover")
    yield of.piece("eye bolt", 2, f"{of.text('tower.eye_bolt_takeup')} of thread", "tower.eye_bolt_takeup")


def _boxes(of: Pieces) -> Iterator[Piece]:
    keys = of.facts.keys("box")
    for key in keys:
        size = f"{of.text('box.height', key)} high, {of.text('box.tare', key)} empty"
        yield of.piece("counterweight box", 1, size, "box", key)
    for key in keys:
        plates = of.value("box.plates", key, "box.plates_wanted")
        yield of.piece("plate", None if plates is None else round(plates), of.text("tower.plate"), "box.plates", key)
    for key in keys[:-1]:  # nothing hangs below the lowest box
        yield from _chain(of, key)


def _chain(of: Pieces, key: str) -> Iterator[Piece]:
    links = of.value("box.chain.links", key, "box.links_wanted")
    grade, wire = of.text("box.chain.grade", key), of.text("box.chain.size", key)
    slack = OPEN if links is None else str(round(links))
    yield of.piece("chain", 1, f"grade {grade}, {wire}, {slack} links of slack", "box.chain", key)
    fitting = f"breaks at {of.text('box.chain.fittings_strength', key)} or more"
    yield of.piece("chain fitting", 2, fitting, "box.chain.fittings_strength", key)
    if of.given("box.chain.spring", key):
        stop = ", with stop" if of.facts.known("box.chain.spring.stop", key) else ""
        rate = of.text("box.chain.spring.rate", key)
        yield of.piece("chain spring", 1, f"{rate}{stop}", "box.chain.spring", key)


def _torsion(of: Pieces) -> Iterator[Piece]:
    length = of.value("torsion.shaft.length")
    yield of.piece("shaft", 1, of.text("torsion.shaft.diameter"), "torsion.shaft", length=length)
    if of.given("torsion.drum.radii"):
        drum = f"{of.text('torsion.drum.diameter')} over the flange"
    else:
        drum = f"{of.text('torsion.drum.radius')} to the cable"
    yield of.piece("cable drum", 2, drum, "torsion.drum")
    for key in of.facts.keys("spring"):
        wire, inside = of.text("spring.wire", key), of.text("spring.inside_diameter", key)
        coils, wind = of.text("spring.coils", key), of.text("spring.wind", key)
        size = f"{wire} wire, {inside} inside, {coils} coils, {wind}-wound"
        yield of.piece("torsion spring", 1, size, "spring", key, length=of.value("spring.length", key))
        yield of.piece("winding cone and anchor cone", 1, f"for {inside} inside", "spring", key, group="none")
    size = f"for {of.text('torsion.shaft.diameter')} shaft"
    bearings, couplers = of.facts.keys("bearing"), of.facts.keys("coupler")
    for key in bearings:
        yield of.piece("bearing plate", 1, size, "bearing", key)
    if not bearings:
        of.asks_for("torsion.bearings")
    for key in couplers:
        yield of.piece("shaft coupler", 1, size, "coupler", key)

"""What every report says before anybody lays hands on the door."""

from __future__ import annotations

__all__ = ["cautions"]

_LOCK = {
    "tower": "Lock the door off and clamp every box where it stands before a hand goes to chain, cable or box spring.",
    "torsion": "Lock the door off and bar the shaft against turning before a hand goes to cable, drum or spring.",
    "": "Lock the door and its counterbalance off before a hand goes to chain, cable or spring.",
}
_FORCE = {
    "tower": "A box that comes loose falls the whole height of the tower: keep the cover on, and hands out of it.",
    "torsion": "A wound spring kills. Only a trained person winds or unwinds it, with bars that fit, "
    "standing clear of where they swing.",
}
_LOADED = {
    "tower": "bottom brackets, cables, pulleys, chains, boxes, eye bolts",
    "torsion": "bottom brackets, cables, drums, shaft bearings, springs",
    "": "bottom brackets, cables, pulleys, drums, chains, boxes, springs",
}


def cautions(counterbalance: str | None) -> tuple[str, ...]:
    """The standing cautions for a door with a ``tower``, with ``torsion`` springs, or with either (``None``).

    >>> cautions("torsion")[1].split(".")[0]
    'A wound spring kills'
    >>> len(cautions(None)) - len(cautions("tower"))
    1
    """
    kind = counterbalance or ""
    return (
        _LOCK[kind],
        *((_FORCE[kind],) if kind else _FORCE.values()),
        "Nobody stands or walks below the door, its track or its weights while anything is raised or balanced.",
        "Every roller stays captive in its track; no roller, hinge or bracket comes off while it carries weight.",
        f"Parts under load ({_LOADED[kind]}) are marked; what is marked stays untouched until the load is off it.",
        "Local codes and the maker's instructions go before this report. What the building must carry is for a "
        "licensed structural engineer to say; supply wiring is an electrician's work.",
        "Only what the spec says was checked, not the door. What is listed as not checked, nobody has checked.",
    )

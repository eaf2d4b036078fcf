"""The lists that a tower adds to the setting-out data: boxes, chains and cables, SI; ``None`` for what is not known."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

from doorlint.counterbalance.tower.load_path import faults, load_path
from doorlint.facts import Facts

__all__ = ["LISTS"]


def boxes(facts: Facts) -> list[dict[str, Any]]:
    """Each box from the top of the stack down."""
    return [
        {
            "box": key,
            "sections": list(facts.known("box.sections", key) or ()),
            "wanted": facts.known("box.wanted", key),
            "plates_wanted": facts.known("box.plates_wanted", key),
            "plates": _first(facts, key, "box.plates", "box.plates_wanted"),
            "loaded": facts.known("box.loaded", key),
            "residual": facts.known("box.residual", key),
            "plates_correction": facts.known("box.plates_correction", key),
            "height_open": facts.known("box.rise_open", key),
            "height_closed_empty": facts.known("box.rise_empty", key),
            "height_closed_loaded": facts.known("box.rise_closed", key),
        }
        for key in facts.keys("box")
    ]


def plates_by_readings(facts: Facts) -> dict[str, Any]:
    """What :func:`doorlint.figures.box.plates_correction` goes by, but for the readings; a ``bias`` of ``None`` marks a
    box that no reading tells of."""
    plate, travels = facts.known("tower.plate"), facts.job.cell("box.mark_travel")
    if not plate or not isinstance(travels, dict):
        return {}
    rollers = facts.column("box.mark_roller")
    return {
        "plate": plate,
        "boxes": [
            {
                "box": key,
                "roller": 0 if travels[key] == 0.0 else rollers[key],
                "bias": facts.known("box.bias", key),
                "plates": _first(facts, key, "box.plates", "box.plates_wanted") or 0,
            }
            for key in facts.keys("box")
        ],
    }


def chains(facts: Facts) -> list[dict[str, Any]]:
    """Each chain with the two boxes it joins."""
    return [
        {
            "from": key,
            "to": below,
            "slack": facts.known("box.slack", key),
            "links_wanted": facts.known("box.links_wanted", key),
            "links": _first(facts, key, "box.chain.links", "box.links_wanted"),
            "links_correction": facts.known("box.links_correction", key),
            "slack_made": facts.known("box.slack_made", key),
            "tight_at": facts.known("box.tight_at", key),
            "lifts_at": facts.known("box.lifts_at", key),
            "late": facts.known("box.timing", key),
            "stretch": facts.known("box.full_stretch", key),
            "stretch_wanted": facts.known("box.stretch_wanted", key),
            "rate": _first(facts, key, "box.spring_rate", "box.rate_wanted"),
            "rate_wanted": facts.known("box.rate_wanted", key),
            "load": facts.known("box.chain_load", key),
        }
        for key, below in pairwise(facts.keys("box"))
    ]


def cables(facts: Facts) -> list[dict[str, Any]]:
    """Each lift cable."""
    names = ("side", "cut_length", "tension")
    return [
        {"cable": key, **{name: facts.known(f"cable.{name}", key) for name in names}} for key in facts.keys("cable")
    ]


def _first(facts: Facts, key: str, *names: str) -> Any:
    values = (facts.known(name, key) for name in names)
    return next((value for value in values if value is not None), None)


LISTS: dict[str, Callable[[Facts], list[dict[str, Any]]]] = {
    "boxes": boxes,
    "chains": chains,
    "cables": cables,
    "load_path": load_path,
    "faults": faults,
}

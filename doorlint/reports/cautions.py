"""The safety notes that every report carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from doorlint.counterbalance import every

if TYPE_CHECKING:
    from doorlint.counterbalance.kind import Counterbalance

__all__ = ["cautions"]


def cautions(counterbalance: Counterbalance | None) -> tuple[str, ...]:
    """The safety notes for a door with this counterbalance, or for a door whose counterbalance is not known.

    >>> from doorlint.counterbalance import named
    >>> cautions(named("torsion"))[1].split(".")[0]
    'A wound spring can kill'
    """
    kinds = every() if counterbalance is None else [counterbalance]
    loaded = dict.fromkeys(part for kind in kinds for part in kind.loaded_parts)
    single = dict.fromkeys(part for kind in kinds for part in kind.single_points)
    return (
        *(kind.lock for kind in kinds),
        *(kind.hazard for kind in kinds),
        "Nobody stands or walks below the door, its track or its weights while anything is raised or balanced.",
        "Keep every roller in its track. Take off no roller, hinge or bracket while it carries weight.",
        f"Parts under load (bottom brackets, cables, {', '.join(loaded)}) are marked. Do not touch a marked part until "
        "its load is off.",
        f"Nothing else holds the door when one of these parts breaks: {', '.join(single)}. Look at them before the "
        "door is moved.",
        "Local codes and the maker's instructions take precedence over this report. A licensed structural engineer "
        "decides what the building can carry; an electrician does the supply wiring.",
        "Only the spec was checked, not the door. Nobody has checked what is listed as not checked.",
    )

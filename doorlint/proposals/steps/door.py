"""The door: width, thickness, rollers, and what only a scale or a maker can say of its sections."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["door", "stiffness", "weights"]

STIFFNESS_RESERVE = 1.25
"""ordered second moment over the one that keeps the sag in bounds: weights may come out higher"""


def door(draft: Draft) -> Draft:
    """Width with its lap, thickness, rollers and stand-off; what the wind asks for."""
    made = draft.made
    lap = quantities.read(made.lap, "length")
    draft = draft.derive(
        "door.width", "opening.greatest_width", draft.at("opening.greatest_width") + 2 * lap, ("1/2 in", "10 mm"), "up",
        because=f"and {made.lap} of lap on each jamb",
    )  # fmt: skip
    draft = draft.choose(
        {
            "door.thickness": made.thickness,
            "door.bottom_roller": made.roller,
            "door.stand_off": made.stand_off,
        },
        "common size; put in that of the door you order",
    )
    return _rating(draft)


def _rating(draft: Draft) -> Draft:
    if draft.gives("wind.speed") and not draft.gives("wind.required_pressure"):
        asked = draft.at("wind.site_pressure")
        return draft.derive("door.rated_pressure", "wind.site_pressure", asked, ("1 psf", "50 Pa"), "up")
    if not draft.gives("wind.required_pressure"):
        usual = "1 kPa" if draft.given.system == "si" else "20 psf"
        why = "from the building's engineer; inside walls carry 5 psf"
        draft = draft.leave_open("wind.required_pressure", why, usual)
    asked = draft.at("wind.required_pressure")
    return draft.derive("door.rated_pressure", "wind.required_pressure", asked, ("1 psf", "50 Pa"), "up")


def weights(draft: Draft) -> Draft:
    """The weight of each section, which is open: worked with by its area until it is given.

    A wide section has a strut, which its weight includes.
    """
    made, system = draft.made, draft.given.system
    width = draft.at("door.width")
    load = quantities.read(made.section_weight, "pressure")
    strut = quantities.read(made.strut_weight, "weight-per-length") * width
    for key in draft.keys("section"):
        wide = width > draft.at("practice.strut_width")
        if wide and not draft.gives("section.strut.kind", key):
            why = "a section this wide takes a strut; put in that of the door you order"
            draft = draft.choose({"section.strut.kind": "hat", "section.strut.height": made.strut_height}, why, key)
        if draft.gives("section.build", key):
            continue
        usual = load * width * draft.at("section.height", key) + strut * wide
        text = text_of(usual, "weight", system, ("1 lb", "1 kg"), "nearest")
        why = "weigh it, or ask its maker"
        draft = draft.leave_open("section.weight", why, text, key)
        draft = draft.leave_open("section.weight_from", "weighed, maker or estimated?", "weighed", key)
    return draft


def stiffness(draft: Draft) -> Draft:
    """Second moment that each section is ordered with, so that it does not sag lying flat."""
    if all(draft.gives("section.second_moment", key) for key in draft.keys("section")):
        return draft
    tried, system = 1e-6, draft.given.system
    trial = draft
    for key in draft.keys("section"):
        trial = trial.propose("section.second_moment", f"{tried * 1e8:g} cm4", "derived", "", key=key)
    most = draft.at("door.width") / 120
    sags = [
        trial.at("section.sag", key) for key in draft.keys("section") if not draft.gives("section.second_moment", key)
    ]
    needed = tried * max(sags) / most
    text = text_of(STIFFNESS_RESERVE * needed, "second-moment", system, ("0.1 in4", "1 cm4"), "up")
    why = (
        f"lying flat the section sags 5 W L^3/(384 E I), at most width/120: "
        f"{quantities.write(needed, 'second-moment', system)} at the weights worked with; order it with at least this"
    )
    source = Source("derived", note="even load on a simple span")
    for key in draft.keys("section"):
        draft = draft.propose("section.second_moment", text, "derived", why, source, key)
    return draft

"""The torsion shaft: drums for the lift, a pair of springs that balances the door, shaft, bearings and cables."""

from __future__ import annotations

import math

from doorlint import quantities
from doorlint.mechanics import spring_sizing
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["torsion", "ways"]

WHOLE = ("1/4 in", "5 mm")
RESERVE = 1.1
PAIR = ("left", "right")
INNER = {side: f"{side}-inner" for side in PAIR}
HIGHEST = 80
"""steps by which the shaft is raised until the moving door clears it"""
STATION = Source("derived", note="parts by station along the shaft")
ROPES = ("1/8", "5/32", "3/16", "7/32", "1/4")
RADII = (("2 3/4 in", "70 mm"), ("4 in", "100 mm"), ("5 3/4 in", "145 mm"))
"""common radii of drums (US, SI); a larger one asks for stronger springs and fewer turns"""
SHAFTS = (("1 in", "25.4 mm"), ("1 1/4 in", "31.75 mm"), ("1 1/2 in", "38.1 mm"))
PROFILES = {"high": "high-lift", "vertical": "vertical-lift"}
DROPS = (1.1, 1.15, 1.2, 1.25, 1.3, 1.35, 1.4, 1.5)
"""largest over smallest radius of high-lift drums that are tried"""
STATIONS = ("1/4 in", "1 mm")
SIZED = Source("derived", note="the formulas of the springs solved for their coils; sizes are the shop's table")
VERTICAL_TURNS = 6.0
"""turns in which a vertical-lift drum takes up the whole travel"""
VERTICAL_SHARE = 0.25
"""smallest over largest radius of a vertical-lift drum: the share of its turns that is left when the door is open"""


def torsion(draft: Draft, duplex: bool) -> Draft:
    """The whole counterbalance: a pair of springs, or a duplex pair, with another inside each.

    It is on the smallest drums and the thinnest shaft with which the released door stays where it is.

    Raises :class:`CannotDesign` where no springs of the shop's sizes balance the door on any drums.
    """
    metric = draft.given.system == "si"
    radii = RADII if draft.at("track.lift") != "vertical" else RADII[:1]  # a vertical lift's drum has its own
    stop: CannotDesign | None = None
    drifting: Draft | None = None
    for small in radii:
        try:
            with_drums = drums(draft, small[metric])
            if drifting is not None and with_drums.at("setting.left") > with_drums.at("torsion.friction"):
                continue  # no springs hold the door on these drums
            made = _on_shaft(with_drums, duplex)
        except CannotDesign as found:
            stop = stop or found
            continue
        if made.at("torsion.moving_force") <= made.at("torsion.holding_friction"):
            return parts(made)
        drifting = drifting or made
    if drifting is not None:
        return parts(drifting)
    assert stop is not None
    raise stop


def ways(draft: Draft) -> tuple[bool, ...]:
    """Without another spring inside each or with one, as far as the springs that are named leave that open."""
    if INNER["left"] in draft.given.keys.get("spring", ()):
        return (True,)
    return (False,) if draft.gives("spring.wire") else (False, True)


def _on_shaft(draft: Draft, duplex: bool) -> Draft:
    """Springs for the drums, on the thinnest shaft that carries them."""
    for diameter in SHAFTS:
        made = place(springs(shaft(draft, diameter[draft.given.system == "si"]), duplex))
        strong = made.at("shaft.yield_factor") >= RESERVE * made.at("practice.shaft_factor")
        if strong and made.at("shaft.yield_factor_alone") >= RESERVE:
            break
    return made


def drums(draft: Draft, small: str) -> Draft:
    """The drums: their profile by the lift, their radii by the travel, grooves and rating by what they carry."""
    lift = draft.at("track.lift")
    draft = draft.choose({"torsion.mount": "front"}, "where the shaft has room over the header")
    profile = PROFILES.get(lift, "standard")
    draft = draft.propose(
        "torsion.drum.profile", profile, "derived", f"the drum of a {lift} lift", Source("derived", note="by the lift")
    )
    radii = {"high-lift": _high_lift, "vertical-lift": _vertical_lift}.get(profile, _standard)
    draft = radii(draft, small)
    metric = draft.given.system == "si"
    draft = draft.choose({"torsion.drum.wraps_closed": "1 1/2 turns"}, "a turn and a half stays on the drum")
    radius = draft.at("drum.largest_radius")
    draft = draft.derive(
        "torsion.drum.diameter", "drum.largest_radius", 2 * radius + quantities.read("1/2 in", "length"), WHOLE, "up",
        because="twice, and the flange",
    )  # fmt: skip
    draft = draft.choose(
        {"torsion.drum.width": ("3 in", "75 mm")[metric], "torsion.drum.weight": ("4 lb", "2 kg")[metric]},
        "common drum; put in those you order",
    )
    used = draft.at("drum.turns_used")
    draft = draft.derive("torsion.drum.capacity", "drum.turns_used", used, ("1/2 turns", "1/2 turns"), "up")
    rated = RESERVE * draft.at("door.load")
    return draft.derive("torsion.drum.rating", "door.load", rated, ("50 lb", "20 kg"), "up", because="and a reserve")


def _standard(draft: Draft, small: str) -> Draft:
    return draft.choose({"torsion.drum.radius": small}, "common radius of a standard drum")


def _high_lift(draft: Draft, small: str) -> Draft:
    """A taper that takes up what the whole door hangs, with the fall that leaves the least imbalance."""
    draft = draft.choose({"torsion.drum.small_radius": small}, "common radius behind the taper")
    flat, travel = draft.at("torsion.drum.small_radius"), draft.at("drum.hanging_travel")
    best: tuple[float, Draft] | None = None
    for drop in DROPS:
        radius = text_of(flat * drop, "length", draft.given.system, ("0.05 in", "1 mm"), "nearest")
        turns = travel / (2 * math.pi * flat * (1 + drop) / 2)
        taper = text_of(turns, "turns", draft.given.system, ("0.05 turns", "0.05 turns"), "nearest")
        why = "the taper takes up what the whole door hangs; its fall leaves the least imbalance"
        tried = draft.propose("torsion.drum.radius", radius, "derived", why, STATION)
        tried = tried.propose("torsion.drum.taper_turns", taper, "derived", why, STATION)
        left = tried.at("setting.left")
        if best is not None and left >= best[0]:
            break  # past the best fall the imbalance only grows
        best = (left, tried)
    assert best is not None
    return best[1]


def _vertical_lift(draft: Draft, _small: str) -> Draft:
    """A radius that falls with the torque of the springs while the whole door hangs."""
    travel = draft.at("door.open_travel")
    largest = travel / (math.pi * VERTICAL_TURNS * (1 + VERTICAL_SHARE))
    why = "the radius falls with the torque of the springs, and the drum takes up the whole travel"
    for name, amount in (("radius", largest), ("small_radius", VERTICAL_SHARE * largest)):
        text = text_of(amount, "length", draft.given.system, ("0.05 in", "1 mm"), "up")
        draft = draft.propose(f"torsion.drum.{name}", text, "derived", why, STATION)
    turns = text_of(VERTICAL_TURNS, "turns", draft.given.system, ("0.1 turns", "0.1 turns"), "up")
    return draft.propose("torsion.drum.taper_turns", turns, "derived", why, STATION)


def shaft(draft: Draft, diameter: str) -> Draft:
    """Shaft, drums and bearings by station, before the springs are chosen."""
    metric = draft.given.system == "si"
    over = quantities.read(("8 in", "200 mm")[metric], "length")
    beside = 2 * min(draft.at("room.side_left"), draft.at("room.side_right")) - 2 * draft.at("practice.bearing_half")
    least = quantities.read(("3 1/2 in", "90 mm")[metric], "length")
    over = max(min(over, draft.at("opening.finished_width") + beside - draft.at("door.width")), least)
    draft = draft.choose(
        {
            "torsion.shaft.diameter": diameter,
            "torsion.shaft.kind": "solid",
            "torsion.shaft.yield": ("45000 psi", "310 MPa")[metric],
            "torsion.shaft.keyed": "true",
        },
        "common shaft; put in the one you order",
    )
    draft = draft.derive(
        "torsion.shaft.length", "door.width", draft.at("door.width") + over, ("1/2 in", "10 mm"), "down",
        because="and room for a drum at each end",
    )  # fmt: skip
    length = draft.at("torsion.shaft.length")
    inset = (length - draft.at("door.width")) / 2
    stations = {"left": 0.0, "center": length / 2, "right": length}
    for key, at in stations.items():
        text = text_of(at, "length", draft.given.system, STATIONS, "nearest")
        why = "a bearing at each end and one where the springs are anchored"
        draft = draft.propose("bearing.station", text, "derived", why, STATION, key)
    for side, at in (("left", inset), ("right", length - inset)):
        text = text_of(at, "length", draft.given.system, ("1/4 in", "1 mm"), "nearest")
        draft = draft.propose(f"torsion.drum.{side}", text, "derived", "a drum over each edge of the door", STATION)
    return draft


def springs(draft: Draft, duplex: bool) -> Draft:
    """A pair of springs from the shop's sizes, with the turns that balance the door best."""
    if draft.gives("spring.wire"):
        return draft
    center = text_of(draft.at("torsion.shaft.length") / 2, "length", draft.given.system, STATIONS, "nearest")
    for key in PAIR:
        draft = draft.choose({"spring.side": key, "spring.material": "oil-tempered"}, "one on each side", key)
        draft = draft.propose("spring.anchor", center, "derived", "both are anchored at the middle", STATION, key)
    for side in PAIR if duplex else ():
        inner = {"spring.inside": side, "spring.material": "oil-tempered"}
        draft = draft.choose(inner, "no single spring holds the door", INNER[side])
    pair = _pair(draft, duplex)
    turns = quantities.write(pair.turns, "turns", draft.given.system)
    for side in PAIR:
        draft = _spring(draft, side, pair.coil, pair.coils, pair.stress)
        if pair.inner is not None:
            draft = _spring(draft, INNER[side], pair.inner, pair.inner_coils, pair.stress)
    draft = draft.propose("torsion.wound", turns, "derived", "least imbalance, to the quarter turn", SIZED)
    for key in draft.keys("spring"):
        draft = draft.propose(
            "spring.rated_turns", turns, "derived", "its life is asked for at these turns", SIZED, key
        )
        working, source = draft.told("spring.hand_wanted", key)
        draft = draft.propose("spring.wind", draft.at("spring.hand_wanted", key), "derived", working, source, key)
        length = draft.at("spring.relaxed_length", key)
        draft = draft.derive("spring.length", "spring.relaxed_length", length, ("1/8 in", "1 mm"), "nearest", key)
    return draft


def _spring(draft: Draft, key: str, coil: spring_sizing.Coil, coils: float, stress: float) -> Draft:
    """One spring of a size; its life is for its maker to say."""
    why = "the lightest of the shop's sizes that balances the door and finds room"
    wire = quantities.write(coil.wire, "length", "us", places=4)
    inside = text_of(coil.inside_diameter, "length", draft.given.system, ("1/8 in", "0.1 mm"), "nearest")
    draft = draft.propose("spring.wire", wire, "choice", why, SIZED, key)
    draft = draft.propose("spring.inside_diameter", inside, "choice", why, SIZED, key)
    draft = draft.propose("spring.coils", f"{coils:g}", "derived", why, SIZED, key)
    asked = f"ask its maker how many openings it lasts: stressed to {stress:.0%} of its wire's strength"
    return draft.leave_open("spring.rated_cycles", asked, None, key)


def _pair(draft: Draft, duplex: bool) -> spring_sizing.Sized:
    """Two springs alike that leave the least imbalance, of those that find room; with another inside each."""
    bore = draft.at("torsion.shaft.diameter") + draft.at("practice.shaft_clearance")
    rows = draft.job.cell("table.spring_sizes").rows
    sizes = [spring_sizing.Coil(float(size), float(inside)) for size, inside in rows if float(inside) * 0.9 > bore]
    room = (draft.at("torsion.drum.right") - draft.at("torsion.drum.left") - draft.at("torsion.drum.width")) / 2
    pair = spring_sizing.balanced(
        draft.at("sizing.wire"), sizes, len(PAIR), draft.at("drum.shape"), draft.at("torsion.door_curve"),
        least_open=draft.at("practice.pre_wind_least"), divisor=draft.at("practice.spring_divisor"),
        dead_coils=draft.at("practice.dead_coils"), longest=room - draft.at("practice.cone_length"),
        duplex_gap=draft.at("practice.duplex_gap") if duplex else None,
    )  # fmt: skip
    if pair is None:
        raise CannotDesign("no pair of springs of the shop's sizes balances this door and finds room", "/torsion")
    return pair


def place(draft: Draft) -> Draft:
    """Where the shaft runs: off the wall by what it reaches, and as high as the moving door asks for."""
    reach, clear = draft.at("shaft.reach"), draft.at("practice.running_clearance")
    draft = draft.derive(
        "torsion.shaft.from_wall", "shaft.reach", reach + 2 * clear, WHOLE, "up", because="and room beside it"
    )
    if draft.gives("torsion.shaft.height"):
        return draft
    lowest = draft.at("opening.finished_height")
    if draft.at("track.lift") == "vertical":
        lowest = draft.at("door.top_roller_open")
    elif draft.at("track.lift") == "high":
        lowest = max(lowest, draft.at("track.tangent_height"))
    lowest += reach + 2 * clear
    step = quantities.read(("1/2 in", "10 mm")[draft.given.system == "si"], "length")
    for number in range(HIGHEST):
        text = text_of(lowest + number * step, "length", draft.given.system, WHOLE, "up")
        why = "as low as the moving door, the header and what is on the shaft let it"
        tried = draft.propose("torsion.shaft.height", text, "derived", why, STATION)
        if tried.at("shaft.door_distance") >= reach + 1.5 * clear:
            return tried
    raise CannotDesign("the moving door does not clear the shaft at any height", "/torsion/shaft/height")


def parts(draft: Draft) -> Draft:
    """What the bearings carry, the cables on the drums, and what a drive must hold."""
    for key, load in draft.at("bearing.worst_load").items():
        draft = draft.derive(
            "bearing.capacity",
            "bearing.worst_load",
            RESERVE * load,
            ("50 lb", "20 kg"),
            "up",
            key,
            because="and a reserve",
        )
    for side in () if draft.gives("cable.side") else PAIR:
        draft = draft.choose({"cable.side": side}, "a cable at each bottom corner", side)
    for key in draft.keys("cable"):
        draft = draft.choose({"cable.end": "swaged"}, "its maker tests the eyes", key)
    for size in ROPES:
        tried = _in_rope(draft, size)
        if min(tried.at("cable.kept_factor").values()) >= 5 * RESERVE:
            break
    draft = tried
    for key, length in draft.at("cable.drum_length").items():
        draft = draft.derive("cable.length", "cable.drum_length", length, ("1/2 in", "10 mm"), "up", key)
    return draft


def _in_rope(draft: Draft, size: str) -> Draft:
    part = draft.library.catalog[f"rope-7x19-galvanized-{size}"].values
    for key in draft.keys("cable"):
        for name in ("diameter", "construction", "finish", "strength"):
            why = "the thinnest rope that has a factor of 5 with its losses"
            draft = draft.propose(f"cable.{name}", str(part[name]), "choice", why, STATION, key)
    return draft

"""The stack of boxes: plates, chains and their springs, each for the weights that are worked with."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["capacities", "chains", "counts", "plate"]

PLATES = (("20 lb", "8 kg"), ("10 lb", "4 kg"), ("5 lb", "2 kg"), ("2 lb", "1 kg"))
RESERVE = 1.1
"""strength that a part is ordered with over the one that is needed: a door may weigh more than it was taken for"""
CHAINS = ("43-1/4", "43-5/16", "43-3/8", "70-5/16", "70-3/8")
BIAS_MARGIN = 0.1
"""share of the friction that is kept in hand where the door would sink"""
STOP_PAST = 0.2
"""share of the band for its stop by which a spring may stretch past the weight of its box: the box may weigh less"""
STRENGTH = ("100 lb", "50 kg")
ORDERED = Source("derived", note="statics of the stack, with a reserve; order a part that carries at least this")


def plate(draft: Draft) -> Draft:
    """The largest common plate that still balances the door closely."""
    if draft.gives("tower.plate"):
        return draft
    pulls = [pull for pull in draft.at("box.mark_pull").values() if pull is not None]
    metric = draft.given.system == "si"
    most = draft.at("practice.plate_share") * min(pulls) if pulls else float("inf")
    for sizes in PLATES[1:]:
        if quantities.read(sizes[metric], "weight") <= most:
            return draft.choose(
                {"tower.plate": sizes[metric]}, "the largest common plate that trims the balance finely"
            )
    return draft.choose({"tower.plate": PLATES[-1][metric]}, "the smallest common plate")


def chains(draft: Draft) -> Draft:
    """A chain below every box but the last, and how light the door is set where it would sink by itself."""
    made = _chains(draft)
    sinks, kept = made.at("balance.sinks"), BIAS_MARGIN * made.at("balance.heavy_friction")
    if sinks <= -kept or draft.gives("box.plates"):
        return made
    creep = made.at("practice.creep") * made.at("door.load")
    even = (sinks - made.at("balance.rises") + creep) / 2
    lighter = made.at("practice.balance_bias") * made.at("door.load") + min(sinks + kept, max(even, 0.0))
    heavy, at = (
        quantities.write(made.at(f"balance.{name}"), dimension, draft.given.system)
        for name, dimension in (("heavy", "weight"), ("heavy_at", "length"))
    )
    text = text_of(lighter, "pull", draft.given.system, ("1 lb", "1 kg"), "up")
    why = f"{at} up the door is {heavy} heavy; set lighter at every mark it stays where it is"
    return _chains(draft.propose("tower.bias", text, "derived", why, ORDERED))


def _chains(draft: Draft) -> Draft:
    """The chains: their links' size by what hangs on them, springs in time with the door."""
    keys = draft.keys("box")
    for key in keys[:-1]:
        if draft.gives("box.chain.pitch", key):
            continue  # a chain that is given without a spring is meant to be rigid
        draft = draft.choose({"box.chain.pitch": draft.made.pitch}, "inside length of a link of such a chain", key)
        draft = draft.choose({"box.chain.spring.stop": "true"}, "without a stop everything below comes late", key)
    if len(keys) > 1:
        draft = _strength(draft, keys)
    for key, wanted in draft.at("box.rate_wanted").items():
        if wanted is not None and draft.has("box.chain.spring.stop", key):
            draft = draft.derive(
                "box.chain.spring.rate", "box.rate_wanted", wanted, ("1 lbf/in", "100 N/m"), "nearest", key
            )
    for key, stretch in draft.at("box.full_stretch").items():
        if stretch is not None:
            ended = (1 + STOP_PAST * draft.at("practice.stop_band")) * stretch
            draft = draft.derive(
                "box.chain.spring.stretch_at_stop", "box.full_stretch", ended, ("1/16 in", "1 mm"), "nearest", key,
                because="and a little of the shop's band for the stop",
            )  # fmt: skip
    return draft


def _strength(draft: Draft, keys: tuple[str, ...]) -> Draft:
    """One chain for the whole stack, for what hangs on the topmost one."""
    loads = [load for load in draft.at("box.chain_load").values() if load is not None]
    needed = 5 * draft.at("door.heavy_share") * max(loads)
    carried = quantities.write(needed, "weight", draft.given.system)
    why = f"what hangs on the topmost chain breaks it at no less than {carried}, a factor of 5"
    catalog = draft.library.catalog
    for size in CHAINS:
        part = catalog[f"chain-{size}"].values
        if quantities.read(str(part["strength"]), "weight") >= RESERVE * needed:
            break
    else:
        raise CannotDesign(f"no chain of the catalog carries the stack: {carried} needed", "/tower/boxes")
    for key in keys[:-1]:
        for name in ("grade", "size", "strength"):
            draft = draft.propose(f"box.chain.{name}", str(part[name]), "choice", why, ORDERED, key)
    for key, load in draft.at("box.chain_load").items():
        if load is not None:
            least = RESERVE * 5 * draft.at("door.heavy_share") * load
            draft = draft.derive(
                "box.chain.fittings_strength", "box.chain_load", least, STRENGTH, "up", key,
                because="times 5, and a reserve",
            )  # fmt: skip
    return draft


def capacities(draft: Draft) -> Draft:
    """What each box must hold."""
    for key, load in draft.at("box.ballast").items():
        least = RESERVE * draft.at("door.heavy_share") * load
        draft = draft.derive(
            "box.capacity", "box.ballast", least, ("50 lb", "10 kg"), "up", key, because="and a reserve"
        )
    return draft


def counts(draft: Draft) -> Draft:
    """Plates and links, once every section has its weight: they are counted for one door."""
    if not all(
        draft.gives("section.weight", key) or draft.gives("section.build", key) for key in draft.keys("section")
    ):
        return draft
    for key, count in draft.at("box.plates_wanted").items():
        draft = draft.derive("box.plates", "box.plates_wanted", count, ("1", "1"), "nearest", key)
    for key, count in draft.at("box.links_wanted").items():
        if count is not None:
            draft = draft.derive("box.chain.links", "box.links_wanted", count, ("1", "1"), "nearest", key)
    return draft

"""Number and heights of the sections: made heights whose sum is nearest over the opening."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations_with_replacement

from doorlint import quantities
from doorlint.natural_order import natural
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.rulebook.rule import Source

__all__ = ["extra", "heights", "sections"]

SOURCE = Source("derived", note="sum of made heights")
MOST = 16
"""sections of the tallest door that is tried"""


def sections(draft: Draft, more: int = 0) -> Draft:
    """The sections from the floor, s1 at the bottom, each with its height; ``more`` of them than the fewest."""
    if draft.gives("section.height"):
        return draft
    keys = draft.keys("section")
    made = _made(draft)
    sizes = [quantities.read(text, "length") for text in made]
    seal, needed = draft.at("practice.height_seal"), draft.at("opening.greatest_height")
    fewest = heights(sizes, needed - seal)
    picked = None if fewest is None else heights(sizes, needed - seal, max(len(keys), len(fewest) + more))
    if picked is None:
        raise CannotDesign("no combination of made section heights covers the opening", "/opening/height")
    total = sum(sizes[index] for index in picked)
    made_up, sealed, high = (quantities.write(value, "length", draft.given.system) for value in (total, seal, needed))
    why = f"{len(picked)} sections make {made_up}; with {sealed} of seals they cover the opening, {high} at its highest"
    for key, index in zip(_names(keys, len(picked)), picked, strict=True):
        draft = draft.propose("section.height", made[index], "derived", why, SOURCE, key)
    return draft


def _made(draft: Draft) -> tuple[str, ...]:
    """The heights that sections are made in; the one that ``each`` gives, where it does."""
    if "section.height" not in draft.for_all:
        return draft.made.section_heights
    return (quantities.write_exact(draft.for_all["section.height"], "length", draft.given.system),)


def _names(keys: Sequence[str], count: int) -> list[str]:
    """The names of so many sections, from the floor: those that are named, and ``s1``, ``s2`` and so on between them.

    >>> _names(["s3"], 4), _names(["s2", "s9"], 2)
    (['s1', 's2', 's3', 's4'], ['s2', 's9'])
    """
    usual = (f"s{number}" for number in range(1, MOST + len(keys) + 1))
    more = [name for name in usual if name not in keys][: count - len(keys)]
    return sorted([*keys, *more], key=natural)


def extra(draft: Draft) -> tuple[int, ...]:
    """How many sections more than the fewest a door may have: as many as are named where these are more, else none or
    one."""
    keys = draft.keys("section")
    if draft.gives("section.height"):
        return (0,)
    if not keys:
        return (0, 1)
    sizes = [quantities.read(text, "length") for text in _made(draft)]
    needed = draft.job.at("opening.greatest_height")
    fewest = heights(sizes, needed - draft.at("practice.height_seal")) if isinstance(needed, float) else None
    named = 0 if fewest is None else len(keys) - len(fewest)
    return (named,) if named >= 0 else (0, 1)


def heights(sizes: Sequence[float], least: float, count: int | None = None) -> tuple[int, ...] | None:
    """The combination of sizes (by index) whose sum is least of those that reach ``least``, in the fewest sections or
    in ``count`` of them.

    Of equals the most even one; the sizes that are fewer go to the top, where no numbered hinge stands above them.
    ``None`` where no door is tall enough.

    >>> heights([24.0, 21.0, 18.0], 108.0)
    (1, 1, 1, 1, 0)
    >>> heights([24.0, 21.0, 18.0], 144.0)
    (0, 0, 0, 0, 0, 0)
    """
    fewest = count or next((n for n in range(1, MOST + 1) if n * max(sizes) >= least - 1e-9), MOST)
    best: tuple[float, float, tuple[int, ...]] | None = None
    for picked in combinations_with_replacement(range(len(sizes)), fewest):
        total = sum(sizes[index] for index in picked)
        if total < least - 1e-9:
            continue
        spread = max(sizes[index] for index in picked) - min(sizes[index] for index in picked)
        if best is None or (round(total, 6), round(spread, 6)) < best[:2]:
            best = (round(total, 6), round(spread, 6), picked)
    return None if best is None else tuple(sorted(best[2], key=lambda index: (-best[2].count(index), index)))

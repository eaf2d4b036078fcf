"""What differs from the library in a review: who set it, where, and the library's value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from doorlint import quantities
from doorlint.findings import Relaxed
from doorlint.rulebook.practice import Practice
from doorlint.rulebook.rule import STAGES

if TYPE_CHECKING:
    from doorlint.rulebook.library import Library

__all__ = ["by_house", "by_spec"]


def by_house(library: Library) -> Iterator[Relaxed]:
    """What house-rule folders set, replace and add: figures, tables, catalog parts, rules."""
    for key, shop in library.practice.items():
        if shop.house and shop.value != shop.library:
            here = _text(shop, shop.value)
            yield Relaxed("practice", key, _text(shop, shop.library), here, shop.file, shop.line, _house(shop.house))
    own = {said["table"] for said in library.packs[0][1].tables}
    parts = {said["name"] for said in library.packs[0][1].parts}
    for house, pack in library.packs[1:]:
        for table in pack.tables:
            name = table["table"]
            file, here = f"{pack.place}/tables/{name}.yaml", "replaced" if name in own else "added"
            yield Relaxed("table", name, "published here" if name in own else None, here, file, 1, _house(house))
        for part in pack.parts:
            here = "replaced" if part["name"] in parts else "added"
            library_has = "in the catalog" if part["name"] in parts else None
            yield Relaxed("catalog", part["name"], library_has, here, f"{pack.place}/parts", None, _house(house))
    if len(library.packs) == 1:
        return
    places = {name: pack.place for name, pack in library.packs}
    for house, rule in library.statements():
        if house:
            file = f"{places[house]}/{rule['id'].partition('.')[0]}.yaml"
            yield Relaxed("rule", rule["id"], None, "added", file, None, _house(house))


def by_spec(
    figures: Mapping[str, tuple[float, int]], stages: tuple[str | None, str | None], library: Library, file: str
) -> Iterator[Relaxed]:
    """The shop figures that a spec sets, and a stage it is reviewed for that is earlier than its own.

    ``stages`` are the spec's own and the one it is reviewed for.
    """
    for key, (value, line) in figures.items():
        shop = library.practice[key]
        if value not in (shop.value, shop.library):
            yield Relaxed("practice", key, _text(shop, shop.library), _text(shop, value), file, line, "spec")
    own, asked = stages
    if own is not None and asked is not None and STAGES.index(asked) < STAGES.index(own):
        yield Relaxed("settings", "stage", own, asked, file, None, "the call")


def _text(shop: Practice, value: float) -> str:
    return quantities.write(value, shop.dimension, "us")


def _house(name: str) -> str:
    return f"house rules {name}"

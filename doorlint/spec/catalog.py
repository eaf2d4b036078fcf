"""Catalogs: named parts, with their values as a spec would write them and the document that their capacity rests on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, TypeAlias

from doorlint.named_tuple import NamedTuple

__all__ = ["NO_CATALOG", "Catalog", "Part"]


class Part(NamedTuple):
    """One part of a catalog.

    ``kind`` is what it is (``rope``, ``chain``): the groups of a spec that may name it. ``values`` holds texts as in
    such a group, ``read`` the same values in SI by the rest of their names (``spring.rate``). ``document`` is what its
    capacity rests on, ``until`` the last day of that document (``YYYY-MM-DD``), where it has one. ``house`` names the
    house-rule folder that it comes from; it is empty for the library's own.
    """

    name: str
    kind: str
    title: str
    values: Mapping[str, Any]
    read: Mapping[str, Any]
    document: str
    until: str | None
    house: str


Catalog: TypeAlias = Mapping[str, Part]
"""Parts by name."""

NO_CATALOG: Final[Catalog] = {}

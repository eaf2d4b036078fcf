"""The tables of the rule library, for checks of their rows."""

from __future__ import annotations

from functools import cache

from doorlint.figures.table import Table
from doorlint.resources import folder
from doorlint.rulebook import files


@cache
def _tables() -> dict[str, Table]:
    pack = files.load(folder("rules"), None)
    return {
        said["table"]: Table(said["table"], tuple(said["columns"]), said["match"], tuple(map(tuple, said["rows"])))
        for said in pack.tables
    }


def table(name: str) -> Table:
    """One table by name."""
    return _tables()[name]

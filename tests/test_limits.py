"""No limit moves unnoticed: every shop figure, every table and what every rule checks, as they stand.

An example holds a rule to one in a hundred of its whole limit, in which a shop figure may be a small part: a band of an
inch on a diagonal of fifteen feet could double. Whoever moves a figure on purpose runs ``pytest --snapshot-update``
and shows the difference to somebody who knows the trade.
"""

from __future__ import annotations

from syrupy.assertion import SnapshotAssertion

from doorlint import quantities
from doorlint.rulebook.library import Library


def test_shop_figures(library: Library, snapshot: SnapshotAssertion) -> None:
    lines = [
        f"{key}: {quantities.write_exact(shop.value, shop.dimension, 'us')}"
        for key, shop in sorted(library.practice.items())
    ]
    assert "\n".join(lines) == snapshot


def test_tables(library: Library, snapshot: SnapshotAssertion) -> None:
    lines = [
        f"{name} {', '.join(table.columns)}: {row}"
        for name, table in sorted(library.tables.items())
        for row in table.rows
    ]
    assert "\n".join(lines) == snapshot


def test_what_rules_check(library: Library, snapshot: SnapshotAssertion) -> None:
    parts = ("severity", "from", "sign_off", "when", "let", "check")
    lines = [
        f"{rule.id}: {[rule.statement[part] for part in parts if part in rule.statement]}"
        for rule in sorted(library.rules.values(), key=lambda rule: rule.id)
    ]
    assert "\n".join(lines) == snapshot

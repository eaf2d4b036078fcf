"""No limit moves unnoticed: every shop figure, every table and what every rule checks, a line each in ``limits/``.

An example holds a rule to one in a hundred of its whole limit, in which a shop figure may be a small part: a band of an
inch on a diagonal of fifteen feet could double. Whoever moves a figure on purpose runs ``pytest --snapshot-update``
and shows the difference to somebody who knows the trade. The order of the lines does not matter, so two branches that
add limits merge without a conflict (``.gitattributes``).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from doorlint import quantities
from doorlint.rulebook.library import Library, load

LIMITS = Path(__file__).parent / "limits"
PARTS = ("harm", "severity", "from", "early", "sign_off", "when", "let", "check")


def subject(rule: str) -> str:
    return rule.partition(".")[0]


SUBJECTS = sorted({subject(rule) for rule in load().rules})


def hold(name: str, lines: list[str], config: pytest.Config) -> None:
    """The lines are those of the file, in any order; ``--snapshot-update`` writes them."""
    path = LIMITS / f"{name}.txt"
    if config.getoption("update_snapshots"):
        path.write_text("".join(f"{line}\n" for line in sorted(lines)), "utf-8")
    assert sorted(lines) == sorted(path.read_text("utf-8").splitlines())


def test_shop_figures(library: Library, pytestconfig: pytest.Config) -> None:
    lines = [
        f"{key}: {quantities.write_exact(shop.value, shop.dimension, 'us')}" for key, shop in library.practice.items()
    ]
    hold("practice", lines, pytestconfig)


def test_tables(library: Library, pytestconfig: pytest.Config) -> None:
    lines = [
        f"{name} {', '.join(table.columns)}: {row}" for name, table in library.tables.items() for row in table.rows
    ]
    hold("tables", lines, pytestconfig)


@pytest.mark.parametrize("name", SUBJECTS)
def test_what_rules_check(name: str, library: Library, pytestconfig: pytest.Config) -> None:
    lines = [
        f"{rule.id}: {[rule.statement[part] for part in PARTS if part in rule.statement]}"
        for rule in library.rules.values()
        if subject(rule.id) == name
    ]
    hold(f"rules/{name}", lines, pytestconfig)


def test_no_limits_are_kept_of_subjects_that_are_gone() -> None:
    assert {path.stem for path in (LIMITS / "rules").glob("*.txt")} == set(SUBJECTS)

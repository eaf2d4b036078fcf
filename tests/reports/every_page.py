"""Every kind of page there is, made when a test asks for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from reviews import TORSION, TOWER, everything, hostile, of, reviewed, text_of

from doorlint.changes.comparison import compare
from doorlint.evaluation import evaluate
from doorlint.parts_list import list_parts
from doorlint.reports import change_html, html, parts_html, rulebook_html, sheet_html
from doorlint.rule_listing import list_rules, show_rule
from doorlint.rulebook.library import load, own_catalog
from doorlint.sheet import set_out
from doorlint.spec import read
from doorlint.verdict import Policy

DAY = "2026-05-20"


def _sheet(name: str, *changes: tuple[str, str]) -> str:
    return sheet_html.render(set_out(reviewed(name, *changes), load()), "0.1.0", DAY)


def _parts(name: str, *changes: tuple[str, str]) -> str:
    return parts_html.render(list_parts(reviewed(name, *changes)), "0.1.0", DAY)


def _change(name: str, *changes: tuple[str, str]) -> str:
    approved = evaluate(text_of(name), load())
    proposed = read(text_of(name, *changes), own_catalog())
    names = (f"main:jobs/{name}.yaml", f"jobs/{name}.yaml")
    return change_html.render(compare(approved, proposed, "0" * 12, load(), Policy(DAY), names), "0.1.0", DAY)


PAGES: dict[str, Callable[[], str]] = {
    "tower-held": lambda: html.render(of(reviewed("tower-commissioned", *TOWER))),
    "tower-clear": lambda: html.render(of(reviewed("tower-commissioned"))),
    "torsion-held": lambda: html.render(of(reviewed("torsion-install", *TORSION))),
    "metric": lambda: html.render(of(reviewed("tower-order-metric"))),
    "survey": lambda: html.render(of(reviewed("survey-clean"))),
    "missing": lambda: html.render(of(reviewed("tower-install", ("tower:\n  side: right\n", "tower:\n")))),
    "unreadable": lambda: html.render(of(reviewed("tower-order", ("headroom: 26 in", "headroom: 26")))),
    "hostile": lambda: html.render(hostile("<script>document.title='x'</script>\"'<img src=x onerror=alert(1)>")),
    "summary": lambda: html.render(everything()),
    "sheet-clear": lambda: _sheet("tower-install"),
    "sheet-held": lambda: _sheet("tower-install", ("headroom: 26 in", "headroom: 12 in")),
    "sheet-torsion": lambda: _sheet("torsion-install"),
    "parts-clear": lambda: _parts("tower-install"),
    "parts-held": lambda: _parts("torsion-install", ("headroom: 20 in", "headroom: 8 in")),
    "change-held": lambda: _change("tower-install", TOWER[0], ("radius: 15 in", "radius: 20 in")),
    "change-clear": lambda: _change("tower-order-metric", ("radius: 380 mm", "radius: 375 mm")),
    "change-nothing": lambda: _change("torsion-order"),
    "rulebook": lambda: rulebook_html.render(list_rules(load(), standing="practice"), "0.1.0", DAY),
    "rule": lambda: rulebook_html.render(show_rule(load(), "headroom.swept"), "0.1.0", DAY),
}
"""Every kind of page, by a name for the test."""

SHEETS: dict[str, Callable[[], str]] = {
    name: partial(_sheet, name)
    for name in (
        "tower-order", "tower-install", "tower-commissioned", "tower-order-metric",
        "torsion-order", "torsion-install", "torsion-commissioned",
    )
}  # fmt: skip
"""The sheets of all clean jobs."""

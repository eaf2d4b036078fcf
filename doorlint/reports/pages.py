"""What all HTML pages share: the templates, their filters, and the one style sheet that each page carries."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from doorlint.derivation import Compared
from doorlint.findings import REASONS, Finding, NotChecked, SpecReview
from doorlint.reports.words import (
    SIGN_OFF,
    by_cause,
    off_by,
    plain,
    sentence,
    signed_text,
    slip_text,
    source_text,
    sure_text,
)

TEMPLATES = Path(__file__).parent / "templates"
STYLES = {"style": "style.css", "sheet_style": "sheet.css", "parts_style": "parts_list.css", "blank_style": "blank.css"}


class Need(NamedTuple):
    """What would have to be given or fixed, and the rules that wait for it."""

    reason: str
    items: tuple[str, ...]
    pointers: bool
    gaps: list[NotChecked]

    @property
    def rules(self) -> list[tuple[NotChecked, int]]:
        """Each rule that waits for it once, with the number of places it waits at."""
        found: dict[str, list[NotChecked]] = {}
        for gap in self.gaps:
            found.setdefault(gap.rule, []).append(gap)
        return [(gaps[0], len(gaps)) for gaps in found.values()]


class Item(NamedTuple):
    """A finding with its number, the drawings that show it, and how its figures were worked out."""

    number: int
    finding: Finding
    drawn: str = ""
    working: Compared | None = None


def fill(template: str, **values: Any) -> str:
    """A page from its template; every value is escaped."""
    return _environment().get_template(template).render(**values)


def needs(gaps: Iterable[NotChecked]) -> list[Need]:
    """What was not checked, grouped by what it wants, in the order of the review."""
    found: dict[tuple[str, tuple[str, ...]], Need] = {}
    for gap in gaps:
        items = gap.missing or ((gap.note,) if gap.note else ())
        reason = REASONS[gap.reason]
        found.setdefault((reason, items), Need(reason, items, bool(gap.missing), [])).gaps.append(gap)
    return list(found.values())


class Block(NamedTuple):
    """The findings of one rule that are causes, and those that follow from them."""

    items: list[Item]
    follow: list[list[Item]]

    @property
    def followers(self) -> int:
        """How many follow."""
        return sum(map(len, self.follow))


def blocks(spec: SpecReview, items: Iterable[Item]) -> list[Block]:
    """Findings by cause: what follows from nothing, of one rule together, or one with what follows from it."""
    by_number = {item.number: item for item in items}
    led = {root[0]: [by_number[number] for number, _ in rest] for root, rest in by_cause(spec)}
    alone = grouped(by_number[number] for number, rest in led.items() if not rest)
    leading = [Block([by_number[number]], grouped(rest)) for number, rest in led.items() if rest]
    return sorted([*(Block(some, []) for some in alone), *leading], key=lambda block: block.items[0].number)


def grouped(items: Iterable[Item]) -> list[list[Item]]:
    """Findings of one rule together, in the order of the first of them."""
    found: dict[str, list[Item]] = {}
    for item in items:
        found.setdefault(item.finding.rule, []).append(item)
    return list(found.values())


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    environment.filters |= {"plain": plain, "sentence": sentence, "source": source_text, "off_by": off_by}
    environment.filters |= {"signed": signed_text, "slip": slip_text, "sure": sure_text}
    styles = {name: Markup((TEMPLATES / file).read_text("utf-8")) for name, file in STYLES.items()}
    environment.globals |= {**styles, "sign_off": SIGN_OFF}
    return environment

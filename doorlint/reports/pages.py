"""What all HTML pages share: the templates, their filters, and the one style sheet that each page carries."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from doorlint.findings import NotChecked
from doorlint.reports.words import REASONS, SIGN_OFF, plain, source_text

TEMPLATES = Path(__file__).parent / "templates"


class Need(NamedTuple):
    """What would have to be given or mended, and the rules that wait for it."""

    reason: str
    items: tuple[str, ...]
    pointers: bool
    gaps: list[NotChecked]


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


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    environment.filters |= {"plain": plain, "source": source_text}
    environment.globals |= {"style": Markup((TEMPLATES / "style.css").read_text("utf-8")), "sign_off": SIGN_OFF}
    return environment

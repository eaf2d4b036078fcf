"""A spec to fill in as one page for paper and phone: a line for every value, and where each measure is taken.

Printed, it is a sheet to write on. On a screen the scripts that it carries make a form of it: they check each entry,
keep what was typed, and give the spec as YAML.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.blank_page import NOT_EVERY_JOB, BlankPage
from doorlint.facts import Unsized
from doorlint.hashing import hash_of
from doorlint.reports import pages
from doorlint.reports.page_scripts import FORM, as_data, quantity_tables, script
from doorlint.reports.pictures import Drawn, Size, marked, pictured, views
from doorlint.reports.survey_drawings import numbered
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import Node
from doorlint.template import COMMON, Line, as_yaml

TITLES = {
    "survey": "Survey sheet",
    "order": "Order sheet",
    "install": "Install sheet",
    "commissioned": "Commissioning sheet",
}
SURVEYED = ("/opening/", "/room/")
EXAMPLE, OWN = frozenset({"wall", "side", "plan"}), frozenset({"wall", "side", "tower", "shaft"})
"""The drawings of an example, and those of the job itself."""
WIDE, NARROW = Size(460.0, 480.0), Size(360.0, 540.0, 2.2)
NOTES = "/job/notes"
"""The value that the room for notes is for."""


class Entry(NamedTuple):
    """One value to fill in."""

    number: int
    line: Line
    label: str
    help: str
    value: str
    kind: str
    """the kind of its term; ``part`` for the name of a catalog part"""
    unit: str
    """the shop's unit, which a bare number gets"""
    needed: bool
    usual: str
    """what is there before anybody types; it is not a value"""
    given: bool
    """whether the job gave it already, or left it out when it was asked before"""

    @property
    def limits(self) -> Mapping[str, Any]:
        """What the schema says of its values, for the page's scripts."""
        term = self.line.term
        said = {
            "dimension": term.dimension,
            "positive": term.positive or None,
            "least": term.schema.get("minimum"),
            "most": term.schema.get("maximum"),
            "longest": term.schema.get("maxLength"),
            "fewest": term.schema.get("minItems"),
            "many": term.schema.get("maxItems"),
            "pattern": term.schema.get("items", {}).get("pattern") if term.kind == "names" else None,
        }
        return {} if self.kind == "part" else {key: value for key, value in said.items() if value is not None}


class Section(NamedTuple):
    """A group of the sheet, a map of named things, or one of them."""

    sort: str
    pointer: str
    title: str
    help: str
    items: tuple[Entry | Section, ...]
    """its values and what is inside it, in the order of the spec"""

    @property
    def given(self) -> bool:
        """Whether that is so of all of it."""
        return all(item.given for item in self.items)


def render(page: BlankPage, version: str) -> str:
    """The whole page."""
    blank = page.blank
    sections = tuple(_items(blank.lines, page, itertools.count(1)))
    entries = list(_entries(sections))
    return pages.fill(
        "blank.html.j2",
        title=TITLES[blank.stage],
        stage=blank.stage,
        job=_job(page),
        sections=sections,
        drawings=[*_survey_drawings(page, entries), *_job_drawings(page)],
        rest=any(not entry.given for entry in entries) and any(entry.given for entry in entries),
        notes=_notes(page),
        not_every_job=NOT_EVERY_JOB,
        tables=as_data(quantity_tables(page.system)),
        page=as_data(
            {
                "name": f"{blank.stage} {blank.kind.name}",
                "stage": blank.stage,
                "digest": hash_of(as_yaml(blank)),  # what was typed into a page goes into no page of another spec
                "wanted": page.wanted,
                "catalogs": {t.pointer: t.part_key for terms in VOCABULARY.catalogs.values() for t in terms},
                "plausible": page.plausible,
            }
        ),
        scripts=script(*FORM),
        version=version,
    )


def _survey_drawings(page: BlankPage, entries: Sequence[Entry]) -> list[Drawn]:
    """Where the measures of a survey are taken, while one that is needed is still to be taken."""
    if not any(entry.needed and not entry.given and entry.line.pointer.startswith(SURVEYED) for entry in entries):
        return []
    numbers = {entry.line.pointer: entry.number for entry in entries}
    labels = {entry.line.pointer: f"{' '.join(steps(entry.line.pointer)[:-1])} {entry.label}" for entry in entries}
    return numbered(page.example, numbers, labels)


def _job_drawings(page: BlankPage) -> list[Drawn]:
    """The door with the names of its parts."""
    if page.drawn is None:
        return []
    shown = EXAMPLE if isinstance(page.drawn, Unsized) else OWN
    pictures = [
        (picture._replace(barred=False), scene, site)
        for picture, scene, site in pictured(page.drawn)
        if picture.name in shown
    ]
    wide, narrow = (views(pictures, page.system, size) for size in (WIDE, NARROW))
    return marked(wide, narrow, [])


def _items(lines: Sequence[Line], page: BlankPage, numbers: Iterator[int]) -> Iterator[Entry | Section]:
    """The values and groups of some lines, each group with all that is inside it."""
    if not lines:
        return
    depth = lines[0].pointer.count("/")
    heads = [number for number, line in enumerate(lines) if line.pointer.count("/") == depth]
    for start, end in zip(heads, [*heads[1:], len(lines)], strict=True):
        head = lines[start]
        if head.pointer == NOTES or head.term.name in ("doorlint", "stage"):
            continue
        if head.sort in ("value", "part"):
            yield _entry(head, page, next(numbers))
        else:
            help_text = _wanted(head, page) if head.sort == "thing" else _sentence(head.term.description)
            inside = tuple(_items(lines[start + 1 : end], page, numbers))
            if inside:
                yield Section(head.sort, head.pointer, _words(steps(head.pointer)[-1]), help_text, inside)


def _entry(line: Line, page: BlankPage, number: int) -> Entry:
    term = line.term
    kind = "part" if line.sort == "part" else term.kind
    unit = ""
    if term.dimension is not None and kind == "quantity":
        unit = quantities.DIMENSIONS[term.dimension].styles(page.system)[0].unit
    needed = term.name in page.needed and kind != "part"
    asked = {part.name for part in term.parts.values()} if kind == "part" else {term.name}
    given = not line.asked or (not needed and not asked.isdisjoint(page.blank.before))
    usual = _roller(line.pointer) if term.name == "reading.roller" and line.held is None else ""
    return Entry(
        number, line, _words(steps(line.pointer)[-1]), _help(line, kind, page), usual or _text(line.held), kind, unit,
        needed, usual, given,
    )  # fmt: skip


def _wanted(line: Line, page: BlankPage) -> str:
    """What is wanted at the mark of a reading."""
    roller = _roller(f"{line.pointer}/roller") if line.term.name == "reading" else ""
    wanted = page.wanted.get(int(roller)) if roller else None
    if wanted is None:
        return ""
    way = "heavy" if wanted > 0.0 else "light"
    return f"Door wanted {quantities.write(abs(wanted), 'weight', page.system)} {way}."


def _roller(pointer: str) -> str:
    """The roller at the pick-up point at a reading that is named for its mark.

    >>> _roller("/as_built/readings/mark-2/roller"), _roller("/as_built/readings/half/roller")
    ('2', '')
    """
    key = steps(pointer)[-2]
    return "0" if key == "closed" else key.removeprefix("mark-") if re.fullmatch("mark-[0-9]+", key) else ""


def _help(line: Line, kind: str, page: BlankPage) -> str:
    """What a value means, with an example in the units of the shop."""
    term = line.term
    if kind == "part":
        return f"The name of a {term.catalog} of a catalog, instead of the values that it gives."
    description = _sentence(term.description)
    if kind == "quantity" and term.dimension is not None:
        if page.system == "us" and term.examples and term.examples not in COMMON:
            return f"{description} For example {term.examples[0]}."
        example = quantities.DIMENSIONS[term.dimension].example
        return f"{description} Written like {example[page.system == 'si']}."
    return f"{description} For example {term.examples[0]}." if term.examples else description


def _text(held: Node) -> str:
    """A value as it is typed: the items of a list with commas between them."""
    if held is None:
        return ""
    return ", ".join(map(str, held)) if isinstance(held, list) else str(held)


def _job(page: BlankPage) -> str:
    """Number and opening of a job that is known already."""
    said = {line.pointer: _text(line.held) for line in page.blank.lines if line.held is not None}
    return ", ".join(said[name] for name in ("/job/number", "/job/opening") if name in said)


def _notes(page: BlankPage) -> str:
    return next((_text(line.held) for line in page.blank.lines if line.pointer == NOTES), "")


def _entries(items: Iterable[Entry | Section]) -> Iterator[Entry]:
    for item in items:
        if isinstance(item, Entry):
            yield item
        else:
            yield from _entries(item.items)


def _sentence(text: str) -> str:
    """A description as a sentence, with the keys that it names as the sheet has them.

    >>> _sentence("True when laid; floor_to_come says how much")
    'True when laid; floor to come says how much.'
    """
    return re.sub("(?<=[a-z])_(?=[a-z])", " ", text).rstrip(".") + "."


def _words(key: str) -> str:
    return key.replace("_", " ")

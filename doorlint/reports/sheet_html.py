"""The setting-out sheet as a page for the door jamb: large figures, boxes to tick, room for two-way readings.

That of a held job says HOLD across every page.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from doorlint import quantities
from doorlint.facts import Facts
from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.load_path import breaks, load_rows
from doorlint.reports.motion import moving, moving_drawings
from doorlint.reports.page_scripts import SHEET, as_data, quantity_tables, script
from doorlint.reports.pictures import beside_steps, fasteners
from doorlint.reports.sheet_tasks import SheetTask, Table, tasks
from doorlint.reports.words import made_from, relaxed_texts, titled
from doorlint.sheet import Sheet
from doorlint.sheet.readings import adjusting

HALF = 52
"""Most letters of a row that fits half the width of the paper, with what the gaps and the room for readings take."""


MOST_ERRORS = 4
"""How many errors a held sheet shows; the review has them all."""


def render(sheet: Sheet, version: str, on: str) -> str:
    """The whole sheet."""
    review = sheet.review
    errors = [finding for finding in review.findings if finding.severity == "error"]
    jobs = list(tasks(sheet))
    facts = None if review.job is None else Facts(review.job, review.system)
    drawings = {} if facts is None else beside_steps(facts, [j.picture for j in jobs])
    readings = {} if facts is None else adjusting(facts, sheet.counterbalance)
    moved = [] if facts is None else moving_drawings(facts)
    return pages.fill(
        "sheet.html.j2",
        moved=moved,
        moving=None if facts is None else moving(facts, moved),
        places=[(place["name"], _place_words(place, review.system)) for place in readings.get("places", ())],
        readings=as_data({"name": review.spec_digest, **readings}),
        tables=as_data(quantity_tables(review.system)),
        scripts=script(*SHEET),
        unit=quantity_tables(review.system)["force"]["unit"],
        sheet=sheet,
        review=review,
        title=titled(review),
        made_from=made_from(review),
        relaxed=relaxed_texts(review.relaxed),
        held=review.verdict != "clear",
        errors=errors[:MOST_ERRORS],
        more=len(errors[MOST_ERRORS:]),
        jobs=[(job, _is_wide(job), drawings.get(job.picture, "")) for job in jobs],
        cautions=cautions(sheet.counterbalance),
        load_path=[] if facts is None else load_rows(facts),
        breaks=[] if facts is None else breaks(facts),
        fasteners=[] if facts is None else fasteners(facts),
        version=version,
        on=on,
    )


def _place_words(place: Mapping[str, Any], system: Literal["us", "si"]) -> str:
    r"""Where a reading is taken.

    >>> _place_words({"roller": 2, "travel": 1.2192}, "us"), _place_words({"roller": None, "travel": 1.0}, "si")
    ('roller 2 at the mark, door up 4\'-0"', 'door up 1000 mm')
    """
    up = f"door up {quantities.write(place['travel'], 'length', system)}"
    if place["roller"] is None:
        return up
    return f"roller {place['roller']} at the mark, {up}" if place["roller"] else "door closed"


def _is_wide(job: SheetTask) -> bool:
    """Whether a job takes the whole width of the paper."""
    return any(_letters(table) > HALF for table in job.tables if not table.single)


def _letters(table: Table) -> int:
    printed = [place for place in range(len(table.heads)) if place not in table.screen_only]
    columns = zip(*((thing, *(row[place] for place in printed)) for thing, row in table.rows), strict=True)
    return sum(max(map(len, column)) + 2 for column in columns) + 16 * table.read + 4 * table.ticked

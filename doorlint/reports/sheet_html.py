"""The setting-out sheet as a page for the door jamb: large figures, boxes to tick, room for two-way readings.

That of a held job says HOLD across every page.
"""

from __future__ import annotations

from doorlint.facts import Facts
from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.pictures import beside_steps
from doorlint.reports.sheet_tasks import SheetTask, Table, tasks
from doorlint.reports.words import made_from, relaxed_texts, titled
from doorlint.sheet import Sheet

HALF = 52
"""Most letters of a row that fits half the width of the paper, with what the gaps and the room for readings take."""


MOST_ERRORS = 4
"""Why a job is held is told by so many of its errors; the review has them all."""


def render(sheet: Sheet, version: str, on: str) -> str:
    """The whole sheet."""
    review = sheet.review
    errors = [finding for finding in review.findings if finding.severity == "error"]
    jobs = list(tasks(sheet))
    drawings = {} if review.job is None else beside_steps(Facts(review.job, review.system), [j.picture for j in jobs])
    return pages.fill(
        "sheet.html.j2",
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
        version=version,
        on=on,
    )


def _is_wide(job: SheetTask) -> bool:
    """Whether a job takes the whole width of the paper."""
    return any(_letters(table) > HALF for table in job.tables if not table.single)


def _letters(table: Table) -> int:
    columns = zip(*((thing, *row) for thing, row in table.rows), strict=True)
    return sum(max(map(len, column)) + 2 for column in columns) + 16 * table.read + 4 * table.ticked

"""The parts list as a page that prints on Letter and A4. That of a held job says HOLD across every page."""

from __future__ import annotations

from doorlint.parts_list import PartsList
from doorlint.reports import pages
from doorlint.reports.words import made_from, relaxed_texts, titled


def render(listed: PartsList, version: str, on: str) -> str:
    """The whole list."""
    return pages.fill(
        "parts_list.html.j2",
        listed=listed,
        review=listed.review,
        title=titled(listed.review),
        made_from=made_from(listed.review),
        relaxed=relaxed_texts(listed.review.relaxed),
        held=listed.review.verdict != "clear",
        version=version,
        on=on,
    )

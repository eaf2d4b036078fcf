"""Reports: one renderer a file, each a pure function of what a command made."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Any

from doorlint.reports.style import PLAIN, Style

if TYPE_CHECKING:
    from doorlint.findings import Review, Run

FORMS: dict[str, str] = {
    "text": "doorlint.reports.text",
    "short": "doorlint.reports.short",
    "json": "doorlint.reports.as_json",
    "sarif": "doorlint.reports.sarif",
    "junit": "doorlint.reports.junit",
    "markdown": "doorlint.reports.markdown",
    "html": "doorlint.reports.html",
    "github": "doorlint.reports.github",
}
"""The forms of a review, each with the module whose ``stream`` or ``render`` makes it; imported when asked for."""
STYLED = ("text", "short")
"""The forms for a terminal, shown in a :class:`Style`."""


def streamer(form: str, style: Style = PLAIN) -> Callable[[Review | Run], Iterator[str]]:
    """The function that renders a run in a form, part by part; raises :class:`KeyError` for another word.

    Text, short lines, annotations and JSON come spec by spec; the other forms have to see all of them first.
    """
    from doorlint.findings import Run

    module = import_module(FORMS[form])
    if hasattr(module, "stream"):
        return partial(module.stream, style=style) if form in STYLED else module.stream
    return lambda run: iter([module.render(run.gathered() if isinstance(run, Run) else run)])


def renderer(report: str, form: str) -> Callable[[Any, str, str], str]:
    """The function that renders what a command made, with the version and the day of the report.

    Its module is called by report and form: ``change_text``, ``folder_change_html``, ``parts_csv`` and so on.
    """
    render: Callable[[Any, str, str], str] = import_module(f"doorlint.reports.{report}_{form}").render
    return render

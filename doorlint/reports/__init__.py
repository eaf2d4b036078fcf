"""Reviews to each form: one renderer a file, pure functions of a review."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING

from doorlint.reports.style import PLAIN, Style

if TYPE_CHECKING:
    from doorlint.changes.comparison import Change
    from doorlint.changes.folder import FolderChange
    from doorlint.findings import Review, Run
    from doorlint.parts_list import PartsList
    from doorlint.proposals.search import Proposals
    from doorlint.remedies.proposals import Remedies
    from doorlint.rule_listing import Shown
    from doorlint.sheet import Sheet

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


def renderer(form: str) -> Callable[[Review], str]:
    """The function that renders a review in a form; raises :class:`KeyError` for another word."""
    return lambda review: "".join(streamer(form)(review))


def streamer(form: str, style: Style = PLAIN) -> Callable[[Review | Run], Iterator[str]]:
    """The function that renders a run in a form, part by part; raises :class:`KeyError` for another word.

    Text, short lines, annotations and JSON come spec by spec; the other forms have to see all of them first.
    """
    from doorlint.findings import Run

    module = import_module(FORMS[form])
    if hasattr(module, "stream"):
        return partial(module.stream, style=style) if form in STYLED else module.stream
    return lambda run: iter([module.render(run.gathered() if isinstance(run, Run) else run)])


def change_renderer(form: str) -> Callable[[Change, str, str], str]:
    """The function that renders a change in a form (``text``, ``json``, ``markdown``, ``html``)."""
    render: Callable[[Change, str, str], str] = import_module(f"doorlint.reports.change_{form}").render
    return render


def folder_change_renderer(form: str) -> Callable[[FolderChange, str, str], str]:
    """The function that renders the change of a folder in a form (``text``, ``json``, ``markdown``, ``html``)."""
    render: Callable[[FolderChange, str, str], str] = import_module(f"doorlint.reports.folder_change_{form}").render
    return render


def sheet_renderer(form: str) -> Callable[[Sheet, str, str], str]:
    """The function that renders a setting-out sheet in a form (``text``, ``json``, ``html``)."""
    render: Callable[[Sheet, str, str], str] = import_module(f"doorlint.reports.sheet_{form}").render
    return render


def parts_renderer(form: str) -> Callable[[PartsList, str, str], str]:
    """The function that renders a parts list in a form (``text``, ``json``, ``csv``, ``html``)."""
    render: Callable[[PartsList, str, str], str] = import_module(f"doorlint.reports.parts_{form}").render
    return render


def remedy_renderer(form: str) -> Callable[[Remedies, str, str], str]:
    """The function that renders what would clear a spec in a form (``text``, ``json``)."""
    render: Callable[[Remedies, str, str], str] = import_module(f"doorlint.reports.remedy_{form}").render
    return render


def propose_renderer(form: str) -> Callable[[Proposals, str, str], str]:
    """The function that renders proposals in a form (``yaml``, ``text``, ``json``)."""
    render: Callable[[Proposals, str, str], str] = import_module(f"doorlint.reports.propose_{form}").render
    return render


def rulebook_renderer(form: str) -> Callable[[Shown, str, str], str]:
    """The function that renders rules in a form (``text``, ``json``, ``html``)."""
    render: Callable[..., str] = import_module(f"doorlint.reports.rulebook_{form}").render
    return render

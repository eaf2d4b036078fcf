"""A review as workflow commands: each finding becomes an annotation of its line in a pull request.

Source: GitHub Docs, Workflow commands for GitHub Actions, "Setting an error message": ``::error file=,line=,col=::``;
``%``, line ends, and in properties ``:`` and ``,`` are escaped by their code.
"""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.findings import Finding, NotChecked, Review, Run, SpecReview
from doorlint.reports.short import held_gaps
from doorlint.reports.tally import Tally
from doorlint.reports.words import gap_text, plain, relaxed_texts

COMMANDS = {"error": "error", "warning": "warning", "advisory": "notice"}


def stream(run: Review | Run) -> Iterator[str]:
    """The whole run, spec by spec, and one line that counts everything."""
    tally = Tally()
    for spec in run.specs:
        tally.add(spec)
        yield "".join(f"{line}\n" for line in _lines(spec))
    for text in relaxed_texts(tally.relaxed):
        yield f"::notice title=not as in the library::{escaped(text)}\n"
    yield "".join(f"{line}\n" for line in (*tally.signed_table(), *tally.past_table(run)))
    yield f"{tally.closing(run)}\n"


def escaped(text: str, more: str = "") -> str:
    """Text of any origin as the data of a command; ``more`` are further characters to escape.

    >>> escaped("50 % off"), escaped("a:b,c", ":,")
    ('50 %25 off', 'a%3Ab%2Cc')
    """
    return "".join(f"%{ord(c):02X}" if c in "%" + more else c for c in plain(text))


def _lines(spec: SpecReview) -> Iterator[str]:
    for _, finding in spec.numbered:
        yield _command(spec.file, finding, finding.message)
    for gap in held_gaps(spec):
        yield _command(spec.file, gap, f"not checked: {gap.title}: {gap_text(gap)}")


def _command(file: str, item: Finding | NotChecked, message: str) -> str:
    end_line, end_column = item.end or (item.line, item.column)
    place = {"file": file, "line": item.line, "endLine": end_line, "col": item.column, "title": item.rule}
    if end_line == item.line and end_column > item.column:
        place["endColumn"] = end_column
    properties = ",".join(f"{key}={escaped(str(value), ':,')}" for key, value in place.items())
    return f"::{COMMANDS[item.severity]} {properties}::{escaped(message)}"

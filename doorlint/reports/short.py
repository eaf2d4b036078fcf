"""A review in one line a finding, for many specs, editors and hooks.

``FILE:LINE:COLUMN: error: MESSAGE [RULE]``; what holds a spec and could not be checked is an error too. Then the specs
that are not clear, and one line that counts everything.
"""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.findings import Finding, NotChecked, Review, Run, SpecReview
from doorlint.reports.style import PLAIN, Style
from doorlint.reports.tally import Tally
from doorlint.reports.words import count, gap_text, is_gap, plain, relaxed_texts, slip_text

__all__ = ["held_gaps", "stream"]


def stream(run: Review | Run, style: Style = PLAIN) -> Iterator[str]:
    """The whole run, spec by spec."""
    tally = Tally()
    slips: list[str] = []
    for spec in run.specs:
        tally.add(spec)
        slips += [
            f"  {plain(spec.file)}:{slip.line}: {slip_text(slip, spec, numbered=False)}" for slip in spec.likely_slips
        ]
        if spec.verdict != "clear" or not style.quiet:
            yield "".join(f"{line}\n" for line in _lines(spec, style))
    if style.quiet:
        if tally.not_shown:
            yield f"{count(tally.not_shown, 'finding')} not shown\n"
        return
    table = "".join(f"{line}\n" for line in tally.table(style))
    if table:
        yield f"\n{table}"
    if slips:
        yield "\nLOOKS LIKE\n" + "".join(f"{line}\n" for line in slips)
    signed = "".join(f"{line}\n" for line in tally.signed_table())
    if signed:
        yield f"\n{signed}"
    past = "".join(f"{line}\n" for line in tally.past_table(run))
    if past:
        yield f"\n{past}"
    texts = relaxed_texts(tally.relaxed)
    if texts:
        yield "\nNOT AS IN THE LIBRARY\n" + "".join(f"  {text}\n" for text in texts)
    if tally.verdicts:
        yield "\nCAUTIONS - read them before any work: doorlint review SPEC --as text\n"
    yield f"{tally.closing(run)}\n"


def held_gaps(spec: SpecReview) -> list[NotChecked]:
    """What holds the spec because it could not be checked, and is not found missing anyway."""
    missing = {finding.pointer for finding in spec.findings if is_gap(finding)}
    return [
        gap for gap in spec.gaps if gap.severity == "error" and not (gap.missing and missing.issuperset(gap.missing))
    ]


def _lines(spec: SpecReview, style: Style) -> Iterator[str]:
    file = plain(spec.file)
    found = {finding.place for finding in spec.findings}
    for _, finding in spec.numbered:
        rules = ", ".join(dict.fromkeys(place[0] for place in finding.causes if place in found))
        yield _line(file, finding, plain(finding.message) + (f"; follows from {rules}" if rules else ""), style)
    for gap in held_gaps(spec):
        yield _line(file, gap, plain(f"not checked: {gap.title}: {gap_text(gap, spec)}"), style)


def _line(file: str, item: Finding | NotChecked, message: str, style: Style) -> str:
    severity = style.paint(item.severity, item.severity)
    return f"{file}:{item.line}:{item.column}: {severity}: {message} [{item.rule}]"

"""What would clear a spec's findings, and how far its measured values may move, as text for 80 columns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from doorlint import quantities
from doorlint.changes.moves import moves
from doorlint.quantities import System
from doorlint.remedies.proposals import Answer, Proposal, Remedies
from doorlint.remedies.ranges import Range, Stop
from doorlint.reports.cautions import cautions
from doorlint.reports.change_words import Rows, tabled
from doorlint.reports.text import relaxed_section, wrap
from doorlint.reports.words import VERDICTS, count, counterbalance, gap_text, made_from, plain
from doorlint.rulebook.rule import SEVERITIES, FindingKey
from doorlint.sheet import SET_OUT

KINDS = {
    "correction": "correct the spec",
    "adjustment": "set otherwise",
    "part": "another part",
    "building work": "building work",
}
MOST_MOVES = 8
FINE = 64


def render(found: Remedies, version: str, on: str) -> str:
    """The whole report."""
    return "\n".join(_lines(found, version, on)) + "\n"


def _lines(found: Remedies, version: str, on: str) -> Iterator[str]:
    review = found.review
    yield plain(review.file)
    yield from wrap(f"{VERDICTS[review.verdict]}.", "  ", "  ")
    yield from wrap(_counted(found), "  ", "  ")
    numbers = {answer.finding.place: number for number, answer in enumerate(found.answers, 1)}
    if found.widest is not None:
        yield ""
        yield "CLEARS MOST"
        yield from _changes(found.widest, found.number(found.widest), "  ")
        yield from wrap(f"clears {_numbered(found.widest.clears, numbers)}", "    ")
    told: dict[tuple[str, ...], int] = {}
    for severity in SEVERITIES:
        answers = [answer for answer in found.answers if answer.finding.severity == severity]
        if answers:
            yield ""
            yield f"{severity.upper()}S"
        for answer in answers:
            yield from _answer(found, answer, numbers, told)
    if found.numbered:
        yield ""
        yield from wrap("`doorlint remedy SPEC --apply N --out FILE` writes the spec with remedy #N.", "  ", "  ")
    if found.lacking:
        yield ""
        yield "NOT CHECKED - give what is missing; no change clears that"
        for gap in found.lacking:
            yield from wrap(plain(f"{gap.rule}: {gap_text(gap)}"), "  - ")
    if found.ranges:
        yield ""
        yield "HOW FAR A MEASURED VALUE MAY MOVE - before an error or a warning comes or goes"
        stopped = [moved for moved in found.ranges if moved.down is not None or moved.up is not None]
        for moved in stopped:
            yield from _range(moved, review.system)
        free = [moved for moved in found.ranges if moved not in stopped]
        if free:
            said = "; ".join(f"{moved.label} by {_bound(moved, review.system)}" for moved in free)
            yield from wrap(plain(f"none comes or goes, less or more, for {said}"), "  - ")
    yield ""
    yield from "".join(relaxed_section(review.relaxed)).splitlines()
    yield "CAUTIONS"
    for caution in cautions(counterbalance(review)):
        yield from wrap(caution, "  - ")
    yield ""
    yield from wrap(f"doorlint {version}, {made_from(review)}, reviewed for {on}", "", "")


def _counted(found: Remedies) -> str:
    if not found.answers:
        return "There is nothing to clear."
    helped = sum(answer.in_stock or bool(answer.measure) for answer in found.answers)
    said = f"{count(len(found.answers), 'finding')} to clear, {helped} without work on the building"
    return said if found.complete else f"{said}; the search was ended before everything was tried"


def _answer(
    found: Remedies, answer: Answer, numbers: Mapping[FindingKey, int], told: dict[tuple[str, ...], int]
) -> Iterator[str]:
    finding = answer.finding
    number = numbers[finding.place]
    yield from wrap(f"[{number}] {finding.rule}  at {plain(finding.pointer)}", "  ", "      ")
    yield from wrap(plain(finding.message), "      ", "      ")
    if not answer.in_stock and answer.proposals:
        yield from wrap("Nothing in stock clears it; the building is short:", "      ", "      ")
    elif not answer.proposals and not answer.measure:
        yield from wrap(plain(_otherwise(finding.remedy)), "      ", "      ")
    if answer.measure:
        yield from wrap(plain(f"first: {answer.measure}"), "      ", "        ")
    for proposal in answer.proposals:
        first = told.setdefault(proposal.changes, number)
        yield from _changes(proposal, found.number(proposal), "      ")
        if first != number:
            yield from wrap(f"as for [{first}]", "        ")
        else:
            yield from _consequences(found, proposal, numbers, number)


def _otherwise(remedy: str | None) -> str:
    said = "Nothing in stock and no work on the building that is known here clears it"
    return f"{said}: {remedy}" if remedy else f"{said}."


def _changes(proposal: Proposal, number: int, margin: str) -> Iterator[str]:
    yield from wrap(plain(f"{KINDS[proposal.kind]}: {'; and '.join(proposal.changes)}"), f"{margin}#{number} ")


def _consequences(found: Remedies, proposal: Proposal, numbers: Mapping[FindingKey, int], own: int) -> Iterator[str]:
    others = [one for one in proposal.clears if numbers.get(one, own) != own]
    if others:
        yield from wrap(f"clears {_numbered(others, numbers)} too", "        ")
    if proposal.confirm:
        yield from wrap(plain(f"find out again: {', '.join(proposal.confirm)}"), "        ", "          ")
    moved = tabled(list(moves(found.job, proposal.job, SET_OUT)), found.review.system)
    shown = [_moved(rows) for rows in moved[:MOST_MOVES]]
    if len(moved) > MOST_MOVES:
        shown.append(f"and {len(moved) - MOST_MOVES} more")
    if shown:
        yield from wrap(plain(f"re-mark: {'; '.join(shown)}"), "        ", "          ")


def _moved(rows: Rows) -> str:
    first = rows.rows[0]
    thing = f", {first.thing}" if first.thing else ""
    more = f" and {len(rows.rows) - 1} more" if len(rows.rows) > 1 else ""
    label = rows.label.partition(";")[0].partition(":")[0] if rows.label[:1].isupper() else rows.label
    return f"{label}{thing} {first.after} (was {first.before}){more}"


def _numbered(places: Sequence[FindingKey], numbers: Mapping[FindingKey, int]) -> str:
    return ", ".join(f"[{number}]" for number in sorted(numbers[one] for one in places if one in numbers))


def _range(moved: Range, system: System) -> Iterator[str]:
    value = quantities.write(moved.value, moved.dimension, system, denominator=FINE)
    sides = f"{_side('less', moved.down, moved, system)}; {_side('more', moved.up, moved, system)}"
    yield from wrap(plain(f"{moved.label}, {value}: {sides}"), "  - ")


def _side(word: str, stop: Stop | None, moved: Range, system: System) -> str:
    if stop is None:
        to_nothing = word == "less" and moved.dimension == "length" and moved.value <= moved.bound
        far = "" if to_nothing else f", as far as {_bound(moved, system)}"
        return f"any amount {word}{far}"
    amount = quantities.write(stop.moved, moved.dimension, system, denominator=FINE)
    return f"{amount} {word} ({stop.rule})" if stop.moved else f"not at all {word} ({stop.rule})"


def _bound(moved: Range, system: System) -> str:
    """How far a value was moved."""
    return quantities.write(moved.bound, moved.dimension, system)

"""Proposals as text for a terminal or a page of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint import quantities
from doorlint.proposals.search import Binding, Proposals, Variant
from doorlint.reports.cautions import cautions
from doorlint.reports.text import wrap
from doorlint.reports.words import counterbalance, is_gap, made_from, plain, relaxed_texts, titled

MOST_STOPPED = 8
"""Designs that do not fit that are shown, those nearest to a fit first."""


def render(found: Proposals, version: str, on: str) -> str:
    """The whole report: the designs, the first one's values, what is open, and what stops the others."""
    return "\n".join(_lines(found, version, on)) + "\n"


def _lines(found: Proposals, version: str, on: str) -> Iterator[str]:
    yield from wrap(f"PROPOSAL  {titled(found.given)}", "", "  ")
    yield from wrap(f"{plain(found.file)}, for the stage of {found.stage}", "", "  ")
    yield ""
    if found.variants:
        yield from _designs(found)
        yield from _values(found.variants[0])
    else:
        yield "NOTHING FITS"
        yield from _own_errors(found)
    if found.binding:
        yield ""
        yield f"DOES NOT FIT ({len(found.binding)})"
        for one in found.binding[:MOST_STOPPED]:
            yield from _stopped(one)
        if len(found.binding) > MOST_STOPPED:
            yield f"  and {len(found.binding) - MOST_STOPPED} more; --as json has them all"
    yield ""
    for text in relaxed_texts(found.given.relaxed):
        yield from wrap(f"not as in the library: {text}", "")
    if found.given.relaxed:
        yield ""
    yield "CAUTIONS"
    for caution in cautions(counterbalance(found.variants[0].review if found.variants else found.given)):
        yield from wrap(caution, "  - ")
    yield ""
    yield from wrap(f"doorlint {version}, {made_from(found.given)}, proposed for {on}", "")


def _own_errors(found: Proposals) -> Iterator[str]:
    """What is wrong with the spec itself, which no design puts right."""
    errors = [finding for finding in found.given.findings if finding.severity == "error" and not is_gap(finding)]
    if errors:
        yield "  The spec itself is on hold. Put this right first:"
    for finding in errors:
        yield from wrap(plain(f"line {finding.line}: {finding.message} [{finding.rule}]"), "  - ")


def _designs(found: Proposals) -> Iterator[str]:
    yield f"FITS ({len(found.variants)}, best first)"
    for number, variant in enumerate(found.variants, 1):
        open_values = len(variant.open)
        asked = f"{open_values} values open" if open_values else "nothing open"
        yield from wrap(f"{variant.name}: {len(variant.values)} values proposed, {asked}", f"  {number}. ", "     ")
        for room in variant.rooms:
            takes, there_is, left = (
                quantities.write(value, "position", found.system)
                for value in (room.takes, room.there_is, room.there_is - room.takes)
            )
            yield from wrap(f"{room.what}: takes {takes} of {there_is}; {left} left over", "     ", "       ")


def _values(variant: Variant) -> Iterator[str]:
    if variant.open:
        yield ""
        yield f"OPEN in {variant.name} ({len(variant.open)}): only a person can say"
        for one in variant.open:
            usual = f"; usual {one.usual}" if one.usual is not None else ""
            yield from wrap(plain(f"{one.pointer}: {one.why}{usual}"), "  ", "      ")
    yield ""
    yield f"PROPOSED in {variant.name} ({len(variant.values)})"
    for value in variant.values:
        yield from wrap(plain(f"{value.pointer}: {value.text} ({value.grade}: {value.working})"), "  ", "      ")


def _stopped(one: Binding) -> Iterator[str]:
    rule = f" [{one.rule}]" if one.rule else ""
    more = f"; and {one.others} more" if one.others else ""
    yield from wrap(plain(f"{one.variant}: {one.message}{rule}{more}"), "  ", "      ")

"""A review as text for a terminal of 80 columns: what to do first, then what is wrong, then what is not known."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from doorlint.counterbalance import shared
from doorlint.findings import Finding, Numbered, Relaxed, Review, Run, SpecReview
from doorlint.reports.cautions import cautions
from doorlint.reports.style import PLAIN, Style
from doorlint.reports.tally import Tally
from doorlint.reports.words import (
    SIGN_OFF,
    Step,
    count,
    counterbalance,
    counts,
    first_steps,
    gap_text,
    headline,
    is_gap,
    made_by,
    off_by,
    plain,
    relaxed_texts,
    sentence,
    signed_text,
    slip_text,
    source_text,
    sure_text,
)
from doorlint.rulebook.rule import SEVERITIES

WIDTH = 78
SCREEN = 24
"""Lines of a terminal: what to do first is on the first screen."""
MANY = 10
"""With this many missing values or more, what waits for them is not listed value by value."""
KEPT = "\xa0"
"""Stands for a space at which no line ends; no text that is shown has one of its own."""
WITHIN = re.compile(r" (?<=\d )(?=\d+/\d|(?:in|ft|mm|cm|m|lb|lbf|kg|N|turns)\b)")
"""The spaces within a length or a weight."""
HEADS = {
    "error": "ERRORS - do not build",
    "warning": "WARNINGS - will give trouble",
    "advisory": "ADVISORIES - look again",
}


def render(review: Review) -> str:
    """The whole review."""
    return "".join(stream(review))


def stream(run: Review | Run, style: Style = PLAIN) -> Iterator[str]:
    """The whole run, spec by spec."""
    tally, kinds = Tally(), set()
    for spec in run.specs:
        if spec.verdict != "clear" or not style.quiet:
            yield _text([*_spec(spec, style), *_fits(spec, run), ""])
        tally.add(spec)
        kinds.add(counterbalance(spec))
    if style.quiet:
        if tally.not_shown:
            yield f"{count(tally.not_shown, 'finding')} not shown\n"
        return
    if not tally.verdicts:
        yield _text(["Nothing was reviewed.", ""])
    if tally.verdicts.total() > 1 or run.against:
        for line in (*tally.table(style), *tally.past_table(run), tally.closing(run)):
            yield _text(wrap(line, "", "    "))
        yield "\n"
    yield from relaxed_section(tally.relaxed)
    said = cautions(shared(kinds))
    yield _text(["CAUTIONS", *(line for caution in said for line in wrap(caution, "  - ")), ""])
    yield _text(wrap(f"doorlint {run.version}, {made_by(run)}, reviewed for {run.reviewed_on}", "", ""))


def _fits(spec: SpecReview, run: Review | Run) -> Iterator[str]:
    """What a clear survey has room for."""
    if spec.stage != "survey" or spec.verdict != "clear":
        return
    from doorlint.proposals.what_fits import what_fits  # what other reviews need not wait for

    fits = what_fits(spec, run.library, run.reviewed_on)
    if fits:
        yield ""
        yield "WHAT FITS"
        for fit in fits:
            yield from wrap(plain(fit.text), "  - ", "      ")
        yield from wrap(f"doorlint propose {plain(spec.file)} works out the order", "  ", "    ")


def relaxed_section(relaxed: Iterable[Relaxed]) -> Iterator[str]:
    """What differs from the library, as a section of any report in text; nothing where nothing does."""
    texts = relaxed_texts(relaxed)
    if texts:
        yield _text(["NOT AS IN THE LIBRARY", *(line for text in texts for line in wrap(text, "  - ")), ""])


def _text(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


def _spec(spec: SpecReview, style: Style) -> Iterator[str]:
    file = plain(spec.file)
    head = list(_head(file, spec, style))
    yield from head
    if spec.likely_slips and not style.quiet:
        looks = ["", *_slips(spec)]
        head += looks
        yield from looks
    steps = list(first_steps(spec)) if spec.verdict != "clear" or spec.failed else []
    if steps:
        yield from ("", "DO FIRST", *_steps(steps, SCREEN - len(head) - 3))
    for severity in SEVERITIES:
        found = [(number, finding) for number, finding in spec.numbered if finding.severity == severity]
        if found:
            yield ""
            yield style.paint(HEADS[severity], severity)
            first: dict[str, int] = {}
            for group in _together(found):
                number, finding = group[0]
                if len(group) == 1:
                    follows = spec.numbers(finding.causes)
                    yield from _finding(file, number, finding, first.setdefault(finding.rule, number), follows)
                else:
                    yield from _to_fill_in(file, group)
    if spec.gaps:
        yield ""
        yield "NOT CHECKED - a missing answer is never a pass"
        yield from _gaps(spec, {finding.pointer for finding in spec.findings if is_gap(finding)})
    if spec.signed_off:
        yield ""
        yield "SIGNED OFF - not counted in the verdict"
        for approved in spec.signed_off:
            finding = approved.finding
            yield from wrap(f"{finding.rule} at {plain(finding.pointer)}: {plain(finding.message)}", "  ", "    ")
            yield from wrap(signed_text(approved), "    ")
    yield ""
    yield f"VERDICT  {style.paint(spec.verdict, spec.verdict)}  {file}"


def _head(file: str, spec: SpecReview, style: Style) -> Iterator[str]:
    yield file
    named = ", ".join(plain(value) for value in spec.facts.values())
    yield from wrap(f"{named}; stage {spec.stage or 'not known'}; spec {spec.spec_digest}".lstrip("; "), "  ", "  ")
    yield from (style.paint(line, spec.verdict) for line in wrap(f"{headline(spec)}.", "  ", "  "))
    yield from wrap(counts(spec), "  ", "  ")


def _slips(spec: SpecReview) -> Iterator[str]:
    """What may have been taken down wrong, the likeliest first."""
    for number, slip in enumerate(spec.likely_slips):
        further = "and like   " if slip in spec.separate_slips else "or like    "
        first = further if number else "LOOKS LIKE "
        yield from wrap(slip_text(slip, spec), first, " " * len(first))
        yield from wrap(sure_text(slip), " " * len(first))


def _steps(steps: Sequence[Step], most: int) -> Iterator[str]:
    """The steps that fit into ``most`` lines, at least one, and how many more there are."""
    left = most
    for number, step in enumerate(steps, 1):
        about = f" {_bracketed(step.findings)}" if step.findings else ""
        lines = [*wrap(f"{sentence(step.text)}{about}", f"  {number}. ")]
        if step.safety:
            lines += wrap(f"safety: {step.safety}", "     ", "       ")
        if step.follows:
            lines += wrap(
                f"[{ranges(step.follows)}] {'follow' if len(step.follows) > 1 else 'follows'} from it", "     "
            )
        left -= len(lines)
        if number > 1 and left < (number < len(steps)):
            yield f"  and {count(len(steps) - number + 1, 'more step')}: see the findings below"
            return
        yield from lines


def _together(found: Iterable[Numbered]) -> Iterable[list[Numbered]]:
    """The findings one by one, but all values that one rule finds missing together, where the first of them is."""
    groups: dict[str | int, list[Numbered]] = {}
    for number, finding in found:
        groups.setdefault(finding.rule if is_gap(finding) else number, []).append((number, finding))
    return groups.values()


def _to_fill_in(file: str, group: Sequence[Numbered]) -> Iterator[str]:
    """What one rule finds missing, in the order of the spec: a line for each part of the spec."""
    first = group[0][1]
    yield f"  [{ranges(number for number, _ in group)}] {first.rule}  {file}:{first.line}:{first.column}"
    yield from wrap(f"{len(group)} values are missing: {plain(first.title)}", "      ", "      ")
    parts: dict[str, list[Finding]] = {}
    for _, finding in group:
        parts.setdefault(finding.pointer.rpartition("/")[0], []).append(finding)
    for missing in parts.values():
        pointers = ", ".join(finding.pointer for finding in missing)
        yield from wrap(plain(f"line {missing[0].line}: {pointers}"), "        ", "          ")
    yield from _reasons(first)


def _finding(file: str, number: int, finding: Finding, first: int, follows: tuple[int, ...]) -> Iterator[str]:
    """One finding; ``first`` is the number of the first of its rule, which says what goes for all of them."""
    yield f"  [{number}] {finding.rule}  {file}:{finding.line}:{finding.column}"
    yield from wrap(plain(finding.message), "      ", "      ")
    if follows:
        yield f"      follows from {_bracketed(follows)}"
    if finding.measured is not None and finding.limit is not None:
        off = " ".join(off_by(finding) or ())
        said = ", ".join(filter(None, (f"found {finding.measured.text}", f"limit {finding.limit.text}", off)))
        yield from wrap(said, "      ", "      ")
    if finding.marginal:
        yield "      marginal: within the uncertainty of a tape reading or an estimate"
    yield from wrap(f"at: {plain(finding.pointer or 'the file')}", "      ", "        ")
    if number == first:
        yield from _reasons(finding)
        return
    if finding.remedy:
        yield from wrap(f"try: {plain(finding.remedy)}", "      ", "        ")
    yield f"      safety, why, source and sign-off: as for [{first}]"


def _reasons(finding: Finding) -> Iterator[str]:
    for label, text in (
        ("safety", finding.safety),
        ("try", finding.remedy or ""),
        ("why", finding.why),
        ("source", source_text(finding.source)),
        ("sign-off", SIGN_OFF[finding.sign_off] if finding.severity != "advisory" else ""),
    ):
        if text:
            yield from wrap(f"{label}: {plain(text)}", "      ", "        ")


def _gaps(spec: SpecReview, said: set[str]) -> Iterator[str]:
    """Grouped by what would have to be given; ``said``: what findings already say is missing."""
    groups: dict[str, dict[str, None]] = {}
    for gap in spec.gaps:
        rule = f"{gap.rule} (error)" if gap.severity == "error" else gap.rule
        waits = gap.reason == "input missing" and len(said) >= MANY and said.issuperset(gap.missing)
        groups.setdefault("not given: values that are missing above" if waits else gap_text(gap, spec), {})[rule] = None
    for need, rules in groups.items():
        yield from wrap(plain(need), "  ", "    ")
        yield from wrap(f"for {', '.join(rules)}", "    ")


def _bracketed(numbers: Sequence[int]) -> str:
    """A few numbers each in brackets, many together."""
    return ", ".join(f"[{number}]" for number in numbers) if len(numbers) < MANY else f"[{ranges(numbers)}]"


def ranges(numbers: Iterable[int]) -> str:
    """Rising numbers in few words.

    >>> ranges([1, 2, 3, 5, 7, 8])
    '1-3, 5, 7, 8'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


@lru_cache(maxsize=1024)  # of many specs, what a rule says is much the same
def wrap(text: str, first: str, rest: str | None = None) -> tuple[str, ...]:
    """Text in lines of at most 78 columns; no length or weight is broken, and a long word keeps its own line whole.

    >>> wrap("the door is open, and box 1 hangs above the place where it stands at rest by 1 1/4 in", "")
    ('the door is open, and box 1 hangs above the place where it stands at rest by', '1 1/4 in')
    """
    if len(first) + len(text) <= WIDTH and text.split(" ") == text.split():
        return (first + text,)  # as it would come out, a good deal sooner
    lines = textwrap.wrap(
        WITHIN.sub(KEPT, text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return tuple([line.replace(KEPT, " ") for line in lines])

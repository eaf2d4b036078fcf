"""The wording that the forms share: verdicts, counts, sources, and what to do first."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, TypeAlias

from doorlint.counterbalance import shared, the_one
from doorlint.findings import (
    REASONS,
    Approved,
    Finding,
    LikelySlip,
    NotChecked,
    Numbered,
    Relaxed,
    Review,
    Run,
    Since,
    SpecReview,
)  # fmt: skip
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.rule import SEVERITIES, FindingKey, Source
from doorlint.spec.problems import clean

if TYPE_CHECKING:
    from doorlint.counterbalance.kind import Counterbalance

VERDICTS = {
    "clear": "Clear",
    "hold": "Hold: do not order, build or hand over this job",
    "unreadable": "Unreadable: nothing in this file was checked",
}
STANDINGS = {
    "published": "published",
    "second-hand": "published, known second-hand",
    "derived": "derived",
    "practice": "common practice, no published source",
    "memory": "from memory, no source",
}
SIGN_OFF = {
    "never": "Nobody may sign this off.",
    "supervisor": "A supervisor may sign this off for a stated time.",
}

MOST_STEPS = 5


class Step(NamedTuple):
    """One thing to do, and the numbers of the findings that ask for it."""

    text: str
    findings: tuple[int, ...] = ()
    safety: str = ""
    """what makes it safe to do"""
    follows: tuple[int, ...] = ()
    """the numbers of the findings that follow from these"""


def plain(text: str) -> str:
    """Text of any origin on one line, every character that does not show written as its escape.

    >>> plain("north  dock\\n\\x1b[31m")
    'north dock \\\\x1b[31m'
    """
    if text.isprintable() and "  " not in text and "::" not in text and "##" not in text and text.strip(" :") == text:
        return text
    return clean(" ".join(re.split(r"[ \t\r\n]+", text.strip(" \t\r\n"))))


def sentence(text: str) -> str:
    """A text as a sentence: a capital where it begins with a word, and a full stop.

    >>> sentence("headroom is 14 in"), sentence("s3 weighs 40 lb"), sentence("Why?")
    ('Headroom is 14 in.', 's3 weighs 40 lb.', 'Why?')
    """
    text = plain(text)
    if text.partition(" ")[0].isalpha():
        text = text[0].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def count(number: int, word: str) -> str:
    """A number with its noun.

    >>> count(1, "advisory"), count(3, "advisory"), count(2, "day")
    ('1 advisory', '3 advisories', '2 days')
    """
    if number != 1:
        word = word[:-1] + "ies" if word.endswith("y") and word[-2] not in "aeiou" else word + "s"
    return f"{number} {word}"


def headline(spec: SpecReview) -> str:
    """The verdict in words, with what a clear spec still has."""
    rest = [
        count(number, severity)
        for severity in SEVERITIES
        if (number := sum(finding.severity == severity for finding in spec.findings))
    ]
    return "Clear with " + " and ".join(rest) if spec.verdict == "clear" and rest else VERDICTS[spec.verdict]


def counts(spec: SpecReview) -> str:
    """How many findings of each severity, how much was not checked, signed off or met, and how much is not shown."""
    by_severity = {severity: sum(f.severity == severity for f in spec.findings) for severity in SEVERITIES}
    parts = [count(number, severity) for severity, number in by_severity.items() if number]
    if spec.not_checked:
        parts.append(f"{len(spec.not_checked)} not checked")
    if spec.approved:
        parts.append(f"{len(spec.approved)} signed off")
    if spec.verdict != "unreadable":
        parts.append(f"{count(spec.checked, 'check')} met")
    if spec.since is not None:
        parts.append(since_text(spec.since))
    if spec.only:
        parts.append(f"{count(spec.not_shown, 'finding')} not shown")
    return ", ".join(parts)


def since_text(since: Since) -> str:
    """What became of the findings of a spec since a revision."""
    told = f"{len(since.new)} new, {len(since.worse)} worse, {len(since.better)} better, {len(since.gone)} gone"
    return f"since {plain(since.revision)}: {told}, {since.as_before} as before"


def subject(rule: str) -> str:
    """What a rule is about: the part of its id before the dot.

    >>> subject("headroom.swept")
    'headroom'
    """
    return rule.partition(".")[0]


def titled(spec: SpecReview) -> str:
    """What the job is called: its number and opening, or its file."""
    said = [spec.facts[name] for name in ("number", "opening") if name in spec.facts]
    return plain(", ".join(said)) or plain(spec.file)


def source_text(source: Source) -> str:
    """Where a limit comes from and how much it can be trusted.

    >>> source_text(Source("published", "NDS", "2018", "12.2.1"))
    'NDS 2018, 12.2.1 (published)'
    >>> source_text(Source("practice"))
    'common practice, no published source'
    >>> source_text(Source("derived", note="statics"))
    'derived: statics'

    A chain is as good as its weakest link, so a document may stand beside a weaker standing:

    >>> source_text(Source("practice", "NDS", "2018", "12.2.1"))
    'NDS 2018, 12.2.1 (common practice, no published source, in what it is compared with)'
    """
    cited = plain(", ".join(part for part in (f"{source.document} {source.edition}".strip(), source.clause) if part))
    standing = STANDINGS[source.standing]
    if not cited:
        return f"{standing}: {plain(source.note)}" if source.note else standing
    if source.standing in {"published", "second-hand"}:
        return f"{cited} ({standing})"
    return f"{cited} ({standing}, in what it is compared with)"


def off_by(finding: Finding) -> tuple[str, str] | None:
    """Which way a finding is off its limit, and by how much; ``None`` where that is not known."""
    if not finding.short_by:
        return None
    value = None if finding.measured is None else finding.measured.value
    limit = None if finding.limit is None else finding.limit.value
    over = value is not None and limit is not None and value > limit
    return "over by" if over else "short by", plain(finding.short_by)


def signed_text(approved: Approved) -> str:
    """Who signed a finding off, for what, and until when."""
    said = approved.approval
    left = said["days_left"]
    days = f"{count(left, 'day')} left" if left >= 0 else "lapsed"
    where = f", in {said['file']}" if said.get("file") else ""
    terms = f"for {said['value']} against {said['limit']}, on {said['on']} until {said['until']} ({days}){where}"
    return plain(f"by {said['by']} {terms}: {said['reason']}")


def made_from(review: SpecReview) -> str:
    """The digests of what a review was made by: rules, and settings where there are some."""
    settings = f", settings {plain(review.settings)}" if review.settings else ""
    return f"rules {review.rules_digest}{settings}"


def made_by(run: Review | Run) -> str:
    """The digests of what a run was made by."""
    settings = f", settings {plain(run.settings)}" if run.settings else ""
    return f"rules {run.library.digest}{settings}"


def relaxed_of(specs: Iterable[SpecReview]) -> list[Relaxed]:
    """What differs from the library in a run, each once, in the order of the specs."""
    return list(dict.fromkeys(one for spec in specs for one in spec.relaxed))


def relaxed_texts(relaxed: Iterable[Relaxed]) -> list[str]:
    """What differs from the library, a line each; the rules and parts that a house adds share one.

    >>> relaxed_texts([Relaxed("practice", "hanger_stress", "20 ksi", "24 ksi", "d.yaml", 9, "spec")])
    ['practice hanger_stress: 24 ksi here, 20 ksi in the library (spec, d.yaml:9)']
    """
    texts, added = [], dict[tuple[str, str], list[str]]()
    for one in relaxed:
        if one.what in ("rule", "catalog") and one.library is None:
            added.setdefault((one.what, one.by), []).append(one.key)
            continue
        place = f", {one.file}{f':{one.line}' if one.line else ''}" if one.file else ""
        library = f", {one.library} in the library" if one.library is not None else ""
        texts.append(plain(f"{one.what} {one.key}: {one.here}{' here' if library else ''}{library} ({one.by}{place})"))
    for (what, by), keys in added.items():
        texts.append(plain(f"{count(len(keys), what)} added ({by}): {', '.join(keys)}"))
    return texts


def gap_text(gap: NotChecked, spec: SpecReview | None = None) -> str:
    """Why a rule was not checked; with the review, by the numbers of the findings that stop it."""
    reason = REASONS[gap.reason]
    said = ", ".join(gap.missing) if gap.missing else gap.note
    numbers = ", ".join(f"[{number}]" for number in spec.numbers(gap.causes)) if spec is not None else ""
    return "".join((reason, f": {said}" if said else "", f" (see {numbers})" if numbers else ""))


def counterbalance(spec: SpecReview) -> Counterbalance | None:
    """The counterbalance of a reviewed spec; ``None`` where it gives none or several."""
    return None if spec.spec is None else the_one(spec.spec.values)


def shared_counterbalance(specs: Iterable[SpecReview]) -> Counterbalance | None:
    """The counterbalance that all of some specs have, or ``None``."""
    return shared(map(counterbalance, specs))


def first_steps(spec: SpecReview) -> Iterator[Step]:
    """What to do first: each cause, the most harmful first, with what follows from it; then what is missing."""
    if spec.verdict == "unreadable":
        yield from _each([Step(_asked(_said_once(finding)), (number,)) for number, finding in spec.numbered])
        return
    errors = [(number, finding) for number, finding in spec.numbered if finding.severity == "error"]
    yield from _each(list(_steps(spec)))
    wanted = list(dict.fromkeys(_wanted(errors, spec.gaps)))
    if wanted:
        from doorlint.hints import named_at  # most specs want nothing

        more = f" and {len(wanted) - 8} more; `doorlint blank --from SPEC` lists them all" if len(wanted) > 8 else ""
        asked = tuple(number for number, finding in errors if is_gap(finding))
        named = ", ".join(plain(named_at(pointer)) for pointer in wanted[:8])
        yield Step(f"Give what is missing: {named}{more}", asked)
    if any(gap.reason == "rule failed" for gap in spec.not_checked):
        yield Step("A rule failed on this spec: its check was not made. Have the rule fixed, then review again.")


Cause: TypeAlias = tuple[Numbered, list[Numbered]]
"""A finding, and those that follow from it."""


def by_cause(spec: SpecReview) -> list[Cause]:
    """The findings that a report shows, each cause with what follows from it, in the order of the causes.

    What follows from a finding that is not shown, or was signed off, stands as a cause.
    """
    shown = {finding.place: (number, finding) for number, finding in spec.numbered}
    groups: dict[FindingKey, list[Numbered]] = {}
    for number, finding in spec.numbered:
        root = next((cause for cause in finding.causes if cause in shown), None)
        if root is None:
            groups.setdefault(finding.place, [])
        else:
            groups.setdefault(root, []).append((number, finding))
    return [(shown[root], followers) for root, followers in sorted(groups.items(), key=lambda pair: shown[pair[0]][0])]


def _causes(spec: SpecReview) -> list[Cause]:
    """The causes of errors, the most harmful first: that of the likeliest slip, then those of most errors; without any
    error, those of warnings."""
    cleared = spec.likely_slips[0].clears if spec.likely_slips else ()
    every = by_cause(spec)
    for severity in SEVERITIES[:2]:
        found = [(sum(one.severity == severity for _, one in (root, *rest)), root, rest) for root, rest in every]
        found = [cause for cause in found if cause[0]]
        if found or any(gap.severity == severity for gap in spec.gaps):
            found.sort(key=lambda cause: (cause[1][1].place not in cleared, -cause[0], cause[1][0]))
            return [(root, rest) for _, root, rest in found]
    return []


def _steps(spec: SpecReview) -> Iterator[Step]:
    """A step for each cause; what a likely slip would clear is one."""
    causes = [(root, rest) for root, rest in _causes(spec) if not is_gap(root[1])]
    done: set[int] = set()
    for root, rest in causes:
        if root[0] in done:
            continue
        slip = next((slip for slip in spec.separate_slips if root[1].place in slip.clears), None)
        if slip is None:
            yield _step(_asked(root[1]), [root], rest)
            continue
        slipped = [cause for cause in causes if cause[0][1].place in slip.clears]
        done |= {number for (number, _), _ in slipped}
        given, would_be = plain(slip.given), plain(slip.would_be)
        first = f"{plain(slip.measure)}; {would_be} instead of {given} would clear it. If {given} is right: "
        yield _step(first + _asked(root[1]), [one for one, _ in slipped], [one for _, some in slipped for one in some])


def _step(text: str, roots: Sequence[Numbered], rest: Sequence[Numbered]) -> Step:
    grave = min((*roots, *rest), key=lambda one: (SEVERITIES.index(one[1].severity), one[0]))[1]
    numbers = tuple(sorted(number for number, _ in roots))
    return Step(text, numbers, plain(grave.safety), tuple(sorted(number for number, _ in rest)))


def _asked(finding: Finding) -> str:
    message = plain(finding.message)
    return f"{message}; {plain(finding.remedy)}" if finding.remedy else message


def slip_text(slip: LikelySlip, spec: SpecReview, *, numbered: bool = True) -> str:
    """What may have been taken down wrong, and the findings that would be gone: their numbers, or how many."""
    numbers = spec.numbers(slip.clears)
    which = ", ".join(f"[{number}]" for number in numbers) if numbered else count(len(numbers), "finding")
    cleared = f" would clear {which}" if numbers else " would let everything be checked"
    came = f" and bring {count(len(slip.brings), 'finding')}" if slip.brings else ""
    return plain(f"{slip.says}: {slip.would_be} instead of {slip.given}{cleared}{came}")


def sure_text(slip: LikelySlip) -> str:
    """Where the value is written, and what to measure to be sure."""
    return plain(f"line {slip.line}; to be sure, {slip.measure}")


def _said_once(finding: Finding) -> Finding:
    """A finding about the reading of a spec: what is wrong in the file says itself what to write instead."""
    if finding.remedy is None or finding.rule not in ("spec.file", "spec.fault"):
        return finding._replace(remedy=None)
    fix = finding.remedy[:1].lower() + finding.remedy[1:]
    return finding._replace(message=f"{finding.message}; {fix}", remedy=None)


def _each(steps: Sequence[Step]) -> Iterator[Step]:
    yield from steps[:MOST_STEPS]
    if len(steps) > MOST_STEPS:
        rest = steps[MOST_STEPS:]
        yield Step(f"Then {count(len(rest), 'more error')}", tuple(number for step in rest for number in step.findings))


def is_gap(finding: Finding) -> bool:
    """Whether it says that a value which the stage asks for is not given."""
    return finding.rule.startswith("completeness")


def _wanted(numbered: Sequence[tuple[int, Finding]], gaps: Sequence[NotChecked]) -> Iterator[str]:
    for _, finding in numbered:
        if is_gap(finding):
            yield finding.pointer
    for gap in gaps:
        if gap.severity == "error" and gap.reason != "input impossible":
            yield from gap.missing

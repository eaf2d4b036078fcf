"""A review as Markdown, fit for a comment on a pull request.

Every text from a spec or a rule is escaped: it can make no table, heading, link, image, mention or HTML. What does
not fit a comment is left out and said to be left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from doorlint.findings import Finding, Review, SpecReview, Verdict
from doorlint.reports.cautions import cautions
from doorlint.reports.words import (
    SIGN_OFF,
    Step,
    count,
    counts,
    first_steps,
    gap_text,
    headline,
    plain,
    relaxed_of,
    relaxed_texts,
    shared_counterbalance,
    signed_text,
    slip_text,
    source_text,
    sure_text,
    titled,
)

MOST = 60_000
"""Characters that fit a comment, with some to spare: forges take 65,536."""
NOTE = 120
"""Characters kept free for how much did not fit."""
MOST_ROWS = 50
ORDER: tuple[Verdict, ...] = ("unreadable", "hold", "clear")

_MARKUP = re.compile(r"[\\`*_\[\]{}|~$^=]")
_OPENING = re.compile(r"^(?:[-+#>]|(\d+)(?=[.)]))")
_LINKED = re.compile(r"(?<=[@#!%])(?=\w)|(?<=:)(?=//|\w+:)|(?<=www)(?=\.)|(?<=\bGH)(?=-\d)", re.IGNORECASE)
_APART = "\u200b"
"""A space of no width: it keeps a forge from linking a name, a number or an address."""


def render(review: Review) -> str:
    """The whole review, the specs on hold first."""
    specs = sorted(review.specs, key=lambda spec: ORDER.index(spec.verdict))
    return fitted(_parts(specs), _tail(review))


def fitted(parts: Iterable[str], tail: Iterable[str]) -> str:
    """The parts that fit a comment, how many did not, and the tail."""
    end = "\n\n".join(tail)
    room = MOST - len(end) - NOTE
    kept: list[str] = []
    left_out = 0
    for part in parts:
        if len(part) + 2 <= room:
            kept.append(part)
            room -= len(part) + 2
        else:
            left_out += 1
    if left_out:
        kept.append(f"**{count(left_out, 'part')} of this report did not fit a comment. Read the whole report.**")
    return "\n\n".join([*kept, end]) + "\n"


def escaped(text: str) -> str:
    """Text of any origin as Markdown that reads the same and does nothing.

    >>> escaped("<b>*left* | [north](x)")
    '&lt;b&gt;\\\\*left\\\\* \\\\| \\\\[north\\\\](x)'
    >>> escaped("ask @mk").encode("ascii", "namereplace")
    b'ask @\\\\N{ZERO WIDTH SPACE}mk'
    >>> escaped("1. door"), escaped("- door")
    ('1\\\\. door', '\\\\- door')
    """
    text = _LINKED.sub(_APART, plain(text))
    text = _MARKUP.sub(r"\\\g<0>", text.replace("&", "&amp;")).replace("<", "&lt;").replace(">", "&gt;")
    return _OPENING.sub(lambda found: f"{found[1]}\\" if found[1] else f"\\{found[0]}", text)


def code(text: str) -> str:
    """Text of any origin as a code span that may stand in a table.

    >>> code("a|b"), code("x`y")
    ('`a\\\\|b`', '``x`y``')
    """
    text = plain(text).replace("|", "\\|")
    fence = "`" * (max((len(run) for run in re.findall("`+", text)), default=0) + 1)
    pad = " " if text.startswith("`") or text.endswith("`") or not text.strip() else ""
    return f"{fence}{pad}{text}{pad}{fence}"


def _parts(specs: list[SpecReview]) -> Iterator[str]:
    held = [spec for spec in specs if spec.verdict != "clear"]
    if not specs:
        yield "## Nothing was reviewed"
    elif len(specs) == 1:
        yield f"## {headline(specs[0])}"
    elif held:
        yield f"## {count(len(held), 'spec')} of {len(specs)} held or unreadable"
    else:
        yield f"## All {count(len(specs), 'spec')} clear"
    if len(specs) > 1:
        rows = [
            [code(spec.file), spec.spec_digest or "-", spec.verdict, escaped(titled(spec)), counts(spec)]
            for spec in specs
        ]
        yield _table(["Spec", "Digest", "Verdict", "Job", "Found"], rows, "spec")
    texts = relaxed_texts(relaxed_of(specs))
    if texts:
        yield "**Not as in the library**\n\n" + "\n".join(f"- {escaped(text)}" for text in texts)
    for spec in specs:
        if len(specs) == 1 or spec.numbered or spec.gaps or spec.signed_off:
            yield from _spec(spec, alone=len(specs) == 1)


def _spec(spec: SpecReview, *, alone: bool) -> Iterator[str]:
    named = [code(spec.file), *(f"{key} {escaped(value)}" for key, value in spec.facts.items())]
    head = ", ".join([*named, f"stage {spec.stage or 'not known'}", f"spec {spec.spec_digest or 'not read'}"])
    yield head if alone else f"### {code(spec.file)}: {spec.verdict}\n\n{head}"
    yield counts(spec)
    if spec.likely_slips:
        slips = [f"- {escaped(f'{slip_text(slip, spec)}; {sure_text(slip)}')}" for slip in spec.likely_slips]
        yield "\n".join(["**Looks like**", "", *slips])
    steps = [f"{number}. {_step(step)}" for number, step in enumerate(first_steps(spec), 1)]
    if steps:
        yield "\n".join(["**Do first**", "", *steps])
    if spec.numbered:
        rows = [_row(spec, number, finding) for number, finding in spec.numbered]
        yield _table(["No.", "Severity", "Finding", "Where", "Found", "Limit"], rows, "finding")
        notes = [_note(number, finding) for number, finding in spec.numbered[:MOST_ROWS]]
        yield _folded("Why, safety, what to try, source", "\n".join(notes))
    if spec.gaps:
        rows = [
            [code(gap.rule), gap.severity, escaped(gap.title), escaped(gap_text(gap, spec)), _where(spec, gap.line)]
            for gap in spec.gaps
        ]
        table = _table(["Rule", "Severity", "What it asks", "Why not checked", "Where"], rows, "rule")
        yield _folded(f"Not checked: {len(spec.gaps)}. A missing answer is never a pass", table)
    if spec.signed_off:
        rows = []
        for approved in spec.signed_off:
            finding = approved.finding
            rows.append([code(finding.rule), escaped(finding.message), escaped(signed_text(approved))])
        yield "**Signed off**\n\n" + _table(["Rule", "Finding", "Signed off"], rows, "sign-off")


def _step(step: Step) -> str:
    safety = f" **Safety:** {escaped(step.safety)}" if step.safety else ""
    follows = f" From it follows{_numbers(step.follows)}." if step.follows else ""
    return f"{escaped(step.text)}{_numbers(step.findings)}{safety}{follows}"


def _row(spec: SpecReview, number: int, finding: Finding) -> list[str]:
    numbers = spec.numbers(finding.causes)
    follows = f" *Follows from no. {', '.join(map(str, numbers))}.*" if numbers else ""
    marginal = " *The tape could flip this.*" if finding.marginal else ""
    return [
        str(number), finding.severity, f"{escaped(finding.message)} {code(finding.rule)}{follows}{marginal}",
        _where(spec, finding.line), escaped(finding.measured.text) if finding.measured else "-",
        escaped(finding.limit.text) if finding.limit else "-",
    ]  # fmt: skip


def _note(number: int, finding: Finding) -> str:
    told = {
        "Safety": finding.safety, "Try": finding.remedy, "Why": finding.why, "Source": source_text(finding.source),
        "Sign-off": "" if finding.severity == "advisory" else SIGN_OFF[finding.sign_off],
    }  # fmt: skip
    said = " ".join(f"**{label}:** {escaped(text)}" for label, text in told.items() if text)
    return f"- No. {number}, {code(finding.pointer or 'the file')}. {said}"


def _where(spec: SpecReview, line: int) -> str:
    return code(f"{spec.file}:{line}")


def _numbers(findings: tuple[int, ...]) -> str:
    return f" (no. {', '.join(map(str, findings))})" if findings else ""


def _table(heads: list[str], rows: list[list[str]], thing: str) -> str:
    lines = [f"| {' | '.join(row)} |" for row in (heads, ["---"] * len(heads), *rows[:MOST_ROWS])]
    if len(rows) > MOST_ROWS:
        lines += ["", f"**And {count(len(rows) - MOST_ROWS, f'more {thing}')}, not listed here.**"]
    return "\n".join(lines)


def _folded(summary: str, body: str) -> str:
    return f"<details><summary>{summary}</summary>\n\n{body}\n\n</details>"


def _tail(review: Review) -> Iterator[str]:
    said = cautions(shared_counterbalance(review.specs))
    yield "**Cautions**\n\n" + "\n".join(f"- {escaped(caution)}" for caution in said)
    settings = f", settings {code(review.settings)}" if review.settings else ""
    over = f", {count(review.passed_over, 'other file')} passed over" if review.passed_over else ""
    yield f"doorlint {review.version}, rules {code(review.library.digest)}{settings}, day {review.reviewed_on}{over}"

"""What an editor offers to do at a place: each action is edits that somebody may take, and nothing before that."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from doorlint.commands.propose import propose
from doorlint.editor.cursor import cursor_at
from doorlint.editor.document import Document, Figures, source_of
from doorlint.editor.fill_in import with_empty_keys
from doorlint.editor.protocol import Action, Range
from doorlint.editor.spec_terms import Place, place_at
from doorlint.editor.text_changes import text_edits
from doorlint.errors import WrongCall
from doorlint.evaluation import evaluate
from doorlint.findings import Finding, NotChecked
from doorlint.remedies.options import same
from doorlint.remedies.proposals import Proposal, remedies
from doorlint.remedies.slip_search import likely_slips
from doorlint.reports.short import held_gaps
from doorlint.reports.words import count, is_gap, plain
from doorlint.sign_off_files import with_sign_offs
from doorlint.spec import Mapping, Part, Patch, parse
from doorlint.spec.edit import edited, given_of
from doorlint.spec.vocabulary import EACH
from doorlint.spec.yaml_positions import node_at
from doorlint.verdict import draft_approvals

__all__ = ["actions"]

MOST_PARTS = 12
"""Parts of a catalog that are offered for one group."""
MOST_WORDS = 100
"""Characters of a remedy in a title."""


def actions(document: Document, span: Range, stop: Callable[[], bool], search: bool = True) -> tuple[Action, ...]:
    """What there is to do about a range of a document.

    Remedies and designs are searched only where ``search`` says that somebody asks; ``stop`` is asked now and then,
    and once it returns true the search ends with what it has.
    """
    if not document.is_readable or document.figures is None:
        return ()
    found = [finding for _, finding in document.review.numbered if _stands_in(finding, document, span)]
    gaps = [gap for gap in held_gaps(document.review) if _stands_in(gap, document, span)]
    made: list[Action] = []
    if search:
        made += _slips(document, found)
        made += _remedies(document, found, stop)
    made += _filled_in(document, found, gaps)
    made += _parts(document, document.figures, span)
    made += _sign_offs(document, found)
    if search and _touches_stage(document, span):
        made += _designs(document)
    return tuple(made)


def _stands_in(item: Finding | NotChecked, document: Document, span: Range) -> bool:
    return document.lines.range(item.line, item.column, item.end).touches(span)


def _action(title: str, document: Document, text: str, rules: tuple[str, ...] = (), is_fix: bool = True) -> Action:
    return Action(plain(title), text_edits(document.text, text), rules, is_fix)


# likely slips


def _slips(document: Document, found: list[Finding]) -> Iterator[Action]:
    """Remarks beside readings that are likely wrong: a reading is measured again, not changed at a desk."""
    places = {finding.place for finding in found}
    if not places:
        return
    for slip in likely_slips(document.review, document.library, document.call.policy):
        if places.isdisjoint(slip.clears):
            continue
        clears = count(len(slip.clears), "finding")
        note = f"{slip.measure}: {slip.would_be} would clear {clears}"
        text = _with_remark(document, slip.line, note)
        if text is not None:
            yield _action(f"Likely slip: {slip.says}. Note to {slip.measure}", document, text)


def _with_remark(document: Document, line: int, note: str) -> str | None:
    """The text with a remark at the end of a line; ``None`` where it would not be one."""
    lines = document.text.splitlines(keepends=True)
    held = lines[line - 1]
    words = held.rstrip("\r\n")
    lines[line - 1] = f"{words.rstrip()}  # {plain(note)}{held[len(words) :]}"
    text = "".join(lines)
    return text if note not in held and parse(text).tree == parse(document.text).tree else None


# remedies


def _remedies(document: Document, found: list[Finding], stop: Callable[[], bool]) -> Iterator[Action]:
    """What clears the findings: adjustments only, for a reading changes on the building and not in an editor."""
    wanted = {finding.place for finding in found}
    if not wanted:
        return
    checked = evaluate(document.text, document.library)
    checked = checked._replace(record=with_sign_offs(checked.record, source_of(document.path, document.text)))
    answers = remedies(checked, document.library, document.call.policy, document.path, stop, wanted).answers
    proposals: dict[str, Proposal] = {}
    for answer in answers:
        for proposal in answer.proposals:
            if proposal.kind != "building work":
                proposals.setdefault(repr(proposal.patch), proposal)
    for proposal in sorted(proposals.values(), key=lambda one: -len(one.clears)):
        try:
            text = edited(document.text, proposal.patch)
        except WrongCall:  # it would change more than it says
            continue
        words = "; ".join(proposal.changes)
        if len(words) > MOST_WORDS:
            words = words[: MOST_WORDS - 1].rstrip() + "…"
        left = {finding.rule for finding in document.review.findings if finding.place not in proposal.clears}
        cleared = tuple(dict.fromkeys(rule for rule, _, _ in proposal.clears if rule not in left))
        yield _action(f"Remedy: {words} (clears {count(len(proposal.clears), 'finding')})", document, text, cleared)


# values that are missing


def _filled_in(document: Document, found: list[Finding], gaps: list[NotChecked]) -> Iterator[Action]:
    here = [*(finding.pointer for finding in found if is_gap(finding)), *_lacking(gaps)]
    review = document.review
    every = [*(finding.pointer for finding in review.findings if is_gap(finding)), *_lacking(held_gaps(review))]
    rules = tuple(dict.fromkeys([*(one.rule for one in found if is_gap(one)), *(gap.rule for gap in gaps)]))
    if not here:
        return
    text = with_empty_keys(document.text, here)
    if text is not None:
        yield _action(f"Add {_named(here)} to fill in", document, text, rules)
    whole = with_empty_keys(document.text, every)
    if whole not in (None, text):
        assert whole is not None
        yield _action(f"Add all {len(dict.fromkeys(every))} missing values to fill in", document, whole, rules)


def _lacking(gaps: list[NotChecked]) -> list[str]:
    return [pointer for gap in gaps if gap.reason == "input missing" for pointer in gap.missing]


def _named(pointers: list[str]) -> str:
    once = list(dict.fromkeys(pointers))
    return once[0] if len(once) == 1 else f"{len(once)} missing values"


# catalog parts


def _parts(document: Document, figures: Figures, span: Range) -> Iterator[Action]:
    """Parts of the catalog that agree with what is written in the group at a place."""
    cursor = cursor_at(document.text, document.lines.offset(span.start))
    if cursor is None:
        return
    steps = cursor.steps
    place = next((found for depth in range(len(steps), 0, -1) if (found := _group(steps[:depth])) is not None), None)
    if place is None:
        return
    try:
        written = node_at(figures.spec.written, place.steps)
    except LookupError:
        return
    if not isinstance(written, Mapping) or not written or written.get(place.term.part_key) is not None:
        return
    fitting = [part for part in document.library.catalog.values() if _agrees(part, place, figures)]
    for part in fitting[:MOST_PARTS]:
        try:
            text = edited(document.text, _nested((*place.steps, place.term.part_key), part.name))
        except WrongCall:
            continue
        yield _action(f"Use the part {part.name} ({part.title})", document, text, is_fix=False)


def _group(steps: tuple[str, ...]) -> Place | None:
    place = place_at(steps)
    return place if place is not None and place.term.catalog is not None else None


def _nested(steps: tuple[str, ...], name: str) -> Patch:
    patch: Patch = {steps[-1]: name}
    for step in reversed(steps[:-1]):
        patch = {step: patch}
    return patch


def _agrees(part: Part, place: Place, figures: Figures) -> bool:
    """Whether a part is of the group's kind and gives nothing else than what the group gives already."""
    if part.kind != place.term.catalog:
        return False
    for name, value in part.read.items():
        held = figures.spec.values.get(f"{place.term.name}.{name}")
        if isinstance(held, dict) and place.key is not None:
            held = None if place.key == EACH else held.get(place.key)
        alike = isinstance(held, float) and isinstance(value, float) and same(held, value)
        if held is not None and held != value and not alike:
            return False
    return True


# sign-offs


def _sign_offs(document: Document, found: list[Finding]) -> Iterator[Action]:
    rules = dict.fromkeys(
        finding.rule
        for finding in found
        if finding.rule in document.library.all_rules and document.library.all_rules[finding.rule].sign_off != "never"
    )
    for rule in rules:
        text = _with_draft(document, rule)
        if text is not None:
            yield _action(f"Draft the sign-off of {rule}", document, text, (rule,))


def _with_draft(document: Document, rule: str) -> str | None:
    """The text with the sign-offs of a rule to fill in; ``None`` where there are none, or no place for them."""
    record = evaluate(document.text, document.library).record
    record = with_sign_offs(record, source_of(document.path, document.text))
    try:
        draft = draft_approvals(record, document.library, document.call.policy, document.path, rule)
    except WrongCall:
        return None
    blocks = [line for line in draft.splitlines() if line and not line.startswith(("#", "approvals:"))]
    tree = document.review.spec.written if document.review.spec is not None else None
    if not isinstance(tree, Mapping):
        return None
    text, end = document.text, "\r\n" if "\r\n" in document.text else "\n"
    held = tree.get("approvals")
    if isinstance(held, Mapping) and held:
        first = next(iter(held.marks.values()))
        start = first.index - first.column + len(text) - len(text.removeprefix("\ufeff"))
        lines = "".join(" " * (first.column - 2) + line + end for line in blocks)
        made = text[:start] + lines + text[start:] if first.column >= 2 else text
    elif "approvals" in tree:
        return None
    else:
        made = re.sub(r"(?<![\r\n])\Z", end, text) + f"approvals:{end}" + "".join(line + end for line in blocks)
    return made if _adds_only_sign_offs(text, made) else None


def _adds_only_sign_offs(before: str, after: str) -> bool:
    old, new = parse(before).tree, parse(after).tree
    if not isinstance(old, Mapping) or not isinstance(new, Mapping) or before == after:
        return False
    was, now = old.pop("approvals", None), new.pop("approvals", None)
    kept = isinstance(now, Mapping) and (
        was is None or (isinstance(was, Mapping) and all(now.get(key) == was[key] for key in was))
    )
    return kept and given_of(old) == given_of(new)


# designs


def _touches_stage(document: Document, span: Range) -> bool:
    spec = document.review.spec
    return spec is not None and document.lines.range(*spec.span("/stage")).touches(span)


def _designs(document: Document) -> Iterator[Action]:
    """The next stage, worked out: one action for each design that fits."""
    try:
        found = propose(source_of(document.path, document.text), document.call)
    except WrongCall:
        return
    for variant in found.variants:
        values, asked = count(len(variant.values), "value"), f"{len(variant.open)} open"
        yield _action(
            f"Propose the {found.stage} stage: {variant.name} ({values}, {asked})", document, variant.text, is_fix=False
        )

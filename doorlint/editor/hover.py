"""What a value is, what becomes of it, which rules read it, and how far it may move."""

from __future__ import annotations

import math
from collections.abc import Iterator

from doorlint import quantities
from doorlint.derivation import Derivation
from doorlint.editor.cursor import Cursor, cursor_at
from doorlint.editor.document import Document, Figures
from doorlint.editor.protocol import Hover, Position, Range
from doorlint.editor.spec_terms import Place, part_group, place_at
from doorlint.quantities import System
from doorlint.remedies.ranges import NEVER_NEGATIVE, Stop, range_of
from doorlint.remedies.ranges import Range as Room
from doorlint.reports.markdown import code, escaped
from doorlint.reports.words import source_text
from doorlint.rulebook.library import RULE
from doorlint.rulebook.rule import Outcome, Rule
from doorlint.spec import Mapping, Node
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term
from doorlint.spec.yaml_positions import node_at

__all__ = ["hover"]

MOST_FIGURES = 6
MOST_RULES = 6
PART_HELP = "Names a part of a catalog, which gives the values that are left empty beside it."
EACH_HELP = "Holds for each of them that does not say otherwise."
NOT_CURRENT = "*The text cannot be read at present: these are the last figures that could be worked out.*"


def hover(document: Document, position: Position) -> Hover | None:
    """What there is to say of the key or value at a place; ``None`` where nothing of the spec is written."""
    lines = document.lines
    cursor = cursor_at(document.text, lines.offset(position))
    if cursor is None or not cursor.word:
        return None
    blocks = _value(cursor, document) if part_group(cursor.steps) is None else _part(cursor, document)
    if not blocks:
        return None
    if document.figures is not None and not document.is_readable:
        blocks.append(NOT_CURRENT)
    return Hover(Range(lines.at_offset(cursor.start), lines.at_offset(cursor.end)), "\n\n".join(blocks))


def _part(cursor: Cursor, document: Document) -> list[str]:
    """What a catalog part stands for."""
    part = document.library.catalog.get(cursor.word)
    if part is None:
        return [PART_HELP]
    values = [f"- {key.replace('_', ' ').replace('.', ' ')}: {value}" for key, value in _flat(part.values)]
    return [f"**{escaped(part.title)}**", "\n".join(map(escaped, values)), escaped(part.document)]


def _flat(values: object, above: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(values, dict):
        for key, value in values.items():
            yield from _flat(value, f"{above}{key}.")
    else:
        yield above[:-1], str(values)


def _value(cursor: Cursor, document: Document) -> list[str]:
    if cursor.steps and cursor.steps[-1] == EACH:
        return [EACH_HELP]
    place = place_at(cursor.steps)
    if place is None:
        return []
    term = place.term
    if term.name == "approval.rule" and cursor.key is not None:
        return _rule(cursor.word, document)
    blocks = [f"**{_label(place)}**\n\n{escaped(term.description)}".rstrip()]
    if not all(choice in term.description for choice in term.choices):
        blocks[0] += f" ({', '.join(term.choices)})"
    if document.figures is None:
        return blocks
    if term.kind == "group":
        return [*blocks, *_given_elsewhere(place, document.figures)]
    if term.kind == "map":
        return blocks
    for key in place.things(document.figures)[:1]:
        blocks += _worked(term, key, document, document.figures)
    return blocks


def _rule(name: str, document: Document) -> list[str]:
    """What a rule asks, why, and where it comes from."""
    rule = document.library.all_rules.get(name)
    if rule is None:
        return []
    signed = "Nobody may sign it off." if rule.sign_off == "never" else "A supervisor may sign it off."
    return [f"**{escaped(rule.title)}**", escaped(rule.why), f"Source: {escaped(source_text(rule.source))}. {signed}"]


def _given_elsewhere(place: Place, figures: Figures) -> Iterator[str]:
    """What ``each`` and a part give in a group, which is not written in it."""
    spec = figures.spec
    written, whole = (_leaves(tree, place.steps) for tree in (spec.written, spec.tree))
    lines = [f"- {'.'.join(path)}: {escaped(text)}" for path, text in whole.items() if path not in written]
    if lines:
        yield "\n".join(["Given by `each` or `part`:", "", *lines])


def _leaves(tree: Node, steps: tuple[str, ...]) -> dict[tuple[str, ...], str]:
    """The values that are written in a group, by their paths in it."""
    try:
        node = node_at(tree, steps)
    except LookupError:
        return {}
    found: dict[tuple[str, ...], str] = {}
    for key, value in node.items() if isinstance(node, Mapping) else ():
        if isinstance(value, str):
            found[(key,)] = value
        else:
            found |= {(key, *path): text for path, text in _leaves(value, ()).items()}
    return found


def _label(place: Place) -> str:
    text = VOCABULARY.label(place.term.name, place.key)
    return escaped(text[:1].upper() + text[1:])


def _worked(term: Term, key: str | None, document: Document, figures: Figures) -> Iterator[str]:
    """The value in both systems, the figures made from it, the rules that read it, and how far it may move."""
    job, system = figures.job, document.review.system
    value = job.values.get(term.name)
    value = value.get(key) if key is not None and isinstance(value, dict) else value
    if value is None:
        yield "Not given."
    elif said := _both(value, term, key, figures, system):
        yield said
    derivation = Derivation(job, document.library, system)
    if made := list(_figures(term, key, derivation)):
        yield _listed("What it becomes", made, MOST_FIGURES)
    if checks := _checks(term, key, document, figures):
        yield _listed("Checked by", checks, MOST_RULES)
    if value is not None:
        yield from _may_move(term, key, document, figures)


def _both(value: object, term: Term, key: str | None, figures: Figures, system: System) -> str:
    """A quantity as it is written, and in the other unit system."""
    if term.dimension is None or not isinstance(value, int | float):
        return ""
    written = figures.spec.text(VOCABULARY.pointer_of(term.name, key)) or ""
    own: System = quantities.system_of(written) or system
    one, two = (quantities.write(value, term.dimension, which) for which in (own, "si" if own == "us" else "us"))
    return f"{code(written)} = {two}" if one != two else code(written)


def _listed(title: str, lines: list[str], most: int) -> str:
    more = [f"- and {len(lines) - most} more"] if len(lines) > most else []
    return "\n".join([f"{title}:", "", *(f"- {line}" for line in lines[:most]), *more])


def _figures(term: Term, key: str | None, derivation: Derivation) -> Iterator[str]:
    """The figures that are worked out from the value directly."""
    graph = derivation.job.graph
    made = [(name, node) for name, node in graph.nodes.items() if node.function and term.name in node.reads]
    # First what is said of the thing itself, then what is said of the whole door, then columns of other things.
    made.sort(key=lambda item: 0 if item[1].axis == term.axis else 1 if item[1].axis is None else 2)
    for name, node in made:
        own = key if node.axis is not None and node.axis == term.axis else None
        step = derivation.step(name, own)
        if step is not None and step.text and _has_words(derivation.job.at(name, own), node.dimension):
            yield escaped(f"{step.label}: {step.text}")


def _has_words(value: object, dimension: str | None) -> bool:
    """Whether a figure is more than a row of numbers without a unit."""
    if isinstance(value, dict):
        return all(_has_words(entry, dimension) for entry in value.values())
    return dimension is not None or isinstance(value, bool | str)


def _checks(term: Term, key: str | None, document: Document, figures: Figures) -> list[str]:
    """The rules of the stage that the value moves, the nearest to its limit first."""
    found: list[tuple[float, str]] = []
    asked = set(document.library.asked(figures.stage))
    open_rules = {gap.rule for gap in document.review.not_checked}
    for rule in document.library.readers(term.name):
        if rule.id not in asked:
            continue
        outcomes: list[Outcome] = [o for o in figures.job.cell(RULE + rule.id) if _concerns(o, rule, term, key)]
        if not outcomes:
            continue
        worst = min(outcomes, key=_closeness)
        waits = worst.state == "unknown" and rule.id not in open_rules  # for what a later stage asks
        if not waits and (rule.kind.compares or worst.state != "met"):
            exact = worst.state == "met" and worst.margin == 0 and rule.dimension in ("count", "ratio")
            near = math.inf if exact else _closeness(worst)  # what is as it has to be is not near to anything
            found.append((near, _check(worst, rule, document.review.system)))
    return [text for _, text in sorted(found)]


def _concerns(outcome: Outcome, rule: Rule, term: Term, key: str | None) -> bool:
    return key is None or rule.axis != term.axis or outcome.key == key


def _closeness(outcome: Outcome) -> float:
    """How near an outcome is to its limit: what is short first, then what could not be checked."""
    if outcome.state == "short":
        return -2.0
    if outcome.state == "unknown":
        return -1.0
    if outcome.margin is None or not isinstance(outcome.limit, int | float) or not outcome.limit:
        return math.inf
    return abs(outcome.margin / outcome.limit)


def _check(outcome: Outcome, rule: Rule, system: System) -> str:
    """One rule as a line: what it asks, and what there is to spare."""
    said = escaped(rule.title)
    if outcome.state == "unknown":
        said += ": not checked"
    elif outcome.margin is not None and rule.dimension is not None:
        amount = quantities.write(abs(outcome.margin), rule.dimension, system)
        said += f": {amount} {'short' if outcome.state == 'short' else 'to spare'}"
    elif outcome.state == "short":
        said += ": not met"
    return f"{said} {code(rule.id)}"


def _may_move(term: Term, key: str | None, document: Document, figures: Figures) -> Iterator[str]:
    """How far a quantity may move, either way, before a verdict changes."""
    room = range_of(
        figures.job, term, key, figures.stage, document.library, document.call.policy, document.review.system
    )
    if room is not None:
        system = document.review.system
        to_nothing = room.dimension in NEVER_NEGATIVE and room.value <= room.bound
        down = "to nothing" if room.down is None and to_nothing else _way(room, room.down, system)
        yield f"May move down {down}, up {_way(room, room.up, system)}."


def _way(room: Room, stop: Stop | None, system: System) -> str:
    if stop is None:
        return f"at least {quantities.write(room.bound, room.dimension, system)}"
    amount = _at_most(stop.moved, room.dimension, system) if stop.moved else "not at all"
    return f"{amount} (then {code(stop.rule)} changes)"


def _at_most(amount: float, dimension: str, system: System) -> str:
    """An amount in words that, taken as printed, is no more than it is.

    >>> _at_most(0.0254 * 3, "length", "us"), _at_most(0.001, "weight", "si")
    ('3 in', '0 kg')
    """
    for text in (
        quantities.write(amount, dimension, system, denominator=64),
        quantities.write(amount, dimension, system, places=2),
    ):
        if quantities.read(text, dimension) <= amount * (1 + 1e-9):
            return text
    return quantities.write(0.99 * amount, dimension, system, places=2)

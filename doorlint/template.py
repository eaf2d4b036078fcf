"""A spec to fill in: every value that a rule of the stage reads, in the vocabulary's order, with its meaning."""

from __future__ import annotations

import json
import math
import textwrap
from collections.abc import Iterable, Iterator
from typing import Final, Literal, NamedTuple

from doorlint.counterbalance import KINDS, described, every, named
from doorlint.counterbalance.kind import Counterbalance
from doorlint.rulebook.library import RULE, Library
from doorlint.spec import Mapping, Node, Sequence, Spec, parse
from doorlint.spec.pointer import escaped, steps
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term

SCHEMA = "job-spec.schema.json"
MODELINE = f"# yaml-language-server: $schema={SCHEMA}"
FIRST_KEYS: dict[str, tuple[str, ...]] = {
    "hanger": ("left-1", "left-2", "right-1", "right-2"),
    "cable": ("left", "right"),
    "mount": ("track-left", "track-right"),
    "fitting": ("roller", "hinge", "bottom-bracket", "bumper"),
}
OWN: dict[str, frozenset[str]] = {
    axis: frozenset(f"{axis}.{name}" for name in names)
    for axis, names in {
        "section": ("weight", "hinge"),
        "hanger": ("side", "station", "drop"),
        "mount": ("part", "hardware", "side", "reach", "capacity"),
        "box": ("sections", "plates", "chain"),
        "cable": ("side", "length"),
        "pulley": ("at", "side"),
        "spring": ("side", "wind", "turns", "anchor", "cone", "inside"),
        "bearing": ("station",),
        "coupler": ("station",),
    }.items()
}
"""What each thing of an axis has of its own; the rest is asked once for all. On other axes each has all of its own."""
FIRST_ONLY: Final = frozenset({"section.glass", "section.strut"})
"""Groups that few things of their axis have: the first thing shows the lines."""
NOT_LAST: Final = frozenset({"box.chain"})
"""Groups that lead to the next thing: the last thing has none."""
TALLEST_SECTION: Final = 24 * 0.0254
"""Sections are seldom taller (m): common practice."""
COMMON = [tuple(node.get("examples", ())) for node in VOCABULARY.schema["$defs"].values()]
"""Examples that show how a measure of a dimension is written, not what this one is like."""


class Line(NamedTuple):
    """One line of a spec to fill in: where it stands, what it is, and what is written there."""

    sort: Literal["group", "things", "thing", "value", "part"]
    """a group of values, a map of named things, one of them, a value, or the name of a catalog part"""
    term: Term
    """its word; of a part, the group that it fills"""
    pointer: str
    held: Node = None
    """what is written there; nothing for what is not given yet"""
    asked: bool = True
    """whether the reader needs to know what it means"""


class Blank(NamedTuple):
    """A spec to fill in for a stage and a counterbalance."""

    stage: str
    kind: Counterbalance
    lines: tuple[Line, ...]
    before: frozenset[str] = frozenset()
    """the values that the stage so far asked for, by name"""


class Form(NamedTuple):
    """What a spec to fill in asks for: ``wanted`` values by name, ``before`` those that the stage so far asked for,
    and the parts of the job that it leaves out because another takes their place."""

    wanted: set[str]
    before: set[str]
    unwanted: set[str]
    fixed: dict[str, str]
    first_keys: dict[str, tuple[str, ...]]
    """names for the first things of an axis"""


def blank_of(
    library: Library, stage: str | None = None, counterbalance: str | None = None, known: Spec | None = None
) -> Blank:
    """A spec to fill in for a stage and a counterbalance (a key of ``counterbalance.KINDS``).

    Lines to fill in have no value yet. The values of ``known`` are put in as written there, whether the stage asks
    for it or not; where they are not given, stage and counterbalance are those of ``known``, else survey and the first
    kind. Raises :class:`WrongCall` when ``known`` could not be read.
    """
    tree = known.written if known is not None and isinstance(known.written, Mapping) else Mapping()
    stage = stage or (known and known.stage) or "survey"
    kind = named(counterbalance) if counterbalance else [*described(tree), *every()][0]
    before = _read_by(library, known.stage, kind) if known is not None and known.stage else set()
    form = Form(
        _read_by(library, stage, kind), before, _other_parts(kind), {"doorlint": "1", "stage": stage},
        {**FIRST_KEYS, **kind.example_keys, **_counted(known)},
    )  # fmt: skip
    lines = _lines(VOCABULARY.root.parts.values(), _Ask(form), tree, tree if known is None else known.tree, "")
    return Blank(stage, kind, tuple(lines), frozenset(before))


def as_yaml(blank: Blank) -> str:
    """A spec to fill in as YAML, each line that is asked for with what it means."""
    lines = [
        MODELINE,
        f"# An overhead door at the stage of {blank.stage}. An empty value is not given yet: fill it in.",
        "# Write every measure with its unit: 12'-2 1/2\", 3660 mm. Left and right are seen from inside.",
        "# `each:` holds for every thing below it that does not say otherwise; `part:` names a part of a catalog,",
        "# which gives the values that you leave empty beside it. Take out what the job does not have, with all that",
        "# is indented below it; copy the lines of what it has more of under a new name. Nobody checks remarks (#).",
        "# Then: doorlint review THIS-FILE. The next stage: doorlint blank --from THIS-FILE --stage STAGE",
        f"# An editor helps once the schema is beside this file: doorlint blank --schema --out {SCHEMA}",
    ]
    for line in blank.lines:
        pad = "  " * (line.pointer.count("/") - 1)
        if line.asked and line.sort != "thing":
            lines += textwrap.wrap(hint(line), 110, initial_indent=f"{pad}# ", subsequent_indent=f"{pad}# ")
        lines.append(f"{pad}{steps(line.pointer)[-1]}:{'' if line.held is None else f' {_written(line.held)}'}")
    return "\n".join(lines) + "\n"


def _other_parts(kind: Counterbalance) -> set[str]:
    """The groups and maps that only doors with another counterbalance have."""
    others = [other for other in every() if other.name != kind.name]
    axes = {axis for other in others for axis in other.example_keys} - kind.example_keys.keys() - FIRST_KEYS.keys()
    return {other.name for other in others} | {VOCABULARY.axes[axis].map for axis in axes}


def _counted(known: Spec | None) -> dict[str, tuple[str, ...]]:
    """Names for as many sections, boxes and readings as the door has, or the opening needs; for two where neither is
    known."""
    values = {} if known is None else known.values
    heights = [values[f"opening.height.{at}"] for at in ("left", "middle", "right") if f"opening.height.{at}" in values]
    needed = max(1, math.ceil(min(heights) / TALLEST_SECTION - 1e-9)) if heights else 2
    count = range(1, 1 + (len(values.get("section", ())) or needed))
    return {
        "section": tuple(f"s{number}" for number in count),
        "box": tuple(f"b{number}" for number in count),
        "reading": ("closed", *(f"mark-{number}" for number in count)),
    }


def _read_by(library: Library, stage: str, kind: Counterbalance) -> set[str]:
    """The names of the values that some rule of a stage reads, for a door with that counterbalance."""
    asked = {"doorlint", "stage", "job.number"}
    for rule in rules_of(library, stage, kind):
        asked.update(library.graph.upstream(RULE + rule))
    later = _parts_asked(library, "commissioned", kind) - _parts_asked(library, stage, kind)
    return {
        name
        for name in asked
        if name in VOCABULARY.leaves
        and not name.startswith(("practice.", "approval."))
        and VOCABULARY.part_of(name) not in later
    }


def _parts_asked(library: Library, stage: str, kind: Counterbalance) -> set[str]:
    """The parts of the job that a stage must have."""
    wanted = (place.name for rule in rules_of(library, stage, kind) for place in library.compiled_rules[rule].wanted)
    return {VOCABULARY.part_of(name) for name in wanted}


def rules_of(library: Library, stage: str, kind: Counterbalance) -> Iterator[str]:
    """The rules of a stage, but for those of another counterbalance."""
    for rule in library.due(stage):
        compiled = library.compiled_rules[rule]
        given = {condition.name: condition.wanted for condition in compiled.when if isinstance(condition.wanted, bool)}
        if given.get(kind.name, True) and not any(given.get(other) for other in KINDS.keys() - {kind.name}):
            yield rule


class _Ask:
    """Which values a part of the form has an empty line for."""

    def __init__(self, form: Form) -> None:
        self.form = form

    def line(self, term: Term) -> bool:
        """Whether to ask for this value."""
        return term.name in self.form.wanted

    def part(self, term: Term) -> bool:
        """Whether to ask for the name of a catalog part for this group."""
        return term.catalog is not None

    def left_out(self, term: Term) -> bool:
        """Whether the job does not have this: another counterbalance takes its place, or it was asked for before and
        whoever filled that in took it out. A whole part of the job is asked for until it is there."""
        whole_part = term.kind == "group" and term.pointer.count("/") == 1
        return term.name in self.form.unwanted or (not whole_part and _holds(term, self.form.before))

    def anything(self, term: Term, full: Node) -> bool:
        """Whether to ask for anything in this group."""
        for key, part in term.parts.items():
            if part.kind == "map":
                if _holds(part, self.form.wanted):
                    return True
                continue
            inside = full.get(key) if isinstance(full, Mapping) else None
            if part.kind == "group" and self.anything(part, inside):
                return True
            if part.kind != "group" and inside is None and self.line(part):
                return True
        return False


class _AskOnce(_Ask):
    """What is asked once for all things of an axis."""

    def line(self, term: Term) -> bool:
        return super().line(term) and not _in(term.name, OWN[term.axis or ""]) and not _in(term.name, FIRST_ONLY)

    def part(self, term: Term) -> bool:
        return not _own_part(term)


class _AskOwn(_Ask):
    """What is asked of one thing of an axis; of the first, what few of them have too."""

    def __init__(self, form: Form, first: bool, last: bool) -> None:
        super().__init__(form)
        self.first, self.last = first, last

    def line(self, term: Term) -> bool:
        own = _in(term.name, OWN[term.axis or ""]) or (self.first and _in(term.name, FIRST_ONLY))
        return super().line(term) and own and not (self.last and _in(term.name, NOT_LAST))

    def part(self, term: Term) -> bool:
        return _own_part(term) or "." in term.name  # of a thing, `each` asks for the part


def _own_part(term: Term) -> bool:
    """Whether each thing of an axis has a catalog part of its own."""
    return _in(f"{term.name}.{term.part_key}", OWN[term.axis or ""])


def _in(name: str, groups: frozenset[str]) -> bool:
    """Whether a name is one of these, or that of a value in one of these groups."""
    return any(name == group or name.startswith(f"{group}.") for group in groups)


def _lines(parts: Iterable[Term], ask: _Ask, written: Node, full: Node, place: str) -> Iterator[Line]:
    """The lines of a group: what is ``written`` in it, and an empty line for what is asked and not in ``full``."""
    for term in parts:
        key = term.pointer.rpartition("/")[2]
        pointer = f"{place}/{key}"
        held, whole = (node.get(key) if isinstance(node, Mapping) else None for node in (written, full))
        if term.kind == "map":
            yield from _things(term, ask.form, held, whole, pointer)
        elif term.kind == "group":
            if held is not None or (not ask.left_out(term) and ask.anything(term, whole)):
                yield Line("group", term, pointer)
                yield from _part(term, ask, held, whole, pointer)
                yield from _lines(term.parts.values(), ask, held, whole, pointer)
        elif held is not None and term.name not in ask.form.fixed:
            yield Line("value", term, pointer, held, asked=False)
        elif (whole is None and ask.line(term)) or term.name in ask.form.fixed:
            yield Line("value", term, pointer, ask.form.fixed.get(term.name))


def _things(term: Term, form: Form, held: Node, whole: Node, place: str) -> Iterator[Line]:
    """The lines of a map of named things."""
    if held is None and (_Ask(form).left_out(term) or not _holds(term, form.wanted)):
        return
    thing = term.parts["{}"]
    written, full = (node if isinstance(node, Mapping) else Mapping() for node in (held, whole))
    yield Line("things", term, place)
    if thing.name in OWN:
        given = _given_by_all(full)
        if EACH in written or _AskOnce(form).anything(thing, given):
            yield from _thing(thing, _AskOnce(form), written.get(EACH), given, f"{place}/{EACH}")
    given_keys = [key for key in written if key != EACH or not term.each]
    keys = given_keys or list(form.first_keys.get(thing.name, ("first",)))
    for number, key in enumerate(keys):
        ask = _Ask(form)
        if thing.name in OWN:
            ask = _AskOwn(form, number == 0 and not given_keys, number == len(keys) - 1)
        yield from _thing(thing, ask, written.get(key), full.get(key), f"{place}/{escaped(key)}")


def _thing(thing: Term, ask: _Ask, written: Node, full: Node, pointer: str) -> Iterator[Line]:
    """The lines of one of the things of a map, or of what holds for each of them."""
    yield Line("thing", thing, pointer)
    yield from _part(thing, ask, written, full, pointer)
    yield from _lines(thing.parts.values(), ask, written, full, pointer)


def _part(term: Term, ask: _Ask, written: Node, full: Node, place: str) -> Iterator[Line]:
    """The line that names a catalog part: as it is written, or empty where a value is asked that a part may give."""
    if term.catalog is None:
        return
    held = written.get(term.part_key) if isinstance(written, Mapping) else None
    if held is not None:
        yield Line("part", term, f"{place}/{term.part_key}", held, asked=False)
    elif ask.part(term) and any(
        ask.line(part) and (not isinstance(full, Mapping) or full.get(key) is None) for key, part in term.parts.items()
    ):
        yield Line("part", term, f"{place}/{term.part_key}")


def _given_by_all(things: Mapping) -> Mapping:
    """What every thing has, as one group."""
    common = Mapping()
    values = list(things.values())
    for key, value in values[0].items() if values and isinstance(values[0], Mapping) else ():
        held = [thing.get(key) if isinstance(thing, Mapping) else None for thing in values]
        if isinstance(value, Mapping):
            named = Mapping()
            named.update({str(number): inner for number, inner in enumerate(held)})
            common[key] = _given_by_all(named)
        elif all(one is not None for one in held):
            common[key] = value
    return common


def _holds(term: Term, wanted: set[str]) -> bool:
    return term.name in wanted or any(_holds(part, wanted) for part in term.parts.values())


def hint(line: Line) -> str:
    """What a line means, and how its value is written.

    >>> hint(Line("value", VOCABULARY.term("room.headroom"), "/room/headroom")).rpartition("; ")[2]
    'for example 24 in'
    """
    term = line.term
    if line.sort == "part":
        return f"The name of a {term.catalog} of a catalog, instead of the values that it gives"
    if term.choices:
        return f"{term.description}; one of {', '.join(term.choices)}"
    if term.kind == "flag":
        return f"{term.description}; true or false"
    if not term.examples or (term.examples in COMMON and term.dimension == "length"):
        return term.description  # the top of the file says how a length is written
    return f"{term.description}; {'written like' if term.examples in COMMON else 'for example'} {term.examples[0]}"


def _written(held: Node, before: str = "- ", behind: str = "") -> str:
    """A value as YAML that reads as it was written, between what stands before and behind it on its line."""
    if isinstance(held, Sequence):
        return f"[{', '.join(_written(item, '[', ']') for item in held)}]"
    text = str(held)
    if parse(f"{before}{text}{behind}").tree == [text]:
        return text
    quoted = "'" + text.replace("'", "''") + "'"
    return quoted if parse(quoted).tree == text else json.dumps(text, ensure_ascii=False)

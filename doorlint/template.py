"""A spec to fill in: every value that a stage asks for, in the vocabulary's order, each with what it means."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from doorlint.counterbalance import KINDS, described, every, named
from doorlint.counterbalance.kind import Counterbalance
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Rule
from doorlint.spec import Mapping, Node, Sequence, Spec, parse
from doorlint.spec.vocabulary import VOCABULARY, Term

SCHEMA = "job-spec.schema.json"
MODELINE = f"# yaml-language-server: $schema={SCHEMA}"
FIRST_KEYS: dict[str, tuple[str, ...]] = {
    "section": ("s1", "s2"),
    "hanger": ("left-1", "right-1"),
    "cable": ("left", "right"),
    "mount": ("track-left", "track-right"),
    "reading": ("closed", "mark-1"),
}
COMMON = [tuple(node.get("examples", ())) for node in VOCABULARY.schema["$defs"].values()]
"""Examples that show how a measure of a dimension is written, not what this one is like."""


class Form(NamedTuple):
    """What a spec to fill in asks for: ``wanted`` values by name, ``before`` those that the stage so far asked for,
    and the parts of the job that it leaves out because another takes their place."""

    wanted: set[str]
    before: set[str]
    unwanted: set[str]
    fixed: dict[str, str]
    first_keys: dict[str, tuple[str, ...]]
    """names for the first things of an axis"""


def fill_in_template(
    library: Library, stage: str | None = None, counterbalance: str | None = None, known: Spec | None = None
) -> str:
    """The text of a spec to fill in for a stage and a counterbalance (a key of ``counterbalance.KINDS``).

    Lines to fill in have no value yet; a value left empty is one not given. What ``known`` says stands in it as it was
    written there, whether the stage asks for it or not; where they are not given, stage and counterbalance are those
    of ``known``, else survey and the first kind. Raises :class:`WrongCall` when ``known`` could not be read.
    """
    tree = known.tree if known is not None and isinstance(known.tree, Mapping) else Mapping()
    stage = stage or (known and known.stage) or "survey"
    kind = named(counterbalance) if counterbalance else [*described(tree), *every()][0]
    lines = [
        MODELINE,
        f"# An overhead door at the stage of {stage}. What stands empty is not given yet: fill it in.",
        "# Write every measure with its unit: 12'-2 1/2\", 3660 mm. Left and right are seen from inside.",
        "# What the job does not have, take out with all that stands further in below it; of what it has more of,",
        "# copy the lines and give each a name. What stands behind a # is a remark that nobody checks.",
        "# Then: doorlint review THIS-FILE. The next stage: doorlint blank --from THIS-FILE --stage STAGE",
        f"# An editor helps once the schema lies beside this file: doorlint blank --schema --out {SCHEMA}",
    ]
    before = _asked(library, known.stage, kind) if known is not None and known.stage else set()
    form = Form(
        _asked(library, stage, kind), before, KINDS.keys() - {kind.name}, {"doorlint": "1", "stage": stage},
        {**FIRST_KEYS, **kind.example_keys},
    )  # fmt: skip
    lines += _lines(VOCABULARY.root.parts.values(), form, tree, 0)
    return "\n".join(lines) + "\n"


def _asked(library: Library, stage: str, kind: Counterbalance) -> set[str]:
    """The names of the values that a stage asks for."""
    rules = (rule for rule in library.in_force(stage) if _asks(rule, kind))
    return {"doorlint", "stage", "job.number"} | {name for rule in rules for name in rule.wanted}


def _asks(rule: Rule, kind: Counterbalance) -> bool:
    when = rule.statement.get("when", {})
    others = KINDS.keys() - {kind.name}
    return (
        not rule.kind.compares
        and when.get(kind.name) != "absent"
        and not any(when.get(other) == "given" for other in others)
    )


def _lines(parts: Iterable[Term], form: Form, known: Node, depth: int) -> Iterator[str]:
    pad = "  " * depth
    for term in parts:
        key = term.pointer.rpartition("/")[2]
        held = known.get(key) if isinstance(known, Mapping) else None
        if held is None and (term.name in form.unwanted or not _holds(term, form.wanted) or _left_out(term, form)):
            continue
        if term.kind == "map":
            yield from _remark(term, pad)
            yield f"{pad}{key}:"
            named = held if isinstance(held, Mapping) else Mapping()
            for name in named or form.first_keys.get(term.schema["x-axis"], ("first",)):
                yield f"{pad}  {name}:"
                yield from _lines(term.parts["{}"].parts.values(), form, named.get(name), depth + 2)
        elif term.kind == "group":
            yield from _remark(term, pad)
            yield f"{pad}{key}:"
            yield from _lines(term.parts.values(), form, held, depth + 1)
        elif held is not None and term.name not in form.fixed:
            yield f"{pad}{key}: {_written(held)}"
        else:
            yield from _remark(term, pad)
            yield f"{pad}{key}: {form.fixed.get(term.name, '')}".rstrip()


def _left_out(term: Term, form: Form) -> bool:
    """Whether the job does not have it: it was asked for before, and whoever filled that in took it out."""
    return (term.kind == "map" or (term.kind == "group" and term.axis is not None)) and _holds(term, form.before)


def _holds(term: Term, wanted: set[str]) -> bool:
    return term.name in wanted or any(_holds(part, wanted) for part in term.parts.values())


def _remark(term: Term, pad: str) -> list[str]:
    return textwrap.wrap(_hint(term), 110, initial_indent=f"{pad}# ", subsequent_indent=f"{pad}# ")


def _hint(term: Term) -> str:
    if term.choices:
        return f"{term.description}; one of {', '.join(term.choices)}"
    if term.kind == "flag":
        return f"{term.description}; true or false"
    if not term.examples or (term.examples in COMMON and term.dimension == "length"):
        return term.description  # how a length is written stands at the top
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

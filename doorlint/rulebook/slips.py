"""Slips: the ways people get a number wrong, as data that a shop can extend; each is an edit that undoes it.

A slip has the form of an adjustment: it sets spec values to what a formula gives, to one of some values, or to what
comes of the value itself (more, times, the digits otherwise). Unlike an adjustment it may set what was measured, since
it says that the reading was taken down wrong.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from doorlint.errors import BrokenRules
from doorlint.figures.graph import Graph
from doorlint.quantities import System
from doorlint.rulebook.adjustments import Amount, ComputedValue, amount, condition, formula_of, steps_of
from doorlint.rulebook.formula import Named
from doorlint.rulebook.rule import PLACE
from doorlint.spec.vocabulary import VOCABULARY, Term

NEVER = ("doorlint", "stage", "job", "install", "approval", "practice")
"""What no slip may set: the job's name and stage, what was done, sign-offs and shop figures."""
SAID = frozenset({"name", "other", "off", "large", "many", "by"})
"""The names that the text of a slip may hold."""
ITSELF = "{value}"
"""Stands for the value itself in a formula."""
WAYS = ("add", "times", "to", "rewrite", "units", "like", "exchange", "work_out")
"""The keys of which a slip has one: what the value is set to."""

Rewriting = Literal["swapped-digits", "digit-twice"]


class Slip(NamedTuple):
    """One way to get a number wrong, at the values of one name or of several that go wrong together."""

    name: str
    say: str
    why: str
    measure: str
    common: int
    """from 1, seldom, to 5, often"""
    sets: tuple[str, ...]
    """spec values: one, or several that get the same value"""
    way: str
    """one of ``WAYS``"""
    amounts: tuple[Amount, ...] = ()
    """what is added, the commonest first, or the values to choose from (SI)"""
    factors: tuple[float, ...] = ()
    rewriting: Rewriting | None = None
    units: Mapping[str, tuple[str, ...]] = {}
    """the unit as written, and those that may have been meant"""
    exchanged: str | None = None
    """the value that it is exchanged with; ``None`` for that of another thing"""
    formula: ComputedValue | None = None
    multiple: Mapping[str, float] | None = None
    """of which the worked-out value is a whole number, by unit system"""
    above: bool = False
    """whether the multiple above is taken, else the nearest"""
    nearest: int | None = None
    """how many values on each side are tried"""
    least: float = float("-inf")
    most: float = float("inf")
    named: bool = True
    """whether it is meant for these values, not for all of a dimension"""
    written: System | None = None
    """only where the value is written in this system"""
    together: bool = False
    """all things of the axis are set"""
    copied: bool = False
    """only where a neighbor has the same value"""
    when: Mapping[str, frozenset[Any] | bool] = {}


def slips(written: Iterable[tuple[str, Iterable[Mapping[str, Any]]]], graph: Graph) -> tuple[Slip, ...]:
    """Compile the slips of some folders, a later one over an earlier one of its name; each comes with its folder.

    Raises :class:`BrokenRules`, naming file and slip, for a name that is no spec value, a value that cannot be read, a
    formula of another dimension, and a value that no slip may set.
    """
    known = {node.name: Named(node.dimension, node.axis) for node in graph.nodes.values()}
    made: dict[str, tuple[Slip, ...]] = {}
    for place, entry in ((place, entry) for place, entries in written for entry in entries):
        try:
            made[entry["slip"]] = tuple(_slip(entry, sets, at, known) for at, sets in enumerate(_places(entry)))
        except (BrokenRules, ValueError, KeyError) as broken:
            why = broken.args[0] if broken.args else broken
            raise BrokenRules(f"{place}/slips.yaml: slip {entry['slip']}: {why}") from None
    return tuple(slip for several in made.values() for slip in several)


def _places(entry: Mapping[str, Any]) -> list[tuple[str, ...]]:
    """The values that a slip is tried at, those that go wrong together in one."""
    if "set" in entry:
        return [(one,) if isinstance(one, str) else tuple(one) for one in entry["set"]]
    of = entry["of"]
    return [
        (term.name,)
        for term in VOCABULARY.leaves.values()
        if term.numeric_dimension in of["dimensions"]
        and ("known" not in of or term.known in of["known"])
        and term.name.partition(".")[0] not in NEVER
        and not term.record_only
    ]


def _slip(entry: Mapping[str, Any], sets: tuple[str, ...], at: int, known: Mapping[str, Named]) -> Slip:
    terms = [_term(name) for name in sets]
    term, of = terms[0], entry.get("of", {})
    for place in PLACE.findall(f"{entry['say']} {entry['measure']}"):
        if place not in SAID:
            raise BrokenRules(
                f"{{{place}}} is not filled in; write {', '.join(f'{{{name}}}' for name in sorted(SAID))}"
            )
    if len({(one.axis, one.numeric_dimension) for one in terms}) > 1:
        raise BrokenRules(f"{' and '.join(sets)} are not of one kind")
    way = next(key for key in WAYS if key in entry)
    amounts = tuple(amount(term, text) for text in entry.get(way, ()) if way in ("add", "to") and _fits(term, text))
    other = entry["exchange"][at] if way == "exchange" and entry["exchange"] != ["things"] else None
    formula = None
    if way == "work_out":
        formula = formula_of(term, entry["work_out"].replace(ITSELF, term.name), known)
    bounds = {key: amount(term, text) for key, text in {**of, **entry}.items() if key in ("least", "most")}
    return Slip(
        name=entry["slip"],
        say=entry["say"],
        why=entry["why"],
        measure=entry["measure"],
        common=int(entry["common"]),
        sets=sets,
        way=way,
        amounts=amounts,
        factors=tuple(float(Fraction(text)) for text in entry.get("times", ())),
        rewriting=entry.get("rewrite"),
        units={unit: tuple(meant) for unit, meant in entry.get("units", {}).items()},
        exchanged=None if other is None else _term(other).name,
        formula=formula,
        multiple=steps_of(term, entry.get("round")),
        above=entry.get("round", {}).get("to") == "above",
        nearest=int(entry["nearest"]) if "nearest" in entry else None,
        named="set" in entry,
        written=of.get("written"),
        together=entry.get("things") == "all",
        copied=entry.get("copied") == "true",
        when={name: condition(name, allowed, term.axis) for name, allowed in entry.get("when", {}).items()},
        **bounds,  # type: ignore[arg-type]
    )


def _fits(term: Term, text: str) -> bool:
    """Whether a word is one that the term may have: lists of sides are shared by values with and without a center."""
    return term.kind != "choice" or text in term.choices


def _term(name: str) -> Term:
    term = VOCABULARY.leaves.get(name)
    if term is None:
        raise BrokenRules(f"{name} is no spec value")
    if name.partition(".")[0] in NEVER:
        raise BrokenRules(f"{name} is nothing that a slip may set")
    return term

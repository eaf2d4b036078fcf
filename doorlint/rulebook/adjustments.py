"""Adjustments: what can be set, swapped or built to clear a finding, as data that a shop can extend.

An adjustment sets one spec value, and whatever comes with it. Its values are a list, whole multiples of a step, a set
of parts, or the result of a formula once everything else is changed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Literal, NamedTuple, TypeAlias

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.figures.cells import Parameter, along, once
from doorlint.figures.graph import Graph, Job
from doorlint.rulebook.expression import function_of
from doorlint.rulebook.formula import Formula, Named, compile_formula
from doorlint.rulebook.library import RULE
from doorlint.rulebook.rule import PLACE
from doorlint.spec.vocabulary import VOCABULARY, Term

Kind = Literal["adjustment", "part", "building work"]
KINDS: tuple[Kind, ...] = ("adjustment", "part", "building work")
"""In the order in which a shop prefers them."""
NEVER = ("doorlint", "stage", "job", "install", "as_built", "reading", "approval", "practice")
"""What no adjustment may set: the job's name and stage, records of work, readings, sign-offs and shop figures."""

SAID = frozenset({"thing", "before", "after", "more"})
"""The names that the text of an adjustment may hold."""

Amount: TypeAlias = "float | int | str | bool | None"
"""A value in SI, a count, a choice or a flag; ``None`` takes the value out."""


class ComputedValue(NamedTuple):
    """A value that a formula gives."""

    of: Callable[[Job, str | None], Any]
    """of a job, at one thing: a number; or ``None`` or an Unknown as of any figure"""


class Adjustment(NamedTuple):
    """One thing that can be set to another value."""

    name: str
    kind: Kind
    say: str
    """the change in words; ``{name}`` is a value or figure once it is made"""
    sets: str
    axis: str | None
    dimension: str | None
    """of the value it sets; ``count`` and ``ratio`` for plain numbers, ``None`` for a word or a flag"""
    values: tuple[Amount, ...]
    step: Mapping[str, float] | None
    """by unit system"""
    formula: ComputedValue | None
    """what works the value out"""
    multiple: Mapping[str, float] | None
    """of which the worked-out value is a whole number, by unit system"""
    above: bool
    """whether the multiple above is taken, else the nearest"""
    parts: tuple[Mapping[str, Amount | ComputedValue], ...]
    least: float
    most: float
    within: float
    only: Literal["more", "less"] | None
    together: bool
    """all things of the axis get the same value"""
    adds: bool
    """one more thing is put there"""
    when: Mapping[str, frozenset[Any] | bool]
    """spec values it asks for: allowed ones, or whether given"""
    along: Mapping[str, Amount | ComputedValue]
    """spec values that come with it"""
    scale: tuple[str, ...]
    carry: tuple[str, ...]
    follow: Mapping[str, Mapping[str, frozenset[Any]]]
    """words of other things that change with it where they were the same, and which things those are"""
    confirm: tuple[str, ...]
    not_for: tuple[str, ...]
    """rules of which it is no remedy"""
    names: tuple[str, ...]
    """every spec value that it may set"""


def adjustments(written: Iterable[tuple[str, Iterable[Mapping[str, Any]]]], graph: Graph) -> tuple[Adjustment, ...]:
    """Compile the adjustments of some folders, a later one over an earlier one of its name; each comes with its folder.

    Raises :class:`BrokenRules`, naming file and adjustment, for a name that is no spec value, a value that cannot be
    read, a formula of another dimension, and a value that nobody may change.
    """
    known = {node.name: Named(node.dimension, node.axis) for node in graph.nodes.values()}
    made: dict[str, Adjustment] = {}
    for place, entry in ((place, entry) for place, entries in written for entry in entries):
        try:
            made[entry["dial"]] = _adjustment(entry, known)
        except (BrokenRules, ValueError, KeyError) as broken:
            why = broken.args[0] if broken.args else broken
            raise BrokenRules(f"{place}/adjustments.yaml: dial {entry['dial']}: {why}") from None
    return tuple(made.values())


def _adjustment(entry: Mapping[str, Any], known: Mapping[str, Named]) -> Adjustment:
    term = _term(entry["set"])
    axis = term.axis
    if entry.get("add", axis) != axis:
        raise BrokenRules(f"add: {term.name} is no value of each {entry['add']}")
    _check_words(entry["say"], axis, known)
    numbers = {key: float(amount(term, entry[key])) for key in ("least", "most", "within") if key in entry}  # type: ignore[arg-type]
    formula = None if "work_out" not in entry else formula_of(term, entry["work_out"], known)
    rounding = entry.get("round")
    parts = tuple(_values(part, axis, known) for part in entry.get("parts", ()))
    along = _values(entry.get("with", {}), axis, known)
    scale, carry, confirm = (
        tuple(_term(name).name for name in entry.get(key, ())) for key in ("scale", "carry", "confirm")
    )
    added = [leaf.name for leaf in VOCABULARY.leaves.values() if leaf.axis == axis] if "add" in entry else []
    follow = {name: _things(name, which, term) for name, which in entry.get("follow", {}).items()}
    names = tuple(
        dict.fromkeys([term.name, *along, *scale, *carry, *follow, *(name for part in parts for name in part), *added])
    )
    _allow(names, entry["kind"])
    _check_rules(entry.get("not_for", ()), known)
    return Adjustment(
        name=entry["dial"],
        kind=entry["kind"],
        say=entry["say"],
        sets=term.name,
        axis=axis,
        dimension=term.numeric_dimension,
        values=tuple(amount(term, text) for text in entry.get("to", ())),
        step=steps_of(term, entry.get("step")),
        formula=formula,
        multiple=steps_of(term, rounding),
        above=rounding is not None and rounding["to"] == "above",
        parts=parts,
        least=numbers.get("least", 0.0 if term.dimension != "position" else float("-inf")),
        most=numbers.get("most", float("inf")),
        within=numbers.get("within", float("inf")),
        only=entry.get("only"),
        together=entry.get("things") == "all",
        adds="add" in entry,
        when={name: condition(name, allowed, axis) for name, allowed in entry.get("when", {}).items()},
        along=along,
        scale=scale,
        carry=carry,
        follow=follow,
        confirm=confirm,
        not_for=tuple(entry.get("not_for", ())),
        names=names,
    )


def _check_words(text: str, axis: str | None, known: Mapping[str, Named]) -> None:
    """Refuse a text with a name in braces that nothing fills in."""
    for place in PLACE.findall(text):
        if place not in SAID and (place not in known or known[place].axis not in (None, axis)):
            fix = "write {before}, {after}, {more}, {thing} or the name of a value or figure"
            raise BrokenRules(f"say: {{{place}}} is not filled in; {fix}")


def _check_rules(rules: Iterable[str], known: Mapping[str, Named]) -> None:
    for rule in rules:
        if RULE + rule not in known:
            raise BrokenRules(f"not_for: {rule} is no rule")


def _allow(names: Iterable[str], kind: Kind) -> None:
    for name in names:
        if name.partition(".")[0] in NEVER:
            raise BrokenRules(f"{name} is nobody's dial")
        if kind != "building work" and VOCABULARY.leaves[name].known == "measured":
            raise BrokenRules(f"{name} is measured; only building work changes it")


def _term(name: str) -> Term:
    term = VOCABULARY.leaves.get(name)
    if term is None:
        raise BrokenRules(f"{name} is no spec value")
    return term


def amount(term: Term, text: str) -> Amount:
    """A value as a spec would write it; raises :class:`ValueError` for one that the spec would not take.

    >>> amount(VOCABULARY.leaves["track.radius"], "12 in"), amount(VOCABULARY.leaves["hanger.braced_along"], "true")
    (0.3048, True)
    """
    if term.kind == "quantity" and term.dimension is not None:
        return quantities.read(text, term.dimension, signed=True)
    if term.kind == "count":
        return int(text)
    if term.kind == "number":
        return float(text)
    if term.kind == "flag" and text in ("true", "false"):
        return text == "true"
    if term.kind == "flag":
        raise BrokenRules(f"{term.name} is true or false, not {text}")
    if term.kind == "choice" and text not in term.choices:
        raise BrokenRules(f"{term.name} is one of {', '.join(term.choices)}, not {text}")
    return text


def steps_of(term: Term, entry: Mapping[str, str] | None) -> Mapping[str, float] | None:
    """The steps of a value by unit system, as ``step`` and ``round`` give them; ``None`` where nothing is given."""
    if entry is None:
        return None
    steps = {system: amount(term, entry[system]) for system in ("us", "si")}
    if not all(isinstance(step, int | float) and step > 0 for step in steps.values()):
        raise BrokenRules(f"{term.name} has no steps")
    return steps  # type: ignore[return-value]


def formula_of(term: Term, text: str, known: Mapping[str, Named]) -> ComputedValue:
    """The formula that works a value out; raises :class:`BrokenRules` for one of another dimension."""
    dimension = term.numeric_dimension
    if dimension is None:
        raise BrokenRules(f"{term.name} is not worked out")
    formula = compile_formula(text, known, term.axis)
    if formula.exponents != quantities.dimension_of(dimension):
        raise BrokenRules(f"{text} is no {dimension}")
    return ComputedValue(_worked(formula, term.axis, known))


def _worked(formula: Formula, axis: str | None, known: Mapping[str, Named]) -> Callable[[Job, str | None], Any]:
    function, label = function_of([formula.tree], lambda value: value), f"adjustment: {formula.text}"
    parameters = [
        Parameter(
            argument.name,
            argument.column,
            optional=False,
            gaps=False,
            own=axis is not None and not argument.column and known[argument.name].axis == axis,
        )
        for argument in formula.arguments
    ]
    if axis is None:
        whole = once(label, function, parameters)
        return lambda job, _key: whole(job.cells)
    each = along(label, function, parameters)
    return lambda job, key: each(job.cells, (str(key),))[0][0]


def _values(
    entry: Mapping[str, str | None], axis: str | None, known: Mapping[str, Named]
) -> dict[str, Amount | ComputedValue]:
    made: dict[str, Amount | ComputedValue] = {}
    for name, text in entry.items():
        term = _term(name)
        if term.axis not in (None, axis):
            raise BrokenRules(f"{name} is of each {term.axis}")
        if text is None:
            made[name] = None
            continue
        try:
            made[name] = amount(term, text)
        except ValueError:
            made[name] = formula_of(term, text, known)
    return made


def _things(name: str, which: Mapping[str, list[str]], sets: Term) -> Mapping[str, frozenset[Any]]:
    """Which things follow an adjustment: those of the axis of ``name`` that have one of some values."""
    term = _term(name)
    if term.axis is None or sets.axis is not None or term.kind != "choice":
        raise BrokenRules(f"follow: {name} is no word of named things that could follow {sets.name}")
    for other in which:
        if _term(other).axis != term.axis:
            raise BrokenRules(f"follow: {other} is no value of each {term.axis}")
    return {other: frozenset(amount(_term(other), text) for text in texts) for other, texts in which.items()}


def condition(name: str, allowed: str | list[str], axis: str | None) -> frozenset[Any] | bool:
    """One line of ``when``: the values that will do, or whether the value must be given."""
    if allowed in ("given", "absent"):
        if name not in VOCABULARY.leaves and name not in VOCABULARY.containers:
            raise BrokenRules(f"when: {name} is no part of the spec")
        return allowed == "given"
    term = _term(name)
    if term.axis not in (None, axis):
        raise BrokenRules(f"when: {name} is of each {term.axis}")
    return frozenset(amount(term, text) for text in ([allowed] if isinstance(allowed, str) else allowed))

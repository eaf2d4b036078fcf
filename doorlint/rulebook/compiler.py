"""From a rule as written to its compiled form: names, dimensions and shape are checked."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from doorlint import hashing
from doorlint.errors import BrokenRules
from doorlint.rulebook.compiled_rule import CompiledRule, Condition
from doorlint.rulebook.formula import Argument
from doorlint.rulebook.harm import severity_of
from doorlint.rulebook.kinds import KINDS, Kind
from doorlint.rulebook.kinds.kind import Terms
from doorlint.rulebook.rule import names_in
from doorlint.rulebook.scope import Names, Part, Scope, renumbered


def compile_rule(statement: Mapping[str, Any], names: Names) -> CompiledRule:
    """Check one statement that has the shape of ``schemas/rules.schema.json``.

    Raises :class:`BrokenRules` with the rule's id and the path of the mistake: for an unknown name or place in the
    message, for two sides of different dimensions and for an error without a safety note.
    """
    try:
        return _compiled(statement, names)
    except BrokenRules as broken:
        raise BrokenRules(f"rule {statement['id']}: {broken}", broken.path) from None


def _compiled(statement: Mapping[str, Any], names: Names) -> CompiledRule:
    scope = Scope(names, statement.get("each"), names.cells, {})
    if scope.axis is not None and scope.axis not in names.axes:
        known = ", ".join(sorted(names.axes))
        raise scope.at("each").broken(f"{scope.axis} is no axis of the spec; write one of {known}")
    when = [scope.at("when", name).condition(name, allowed) for name, allowed in statement.get("when", {}).items()]
    for name, value in statement.get("let", {}).items():
        scope = scope.with_let(name, value)
    kind = next(kind for kind in KINDS.values() if kind.name in statement["check"])
    terms = kind.compile(statement["check"], scope.at("check"))
    reads = _reads(when, [*scope.lets.values(), *terms.sides], terms)
    at = statement.get("at") or _first_spec_name(reads, scope)
    _check_at(at, kind, scope.at("at"))
    for place in ("message", "safety"):
        for name in _message_names(statement.get(place, ""), kind, scope.at(place)):
            reads.setdefault(name, False)
    for key in ("try", "impossible"):
        for number, name in enumerate(statement.get(key, ())):
            if name not in names.pointers:
                raise scope.at(key, number).broken(f"{name} is no spec value; {names.meant(name)}")
    _check_error(statement, scope)
    arguments = _arguments([*scope.lets.values(), *terms.sides])
    number_of = {argument: place for place, argument in enumerate(arguments)}
    return CompiledRule(
        stage=statement["from"],
        kind=kind.name,
        at=names.ref(at),
        axis=scope.axis,
        dimension=terms.dimension,
        reads=reads,
        when=when,
        arguments=[scope.parameter(argument) for argument in arguments],
        sides=[renumbered(part, number_of) for part in terms.sides],
        choices=terms.choices,
        wanted=terms.wanted,
        digest=digest(statement),
        earliest=statement["from"],
    )


def _arguments(parts: Iterable[Part]) -> list[Argument]:
    """The arguments of all parts, once each."""
    return list(dict.fromkeys(argument for part in parts for argument in part.arguments))


def _reads(when: Sequence[Condition], parts: Sequence[Part], terms: Terms) -> dict[str, bool]:
    """Every name that a rule reads so far, and whether it cannot do without it."""
    reads = {condition.name: not isinstance(condition.wanted, bool) for condition in when}
    reads |= {argument.name: True for argument in _arguments(parts)}
    for ref in terms.wanted:
        reads.setdefault(ref.name, False)
    return reads


def _first_spec_name(reads: Iterable[str], scope: Scope) -> str:
    for name in reads:
        if name in scope.names.pointers:
            return name
    raise BrokenRules("found no `at`; expected where the finding points; add a line `at: ` with a spec value")


def _check_at(at: str, kind: Kind, scope: Scope) -> None:
    """Raises :class:`BrokenRules` for a place at which no finding can point."""
    if at not in scope.names.pointers:
        raise scope.broken(f"{at} is no spec value or part of the spec; {scope.names.meant(at)}")
    axis = scope.names.pointers[at][1]
    if axis not in (None, scope.axis) and kind.compares and not kind.names_things:
        raise scope.broken(f"{at} is of each {axis}; add `each`")


def _message_names(message: str, kind: Kind, scope: Scope) -> Iterator[str]:
    """The names of values that a message shows, beside those that every outcome has."""
    own = {"value", "limit", "short"} if kind.compares else {"missing"}
    own |= {"thing"} if scope.axis or kind.names_things else set()
    for name in names_in(message):
        if name in own:
            continue
        known = scope.known.get(name)
        if known is None or known.axis not in (None, scope.axis):
            raise scope.broken(f"{{{name}}} is no value that this rule has")
        if name in scope.lets:
            raise scope.broken(f"{{{name}}} is a `let`; show a figure or a spec value")
        yield name


def _check_error(statement: Mapping[str, Any], scope: Scope) -> None:
    """Raises :class:`BrokenRules` for an error without a safety note, or on no other ground than memory."""
    if severity_of(statement) != "error":
        return
    if not statement.get("safety"):
        graded = "severity" if "severity" in statement else "harm"
        raise scope.at(graded).broken("an error says in `safety` what to do first; add a line `safety: ...`")
    if statement["source"]["standing"] == "memory":
        fix = "say where it is written, or make it a warning"
        raise scope.at("source", "standing").broken(f"no error rests on memory alone; {fix}")


def digest(statement: Any) -> str:
    """Twelve hex digits that change when what the rule says changes.

    >>> digest({"id": "a.b"}) == digest({"id": "a.b"}) != digest({"id": "a.c"})
    True
    """
    return hashing.hash_of(json.dumps(statement, sort_keys=True, ensure_ascii=False))[:12]

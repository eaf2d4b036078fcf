"""The interface of a kind of check: its options, its evaluation, its generated source and its error.

A kind is one class without state, in a file of its own; :mod:`doorlint.rulebook.kinds` lists them. What a rule says
is in its :class:`~doorlint.rulebook.compiled_rule.CompiledRule`.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias

from doorlint.figures.cells import Cells, Unknown, along, once
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.expression import function_of
from doorlint.rulebook.rule import Outcome

if TYPE_CHECKING:
    from doorlint.rulebook.compiled_rule import CompiledRule, SpecRef
    from doorlint.rulebook.scope import Part, Scope

Keys = Sequence[str]
Outcomes = tuple[Outcome, ...]
Explain: TypeAlias = "Callable[[str | None, Any], Outcomes]"
"""From the key of a thing and the result of the check there to the outcomes."""
Verdict: TypeAlias = "tuple[bool, Any, Any, float | None]"
"""Whether it is met, the value, the limit, and the margin: a bare tuple, since a job makes hundreds of them."""

FORMULA: Mapping[str, Any] = {
    "type": "string",
    "minLength": 1,
    "maxLength": 300,
    "description": "A formula or a written quantity",
}
NAME: Mapping[str, Any] = {
    "type": "string",
    "pattern": "^[a-z][a-z0-9_]*(\\.[a-z][a-z0-9_]*)*$",
    "maxLength": 80,
}
DIMENSION: Mapping[str, Any] = {
    "type": "string",
    "minLength": 1,
    "maxLength": 1000,
    "description": "Dimension to show, where several share one",
}
SHOWN_AS = "as"
"""The one option that may be left out."""


class Terms(NamedTuple):
    """What the check of a rule compares, once its formulas are read."""

    sides: Sequence[Part] = ()
    """the value first, then its limits"""
    dimension: str | None = None
    choices: Sequence[Any] = ()
    wanted: Sequence[SpecRef] = ()


class Sides(NamedTuple):
    """The sides of a check in Python."""

    first: Sequence[str]
    """each where it is used for the first time"""
    again: Sequence[str]
    """each from then on"""


class Example(NamedTuple):
    """A check as a rule file has it, and the spec values of two jobs: one that meets it and one that does not."""

    check: Mapping[str, Any]
    met: Mapping[str, Any]
    short: Mapping[str, Any]
    each: str | None = None
    """the axis of the rule"""


class Kind:
    """One kind of check."""

    name: ClassVar[str]
    """the key that marks it in a rule's ``check``"""
    options: ClassVar[Mapping[str, Any]]
    """JSON Schema of each of its keys"""
    example: ClassVar[Example]
    compares: ClassVar[bool] = True
    """whether it compares values; else it asks that something is given"""
    has_figure: ClassVar[bool] = False
    """whether it compares one figure with a limit"""
    has_margin: ClassVar[bool] = False
    """whether an error in a reading can reach a margin"""
    shows_limit: ClassVar[bool] = False
    """whether the limit shown is what the rule gives under the key of the kind"""
    names_things: ClassVar[bool] = False
    """whether its outcomes name the thing that is short, though the rule is asked of the job as a whole"""

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of such a check.

        >>> from doorlint.rulebook.kinds import KINDS
        >>> KINDS["near"].schema()["required"]
        ['value', 'near', 'within']
        """
        required = [key for key in self.options if key != SHOWN_AS]
        return {"type": "object", "additionalProperties": False, "required": required, "properties": self.options}

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        """What a written check compares; raises :class:`~doorlint.errors.BrokenRules`."""
        raise NotImplementedError(type(self).__name__)

    # evaluated

    def comparison(self, rule: CompiledRule) -> Callable[..., Any]:
        """The function of the sides that gives the result: a :data:`Verdict`, or what :meth:`explain` takes."""
        raise NotImplementedError(type(self).__name__)

    def of_job(self, label: str, rule: CompiledRule) -> Callable[[Cells], Any]:
        """The result for a job as a whole: of :meth:`comparison`, an ``Unknown``, or None where it does not apply."""
        return once(label, function_of(rule.sides, self.comparison(rule)), rule.arguments)

    def of_things(self, label: str, rule: CompiledRule) -> Callable[[Cells, Keys], Sequence[Any]]:
        """The same for each of some things."""
        each = along(label, function_of(rule.sides, self.comparison(rule)), rule.arguments)
        return lambda cells, keys: each(cells, keys)[0]

    def explain(self, rule_id: str, rule: CompiledRule) -> Explain:
        """The outcomes of a result."""
        pointer_of, gap = pointers(rule.at), gaps(rule_id, rule)

        def explain(key: str | None, result: Any) -> Outcomes:
            if result.__class__ is not tuple:
                return gap(key, result)
            met, value, limit, margin = result
            return (Outcome(rule_id, pointer_of(key), key, "met" if met else "short", value, limit, margin),)

        return explain

    # generated

    def can_raise(self, rule: CompiledRule) -> bool:
        """Whether evaluating it may fail: it holds a formula."""
        return not all(isinstance(side, int) for side in rule.sides)

    def counts_columns(self, rule: CompiledRule) -> bool:
        """Whether the source tests all things of an axis in one look."""
        return False

    def source(self, rule: CompiledRule, sides: Sides, constant: Callable[[Any], str], things: str | None) -> str:
        """Python that is true where the check is met, without slack and with all finite.

        ``constant`` gives the name under which the source reaches a value. ``things``: the number of things that are
        tested in one look; ``None`` for the one thing ``key``.
        """
        raise NotImplementedError(type(self).__name__)

    def margin_source(self, sides: Sequence[str]) -> str:
        """The margin in Python, of a kind that :attr:`has_margin`."""
        raise NotImplementedError(type(self).__name__)

    # sign-offs and errors

    def is_low(self, value: float, limit: float) -> bool:
        """Whether a value that is short is too small, not too large: so less of it is worse."""
        raise NotImplementedError(type(self).__name__)

    def goal(self, check: Mapping[str, Any], known: Container[str]) -> str | None:
        """What to change the value to, with names in braces; those in ``known`` have a text besides ``limit``."""
        return None

    def margin_error(self, sides: Sequence[float]) -> float:
        """The most that a margin is off where each side is off by so much."""
        raise NotImplementedError(type(self).__name__)


def gaps(rule_id: str, rule: CompiledRule) -> Explain:
    """The outcomes of what is unknown or does not apply."""
    pointer_of = pointers(rule.at)

    def explain(key: str | None, lack: Unknown | None) -> Outcomes:
        if lack is None:
            return ()
        reason, missing, note = lack
        return (Outcome(rule_id, pointer_of(key), key, "unknown", reason=reason, missing=missing, note=note),)

    return explain


def pointers(at: SpecRef) -> Callable[[str | None], str]:
    """``at.pointer``, quicker for many things."""
    whole = at.pointer(None)
    if not at.own:
        return lambda _key: whole
    before, after = at.template.split("{}")
    return lambda key: whole if key is None else f"{before}{key}{after}"

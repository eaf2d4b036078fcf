"""A compiled rule: plain data that can be stored between runs."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from math import isclose
from types import NoneType
from typing import Any

from doorlint.figures.cells import Parameter
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.expression import Expression, checked
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import STAGES, Stage
from doorlint.spec.vocabulary import VOCABULARY


class Condition(NamedTuple):
    """One line of `when`."""

    name: str
    own: bool
    """a value of the thing that the rule checks"""
    wanted: bool | Sequence[Any]
    """given (true) or not (false), or the values that will do"""

    @property
    def allowed(self) -> Container[Any]:
        """The values that will do, quick to look up.

        >>> 12 * 0.0254 in Condition("track.radius", False, [0.3048]).allowed
        True
        """
        assert not isinstance(self.wanted, bool)
        return Sizes(self.wanted) if any(isinstance(one, float) for one in self.wanted) else frozenset(self.wanted)


class Sizes:
    """Some numbers, each with a slack for rounding: 12 in and 1 ft are the same."""

    __slots__ = ("numbers",)

    def __init__(self, numbers: Iterable[float]) -> None:
        self.numbers = tuple(numbers)

    def __contains__(self, value: object) -> bool:
        return isinstance(value, int | float) and any(isclose(value, one, rel_tol=SLACK) for one in self.numbers)


class SpecRef(NamedTuple):
    """A place in a spec: a pointer, with ``{}`` for the key of a thing on an axis."""

    name: str
    template: str
    own: bool
    """it lies on an axis"""

    def pointer(self, key: str | None) -> str:
        """The pointer for one thing, or of the whole map where no thing is meant.

        >>> SpecRef("section.weight", "/door/sections/{}/weight", True).pointer("s3")
        '/door/sections/s3/weight'
        >>> SpecRef("section.weight", "/door/sections/{}/weight", True).pointer(None)
        '/door/sections'
        """
        return self.template.replace("{}", key) if self.own and key is not None else self.template.split("/{}")[0]


class CompiledRule(NamedTuple):
    """A checked rule."""

    stage: Stage
    """the first that asks it"""
    kind: str
    """of check"""
    at: SpecRef
    axis: str | None
    dimension: str | None
    reads: Mapping[str, bool]
    """every name it reads, and whether it needs it"""
    when: Sequence[Condition]
    arguments: Sequence[Parameter]
    """the cells that `sides` take"""
    sides: Sequence[Expression]
    """what is compared: the value first, then its limits"""
    choices: Sequence[Any]
    """the values that will do, for a kind of check that lists them"""
    wanted: Sequence[SpecRef]
    """what must be given, for a kind of check that asks for it"""
    digest: str
    """of the statement"""
    earliest: Stage
    """the first at which it checks what is given; from ``stage`` on it reports what is missing"""

    @property
    def inputs(self) -> tuple[str, ...]:
        """The names that decide an outcome; what only a message shows is not among them.

        >>> door = SpecRef("door", "/door", False)
        >>> reads = {"door": False, "door.weight": False}
        >>> CompiledRule("order", "present", door, None, None, reads, (), (), (), (), (door,), "0", "order").inputs
        ('door',)
        """
        several: tuple[Sequence[Condition | Parameter | SpecRef], ...] = (self.when, self.arguments, self.wanted)
        return tuple(dict.fromkeys(one.name for some in several for one in some))

    @property
    def needs(self) -> tuple[str, ...]:
        """The names without which it is not checked."""
        return tuple(name for name, needed in self.reads.items() if needed)


class Outline(NamedTuple):
    """What must be known of a rule before it is evaluated."""

    stage: Stage
    earliest: Stage
    axis: str | None
    inputs: tuple[str, ...]
    when: Sequence[Condition]
    """what must hold in the job as a whole"""


def outline_of(compiled: CompiledRule) -> Outline:
    """The outline of a compiled rule."""
    return Outline(
        compiled.stage, compiled.earliest, compiled.axis, compiled.inputs, [one for one in compiled.when if not one.own]
    )


def outline_from(parts: Sequence[Any]) -> Outline:
    """An outline from the lists that JSON makes of one; raises :class:`TypeError` or :class:`ValueError`."""
    stage, earliest, axis, inputs, when = parts
    if stage not in STAGES or earliest not in STAGES or not (axis is None or axis in VOCABULARY.axes):
        raise ValueError("this is not the outline of a rule")
    return Outline(stage, earliest, axis, tuple(inputs), [Condition(*one) for one in when])


def compiled_rule_of(parts: Sequence[Any]) -> CompiledRule:
    """A compiled rule from the lists that JSON makes of one.

    Raises :class:`TypeError` or :class:`ValueError` for anything else: what was stored between runs is checked by type
    and name before anything is made of it.

    >>> import json
    >>> door = SpecRef("door", "/door", False)
    >>> rule = CompiledRule(
    ...     stage="order", kind="any", at=door, axis=None, dimension=None, reads={"door": False}, when=(),
    ...     arguments=(), sides=(), choices=(), wanted=(door,), digest="0", earliest="order",
    ... )
    >>> compiled_rule_of(json.loads(json.dumps(rule))) == rule._replace(when=[], arguments=[], sides=[], choices=[],
    ...     wanted=[door])
    True
    """
    stage, kind, at, axis, dimension, reads, when, arguments, sides, choices, wanted, digest, earliest = parts
    rule = CompiledRule(
        stage, kind, SpecRef(*at), axis, dimension, reads, [Condition(*one) for one in when],
        [Parameter(*one) for one in arguments], sides, choices, [SpecRef(*one) for one in wanted], digest, earliest,
    )  # fmt: skip
    if not _sound(rule):
        raise ValueError("this is not a compiled rule")
    return rule


def _sound(rule: CompiledRule) -> bool:
    """Whether every part of a rule is of its type, and every name one that there is.

    Plain loops: a short review asks it of every rule, and generators would take twice as long.
    """
    if rule.stage not in STAGES or rule.earliest not in STAGES or type(rule.kind) is not str:
        return False
    if not (rule.axis is None or rule.axis in VOCABULARY.axes) or type(rule.dimension) not in (str, NoneType):
        return False
    if type(rule.digest) is not str:
        return False
    for name, needed in rule.reads.items():
        if type(name) is not str or type(needed) is not bool:
            return False
    for one in rule.when:
        if type(one.name) is not str or type(one.own) is not bool or type(one.wanted) not in (bool, list):
            return False
    for argument in rule.arguments:
        if type(argument.name) is not str or set(map(type, argument[1:])) != {bool}:
            return False
    for side in rule.sides:
        if not checked(side, len(rule.arguments)):
            return False
    for ref in (rule.at, *rule.wanted):
        if type(ref.name) is not str or type(ref.template) is not str or type(ref.own) is not bool:
            return False
    return True

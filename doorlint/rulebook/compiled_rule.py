"""What is left of a rule once it is checked: plain data, which can be kept between runs."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from doorlint.figures.cells import Parameter
from doorlint.rulebook.expression import Expression
from doorlint.rulebook.rule import Stage


class Condition(NamedTuple):
    """One line of `when`."""

    name: str
    own: bool
    """a value of the thing that the rule is held against"""
    wanted: bool | Sequence[Any]
    """given (true) or not (false), or the values that will do"""


class SpecRef(NamedTuple):
    """Where something stands in a spec: a pointer, with ``{}`` for the key of a thing on an axis."""

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
    """what is compared: the value first, then its limits; for one_of the value alone"""
    choices: Sequence[Any]
    """of a one_of"""
    wanted: Sequence[SpecRef]
    """of a present"""
    digest: str
    """of the statement"""

    @property
    def needs(self) -> tuple[str, ...]:
        """The names without which it is not checked."""
        return tuple(name for name, needed in self.reads.items() if needed)


def compiled_rule_of(said: Sequence[Any]) -> CompiledRule:
    """A plan from the lists that JSON makes of one; raises :class:`TypeError` for what is none.

    >>> door = SpecRef("door", "/door", False)
    >>> plan = CompiledRule("order", "present", door, None, None, {"door": False}, (), (), (), (), (), "0")
    >>> import json
    >>> compiled_rule_of(json.loads(json.dumps(plan))).at.pointer(None)
    '/door'
    """
    stage, kind, at, axis, dimension, reads, when, arguments, sides, choices, wanted, digest = said
    return CompiledRule(
        stage, kind, SpecRef(*at), axis, dimension, reads, [Condition(*one) for one in when],
        [Parameter(*one) for one in arguments], sides, choices, [SpecRef(*one) for one in wanted], digest,
    )  # fmt: skip

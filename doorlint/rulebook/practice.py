"""Shop figures: the value that holds, which way is safe, and how far a spec and a shop may move it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from doorlint import quantities
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.on_demand import OnDemand
from doorlint.rulebook.kinds.at_least import AtLeast
from doorlint.rulebook.kinds.at_most import AtMost
from doorlint.rulebook.kinds.near import Near
from doorlint.rulebook.rule import SEVERITIES, Outcome, Rule, Severity, Source

if TYPE_CHECKING:
    from doorlint.rulebook.library import Library

__all__ = ["DECLARED", "Practice", "Range", "SafeSide", "beyond", "check_figures", "figure_rules", "given", "range_of"]

SafeSide: TypeAlias = Literal["more", "less", "none"]
DECLARED: Mapping[str, str] = {
    "safe": "more, less or none: the side to which the figure may be moved freely",
    "spec": "the loosest value that a spec may set",
    "shop": "the loosest value that a shop may set",
    "reason": "why that side is the safe one",
}
"""What every figure of the library declares; a house-rule folder says none of it."""
SLACK = 1e-9
"""The share by which two figures that are meant to be the same may differ."""
PREFIX = "practice."


class Range(NamedTuple):
    """The values that somebody may set, in SI; an end that is ``None`` is open."""

    least: float | None
    most: float | None

    def holds(self, value: float) -> bool:
        """Whether a value lies in the range.

        >>> Range(None, 0.5).holds(0.5), Range(1.0, None).holds(0.9)
        (True, False)
        """
        low = self.least is not None and value < self.least - SLACK * abs(self.least)
        return not low and (self.most is None or value <= self.most + SLACK * abs(self.most))

    def with_value(self, value: float) -> Range:
        """The range widened so that it holds a value: what the shop sets, a spec may say again.

        >>> Range(None, 0.5).with_value(0.7)
        Range(least=None, most=0.7)
        """
        least, most = self
        return Range(None if least is None else min(least, value), None if most is None else max(most, value))

    def text(self, dimension: str) -> str:
        """The range in words.

        >>> Range(0.0254, None).text("length"), Range(1.0, 2.0).text("ratio")
        ('at least 1 in', '1 to 2')
        """
        least, most = (None if end is None else quantities.write_exact(end, dimension, "us") for end in self)
        if least is None:
            return f"at most {most}"
        return f"at least {least}" if most is None else f"{least} to {most}"


class Practice(NamedTuple):
    """One shop figure."""

    title: str
    value: float
    dimension: str
    source: Source
    safe: SafeSide
    spec: Range
    """what a spec may set"""
    shop: Range
    """what a house-rule folder may set"""
    reason: str
    library: float
    """the library's own value"""
    house: str = ""
    """the house-rule folder that sets the value; empty for the library"""
    file: str = ""
    line: int = 0

    def looser(self, value: float) -> bool:
        """Whether a value is on the unsafe side of the one that holds; where no side is safe, whether it differs."""
        slack = SLACK * max(abs(value), abs(self.value))
        if self.safe == "more":
            return value < self.value - slack
        if self.safe == "less":
            return value > self.value + slack
        return abs(value - self.value) > slack


def shop_word(house: str, source: Mapping[str, str]) -> dict[str, str]:
    """The source of a house-rule folder's figure or table: what it cites is the shop's word, whatever it calls it.

    >>> shop_word("shop", {"standing": "published", "document": "NDS", "edition": "2018", "clause": "12.2"})
    {'standing': 'practice', 'note': "the shop's word (shop): NDS 2018, 12.2"}
    """
    if source["standing"] not in ("published", "second-hand"):
        return dict(source)
    document = " ".join(source[part] for part in ("document", "edition") if part in source)
    cited = ", ".join(part for part in (document, source.get("clause", ""), source.get("note", "")) if part)
    return {"standing": "practice", "note": f"the shop's word ({house}): {cited}"}


def range_of(safe: SafeSide, bound: Any, dimension: str, positive: bool) -> Range:
    """The range that a bound gives: the loosest value, or lowest and highest where no side is safe.

    Raises ValueError where the bound has not the shape that the safe side asks for, or is no quantity.

    >>> range_of("less", "1 in", "length", False), range_of("none", ["1", "2"], "ratio", False)
    (Range(least=None, most=0.0254), Range(least=1.0, most=2.0))
    """
    if (safe == "none") != isinstance(bound, list):
        expected = "two values, lowest and highest" if safe == "none" else "one value, the loosest"
        raise ValueError(f"expected {expected}, since the safe side is {safe}")
    if isinstance(bound, list):
        least, most = (quantities.read(end, dimension, positive=positive) for end in bound)
        if not least < most:
            raise ValueError(f"found {bound[0]} to {bound[1]}; expected the lowest first")
        return Range(least, most)
    value = quantities.read(bound, dimension, positive=positive)
    return Range(value, None) if safe == "more" else Range(None, value)


def figure_rules(library: Library) -> Mapping[str, Rule]:
    """The rule that holds each shop figure to the shop's value, by id; the id of ``hook_up_band`` is
    ``practice.hook-up-band``.

    It is as grave as the gravest rule that reads the figure, and a supervisor may sign it off where that is true of
    all of them.
    """
    keys = {rule_id(key): key for key in library.practice}
    return OnDemand(keys, lambda rule: _rule(library, keys[rule], library.practice[keys[rule]]))


def _rule(library: Library, key: str, shop: Practice) -> Rule:
    moved = library.readers(PREFIX + key)
    severity: Severity = min((rule.severity for rule in moved), key=SEVERITIES.index, default="advisory")
    never = any(rule.sign_off == "never" for rule in moved)
    name = PREFIX + key
    words = f"this job sets {key} to {{value}}; the shop's value is {{limit}}"
    if shop.safe != "none":
        words = f"this job loosens {key} to {{value}}; the shop's value is {{limit}}"
    fix = f"take {key} out of `practice:`"
    if never:
        fix += f", or have the shop set it in its house rules ({shop.shop.text(shop.dimension)})"
    digest = hash_of(name, shop.safe, repr(shop.value))[:12]
    return Rule(
        id=rule_id(key),
        title=f"{shop.title}: as the shop has it",
        severity=severity,
        harm="",
        stage="survey",
        earliest="survey",
        kind={"more": AtLeast(), "less": AtMost(), "none": Near()}[shop.safe],
        message=f"{words}; {fix}",
        why=f"{shop.reason[0].upper()}{shop.reason[1:]}. A limit that a job sets for itself checks nothing.",
        safety="",
        sign_off="never" if never else "supervisor",
        source=shop.source,
        at=name,
        axis=None,
        tries=(),
        impossible=(),
        dimension=shop.dimension,
        reads=(name,),
        needs=(),
        wanted=(),
        house=shop.house,
        digest=digest,
        statement={},
    )


def rule_id(key: str) -> str:
    """The id of the rule that holds a shop figure.

    >>> rule_id("hook_up_band")
    'practice.hook-up-band'
    """
    return PREFIX + key.replace("_", "-")


def given(library: Library, values: Mapping[str, Any]) -> Iterator[tuple[str, Practice, float]]:
    """The shop figures that a spec sets, each with the shop's value and its own."""
    for name in sorted(values.keys() & library.practice_names):
        key = name.removeprefix(PREFIX)
        yield key, library.practice[key], values[name]


def check_figures(library: Library, values: Mapping[str, Any]) -> Iterator[Outcome]:
    """The outcome of every figure that a spec loosens, or moves where no side is safe."""
    for key, shop, value in given(library, values):
        if shop.looser(value):
            margin = value - shop.value if shop.safe == "more" else -abs(value - shop.value)
            yield Outcome(rule_id(key), f"/practice/{key}", None, "short", value, shop.value, margin)


def beyond(library: Library, values: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Every figure that a spec moves further than any spec may, with what one may set."""
    for key, shop, value in given(library, values):
        allowed = shop.spec.with_value(shop.value)
        if not allowed.holds(value):
            yield key, allowed.text(shop.dimension)

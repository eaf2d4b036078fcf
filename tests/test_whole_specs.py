"""Whole specs, written in every way there is: a verdict never hangs on how, and no spec makes the review fail.

Specs are varied ones and samples with anything in them changed. A spec is written anew with its keys in another order,
with comments, in other YAML, and with its measures in other notations of exactly the same size.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from random import Random
from typing import Any, TypeAlias

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from one_by_one import same_as_one_by_one
from shared import DAY, SAMPLES, SOME_OR_ALL, thinned
from varied import spec_text

from doorlint import quantities
from doorlint.evaluation import evaluate
from doorlint.rulebook.library import load, own_catalog
from doorlint.rulebook.practice import check_figures
from doorlint.spec import VOCABULARY, read
from doorlint.spec.schema_errors import MOST_PROBLEMS
from doorlint.spec.vocabulary import Term
from doorlint.verdict import Policy, present

Tree: TypeAlias = Any
"""Dicts by key, lists, texts, and None for what is left empty."""

Said: TypeAlias = tuple[str, frozenset[tuple[str, str, str | None, str]]]
"""A verdict, and every outcome as rule, pointer, thing and state with its figures; of a spec that cannot be read, its
problems."""

SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def said(text: bytes) -> Said:
    """What comes of a review; it may be anything but a fault."""
    library = load()
    record, spec, job = evaluate(text, library)
    told = present(record, library, Policy(DAY), "door.yaml", spec, job)
    assert [gap for gap in told.not_checked if gap.reason == "rule failed"] == []
    assert not told.failed
    if job is None:
        assert told.verdict == "unreadable"
        assert told.findings
        return told.verdict, frozenset((problem.rule, problem.pointer, None, "problem") for problem in spec.problems)
    assert told.verdict in ("clear", "hold")
    assert record.stage is not None
    held = list(library.outcomes(library.job(spec.values, spec.keys), record.stage))  # one by one, and not all at once
    held += check_figures(library, spec.values)
    same_as_one_by_one(record, held)
    return told.verdict, frozenset(
        (one.rule, one.pointer, one.key, f"{one.state} {one.value!r} {one.limit!r}") for one in held
    )


# --- specs ---------------------------------------------------------------------------------------------------------


@cache
def sample(number: int) -> Tree:
    """A sample's tree."""
    return plain(read(SAMPLES[number].read_bytes(), own_catalog()).tree)


def plain(node: Tree) -> Tree:
    """A tree of dicts and lists that may be changed."""
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    return [plain(item) for item in node] if isinstance(node, list) else node


LEAVES = [term for term in VOCABULARY.leaves.values() if term.name != "doorlint"]
THINGS = {"section": ("s1", "s3", "s7", "s12"), "box": ("b1", "b2", "b7")}
OTHERS = ("left-1", "right-2", "near", "far", "left", "right", "head-left", "track-left-1", "duct", "mark-1", "new")
SIZES = (0.0, 1e-30, 1e-9, 1e-3, 0.0254, 0.1, 0.3048, 0.61, 1.0, 2.5, 4.0, 12.0, 300.0, 1e3, 5e3, 1e5, 1e7, 1e9)
JUNK = (
    None,
    "",
    "x",
    "0",
    "-1",
    "1/0 in",
    "12'",
    "3 furlongs",
    "yes",
    "2026-02-30",
    [],
    {},
    ["s1"],
    {"x": "1 in"},
    "½",
)


@st.composite
def specs(draw: st.DrawFn) -> Tree:
    """A sample's tree with a few things in it otherwise: mostly what a spec may say, now and then what it may not."""
    tree = plain(sample(draw(st.integers(0, len(SAMPLES) - 1))))
    for _ in range(draw(st.integers(0, 8))):
        term = draw(st.sampled_from(LEAVES))
        thing = draw(st.sampled_from(THINGS.get(term.axis or "", OTHERS)))
        path = term.pointer.replace("{}", thing).split("/")[1:]
        _put(tree, path, draw(values(term)))
    for _ in range(draw(st.sampled_from((0, 0, 1, 3)))):
        _drop(tree, draw(st.lists(st.integers(0, 40), min_size=1, max_size=4)))
    return tree


def values(term: Term) -> st.SearchStrategy[Tree]:
    """What a value might be said to be."""
    schema, junk = term.schema, st.sampled_from(JUNK)
    match term.kind:
        case "quantity":
            fit: st.SearchStrategy[Tree] = measures(term.dimension or "")
        case "lengths":
            fit = st.lists(measures("length"), min_size=schema["minItems"], max_size=4)
        case "names":
            fit = st.lists(st.sampled_from(THINGS["section"]), min_size=1, max_size=3, unique=True)
        case "count":
            fit = st.integers(schema["minimum"], schema["maximum"]).map(str)
        case "number":
            low, high = schema["minimum"], schema["maximum"]
            fit = st.integers(0, 1000).map(lambda n: f"{low + n / 1000 * (high - low):.4f}")
        case "choice":
            fit = st.sampled_from(term.choices)
        case "flag":
            fit = st.sampled_from(("true", "false"))
        case "date":
            fit = st.dates().map(str)
        case _:
            fit = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=20)
    return st.integers(0, 9).flatmap(lambda chance: junk if chance == 0 else fit)


def measures(name: str) -> st.SearchStrategy[str]:
    """Sizes from nothing to the largest there is, written in either system."""
    dimension = quantities.DIMENSIONS[name]
    most = quantities.read(dimension.most, name)
    sizes = st.sampled_from(SIZES).map(lambda size: min(size, most))
    signs = st.sampled_from((1, -1) if dimension.signed else (1,))
    return st.builds(
        lambda size, sign, system: quantities.write_exact(sign * size, name, system),
        sizes, signs, st.sampled_from(("us", "si")),
    )  # fmt: skip


def _put(tree: Tree, path: list[str], value: Tree) -> None:
    *way, last = path
    for key in way:
        if not isinstance(tree.get(key), dict):
            tree[key] = {}
        tree = tree[key]
    tree[last] = value


def _drop(tree: Tree, way: list[int]) -> None:
    """Takes something out: the numbers say which way to go from the top."""
    *inward, last = way
    for number in inward:
        inner = [value for value in tree.values() if isinstance(value, dict) and value]
        if inner:
            tree = inner[number % len(inner)]
    if tree:
        del tree[list(tree)[last % len(tree)]]


# --- ways to write one ---------------------------------------------------------------------------------------------

WAYS = ("order", "comments", "style", "quotes", "indent", "line ends", "measures")
_PLAIN = re.compile(r"""-?[A-Za-z0-9½](?:[A-Za-z0-9 ./'"_%+½-]*[A-Za-z0-9./'"_%+½])?""").fullmatch
_EMPTY = {"~", "null", "Null", "NULL"}


class Writer:
    """Writes trees as YAML, by chance in those ways that it may take."""

    def __init__(self, seed: int, ways: frozenset[str]) -> None:
        self.chance, self.ways = Random(seed), ways

    def may(self, way: str, share: float = 0.5) -> bool:
        return way in self.ways and self.chance.random() < share

    def text(self, tree: Tree) -> bytes:
        """The whole of a spec."""
        lines = [*self.above(0), *self.block(tree, 0), *self.above(0)]
        if self.may("style"):
            lines = ["---", *lines, *(["..."] if self.may("style") else [])]
        end = "\r\n" if self.may("line ends") else "\n"
        mark = "\ufeff" if self.may("line ends") else ""
        return (mark + end.join(lines) + (end if not self.may("line ends", 0.2) else "")).encode()

    def above(self, depth: int) -> Iterator[str]:
        """Lines that say nothing."""
        while self.may("comments", 0.15):
            yield self.chance.choice(("", f"{' ' * depth}# - key: {{value", f"{' ' * depth}#"))

    def block(self, tree: dict[str, Tree], depth: int) -> Iterator[str]:
        """One group or map, each key on a line of its own."""
        keys = list(tree)
        if "order" in self.ways:
            self.chance.shuffle(keys)
        for key in keys:
            yield from self.above(depth)
            yield from self.entry(" " * depth + self.scalar(key, key=True) + ":", tree[key], depth)

    def entry(self, head: str, node: Tree, depth: int) -> Iterator[str]:
        inner = depth + (self.chance.randint(1, 7) if "indent" in self.ways else 2)
        behind = self.chance.choice(("", "   # as found", " #")) if self.may("comments", 0.2) else ""
        if isinstance(node, dict) and node and not self.may("style", 0.3):
            yield head + behind
            yield from self.block(node, inner)
        elif isinstance(node, list) and node and self.may("style"):
            yield head + behind
            for item in node:
                yield from self.above(inner)
                yield f"{' ' * inner}- {self.scalar(item)}"
        elif isinstance(node, str) and _PLAIN(node) and self.may("style", 0.1):
            yield f"{head} {self.chance.choice('|>')}-{behind}"
            yield " " * inner + node
        else:
            gap = "   " if self.may("indent", 0.1) else " "
            first, *rest = (gap + self.flow(node)).split("\n")
            yield f"{head}{first}{'' if rest else behind}"
            yield from (" " * inner + line for line in rest)

    def flow(self, node: Tree) -> str:
        """In brackets, on one line or on several."""
        if not isinstance(node, dict | list):
            return self.scalar(node)
        comma = self.chance.choice((", ", ",", ",\n")) if "style" in self.ways else ", "
        if isinstance(node, list):
            return f"[{comma.join(map(self.flow, node))}]"
        keys = list(node)
        if "order" in self.ways:
            self.chance.shuffle(keys)
        return f"{{{comma.join(f'{self.scalar(key, key=True)}: {self.flow(node[key])}' for key in keys)}}}"

    def scalar(self, text: str | None, key: bool = False) -> str:
        """A text plain or in quotes; nothing as a word for it."""
        if text is None:
            return self.chance.choice(("null", "~")) if "quotes" in self.ways else "null"
        styles = ["'" + text.replace("'", "''") + "'", '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"']
        if _PLAIN(text) and text not in _EMPTY:
            styles = [text, *styles] if "quotes" in self.ways else [text]
        return self.chance.choice(styles) if self.may("quotes", 0.1 if key else 0.5) else styles[0]


def measured_anew(term: Term, node: Tree, chance: Random) -> Tree:
    """The tree with each measure in some notation of exactly its size."""
    if isinstance(node, dict):
        return {
            key: measured_anew(part, value, chance) if (part := term.parts.get(key) or term.parts.get("{}")) else value
            for key, value in node.items()
        }
    if isinstance(node, list) and term.kind == "lengths":
        return [anew(term.schema["items"], item, chance) if isinstance(item, str) else item for item in node]
    return anew(term.schema, node, chance) if term.kind == "quantity" and isinstance(node, str) else node


INCH, POUND, GRAVITY = Fraction("0.0254"), Fraction("4.4482216152605"), Fraction("9.80665")
LENGTHS = {
    "in": INCH, "inches": INCH, '"': INCH, "ft": 12 * INCH, "mm": Fraction(1, 1000), "cm": Fraction(1, 100), "m": 1,
}  # fmt: skip
WEIGHTS = {"lb": POUND, "lbf": POUND, "kg": GRAVITY, "kgf": GRAVITY, "N": 1, "kN": 1000}
SIZED = {"length": LENGTHS, "position": LENGTHS, "weight": WEIGHTS, "pull": WEIGHTS}
"""What one of a unit is in metres or newtons, exactly."""


def anew(schema: Any, text: str, chance: Random) -> str:
    """One measure in another notation; as it is where it is none."""
    name = schema["x-dimension"]
    try:
        size = quantities.read(text, name)
    except quantities.QuantityError:
        return text
    fits = re.compile(schema["pattern"]).search
    return chance.choice([other for other in notations(text, size, name) if fits(other) and len(other) <= 80])


def notations(text: str, size: float, name: str) -> Iterator[str]:
    """Ways to write a size, all of which come to the very same float."""
    yield text
    yield re.sub("(?<![0-9/]) ?1/2(?![0-9])", "½", text)
    yield text.replace("'", "′").replace('"', "″")  # noqa: RUF001 - marks that look alike are what is meant
    yield from (quantities.write_exact(size, name, system) for system in ("us", "si"))
    for unit, one in SIZED.get(name, {}).items():
        exact = Fraction(size) / one
        for amount in {exact.limit_denominator(64), Fraction(f"{float(exact):.7g}")}:
            if float(amount * one) == size and amount >= 0 and max(amount.as_integer_ratio()) < 10**9:
                yield from (f"{number} {unit}" for number in numbers(amount))
                if one == INCH and amount >= 12:
                    feet, inches = divmod(amount, 12)
                    yield from (f"{feet}'-{number}\"" for number in numbers(inches))
                    yield from (f"{feet} ft {number} in" for number in numbers(inches))


def numbers(amount: Fraction) -> Iterator[str]:
    """Ways to write a number that is not negative."""
    whole, part = divmod(amount, 1)
    yield f"{whole} {part}" if whole and part else str(amount)
    if amount.numerator < 10 or part == amount:  # 61/2 is refused: it is 6 1/2 without its space more often than not
        yield f"{amount.numerator}/{amount.denominator}"
    places = next((n for n in range(12) if amount * 10**n % 1 == 0), None)
    if places is not None:
        digits = str(amount * 10**places).rjust(places + 1, "0")
        yield f"{digits[: len(digits) - places]}.{digits[len(digits) - places :] or 0}"
        yield f"{amount * 10**places}e-{places}"


def written(tree: Tree, seed: int, ways: frozenset[str]) -> bytes:
    """A spec's tree, written anew in those ways."""
    if "measures" in ways:
        tree = measured_anew(VOCABULARY.root, tree, Random(seed))
    text = Writer(seed, ways).text(tree)
    assert plain(read(text).tree) == tree, text.decode()
    return text


# --- what holds ----------------------------------------------------------------------------------------------------

SEEDS = st.integers(0, 2**32 - 1)
SETS_OF_WAYS = st.frozensets(st.sampled_from(WAYS), min_size=1)


@SOME_OR_ALL
def test_a_spec_with_anything_in_it_is_reviewed(every: int) -> None:
    @settings(SLOW, max_examples=200 // every)
    @given(specs())
    def holds(tree: Tree) -> None:
        said(written(tree, 0, frozenset()))

    holds()


@SOME_OR_ALL
def test_a_sample_with_anything_done_to_its_text_is_reviewed(every: int) -> None:
    cuts_of = st.lists(st.tuples(st.integers(0, 8000), st.integers(0, 9), st.binary(max_size=6)))

    @settings(SLOW, max_examples=150 // every)
    @given(st.sampled_from(SAMPLES), cuts_of)
    def holds(path: Any, cuts: list[tuple[int, int, bytes]]) -> None:
        text = path.read_bytes()
        for start, length, more in cuts:
            start %= len(text)
            text = text[:start] + more + text[start + length :] or b" "
        said(text)

    holds()


@SOME_OR_ALL
def test_what_a_spec_says_counts_and_not_how_it_is_written(every: int) -> None:
    @settings(SLOW, max_examples=120 // every)
    @given(specs(), SEEDS, SETS_OF_WAYS)
    def holds(tree: Tree, seed: int, ways: frozenset[str]) -> None:
        once = said(written(tree, 0, frozenset()))
        assume(len(once[1]) < MOST_PROBLEMS or once[0] != "unreadable")
        assert said(written(tree, seed, ways)) == once

    holds()


@SOME_OR_ALL
def test_varied_specs_say_the_same_however_they_are_written(every: int) -> None:
    @settings(SLOW, max_examples=120 // every)
    @given(SEEDS, SEEDS, SETS_OF_WAYS)
    def holds(spec: int, seed: int, ways: frozenset[str]) -> None:
        text = spec_text(spec).encode()
        assert said(written(plain(read(text).tree), seed, ways)) == said(text)

    holds()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("path", thinned(SAMPLES, 8), ids=lambda path: path.stem)
def test_every_sample_says_the_same_in_every_way(path: Any, way: str) -> None:
    text = path.read_bytes()
    tree = plain(read(text).tree)
    other = written(tree, 1, frozenset({way}))
    assert other != written(tree, 0, frozenset())
    assert said(other) == said(text)

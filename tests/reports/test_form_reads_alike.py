"""The page reads a text as doorlint does: ten thousand texts, written by the grammar and then mutilated."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from shared import SAMPLES

from doorlint.blank_page import page_of
from doorlint.quantities import DIMENSIONS, UNITS, QuantityError, parser, read, units
from doorlint.reports import blank_html
from doorlint.rulebook.library import load
from doorlint.spec import parse
from doorlint.spec.pointer import pointer
from doorlint.spec.typed_reader import PART_NAME, DoubtError, _leaf
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import Sequence

pytestmark = pytest.mark.slow

TEXTS, VALUES = 10_000, 2_000
READ = """
texts => texts.map(([text, dimension, positive]) => {
  try { return readQuantity(text, dimension, { positive }).value } catch (error) {
    if (error instanceof QuantityError) return null;
    throw error;
  }
})
"""
READ_VALUE = """
cases => cases.map(([text, limits]) => {
  try { readValue(text, limits); return true } catch (error) {
    if (error instanceof QuantityError) return false;
    throw error;
  }
})
"""


@pytest.fixture(scope="module")
def form(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    path: Path = tmp_path_factory.mktemp("form") / "form.html"
    path.write_text(blank_html.render(page_of(load(), "survey", "tower", None, "us"), "0.1.0"), "utf-8")
    window = browser.new_page()
    window.goto(path.as_uri())
    yield window
    window.close()


def _number(dice: random.Random) -> str:
    whole = str(dice.choice((0, 1, 2, 7, 11, 12, 36, 144, 3660, dice.randrange(400))))
    if dice.random() < 0.1:
        whole = str(dice.randrange(10 ** dice.choice((3, 6, 31))))
    part = f"{dice.randrange(9)}/{dice.choice((2, 4, 8, 16, 16, 8, 3, 0))}"
    decimal = f"{whole}.{dice.randrange(1000)}"
    mark = dice.choice("½¼¾⅓⅔⅛⅜⅝⅞")
    power = f"{whole[:4]}e{dice.choice(('', '-', '+'))}{dice.choice((1, 2, 3, dice.randrange(120)))}"
    return dice.choice((whole, whole, part, f"{whole} {part}", decimal, f".{whole}", f"{whole}{mark}", mark, power))


def _unit(dice: random.Random, dimension: str) -> str:
    """A unit of the dimension more often than not."""
    want = DIMENSIONS[dimension]
    usual = [style.unit for style in (*want.us, *want.si)] + [n for n, unit in UNITS.items() if unit.kind == want.kind]
    if dice.random() < 0.75:
        return dice.choice(usual)
    name, other = dice.choice((*UNITS, "yd", "ton", "oz", "furlong", "xx")), dice.choice(tuple(UNITS))
    power = dice.choice(("2", "3", "4", "²", "^3", "5"))
    forms = (name, f"{name}/{other}", f"{name} {other}", f"{name}-{other}/{name}", f"{name}{power}", f"/{name}")
    return dice.choice((*forms, f"sq {name}", f"cu {name}/{other}", f"{name}.", f"{name}/ {other}"))


def _text(dice: random.Random, dimension: str) -> str:
    feet = dice.choice((f"{dice.randrange(30)}'-", f"{dice.randrange(30)}' ", f"{dice.randrange(9)} ft "))
    gap = dice.choice(("", " ", " ", "  ", "\u00a0", "\t"))
    sign = dice.choice(("-", "- ", "\u2212")) if dice.random() < 0.15 else ""
    is_tape = dimension in ("length", "position") and dice.random() < 0.4
    unit = dice.choice(("in", '"', "\u2033", "\u201d")) if is_tape else _unit(dice, dimension)
    text = f"{sign}{feet if is_tape else ''}{_number(dice)}{gap}{unit}"
    for _ in range(dice.choice((0, 0, 0, 1, 2))):
        at = dice.randrange(len(text) + 1)
        mark = dice.choice("0123456789 '\"/.-eEftinm,#½\xd7°·\n\r\x1c\x85\u2028")
        text = dice.choice(
            (text[:at] + mark + text[at:], text[:at] + text[at + 1 :], text[:at] + mark + text[at + 1 :])
        )
    return text


def _own(text: str, dimension: str, positive: bool) -> float | None:
    try:
        return read(text, dimension, positive=positive)
    except QuantityError:
        return None


def test_ten_thousand_quantities(form: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    dice = random.Random(28)
    names = list(DIMENSIONS)
    dimensions = [dice.choice(("length", "weight", dice.choice(names))) for _ in range(TEXTS)]
    cases = [(_text(dice, dimension), dimension, dice.random() < 0.2) for dimension in dimensions]
    with_pint = [_own(*case) for case in cases]
    for cached in (units.find, parser._read):
        cached.cache_clear()
    monkeypatch.setattr(units, "_from_pint", lambda _name: None)
    try:
        own = [_own(*case) for case in cases]
    finally:
        for cached in (units.find, parser._read):
            cached.cache_clear()
    page = form.evaluate(READ, cases)
    assert [(case, *both) for case, *both in zip(cases, own, page, strict=True) if both[0] != both[1]] == []
    accepted = sum(value is not None for value in own)
    assert TEXTS * 0.15 < accepted < TEXTS * 0.85
    only_pint = [case for case, one, other in zip(cases, with_pint, own, strict=True) if one != other]
    assert len(only_pint) < TEXTS * 0.02, "the page refuses units that only pint knows, and no more"


def test_values_of_every_kind(form: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(units, "_from_pint", lambda _name: None)
    dice = random.Random(8)
    every = [term for term in VOCABULARY.leaves.values() if term.kind not in ("flag", "choice", "text")]
    terms = [*every, *(term for term in every if term.kind != "quantity" for _ in range(4))]
    cases, own = [], []
    for _ in range(VALUES):
        term = dice.choice(terms)
        text = _text(dice, term.dimension or "length")
        if term.kind != "quantity" or dice.random() < 0.1:
            text = dice.choice((text, _other(dice), _other(dice), _other(dice)))
        cases.append((text, _limits(term)))
        own.append(_reads(term, text))
    page = form.evaluate(READ_VALUE, cases)
    assert [(case, *both) for case, *both in zip(cases, own, page, strict=True) if both[0] != both[1]] == []
    assert VALUES * 0.1 < sum(own) < VALUES * 0.9


def _other(dice: random.Random) -> str:
    whole, section = dice.randrange(-3, 40), dice.randrange(24)
    day = f"20{dice.randrange(100):02}-{dice.randrange(14):02}-{dice.randrange(33):02}"
    other = ("0000-01-01", "2024-02-29", "2023-02-29", "007", "1e3", "", "s1,,s2", "2 in,3,", "2 in, 3 in", "s1")
    return dice.choice((str(whole), f"{whole}.{section}", day, f"s{section}, s{whole}", dice.choice(other)))


def _limits(term: Any) -> dict[str, str]:
    """As the page has them: every attribute is a text."""
    schema = term.schema
    said = {
        "kind": term.kind, "dimension": term.dimension, "positive": "true" if term.positive else None,
        "least": schema.get("minimum"), "most": schema.get("maximum"), "longest": schema.get("maxLength"),
        "fewest": schema.get("minItems"), "many": schema.get("maxItems"),
        "pattern": schema["items"].get("pattern") if term.kind == "names" else None,
    }  # fmt: skip
    return {key: str(value) for key, value in said.items() if value is not None}


def _reads(term: Any, text: str) -> bool:
    node: Any = text
    if term.kind in ("names", "lengths"):
        node = Sequence()
        node.extend(item.strip() for item in text.split(",") if item.strip())
    try:
        _leaf(term)(node)
    except (DoubtError, ValueError, KeyError, TypeError):
        return False
    return True


def _flat(node: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _flat(value, (*path, key))
    elif node is not None:
        yield pointer(path), list(node) if isinstance(node, list) else str(node)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_a_spec_is_read_into_the_form_as_doorlint_reads_it(form: Any, sample: Path) -> None:
    text = sample.read_text("utf-8")
    found = form.evaluate("text => [...readYaml(text)]", text)
    assert [(name, value) for name, value in found] == list(_flat(parse(text).tree))
    again = form.evaluate("text => writeYaml(readYaml(text))", text)
    assert list(_flat(parse(again).tree)) == list(_flat(parse(text).tree))


HOSTILE = (
    "J-1: x", "a # b", "#", "- 3 in", "-3 in", "-", "---", "null", "~", "true", "'", '"', "''", '"a', "it's",
    "12'-2 1/2\"",
    "{a}", "[a, b]", "a, b", "&a", "*a", "!t", "|", ">", "%", "@", "`", "?", "? a", ": a", "a:", "\\", "\\n", "a\nb",
    "\U0001f6aa", "a\tb", "</script>", "é", " a", "a ", "0x1F", "1:30", "=", "<<", ", a",
)  # fmt: skip


def test_what_the_form_writes_is_read_as_it_was_typed(form: Any) -> None:
    values = [[f"/job/{number}", text] for number, text in enumerate(HOSTILE)]
    values += [["/list", list(HOSTILE)], ["/a~1b/~0c", "x"]]
    text = form.evaluate("values => writeYaml(new Map(values))", values)
    assert list(_flat(parse(text).tree)) == [(name, value) for name, value in values]
    assert form.evaluate("text => [...readYaml(text)]", text) == values


@pytest.mark.parametrize("text", ["\x1b[31m", "a\u2028", "\ufeffa", "a\u202eb", "\x85"])
def test_what_does_not_show_is_refused(form: Any, text: str) -> None:
    assert parse(form.evaluate("text => writeYaml(new Map([['/a', text]]))", text)).problem is not None
    assert "does not show" in form.evaluate("text => amiss(text, { kind: 'text' })", text)


REFUSED = (
    "a: 1\na: 2", "a: &x 1", "a: *x", "a: |\n  b", "a: b\n  c", "a: {b: 1", "a: [b", "a:\n\t- b", "a: 'b' c",
    "- a\nb: 1",
    "a: b: c", "just words", "a: {b: 1, b: 2}", "? a\n: b",
)  # fmt: skip


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_not_read_is_refused_with_its_line(form: Any, text: str) -> None:
    said = form.evaluate(
        "text => { try { readYaml(text) } catch (error) { return [error instanceof YamlError, error.message] } }", text
    )
    assert said is not None
    assert said[0], said
    assert said[1].startswith("line ")


def test_part_names_have_one_pattern(form: Any) -> None:
    assert form.evaluate("TABLES.part_name") == PART_NAME

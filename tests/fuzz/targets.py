"""What is fuzzed: functions of some bytes that raise for what must never happen.

Each is a property: whatever the bytes, the code under it answers as documented. They know nothing of the fuzzer, so
the smoke test and the fuzzer run the same ones.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from one_by_one import same_as_one_by_one
from shared import review_text

from doorlint import quantities
from doorlint.changes.comparison import compare
from doorlint.errors import BrokenRules
from doorlint.evaluation import evaluate, evaluate_spec
from doorlint.findings import Review
from doorlint.reports import FORMS, renderer
from doorlint.resources import folder
from doorlint.rulebook.compiled_rule import compiled_rule_of
from doorlint.rulebook.compiler import Names, compile_rule
from doorlint.rulebook.expression import FUNCTIONS, function_of
from doorlint.rulebook.files import Contents, pack_of
from doorlint.rulebook.formula import compile_formula
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.library import Library, load, own_catalog
from doorlint.sheet import set_out
from doorlint.spec import BUILTIN_RULES, VOCABULARY, Spec, read
from doorlint.spec.problems import clean
from doorlint.spec.vocabulary import Term
from doorlint.verdict import Policy, present
from doorlint.version import __version__

DAY = "2026-03-17"
SYSTEMS: tuple[quantities.System, ...] = ("us", "si")


@cache
def library() -> Library:
    """The rule library, once a process."""
    return load()


def samples() -> list[Path]:
    """The sample specs."""
    return sorted(folder("sample_specs").glob("*.yaml"))


def rule_files() -> list[Path]:
    """The rule library, a file a subject."""
    return sorted(path for path in folder("rules").glob("*.yaml") if path.stem not in ("adjustments", "slips"))


def reader(data: bytes) -> None:
    """Text to values: each is what the vocabulary says, or there are problems that stand in the text."""
    spec = read(data)
    if not spec.problems:
        assert spec.stage in VOCABULARY.leaves["stage"].choices
        for name, value in spec.values.items():
            _of_its_term(VOCABULARY.term(name), value, spec.keys)
        return
    text = data.decode("utf-8", "replace").removeprefix("\ufeff")
    lines = re.split("\r\n|\r|\n", text)
    for problem in spec.problems:
        assert problem.rule in BUILTIN_RULES
        _told(problem.message)
        assert 1 <= problem.line <= len(lines), problem
        assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1, problem
        if problem.pointer:
            assert spec.position(problem.pointer) == (problem.line, problem.column), problem


def _told(*words: str) -> None:
    """That a refusal says something, all of which shows, and not too much."""
    for said in words:
        assert said.strip(), words
        assert said.isprintable(), words
        assert len(said) < 4000, words


def _of_its_term(term: Term, value: Any, keys: Mapping[str, tuple[str, ...]]) -> None:
    if term.axis is None:
        _of_its_kind(term, value)
        return
    assert isinstance(value, dict), (term.name, value)
    assert list(value) == [key for key in keys[term.axis] if key in value], (term.name, value)
    for one in value.values():
        _of_its_kind(term, one)


def _of_its_kind(term: Term, value: Any) -> None:
    schema, said = term.schema, (term.name, value)
    match term.kind:
        case "quantity":
            _within(term.dimension or "", value)
            assert value or not term.positive, said
        case "lengths" | "names":
            assert type(value) is tuple, said
            assert schema["minItems"] <= len(value) <= schema["maxItems"], said
            for item in value:
                assert type(item) is (str if term.kind == "names" else float), said
                assert item or not term.positive, said
        case "count" | "number":
            assert type(value) is (int if term.kind == "count" else float), said
            assert schema["minimum"] <= value <= schema["maximum"], said
        case "choice":
            assert value in term.choices, said
        case "date":
            assert date.fromisoformat(value).isoformat() == value, said
        case "text":
            assert type(value) is str, said
            assert len(value) <= schema["maxLength"], said
        case "flag":
            assert type(value) is bool, said
        case _:  # a group or a map is given or not there
            assert value is True, said


def _within(name: str, value: float) -> None:
    assert type(value) is float, (name, value)
    assert value == 0 or quantities.LEAST <= abs(value) <= MOST[name], (name, value)
    assert value >= 0 or quantities.DIMENSIONS[name].signed, (name, value)


MOST = {name: quantities.read(dimension.most, name) for name, dimension in quantities.DIMENSIONS.items()}
ASKED = (*quantities.DIMENSIONS, None)


def quantity(data: bytes) -> None:
    """A quantity reads to a value within its bounds that can be written and read again, or is refused in words.

    The first byte says which dimension is asked, none being one of them, and the system that is written.
    """
    if not data:
        return
    name, system = ASKED[data[0] % len(ASKED)], SYSTEMS[data[0] // len(ASKED) % 2]
    text = data[1:].decode("utf-8", "surrogateescape")
    try:
        if name is None:
            _by_itself(text)
            return
        value = quantities.read(text, name)
    except quantities.QuantityError as error:
        _told(error.found, error.expected, error.fix)
        return
    _within(name, value)
    assert quantities.write(value, name, system)
    assert quantities.read(quantities.write_exact(value, name, system), name) == value


def _by_itself(text: str) -> None:
    """What is read without a dimension is the same when one of its dimensions is asked, but for what is too large."""
    found = quantities.parse(text)
    assert found.dimensions
    for name in found.dimensions:
        if found.value == 0 or quantities.LEAST <= found.value <= MOST[name]:
            assert quantities.read(text, name) == found.value, name


@cache
def names() -> Names:
    """What a rule may name, once a process."""
    return library()._names()


def formula(data: bytes) -> None:
    """A formula is refused in words or comes to a number; it never does anything else.

    The first byte says whether a length without quotes would be one. What is kept of a formula is JSON, and comes to
    the same when it is read from there.
    """
    if not data:
        return
    text = data[1:].decode("utf-8", "surrogateescape")
    try:
        made = compile_formula(text, names().cells, "hanger", "length" if data[0] % 2 else None)
    except BrokenRules as broken:
        _told(clean(str(broken)))  # as the command line prints it
        return
    values = [{"a": 1.0, "b": 2.0} if argument.column else 3.0 for argument in made.arguments]
    try:
        result = made.evaluate(*values)
    except ZeroDivisionError:
        return
    assert isinstance(result, int | float), result
    again = function_of([json.loads(json.dumps(made.tree))], lambda value: value)(*values)
    assert repr(again) == repr(result), (again, result)


def house(data: bytes) -> None:
    """A house-rule file is refused in words or every rule of it has a plan that can be kept."""
    try:
        rules = pack_of(Contents("shop", [("shop.yaml", data)]), house=True).rules
        plans = [compile_rule(rule, names()) for rule in rules]
    except BrokenRules as broken:
        _told(clean(str(broken)))  # as the command line prints it
        return
    for plan in plans:
        kept = json.dumps(plan)
        assert json.dumps(compiled_rule_of(json.loads(kept))) == kept


LEAVES = [
    term
    for term in VOCABULARY.leaves.values()
    if term.name not in ("doorlint", "stage") and not term.name.startswith("practice.")  # bounded: refused as a whole
]
NEW = {"section": "s9", "box": "b9", "fitting": "roller"}
SIZES = (0, 1e-30, 1e-9, 1e-3, 0.01, 0.05, 0.1, 0.3, 0.5, 0.6096, 1, 2, 3, 5, 10, 30, 100, 300, 1e3, 1e4, 1e5, 1e6, 1e9)


def patches(data: bytes, keys: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, Any]]:
    """Four bytes a change: which value, of which thing that there is or of a new one, and what is written there."""
    for at in range(0, len(data) - 3, 4):
        term = LEAVES[(data[at] << 8 | data[at + 1]) % len(LEAVES)]
        things = (
            *keys.get(term.axis or "", ()),
            {"section": "s9", "box": "b9", "counted": "roller", "fitting": "roller"}.get(term.axis or "", "x-9"),
        )
        yield term.pointer.replace("{}", things[data[at + 2] % len(things)]), _written(term, data[at + 3])


def _written(term: Term, byte: int) -> Any:
    if byte >= 250:
        return None
    schema = term.schema
    match term.kind:
        case "quantity":
            return _quantity(term.dimension or "", byte, term.positive)
        case "lengths":
            return [_quantity("length", byte + number, term.positive) for number in range(schema["minItems"])]
        case "names":
            return [f"s{1 + byte // 7 % 7}", f"s{1 + byte % 7}"][: 1 + (byte % 7 != byte // 7 % 7)]
        case "count":
            return str(schema["minimum"] + byte % (1 + schema["maximum"] - schema["minimum"]))
        case "number":
            return f"{schema['minimum'] + byte / 249 * (schema['maximum'] - schema['minimum']):.3f}"
        case "choice":
            return str(term.choices[byte % len(term.choices)])
        case "flag":
            return "true" if byte % 2 else "false"
        case "date":
            return f"2026-{1 + byte % 12:02d}-{1 + byte % 28:02d}"
    return f"word {byte}"


def _quantity(name: str, byte: int, positive: bool) -> str:
    dimension = quantities.DIMENSIONS[name]
    size = min(SIZES[byte % len(SIZES)] or positive * quantities.LEAST, MOST[name])
    sign = -1 if dimension.signed and byte // len(SIZES) % 2 else 1
    return quantities.write_exact(sign * float(size), name, "si")


@cache
def bases() -> tuple[Spec, ...]:
    """The samples, read."""
    return tuple(read(path.read_bytes(), own_catalog()) for path in samples())


def _odd(data: bytes) -> Spec:
    """The first byte names a sample, the rest are :func:`patches`: nearly every spec reads, and all of them are odd."""
    spec = bases()[data[0] % len(bases())]
    whole: dict[str, Any] = {}
    for pointer, text in patches(data[1:], spec.keys):
        *way, last = pointer.split("/")[1:]
        inner = whole
        for key in way:
            inner = inner.setdefault(key, {})
        inner[last] = text
    return spec.patched(whole)


def review(data: bytes) -> None:
    """Whatever a spec says, every rule comes out as met, short or not checked, with numbers that there are.

    The first byte also says which else is looked at: that rules held against it one by one come to the same as all at
    once, or that JSON can tell it.
    """
    if not data:
        return
    spec = _odd(data)
    record, *rest = _held(spec)
    said = present(record, *rest)
    crashed = [gap for gap in said.not_checked if gap.reason == "rule failed"]
    assert not crashed, crashed
    assert said.verdict in (("unreadable",) if spec.problems else ("clear", "hold")), said.verdict
    if data[0] < 128:
        json.loads(review_text("json", Review(__version__, DAY, (said,), library())), parse_constant=_no_number)
    elif not spec.problems:
        same_as_one_by_one(record, library().outcomes(library().job(spec.values, spec.keys), record.stage))


def forms(data: bytes) -> None:
    """Whatever a spec says, every form of its review, of its sheet and of its change can be written."""
    if not data:
        return
    spec, before = _odd(data), bases()[data[0] % len(bases())]
    said = present(*_held(spec))
    for form in FORMS:
        assert review_text(form, Review(__version__, DAY, (said,), library()))
    sheet = set_out(said, library())
    change = compare(evaluate_spec(before, "0" * 12, library()), spec, "1" * 12, library(), Policy(DAY), ("a", "b"))
    for form in ("text", "json", "html"):
        assert renderer("sheet", form)(sheet, __version__, DAY)
        assert renderer("change", form)(change, __version__, DAY)


def _held(spec: Spec) -> tuple[Any, ...]:
    record, read_spec, job = evaluate_spec(spec, "0" * 12, library())
    return record, library(), Policy(DAY), "door.yaml", read_spec, job


def _no_number(word: str) -> float:
    raise AssertionError(f"{word} in JSON")


def whole(data: bytes) -> None:
    """Text to report in one go."""
    record, spec, job = evaluate(data, library())
    said = present(record, library(), Policy(DAY), "door.yaml", spec, job)
    for form in ("json", "text", "sarif", "junit", "markdown"):
        assert review_text(form, Review(__version__, DAY, (said,), library()))


TARGETS: dict[str, Callable[[bytes], None]] = {
    target.__name__: target for target in (reader, quantity, formula, house, review, forms, whole)
}


def seeds(name: str) -> list[bytes]:
    """Bytes to start from."""
    match name:
        case "quantity":
            return [bytes([number + len(ASKED) * system]) + text.encode() for number, text, system in _notations()]
        case "formula":
            return [b"%c" % (number % 2) + rule.encode() for number, rule in enumerate(_formulas())]
        case "house":
            return [b"- id: shop." + rule for path in rule_files() for rule in _rules(path.read_bytes())]
        case "reader":
            return list(dict.fromkeys(part for path in samples() for part in _parts(path.read_bytes())))
        case "review" | "forms":
            whole = (len(samples()) * number + sample for number in (0, 7) for sample in range(len(samples())))
            return [bytes([number % 256, *(one % 256 for one in range(number, number + 12))]) for number in whole]
    return [path.read_bytes() for path in samples()]


def longest(name: str) -> int:
    """Bytes of the longest input that is tried."""
    return 100 + max(map(len, seeds(name)))


def words(name: str) -> list[str]:
    """What inputs are made of, for the fuzzer to put in."""
    units = [*quantities.UNITS, "yd", "hp", "ton", "kilonewton", "sq ", "cu ", "2", "^3", "/", "-", "½", "e6", " 1/2 "]
    yaml = [
        ": ",
        "- ",
        "{",
        "}",
        "[",
        "]",
        "\n",
        "\n  ",
        "'",
        '"',
        "# ",
        "|\n",
        ">-\n",
        "? ",
        "&a ",
        "*a",
        "!!str ",
        "---\n",
    ]
    match name:
        case "quantity":
            return [*units, *"′″–⁄²°\u00a0", "ft "]  # noqa: RUF001 - marks that look alike are read alike
        case "formula":
            return [*FUNCTIONS, *(f"'{unit}'" for unit in ("1 in", "2 lb")), "(", ")", ", ", " + ", *VOCABULARY.leaves]
        case "house":
            return [
                *yaml,
                *FUNCTIONS,
                *KINDS,
                "let",
                "when",
                *VOCABULARY.leaves,
            ]
        case "reader" | "whole":
            keys = {term.pointer.rpartition("/")[2] for term in VOCABULARY.terms()}
            choices = {choice for term in VOCABULARY.leaves.values() for choice in term.choices}
            return [*yaml, *units[:30], *sorted((keys - {"{}"}) | choices), "null", "true", "\\u202e", "\r\n", "\ufeff"]
    return []


def _parts(spec: bytes) -> Iterator[bytes]:
    """Small specs: each part of one by itself, as much of it as a few lines hold."""
    _, *parts = re.split(rb"^(?=[a-z])", spec, flags=re.MULTILINE)
    head, stage, job, *rest = parts
    yield head + stage + job
    for part in rest:
        yield head + stage + b"job: {number: J-1}\n" + part[: part.rfind(b"\n", 0, 400) + 1]


def _rules(file: bytes) -> list[bytes]:
    """Each rule by itself, without the subject that its id starts with."""
    return re.split(rb"^- id: [a-z-]+\.", file, flags=re.MULTILINE)[1:]


def _notations() -> Iterator[tuple[int, str, int]]:
    """What is asked by its number, a notation of it, and the number of a system."""
    odd = ("12'-2 1/2\"", "12 ft 2.5 in", "2½ in", ".135 in", "1e3 lb/cu ft", "9e99 quettameter4/quectometer4", "3 yd")
    for number, name in enumerate(ASKED):
        examples = quantities.DIMENSIONS[name].example if name else odd
        for text in examples:
            yield from ((number, text, system) for system in (0, 1))


def _formulas() -> list[str]:
    found: dict[str, None] = {}

    def texts(said: Any) -> None:
        if isinstance(said, dict):
            for value in said.values():
                texts(value)
        elif isinstance(said, list | tuple):
            for value in said:
                texts(value)
        elif isinstance(said, str):
            found[said] = None

    for rule in library().rules.values():
        texts(rule.statement["check"])
        texts(rule.statement.get("let", {}))
    return list(found)

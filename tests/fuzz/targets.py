"""What is fuzzed: functions of some bytes that raise for what must never happen.

Each is a property: whatever the bytes, the code under it answers as documented. They know nothing of the fuzzer, so
the smoke test and the fuzzer run the same ones.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.findings import Review
from doorlint.reports import FORMS, change_renderer, renderer, sheet_renderer
from doorlint.resources import folder
from doorlint.rulebook.formula import compile_formula
from doorlint.rulebook.library import Library, load
from doorlint.setout import set_out
from doorlint.spec import BUILT_IN, VOCABULARY, Spec, read
from doorlint.verdict import Policy, check, check_spec, judge
from doorlint.version import __version__
from doorlint.whatif.change import compare

DAY = "2026-03-17"


@cache
def library() -> Library:
    """The rule library, once a process."""
    return load()


def samples() -> list[Path]:
    """The sample specs."""
    return sorted(folder("sample_specs").glob("*.yaml"))


def reader(data: bytes) -> None:
    """Text to values: it reads, or it has problems that stand in the text and show all they say."""
    spec = read(data)
    if not spec.problems:
        assert spec.stage in VOCABULARY.leaves["stage"].choices
        assert all(map(_sound, spec.values.values()))
        return
    lines = data.decode("utf-8", "replace").count("\n") + data.count(b"\r") + 1
    for problem in spec.problems:
        assert problem.rule in BUILT_IN
        assert problem.message.isprintable(), problem
        assert len(problem.message) < 2000, problem
        assert 1 <= problem.line <= lines, problem
        assert problem.column >= 1, problem
        spec.position(problem.pointer)


def _sound(value: Any) -> bool:
    if isinstance(value, dict):
        return all(map(_sound, value.values()))
    if isinstance(value, tuple):
        return all(map(_sound, value))
    return not isinstance(value, float) or math.isfinite(value)


def quantity(data: bytes) -> None:
    """A quantity reads to a finite value within its bounds that can be written and read again, or is refused."""
    text = data.decode("utf-8", "surrogateescape")
    for name, dimension in quantities.DIMENSIONS.items():
        try:
            value = quantities.read(text, name)
        except quantities.QuantityError as error:
            _shows(error)
            continue
        assert math.isfinite(value)
        assert abs(value) <= quantities.read(dimension.most, name)
        assert value == 0 or abs(value) >= quantities.LEAST
        assert value >= 0 or dimension.signed
        for system in ("us", "si"):
            assert quantities.write(value, name, system)
            assert quantities.read(quantities.write_exact(value, name, system), name) == value
    try:
        quantities.parse(text)
    except quantities.QuantityError as error:
        _shows(error)


def _shows(error: Exception) -> None:
    assert str(error).isprintable(), str(error)


def formula(data: bytes) -> None:
    """A formula is refused or comes to a number; it never does anything else."""
    text = data.decode("utf-8", "surrogateescape")
    names = library()._names().cells
    for dimension in (None, "length"):
        try:
            made = compile_formula(text, names, "hanger", dimension)
        except BrokenRules:
            continue
        values = [{"a": 1.0, "b": 2.0} if argument.column else 3.0 for argument in made.arguments]
        try:
            result = made.evaluate(*values)
        except ZeroDivisionError:
            continue
        assert isinstance(result, int | float), result


LEAVES = [term for term in VOCABULARY.leaves.values() if term.name not in ("doorlint", "stage")]
SIZES = (0, 1e-30, 1e-9, 1e-3, 0.01, 0.05, 0.1, 0.3, 0.5, 0.6096, 1, 2, 3, 5, 10, 30, 100, 300, 1e3, 1e4, 1e5, 1e6, 1e9)


def patches(data: bytes) -> Iterator[tuple[str, str | None]]:
    """Four bytes a change: which value, of which thing, and what is written there."""
    for at in range(0, len(data) - 3, 4):
        term = LEAVES[(data[at] << 8 | data[at + 1]) % len(LEAVES)]
        key = f"{'sbx'[data[at + 2] % 3]}{1 + data[at + 2] // 3 % 6}"
        yield term.pointer.replace("{}", key), _written(term, data[at + 3])


def _written(term: Any, byte: int) -> str | None:
    if byte >= 250:
        return None
    schema = term.schema
    match term.kind:
        case "quantity" | "lengths":
            unit = quantities.DIMENSIONS[term.dimension].si_unit.replace("m2", "m^2")
            unit = {"1": "%", "turns": "turns"}.get(unit, unit)
            return f"{'-' if byte % 7 == 6 else ''}{SIZES[byte % len(SIZES)]:g} {unit}"
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


@cache
def bases() -> tuple[Spec, ...]:
    """The samples, read."""
    return tuple(read(path.read_bytes()) for path in samples())


def _odd(data: bytes) -> Spec:
    """The first byte names a sample, the rest are :func:`patches`: nearly every spec reads, and all of them are odd."""
    spec = bases()[data[0] % len(bases())]
    for pointer, text in patches(data[1:]):
        patch: Any = text
        for key in reversed(pointer.split("/")[1:]):
            patch = {key: patch}
        changed = spec.patched(patch)
        spec = spec if changed.problems else changed
    return spec


def review(data: bytes) -> None:
    """Whatever a spec says, every rule comes out as met, short or not checked, with numbers that there are."""
    if not data:
        return
    said = judge(*_held(_odd(data)))
    assert said.verdict in ("clear", "hold"), said.verdict
    crashed = [gap.note for gap in said.not_checked if gap.reason == "rule failed"]
    assert all("ZeroDivisionError" in note for note in crashed), crashed
    told = Review(__version__, DAY, (said,), library())
    assert renderer("text")(told)
    json.loads(renderer("json")(told), parse_constant=_no_number)


def forms(data: bytes) -> None:
    """Whatever a spec says, every form of its review, of its sheet and of its change can be written."""
    if not data:
        return
    spec, before = _odd(data), bases()[data[0] % len(bases())]
    said = judge(*_held(spec))
    for form in FORMS:
        assert renderer(form)(Review(__version__, DAY, (said,), library()))
    sheet = set_out(said, library())
    change = compare(check_spec(before, "0" * 12, library()), spec, "1" * 12, library(), Policy(DAY), ("a", "b"))
    for form in ("text", "json", "html"):
        assert sheet_renderer(form)(sheet, __version__, DAY)
        assert change_renderer(form)(change, __version__, DAY)


def _held(spec: Spec) -> tuple[Any, ...]:
    record, read_spec, job = check_spec(spec, "0" * 12, library())
    return record, library(), Policy(DAY), "door.yaml", read_spec, job


def _no_number(word: str) -> float:
    raise AssertionError(f"{word} in JSON")


def whole(data: bytes) -> None:
    """Text to report in one go."""
    record, spec, job = check(data, library())
    said = judge(record, library(), Policy(DAY), "door.yaml", spec, job)
    for form in ("json", "text", "sarif", "junit", "markdown"):
        assert renderer(form)(Review(__version__, DAY, (said,), library()))


TARGETS: dict[str, Callable[[bytes], None]] = {
    target.__name__: target for target in (reader, quantity, formula, review, forms, whole)
}


def seeds(name: str) -> list[bytes]:
    """Bytes to start from."""
    match name:
        case "quantity":
            told = [text for dimension in quantities.DIMENSIONS.values() for text in dimension.example]
            odd = ("12'-2 1/2\"", "2½ in", "1e3 lb/cu ft", "9e99 quettameter4/quectometer4")
            return [text.encode() for text in (*told, *odd)]
        case "formula":
            return [rule.encode() for rule in _formulas()]
        case "review" | "forms":
            return [bytes([number, *range(number, number + 12)]) for number in range(len(samples()))]
    return [path.read_bytes() for path in samples()]


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

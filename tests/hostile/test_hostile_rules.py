"""House rules, tables and shop figures that mean harm: refused with file or rule named, and nothing is run."""

from __future__ import annotations

import os
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import pytest
from measured import GOOD, WAYS, Ended, called
from shared import DAY, FORMS, OWN_TABLE, thinned

from doorlint.errors import BrokenRules
from doorlint.rulebook.formula import compile_formula
from doorlint.rulebook.library import Library

SECONDS, MEGABYTES = 2.0, 90.0

NO_ARITHMETIC = (
    "().__class__", "().__class__.__bases__[0].__subclasses__()", "room.headroom.__class__",
    "room.__init__.__globals__", "__import__('os').system('touch harmed')", "__builtins__", "lambda: 1",
    "(lambda: 1)()", "[x for x in y]", "{x for x in y}", "{x: x for x in y}", "(x for x in y)",
    "(y := room.headroom)", "f'{room.headroom}'", "f\"{__import__('os').system('touch harmed')}\"", "9**9**9**9",
    "2**99999999", "9<<99999999", "9%3", "9//3", "~9", "not 1", "1 if 1 else 2", "1 and 2", "1 < 2", "[1]", "(1, 2)",
    "{1: 2}", "...", "None", "True", "b'x'", "1j", "1e999", "99999999999999999999", "9" * 299,
    "(" * 200 + "1" + ")" * 200, "(" * 149 + "1", "-" * 290 + "1", "1+" * 140 + "1", "1;2", "1\n2", "import os",
    "await x", "yield", "x: int", "a=1", "room.headroom\\\n", "\0", "\ud800", "room.\u202eheadroom",
    "room.headr\u043eom", "room[0]", "room.headroom[0]", "*room", "max(*[1])", "max(key=1)", "max()", "max(1)",
    "min(room.headroom)", "abs(1, 2)", "1/0", "room.headroom / 0.0", "1 / '0 in'", "sum(1)", "sum(room.headroom)",
    "open('/etc/passwd')", "eval('1')", "exec('1')", "max.__call__(1)", "max(1).real", "1 .real", "print(1)", "_0",
    "min", "nan", "inf", "math.inf", "'x' * 999999999", "'" + "9" * 290 + "'", "'''a'''", "'1 in' '2 in'", "#", "",
    "   ", "\t", "room.headroom room.headroom", "rule.x", "job.site.format(1)", "'{0.__class__}'.format(1)",
)  # fmt: skip


@pytest.mark.parametrize("text", NO_ARITHMETIC)
def test_what_is_no_arithmetic_is_refused_at_once(text: str, library: Library) -> None:
    names = library._names().cells
    start = time.process_time()
    with pytest.raises(BrokenRules, match=r"(?s)^(a formula may|.*: )"):
        compile_formula(text, names)
    assert time.process_time() - start < 0.2


@pytest.mark.parametrize("text", ["room.headroom - 2in", "1or 2", "0x1for x", "'\\d'"])
def test_what_python_only_warns_of_is_refused_without_a_word_from_python(text: str, library: Library) -> None:
    names = library._names().cells
    with warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        with pytest.raises(BrokenRules, match="not arithmetic"):
            compile_formula(text, names)
    assert said == []


def _rule(rest: str, **said: str) -> str:
    told = {
        "id": "shop.harm", "title": "t", "severity": "error", "from": "survey", "message": "m", "why": "w",
        "safety": "s", "sign_off": "never",
        "source": "{standing: practice, note: n}",
        "examples": "{base: survey-clean, inside: {room: {headroom: 99 ft}}, outside: {room: {headroom: 98 ft}}}",
        **said,
    }  # fmt: skip
    lines = "".join(f"  {key}: {value}\n" for key, value in told.items() if key != "id")
    return f"- id: {told['id']}\n{lines}  {rest}\n"


CHECK = "check: {value: room.headroom, at_least: 1 in}"
TIMES_TWENTY = "room.headroom" + "+room.headroom" * 9
LETS = {"a": TIMES_TWENTY, **{name: "+".join([before] * 19) for before, name in zip("abcdefg", "bcdefgh", strict=True)}}
NESTED = {"a": "room.headroom"} | {
    name: "abs(" * 20 + before + ")" * 20 for before, name in zip("abcdefg", "bcdefgh", strict=True)
}
FIGURE = "practice: {joint_gap: {title: t, value: 1 in, dimension: length, standing: practice}}\n"

BROKEN: tuple[tuple[str, str, str, str], ...] = (
    (
        "runs",
        "shop.yaml",
        _rule("check: {value: \"__import__('os').system('touch harmed')\", at_least: 1 in}"),
        "may call",
    ),
    (
        "runs-in-limit",
        "shop.yaml",
        _rule("check: {value: room.headroom, at_least: \"open('harmed', 'w')\"}"),
        "may call",
    ),
    ("runs-in-let", "shop.yaml", _rule(f"let: {{a: \"open('harmed', 'w')\"}}\n  {CHECK}"), "may call"),
    ("let-named-dunder", "shop.yaml", _rule(f"let: {{__class__: room.headroom}}\n  {CHECK}"), "__class__"),
    (
        "let-named-keyword",
        "shop.yaml",
        _rule("let: {lambda: room.headroom}\n  check: {value: lambda, at_least: 1 in}"),
        "arithmetic",
    ),
    ("let-in-a-ring", "shop.yaml", _rule("let: {a: b, b: a}\n  check: {value: a, at_least: 1 in}"), "b is neither"),
    ("let-of-itself", "shop.yaml", _rule("let: {a: a}\n  check: {value: a, at_least: 1 in}"), "a is neither"),
    ("lets-that-double", "shop.yaml", _rule(f"let: {LETS}\n  check: {{value: h, at_least: 1 in}}"), "grows too long"),
    ("lets-that-nest", "shop.yaml", _rule(f"let: {NESTED}\n  check: {{value: h, at_least: 1 in}}"), "lies too deep"),
    (
        "lets-by-the-thousand",
        "shop.yaml",
        _rule(f"let: { {f'a{n}': '1 in' for n in range(3000)} }\n  {CHECK}"),
        "3000 keys; expected at most",
    ),
    ("word-for-a-number", "shop.yaml", _rule('check: {value: job.site, at_least: "1"}'), "job.site is no number"),
    (
        "flag-for-a-number",
        "shop.yaml",
        _rule('check: {value: opening.floor_finished * 2, at_least: "1"}'),
        "is no number",
    ),
    (
        "table-for-a-number",
        "shop.yaml",
        _rule('at: room\n  check: {value: table.screw_threads, at_least: "1"}'),
        "is no number",
    ),
    (
        "shown-in-no-dimension",
        "shop.yaml",
        _rule("check: {value: room.headroom, at_least: 1 in, as: __class__}"),
        "as: there is no dimension __class__; write one of length,",
    ),
    ("words-rising", "shop.yaml", _rule("check: {rising: section.weight_from}"), "is no number"),
    ("words-in-order", "shop.yaml", _rule("check: {in_order: [job.site, job.site]}"), "is no number"),
    (
        "count-of-two",
        "shop.yaml",
        _rule(f"each: hanger\n  when: {{hanger.fixing.count: [two]}}\n  {CHECK}"),
        "a count, not two",
    ),
    (
        "one-of-two",
        "shop.yaml",
        _rule("each: hanger\n  check: {value: hanger.fixing.count, one_of: [1e9]}"),
        "a count, not 1e9",
    ),
    (
        "no-such-table",
        "shop.yaml",
        _rule(f"let: {{g: {{table: __class__, column: b}}}}\n  {CHECK}"),
        "no table __class__",
    ),
    (
        "no-such-column",
        "shop.yaml",
        _rule(f"let: {{g: {{table: screw-threads, column: __init__}}}}\n  {CHECK}"),
        "no column __init__",
    ),
    (
        "message-that-formats",
        "shop.yaml",
        _rule(CHECK, message="'{value.__class__}'"),
        "is no value that this rule has",
    ),
    ("odd-id", "shop.yaml", _rule(CHECK, id='"shop.x\\ny"'), "expected subject.what"),
    ("markup-id", "shop.yaml", _rule(CHECK, id="shop.<script>"), "expected subject.what"),
    ("same-id-twice", "shop.yaml", _rule(CHECK) * 2, "there twice"),
    ("id-of-the-library", "headroom.yaml", _rule(CHECK, id="headroom.swept"), "there twice"),
    ("unknown-key", "shop.yaml", _rule(CHECK + "\n  run: touch harmed"), "found the key run"),
    ("no-list", "shop.yaml", "a: b\n", "the keys a; expected a list"),
    ("nested", "shop.yaml", "- " * 100_000, "more than 64 levels"),
    ("alias", "shop.yaml", "- &a\n  id: *a\n", "an anchor"),
    ("tag", "shop.yaml", "!!python/object/apply:os.system ['touch harmed']\n", "a tag"),
    ("many-rules", "shop.yaml", "".join(_rule(CHECK, id=f"shop.x{n}") for n in range(2000)), "more than 25000 values"),
    ("large", "shop.yaml", _rule(CHECK) + "#" * 2**21, "1024 KiB"),
    ("table-not-a-number", "tables/own.yaml", OWN_TABLE.replace("[1,", "[nan,"), "found nan"),
    ("table-infinite", "tables/own.yaml", OWN_TABLE.replace("[1,", "[inf,"), "found inf"),
    ("table-overflow", "tables/own.yaml", OWN_TABLE.replace("[1,", "[1e999,"), "found 1e999"),
    ("table-underscored", "tables/own.yaml", OWN_TABLE.replace("[1,", "[1_0,"), "found 1_0"),
    ("table-no-dimension", "tables/own.yaml", OWN_TABLE.replace("a: ratio", "a: __class__"), "no dimension __class__"),
    (
        "table-words-slide",
        "tables/own.yaml",
        OWN_TABLE.replace("a: ratio", "a: text").replace("exact", "between"),
        "is text",
    ),
    ("table-matched-so", "tables/own.yaml", OWN_TABLE.replace("exact", "exec"), "found exec"),
    ("table-matched-by-none", "tables/own.yaml", OWN_TABLE.replace("{a: exact}", "{c: exact}"), "no column c"),
    ("table-elsewhere", "tables/own.yaml", OWN_TABLE.replace("table: own", "table: ../own"), "expected a word"),
    ("table-short-row", "tables/own.yaml", OWN_TABLE + "  - [1]\n", "has 1 values"),
    (
        "table-of-10000",
        "tables/own.yaml",
        OWN_TABLE + "".join(f"  - [{n}, 1 in]\n" for n in range(12_000)),
        "more than 25000 values",
    ),
    ("figure-unknown", "tables/practice.yaml", FIGURE.replace("joint_gap", "luck"), "no shop figure"),
    ("figure-without-unit", "tables/practice.yaml", FIGURE.replace("1 in", "1"), "without a unit"),
    ("figure-negative", "tables/practice.yaml", FIGURE.replace("1 in", "-1 in"), "minus sign"),
    ("figure-enormous", "tables/practice.yaml", FIGURE.replace("1 in", "1e99 in"), "at most 100 m"),
    ("figure-no-number", "tables/practice.yaml", FIGURE.replace("1 in", "nan"), "found nan"),
    ("figure-no-dimension", "tables/practice.yaml", FIGURE.replace("length", "__class__"), "__class__"),
    ("stock-unknown-key", "adjustments.yaml", "stock: [{__class__: 1}]\n", "found no dial"),
    ("stock-nested", "adjustments.yaml", "[" * 100_000, "more than 64 levels"),
    ("utf-16", "shop.yaml", "\ufeff" + "a\0b", "U+0000"),
)


def _under(place: Path, how: Callable[..., Ended]) -> Ended:
    (place / "door.yaml").write_bytes(GOOD)
    done = how("review", "--on", DAY, "--house-rules", "shop", "door.yaml", place=place)
    assert "Traceback" not in done.err
    assert all(line.isprintable() for line in done.err.splitlines())
    assert done.within(SECONDS, MEGABYTES)
    assert not (place / "harmed").exists()
    return done


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize(("name", "text", "says"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN])
def test_house_rules_that_mean_harm_are_refused(
    name: str, text: str, says: str, how: Callable[..., Ended], tmp_path: Path
) -> None:
    path = tmp_path / "shop" / name
    path.parent.mkdir(parents=True)
    path.write_text(text, "utf-8")
    done = _under(tmp_path, how)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda path: os.mkfifo(path), "not an ordinary file"),
        (lambda path: path.symlink_to("/dev/zero"), "not an ordinary file"),
        (lambda path: path.symlink_to(path.name), "symbolic links"),
        (lambda path: path.symlink_to("nowhere"), "No such file"),
        (lambda path: path.mkdir(), "not an ordinary file"),
        (lambda path: path.write_bytes(b"\xff\xfe"), "UTF-16"),
        (lambda path: os.truncate(path, 2**40) if path.write_bytes(b"- ") else None, "1024 KiB"),
        (lambda path: [path.with_name(f"s{n}.yaml").write_bytes(b"#" * 2**20) for n in range(20)], "8 MiB"),
        (lambda path: [path.with_name(f"s{n}.yaml").write_bytes(b"") for n in range(600)], "600 rule files"),
        (Path.absolute, "0 rule files"),
    ],
    ids=["pipe", "device", "loop", "gone", "folder", "utf-16", "terabyte", "many-large", "many", "none"],
)
@pytest.mark.parametrize("how", WAYS)
def test_files_of_rules_that_mean_harm_are_refused(
    make: Callable[[Path], object], says: str, how: Callable[..., Ended], tmp_path: Path
) -> None:
    (tmp_path / "shop").mkdir()
    make(tmp_path / "shop" / "shop.yaml")
    done = _under(tmp_path, how)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


@pytest.mark.parametrize("name", [b"caf\xe9.yaml", b"a\nb.yaml", b"\x1b[31m.yaml", b"-p.yaml", b"<script>.yaml"])
def test_no_name_of_a_rule_file_does_harm(name: bytes, tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    with open(os.fsencode(tmp_path / "shop") + b"/" + name, "wb") as file:
        file.write(_rule(CHECK).encode())
    done = _under(tmp_path, called)
    assert (done.code, done.out) == (2, "")
    assert "every id starts with" in done.err


@pytest.mark.parametrize(
    ("rest", "says"),
    [
        ("check: {value: room.headroom / (1 - 1), at_least: 1 in}", "division by zero"),
        ("check: {value: room.headroom, at_least: \"'1 in' / (2 - 1 - 1)\"}", "division by zero"),
        (f'check: {{value: "room.headroom{" * 1e9" * 8}{" * a" * 6}", at_least: 1 in}}', "beyond all bounds"),
        (f'check: {{value: room.headroom, at_most: "room.headroom{" * 1e9" * 8}{" * a" * 6}"}}', "beyond all bounds"),
        (f'check: {{value: "-room.headroom{" * 1e9" * 8}{" * a" * 6}", at_most: 1 in}}', "beyond all bounds"),
        (
            f'check: {{value: room.headroom, between: [1 in, "room.headroom{" * 1e9" * 8}{" * a" * 6}"]}}',
            "beyond all bounds",
        ),
    ],
    ids=["zero", "zero-in-limit", "infinite", "infinite-limit", "minus-infinite", "infinite-band"],
)
def test_a_rule_that_fails_is_named_holds_the_job_and_passes_nothing(rest: str, says: str, tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    many = "let: {a: 1e9 * 1e9 * 1e9 * 1e9 * 1e9}\n  " if "* a" in rest else ""
    (tmp_path / "shop" / "shop.yaml").write_text(_rule(many + rest), "utf-8")
    done = _under(tmp_path, called)
    assert (done.code, done.err) == (2, "")
    told = " ".join(done.out.split())
    assert "the rule itself failed: rule shop.harm" in told
    assert says in told
    assert "VERDICT hold" in told


def test_an_example_reads_no_file_but_a_sample(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "secret.yaml").write_bytes(GOOD)
    elsewhere = f"{{base: {tmp_path / 'secret'}, inside: {{}}, outside: {{}}}}"
    (tmp_path / "shop" / "shop.yaml").write_text(_rule(CHECK, examples=elsewhere), "utf-8")
    done = called("rulebook", "shop.harm", "--house-rules", "shop", place=tmp_path)
    assert done.code == 2
    assert "there is no sample" in done.err + done.out
    assert "Traceback" not in done.err


@pytest.mark.parametrize("form", thinned(FORMS["review"], 8))
def test_no_name_of_a_folder_of_rules_does_harm(form: str, tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_bytes(GOOD)
    for name in (b"caf\xe9", b"a\nb", b"\x1b[31m", b"<script>", b"\xe2\x80\xae", b"n" * 250):
        folder = os.fsencode(tmp_path) + b"/" + name
        os.mkdir(folder)
        with open(folder + b"/shop.yaml", "wb") as file:
            file.write(_rule("check: {value: room.headroom, at_least: 99 ft}").encode())
        first, kept = (
            called("review", "--as", form, "--on", DAY, "--house-rules", os.fsdecode(name), "door.yaml", place=tmp_path)
            for _ in range(2)
        )
        assert (first.code, first.err) == (1, ""), name
        assert all(line.isprintable() for line in first.out.replace("\u200b", "").split("\n")), name
        assert kept.out == first.out, name

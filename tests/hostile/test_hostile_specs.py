"""Specs that mean harm, each beside a good one, through the command line: refused in bounded time and memory.

Whatever one file holds, the other is still reviewed, the message says what is wrong, and the exit code is 2.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import needs
import pytest
from measured import GOOD, WAYS, Ended, called, reviewed
from shared import DAY, FORMS

from doorlint.batch import Call, reviews
from doorlint.evaluation import evaluate
from doorlint.sources import gather
from doorlint.spec import read
from doorlint.verdict import Policy

HEAD = b"doorlint: 1\nstage: survey\njob: {number: J-1}\n"
SECONDS, MEGABYTES = 2.0, 90.0
"""Processor time and peak memory of a run: a run over the good file alone takes 0.5 s and 40 MB at most, and the schema
checker, which words what is wrong with a shape, 20 MB more."""


class Case(NamedTuple):
    """A file, the built-in rule that refuses it, and words of its message."""

    name: str
    make: bytes | Callable[[Path], object]
    rule: str
    says: str


def _sparse(start: bytes, size: int) -> Callable[[Path], object]:
    def make(path: Path) -> None:
        with path.open("wb") as file:
            file.write(start)
            file.truncate(size)

    return make


def _long(start: bytes, unit: bytes, times: int) -> Callable[[Path], object]:
    def make(path: Path) -> None:
        with path.open("wb") as file:
            file.write(start)
            for _ in range(times // 1000):
                file.write(unit * 1000)

    return make


def _laughs() -> bytes:
    lines = [b"a0: &a0 [ha, ha, ha, ha, ha, ha, ha, ha, ha, ha]"]
    lines += [b"a%d: &a%d [%s]" % (n, n, b", ".join([b"*a%d" % (n - 1)] * 10)) for n in range(1, 12)]
    return HEAD + b"\n".join(lines) + b"\n"


def _looped(path: Path) -> None:
    path.symlink_to(path.name)


def _a_million_keys(path: Path) -> None:
    with path.open("wb") as file:
        file.write(HEAD)
        file.writelines(b"k%d: 1\n" % number for number in range(1_000_000))


def _as_many_keys_as_fit(count: int) -> bytes:
    return HEAD + b"".join(b"k%d: 1\n" % number for number in range(count))


CASES = (
    Case("alias", HEAD + b"room: &r {headroom: 20 in}\nopening: *r\n", "spec.plain", "an anchor, &r"),
    Case("alias-to-nothing", HEAD + b"room: *r\n", "spec.plain", "an alias, *r"),
    Case("alias-to-itself", HEAD + b"room: &r [*r]\n", "spec.plain", "an anchor, &r"),
    Case("merge-key", HEAD + b"room: {<<: {headroom: 20 in}}\n", "spec.plain", "a merge key"),
    Case("billion-laughs", _laughs(), "spec.plain", "an anchor, &a0"),
    Case("nested-flow", HEAD + b"room: " + b"[" * 100_000, "spec.size", "more than 64 levels"),
    Case("nested-flow-closed", HEAD + b"room: " + b"[" * 100_000 + b"]" * 100_000, "spec.size", "more than 64 levels"),
    Case("nested-braces", HEAD + b"room: " + b"{a: " * 100_000, "spec.size", "more than 64 levels"),
    Case("nested-block-list", HEAD + b"room:\n  " + b"- " * 100_000, "spec.size", "more than 64 levels"),
    Case("nested-block-keys", HEAD + b"room:\n  " + b"? " * 100_000, "spec.plain", "a key made of a list"),
    Case(
        "nested-by-indent", HEAD + b"".join(b" " * n + b"a:\n" for n in range(1200)), "spec.size", "more than 64 levels"
    ),
    Case("a-megabyte-of-brackets", HEAD + b"room: " + b"[" * (2**20 - 100), "spec.size", "more than 64 levels"),
    Case(
        "100-MB",
        _long(HEAD, b"# nothing but remarks, line after line, on and on and on\n", 1_800_000),
        "spec.size",
        "1024 KiB",
    ),
    Case("a-million-keys", _a_million_keys, "spec.size", "1024 KiB"),
    Case("40000-keys", _as_many_keys_as_fit(40_000), "spec.size", "more than 25000 values"),
    Case("20000-keys", _as_many_keys_as_fit(20_000), "spec.shape", "more than 100 problems"),
    Case(
        "12000-sections",
        HEAD + b"door: {sections: {" + b", ".join(b"s%d: {height: 2}" % n for n in range(12_000)) + b"}}\n",
        "spec.shape",
        "more than 100 problems",
    ),
    Case("a-key-of-a-megabyte", HEAD + b"? " + b"k" * (2**20 - 200) + b"\n: 1\n", "spec.plain", "expected one word"),
    Case("a-gigabyte-scalar", _sparse(HEAD + b"room: ", 2**30), "spec.size", "1024 KiB"),
    Case("a-terabyte-scalar", _sparse(HEAD + b"room: ", 2**40), "spec.size", "1024 KiB"),
    Case("a-megabyte-scalar", HEAD + b"room: " + b"9" * (2**20 - 100), "spec.shape", "write its keys below it"),
    Case(
        "a-megabyte-number",
        HEAD + b"room: {headroom: " + b"9" * (2**20 - 100) + b" in}",
        "spec.quantity",
        "80 characters",
    ),
    Case("invalid-utf-8", HEAD + b"room: {headroom: 20 in\xff}\n", "spec.text", "byte 0xFF"),
    Case("overlong-utf-8", HEAD + b"room: \xc0\xaf\n", "spec.text", "byte 0xC0"),
    Case("surrogate-in-utf-8", HEAD + b"room: \xed\xa0\x80\n", "spec.text", "byte 0xED"),
    Case("utf-16", GOOD.decode().encode("utf-16"), "spec.text", "UTF-16"),
    Case("utf-16-without-mark", GOOD.decode().encode("utf-16-le"), "spec.text", "UTF-16"),
    Case("utf-32", GOOD.decode().encode("utf-32"), "spec.text", "UTF-16 or UTF-32"),
    Case("byte-order-mark-inside", HEAD + b"room: {headroom: \xef\xbb\xbf20 in}\n", "spec.text", "U+FEFF"),
    Case("nul", HEAD + b"room: {headroom: 20\0 in}\n", "spec.text", "U+0000"),
    Case("nothing-but-nul", b"\0" * 1000, "spec.text", "U+0000"),
    Case("right-to-left", HEAD + "job2: {site: \u202eevil\u202c}\n".encode(), "spec.text", "U+202E"),
    Case("isolate", HEAD + "job2: {site: \u2066evil\u2069}\n".encode(), "spec.text", "U+2066"),
    Case("escape-raw", HEAD + b"job2: {site: \x1b[31mred}\n", "spec.text", "U+001B"),
    Case("escape-written", HEAD + b'job2: {site: "\\e[31mred"}\n', "spec.text", "U+001B"),
    Case("nul-written", HEAD + b'job2: {site: "\\0"}\n', "spec.text", "U+0000"),
    Case("surrogate-written", HEAD + b'job2: {site: "\\ud800"}\n', "spec.yaml", "invalid Unicode character"),
    Case("second-document", HEAD + b"---\n" + HEAD, "spec.plain", "a second document"),
    Case("10000-documents", HEAD + b"---\n" * 10_000, "spec.plain", "a second document"),
    Case("directive", b"%YAML 9.9\n---\n" + HEAD, "spec.yaml", "a line with %"),
    Case("tag-directive", b"%TAG ! tag:evil,2000:\n---\n" + HEAD + b"room: !x {}\n", "spec.plain", "a tag"),
    Case(
        "repeated-key",
        HEAD + b"room: {headroom: 1 in}\nroom: {headroom: 20 in}\n",
        "spec.repeated",
        "the key room again",
    ),
    Case("list-as-key", HEAD + b"? [a, b]\n: 1\n", "spec.plain", "a key made of a list"),
    Case("empty", b"", "spec.shape", "found nothing"),
    Case("symlink-loop", _looped, "spec.file", "symbolic links"),
    Case("gone", Path.absolute, "spec.file", "No such file"),
    Case("folder-link-to-nothing", lambda path: path.symlink_to("nowhere"), "spec.file", "No such file"),
    Case("pipe", lambda path: os.mkfifo(path), "spec.file", "not an ordinary file"),
    Case("endless-device", lambda path: path.symlink_to("/dev/zero"), "spec.file", "not an ordinary file"),
    Case("random-device", lambda path: path.symlink_to("/dev/urandom"), "spec.file", "not an ordinary file"),
    Case("memory-of-the-process", lambda path: path.symlink_to("/proc/self/mem"), "spec.file", "cannot be read"),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
@pytest.mark.parametrize("how", WAYS)
def test_a_spec_that_means_harm_is_refused_and_the_other_reviewed(
    case: Case, how: Callable[..., Ended], tmp_path: Path
) -> None:
    path = tmp_path / "harm.yaml"
    path.write_bytes(case.make) if isinstance(case.make, bytes) else case.make(path)
    (tmp_path / "good.yaml").write_bytes(GOOD)
    done = reviewed("harm.yaml", "good.yaml", place=tmp_path, how=how)
    assert (done.code, done.err) == (2, "")
    specs = done.specs
    assert specs["good.yaml"]["verdict"] == "clear"
    assert specs["harm.yaml"]["verdict"] == "unreadable"
    found = {finding["rule"]: finding["message"] for finding in reversed(specs["harm.yaml"]["findings"])}
    assert case.rule in found
    assert any(case.says in finding["message"] for finding in specs["harm.yaml"]["findings"])
    assert all(finding["message"].isprintable() for finding in specs["harm.yaml"]["findings"])
    assert done.within(SECONDS, MEGABYTES)


TAGS = (
    "!", "!!binary", "!!bool", "!!float", "!!int", "!!map", "!!merge", "!!null", "!!omap", "!!pairs", "!!seq", "!!set",
    "!!str", "!!timestamp", "!!value", "!!yaml", "!own", "!!own", "!<tag:yaml.org,2002:str>", "!<!own>", "!e!x",
    "!!python/none", "!!python/bool", "!!python/bytes", "!!python/complex", "!!python/tuple", "!!python/name:os.system",
    "!!python/module:os", "!!python/object:os.system", "!!python/object/new:os.system",
    "!!python/object/apply:os.system", "!!python/object/apply:subprocess.Popen",
    "!!ruby/object:Gem", "!!js/function", "!!java.net.URL", "!include",
    "!env",
)  # fmt: skip


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize("what", ["value", "list", "group", "key"])
def test_no_tag_is_followed(what: str, how: Callable[..., Ended], tmp_path: Path) -> None:
    told = {
        "value": "room: {tag} 'touch harmed'\n",
        "list": "room: {tag} ['touch harmed']\n",
        "group": "room: {tag} {{a: 'touch harmed'}}\n",
        "key": "{tag} room: 1\n",
    }[what]
    for number, tag in enumerate(TAGS):
        (tmp_path / f"{number}.yaml").write_bytes(HEAD + told.format(tag=tag).encode())
    (tmp_path / "good.yaml").write_bytes(GOOD)
    done = reviewed(".", place=tmp_path, how=how)
    assert (done.code, done.err) == (2, "")
    specs = done.specs
    assert specs.pop("good.yaml")["verdict"] == "clear"
    assert len(specs) == len(TAGS)
    for file, spec in specs.items():
        assert [finding["rule"] for finding in spec["findings"]] in (["spec.plain"], ["spec.yaml"]), file
        assert "a tag" in spec["findings"][0]["message"], file
    assert not (tmp_path / "harmed").exists()


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize(
    "text",
    ["1e99 in", "1e-99 in", "9999999999999999999999e99 mi", "1e999999999 in", "1/0 in", "1/1e9 in", "0x20 in",
     "1_000 in", "999999999999999999999999999999/1 in", "1/999999999999999999999999999999 in",
     "9e99 quettameter4/quectometer3",
     "nan in", "inf in", "-inf in", ".inf", "1e-99 quectometer4/quettameter3", "١٢ in", "12 in; import os",
     "{12 in}", "1e99 ft 2 in", "12'-1e99 in", "=1+1", "12 in" * 30, "12 \u212b", "12 __class__", "12 in**99",
     "2**99999999 in"],
)  # fmt: skip
def test_no_number_that_means_harm_is_read(text: str, how: Callable[..., Ended], tmp_path: Path) -> None:
    spec = GOOD.replace(b"headroom: 26 in", f"headroom: {json.dumps(text)}".encode())
    assert spec != GOOD
    (tmp_path / "harm.yaml").write_bytes(spec)
    (tmp_path / "good.yaml").write_bytes(GOOD)
    done = reviewed("harm.yaml", "good.yaml", place=tmp_path, how=how)
    assert (done.code, done.err) == (2, "")
    assert done.specs["good.yaml"]["verdict"] == "clear"
    rules = {finding["rule"] for finding in done.specs["harm.yaml"]["findings"]}
    assert rules
    assert rules <= {"spec.quantity", "spec.shape"}
    assert done.within(SECONDS, MEGABYTES)


NAMES = (
    b"-dash.yaml", b"--out=good.yaml", b"new\nline.yaml", b"\x1b[31mred.yaml", b"caf\xe9.yaml",
    b"\xe2\x80\xaertl.yaml", b"$(touch harmed).yaml", b"`touch harmed`.yaml", b"a;touch harmed.yaml",
    b"<script>.yaml", b"a|b.yaml", b"%s%n.yaml", b"{thing}.yaml", b"@team.yaml", b"]]>.yaml", b" space .yaml",
    b"'quote\".yaml", b"a\\b.yaml", b"\t.yaml", b"~.yaml", b"n" * 250 + b".yaml",
)  # fmt: skip


@pytest.mark.parametrize("form", FORMS["review"])
def test_no_name_of_a_file_does_harm(form: str, tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    for name in NAMES:
        with open(os.fsencode(inside) + b"/" + name, "wb") as file:
            file.write(GOOD)
    done = called("review", "--as", form, ".", place=inside)
    assert (done.code, done.err) == (0, "")
    assert all(line.isprintable() for line in done.out.replace("\u200b", "").split("\n"))
    assert sorted(os.listdir(os.fsencode(inside))) == sorted(NAMES)


def _without_root() -> Iterator[str]:
    """What starts a program so that a file's mode holds for it: root reads everything."""
    if os.geteuid() == 0:
        yield needs.command("setpriv")
        yield "--bounding-set=-dac_override,-dac_read_search"


@pytest.mark.parametrize("what", ["file", "folder"])
def test_what_is_closed_to_us_is_said_and_the_rest_reviewed(what: str, tmp_path: Path) -> None:
    (tmp_path / "good.yaml").write_bytes(GOOD)
    (tmp_path / "shut").mkdir()
    (tmp_path / "shut" / "door.yaml").write_bytes(GOOD)
    shut = tmp_path / "shut" / "door.yaml" if what == "file" else tmp_path / "shut"
    shut.chmod(0)
    try:
        done = reviewed(".", place=tmp_path, before=tuple(_without_root()))
    finally:
        shut.chmod(0o700)
    assert (done.code, done.err) == (2, "")
    specs = done.specs
    assert specs.pop("good.yaml")["verdict"] == "clear"
    [(file, spec)] = specs.items()
    assert file == shut.relative_to(tmp_path).as_posix()
    [finding] = spec["findings"]
    assert finding["rule"] == "spec.file"
    assert "Permission denied" in finding["message"]


def test_a_file_behind_a_closed_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "shut").mkdir(mode=0)
    try:
        done = reviewed("shut/door.yaml", place=tmp_path, before=tuple(_without_root()))
    finally:
        (tmp_path / "shut").chmod(0o700)
    assert (done.code, done.err) == (2, "")
    assert "Permission denied" in done.specs["shut/door.yaml"]["findings"][0]["message"]


def test_folders_that_lead_back_to_themselves_are_walked_once(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "door.yaml").write_bytes(GOOD)
    (tmp_path / "a" / "back").symlink_to("..")
    (tmp_path / "b").symlink_to("a")
    done = reviewed(".", place=tmp_path)
    assert (done.code, list(done.specs)) == (0, ["a/door.yaml"])


def test_folders_2000_deep_are_walked(tmp_path: Path) -> None:
    dig = (
        "import os, sys\n"
        "for _ in range(1900): os.mkdir('d'); os.chdir('d')\n"
        "open('door.yaml', 'wb').write(sys.stdin.buffer.read())"
    )
    subprocess.run(
        [sys.executable, "-c", dig],
        input=GOOD,
        cwd=tmp_path,
        check=True,
    )
    try:
        done = reviewed(".", place=tmp_path)
    finally:
        subprocess.run(["rm", "-rf", str(tmp_path / "d")], check=True)
    assert (done.code, done.err) == (0, "")
    assert list(done.specs) == ["d/" * 1900 + "door.yaml"]


def test_a_file_that_vanishes_between_listing_and_reading_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / name).write_bytes(GOOD)
    monkeypatch.chdir(tmp_path)
    sources = gather(["."]).sources
    (tmp_path / "a.yaml").unlink()
    gone, there = reviews(sources, Call((), None, Policy(DAY)))
    assert (gone.verdict, there.verdict) == ("unreadable", "clear")
    assert "No such file" in gone.findings[0].message


@pytest.mark.parametrize("others", [["b.yaml"], []], ids=["among-others", "alone"])
def test_a_fault_of_doorlint_itself_is_no_pass_and_does_not_stop_the_others(
    others: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Outside of rules and figures, whose faults are outcomes of their own."""
    for name in ("a.yaml", *others):
        (tmp_path / name).write_bytes(GOOD.replace(b"J-1001", name.encode()))

    def faulty(real: Callable[..., Any]) -> Callable[..., Any]:
        return lambda data, *more: 1 / 0 if b"a.yaml" in data else real(data, *more)

    monkeypatch.chdir(tmp_path)
    for name, real in (("evaluate", evaluate), ("read", read)):
        monkeypatch.setattr(f"doorlint.batch.{name}", faulty(real))
    faulted, *fine = reviews(gather(["."]).sources, Call((), None, Policy(DAY)))
    assert (faulted.verdict, faulted.exit_code) == ("unreadable", 2)
    assert [finding.rule for finding in faulted.findings] == ["spec.fault"]
    assert "ZeroDivisionError: division by zero (test_hostile_specs, line" in faulted.findings[0].message
    assert [spec.verdict for spec in fine] == ["clear" for _ in others]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["x" * 5000], "File name too long"),
        ([b"a\nb"], "No such file"),
        ([""], "empty"),
        (["nowhere/" * 900], "File name too long"),
    ],
    ids=["long", "line-end", "empty", "deep"],
)
def test_no_path_does_harm(words: list[str], says: str, tmp_path: Path) -> None:
    done = reviewed(*words, place=tmp_path)
    assert done.code == 2
    assert says in done.out + done.err
    assert "Traceback" not in done.err

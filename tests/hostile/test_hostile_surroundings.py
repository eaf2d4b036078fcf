"""Surroundings that fail: full disks, closed streams, broken pipes, interrupts, foreign caches, no git, no locale.

What was asked for is done whole or not at all, and an exit code of 0 or 1 is always a verdict.
"""

from __future__ import annotations

import math
import os
import pty
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import needs
import pytest
from measured import GOOD, WAYS, Ended, called, doorlint, environment
from shared import DAY, ROOT, thinned

WORDS = ("review", "door.yaml", "--on", DAY)
WITHOUT_ROOT = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
"""What starts a program so that the modes of files hold for it though root runs it."""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "door.yaml").write_bytes(GOOD)
    return tmp_path


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the good spec's review says where nothing fails."""
    place = tmp_path_factory.mktemp("calm")
    (place / "door.yaml").write_bytes(GOOD)
    done = doorlint(*WORDS, "--cache", "none", place=place)
    assert (done.code, done.err) == (0, "")
    return done.out


def with_cache(place: Path, **more: Any) -> Ended:
    """A review with a cache folder of its own."""
    return doorlint(*WORDS, place=place, XDG_CACHE_HOME=str(place / ".cache"), **more)


def held() -> tuple[str, ...]:
    """How to start a program that the modes of files bind."""
    if os.geteuid() == 0:
        needs.command(WITHOUT_ROOT[0])
        return WITHOUT_ROOT
    return ()


# --- what is written -----------------------------------------------------------------------------------------------


def test_a_full_disk_behind_standard_output_is_said(place: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = doorlint(*WORDS, place=place, stdout=full.fileno())
    assert (done.code, done.err) == (2, "doorlint: the report cannot be printed: No space left on device\n")


@pytest.mark.parametrize("form", ["text", "json", "html"])
def test_a_full_disk_leaves_the_former_report(form: str, place: Path) -> None:
    former = place / "report"
    former.write_text("the former report", "ascii")
    done = doorlint(*WORDS, "--as", form, "--out", "report", "--cache", "none", place=place, largest_file=200)
    assert (done.code, done.out) == (2, "")
    assert done.err == "doorlint: report: cannot be written: File too large\n"
    assert former.read_text("ascii") == "the former report"
    assert sorted(path.name for path in place.iterdir()) == ["door.yaml", "report"]


def test_a_full_disk_below_the_cache_changes_nothing(place: Path, report: str) -> None:
    done = with_cache(place, largest_file=1000)
    assert (done.code, done.out, done.err) == (0, report, "")
    assert not [path for path in (place / ".cache").rglob("*") if path.is_file()]


@pytest.mark.parametrize(
    ("out", "says"),
    [
        ("nowhere/report", "No such file or directory"),
        ("door.yaml/report", "Not a directory"),
        (".", "is a directory"),
        ("", "not an ordinary file"),
        ("n" * 300, "File name too long"),
        ("/proc/report", "No such file or directory"),
    ],
)
def test_a_report_that_has_no_place_is_said(out: str, says: str, place: Path) -> None:
    done = called(*WORDS, "--out", out, place=place)
    assert done.code == 2
    assert says in done.err
    assert "Traceback" not in done.err
    assert [path.name for path in place.iterdir()] == ["door.yaml"]


def test_a_report_with_a_long_name_is_written(place: Path, report: str) -> None:
    assert called(*WORDS, "--out", "n" * 255, place=place).code == 0
    assert (place / ("n" * 255)).read_text("utf-8") == report


def _pipe(place: Path) -> Path:
    os.mkfifo(place / "pipe")
    return place / "pipe"


def _device(place: Path) -> Path:
    if os.geteuid() != 0:
        needs.lacking("only root makes a device")
    os.mknod(place / "device", stat.S_IFCHR | 0o666, os.makedev(1, 3))  # one of the test's own, like /dev/null
    return place / "device"


@pytest.mark.parametrize("make", [_pipe, _device], ids=["pipe", "device"])
@pytest.mark.parametrize("linked", [False, True], ids=["itself", "linked"])
def test_no_report_takes_the_place_of_a_device(make: Callable[[Path], Path], linked: bool, place: Path) -> None:
    target = make(place)
    before = target.lstat()
    out = place / "link" if linked else target
    if linked:
        out.symlink_to(target.name)
    done = called(*WORDS, "--out", out, place=place)
    assert (done.code, done.out) == (2, "")
    assert "not an ordinary file" in done.err
    assert (target.lstat().st_mode, target.lstat().st_ino) == (before.st_mode, before.st_ino)
    assert out.is_symlink() is linked


def _same(place: Path) -> Path:
    return place / "door.yaml"


def _linked(place: Path) -> Path:
    (place / "report.txt").symlink_to("door.yaml")
    return place / "report.txt"


def _hard(place: Path) -> Path:
    (place / "report.txt").hardlink_to(place / "door.yaml")
    return place / "report.txt"


def _another_way(place: Path) -> Path:
    (place / "way").symlink_to(".")
    return place / "way" / ".." / place.name / "way" / "door.yaml"


def _another_spec(place: Path) -> Path:
    (place / "other").write_bytes(b"# north\n" + GOOD)
    return place / "other"


def _a_broken_spec(place: Path) -> Path:
    (place / "broken.yml").write_bytes(GOOD.decode().encode("utf-16"))
    return place / "broken.yml"


def _a_patch(place: Path) -> Path:
    (place / "patch.yaml").write_bytes(b"room: {headroom: 20 in}\n")
    return place / "patch.yaml"


@pytest.mark.parametrize("make", [_same, _linked, _hard, _another_way, _another_spec, _a_broken_spec, _a_patch])
@pytest.mark.parametrize("name", ["review", "change", "setout", "blank", "rulebook"])
def test_no_report_is_written_over_a_spec(make: Callable[[Path], Path], name: str, place: Path) -> None:
    out = make(place)
    before = {path.name: path.read_bytes() for path in place.iterdir() if path.is_file()}
    specs = {"review": ["door.yaml"], "change": ["door.yaml", "door.yaml"], "setout": ["door.yaml"]}.get(name, [])
    done = called(name, *specs, "--out", out, "--cache", "none", place=place)
    assert (done.code, done.out) == (2, "")
    assert "never written over" in done.err or "one of the specs" in done.err
    assert {path.name: path.read_bytes() for path in place.iterdir() if path.is_file()} == before


def test_a_link_to_a_report_stays_a_link_and_what_it_leads_to_is_written(place: Path, report: str) -> None:
    (place / "elsewhere").write_text("keep", "ascii")
    (place / "report").symlink_to("elsewhere")
    assert called(*WORDS, "--out", "report", place=place).code == 0
    assert (place / "report").is_symlink()
    assert (place / "elsewhere").read_text("utf-8") == report


# --- where it is printed -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("spec", "code"), [("door.yaml", 0), ("held.yaml", 1), ("broken.yaml", 2)])
def test_a_reader_that_has_read_enough_changes_no_verdict(spec: str, code: int, place: Path) -> None:
    (place / "held.yaml").write_bytes(GOOD.replace(b"headroom: 26 in", b"headroom: 12 in"))
    (place / "broken.yaml").write_bytes(GOOD + b"\t")
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = doorlint("review", spec, "--as", "html", place=place, stdout=writing)
    finally:
        os.close(writing)
    assert (done.code, done.err) == (code, "")


@pytest.mark.parametrize("closed", thinned(["0<&-", "2>&-", "1>&-", "0<&- 1>&- 2>&-"], 2))
@pytest.mark.parametrize("words", thinned([WORDS, ("rulebook", "--as", "json"), ("review", "-")], 2), ids=" ".join)
def test_a_closed_stream_is_no_verdict(closed: str, words: tuple[str, ...], place: Path) -> None:
    shell = ("bash", "-c", f'exec "$@" {closed}', "-")
    done = doorlint(*words, place=place, before=shell, stdin=GOOD)
    lost = "1>&-" in closed or ("0<&-" in closed and words[-1] == "-")
    assert done.code == (2 if lost else 0)
    assert "Traceback" not in done.err
    if closed == "1>&-":
        assert done.err == "doorlint: the report cannot be printed: standard output is closed\n"
    if closed == "0<&-" and words[-1] == "-":
        assert done.err == "doorlint: standard input is closed; name a file\n"


def test_a_spec_is_read_from_a_terminal(place: Path) -> None:
    ours, theirs = pty.openpty()
    os.write(ours, b"doorlint: 1\nstage: survey\njob: {number: J-1}\n\x04")
    try:
        done = doorlint("review", "-", "--on", DAY, place=place, stdin=theirs)
    finally:
        os.close(ours)
        os.close(theirs)
    assert (done.code, done.err) == (1, "")
    assert "VERDICT  hold  standard input" in done.out


def test_a_terminal_gets_no_colour_that_was_not_asked_for(place: Path) -> None:
    ours, theirs = pty.openpty()
    try:
        done = doorlint("review", "door.yaml", place=place, stdout=theirs, TERM="dumb")
        os.set_blocking(ours, False)
        assert b"\x1b" not in os.read(ours, 2**16)
    finally:
        os.close(ours)
        os.close(theirs)
    assert done.code == 0


# --- the cache -----------------------------------------------------------------------------------------------------


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def _run_twice(place: Path) -> Ended:
    with_cache(place)
    assert _files(place / ".cache"), "nothing was kept, so nothing is tested"
    return with_cache(place)


SPOILED: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "cut": lambda data: data[: len(data) // 2],
    "one-byte-off": lambda data: data[:-1],
    "one-bit": lambda data: data[: len(data) // 2] + bytes([data[len(data) // 2] ^ 1]) + data[len(data) // 2 + 1 :],
    "other-text": lambda _: b"{}",
    "nested": lambda _: b"[" * 1_000_000,
    "noise": lambda _: bytes(range(256)) * 100,
    "zeros": lambda data: b"\0" * len(data),
}


@pytest.mark.parametrize("name", thinned(SPOILED, 8))
def test_a_spoiled_cache_changes_nothing(name: str, place: Path, report: str) -> None:
    _run_twice(place)
    for path in _files(place / ".cache"):
        path.write_bytes(SPOILED[name](path.read_bytes()))
    done = with_cache(place)
    assert (done.code, done.out, done.err) == (0, report, "")
    assert with_cache(place).out == report


@pytest.mark.parametrize("what", thinned(["pipe", "folder", "loop", "device"], 4))
def test_what_is_no_file_in_a_cache_changes_nothing(what: str, place: Path, report: str) -> None:
    _run_twice(place)
    for path in _files(place / ".cache"):
        path.unlink()
        match what:
            case "pipe":
                os.mkfifo(path)
            case "folder":
                path.mkdir()
            case "loop":
                path.symlink_to(path.name)
            case "device":
                path.symlink_to("/dev/zero")
    done = with_cache(place)
    assert (done.code, done.out, done.err) == (0, report, "")


def _poisoned(place: Path) -> dict[Path, bytes]:
    """A cache whose files are whole and of the right names, but say something else: that headroom does not matter."""
    _run_twice(place)
    import zlib

    for path in _files(place / ".cache"):
        check, _, data = path.read_bytes().partition(b"\n")
        assert check == b"%08x" % zlib.crc32(data), f"{path.name}: kept in a way this test does not know"
        data = data.replace(b"headroom is {value}", b"all is well, {value}")
        path.write_bytes(b"%08x\n%b" % (zlib.crc32(data), data))
    return {path: path.read_bytes() for path in _files(place / ".cache")}


@pytest.mark.parametrize("mode", thinned([0o777, 0o770, 0o707], 3), ids=oct)
def test_a_cache_that_others_may_write_is_neither_trusted_nor_written(mode: int, place: Path) -> None:
    (place / "door.yaml").write_bytes(GOOD.replace(b"headroom: 26 in", b"headroom: 12 in"))
    kept = _poisoned(place)
    assert "all is well" in with_cache(place).out, "the poison does not work, so nothing is tested"
    folder = next(iter(kept)).parent
    folder.chmod(mode)
    done = with_cache(place)
    assert done.code == 1
    assert "all is well" not in done.out
    assert {path: path.read_bytes() for path in _files(place / ".cache")} == kept


def test_a_cache_of_somebody_else_is_neither_trusted_nor_written(place: Path) -> None:
    if os.geteuid() != 0:
        needs.lacking("only root gives a folder away")
    (place / "door.yaml").write_bytes(GOOD.replace(b"headroom: 26 in", b"headroom: 12 in"))
    kept = _poisoned(place)
    os.chown(next(iter(kept)).parent, 65534, 65534)
    done = with_cache(place)
    assert done.code == 1
    assert "all is well" not in done.out
    assert {path: path.read_bytes() for path in _files(place / ".cache")} == kept


def test_a_file_of_somebody_else_in_a_cache_is_not_trusted(place: Path) -> None:
    if os.geteuid() != 0:
        needs.lacking("only root gives a file away")
    (place / "door.yaml").write_bytes(GOOD.replace(b"headroom: 26 in", b"headroom: 12 in"))
    for path in _poisoned(place):
        os.chown(path, 65534, 65534)
    assert "all is well" not in with_cache(place).out


def test_a_cache_that_cannot_be_written_changes_nothing(place: Path, report: str) -> None:
    (place / ".cache" / "doorlint").mkdir(parents=True, mode=0o700)
    (place / ".cache" / "doorlint").chmod(0o500)
    done = with_cache(place, before=held())
    assert (done.code, done.out, done.err) == (0, report, "")
    assert not _files(place / ".cache")


@pytest.mark.parametrize(
    "cache", thinned(["door.yaml", "door.yaml/cache", "", "n" * 300, "nowhere/nowhere", "none"], 3)
)
def test_no_place_for_a_cache_changes_anything(cache: str, place: Path, report: str) -> None:
    done = called(*WORDS, "--cache", cache, place=place)
    assert (done.code, done.out, done.err) == (0, report, "")
    assert (place / "door.yaml").read_bytes() == GOOD


# --- what is not there ---------------------------------------------------------------------------------------------


LACKING: list[dict[str, str | None]] = [
    {"LC_ALL": "C", "LANG": None, "PYTHONUTF8": "0"},
    {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"LC_ALL": "no_SUCH.latin1"},
    {"PYTHONIOENCODING": "ascii:strict"},
    {"PYTHONIOENCODING": "utf-16"},
    {"HOME": None, "XDG_CACHE_HOME": None},
    {"HOME": "/nowhere", "XDG_CACHE_HOME": None},
    {"HOME": "", "XDG_CACHE_HOME": ""},
    {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "7"},
    {"TERM": None, "COLUMNS": "0", "PATH": None},
    {"PYTHONOPTIMIZE": "1"},
    {"PYTHONDONTWRITEBYTECODE": "1", "PYTHONSAFEPATH": "1"},
    {"PYTHONWARNINGS": "error"},
    {"PYTHONDEVMODE": "1", "PYTHONWARNINGS": "error"},
]


@pytest.mark.parametrize(
    "lacking", thinned(LACKING, 5), ids=lambda lacking: ",".join(f"{name}={value}" for name, value in lacking.items())
)
def test_surroundings_change_no_byte(lacking: dict[str, str | None], place: Path) -> None:
    spec = GOOD.replace(b"site: cold store, north dock", "site: Kühlhaus ½ \u65e5\u672c".encode())
    assert spec != GOOD
    (place / "door.yaml").write_bytes(spec)
    calm = called(*WORDS, place=place)
    done = doorlint(*WORDS, place=place, **lacking)
    assert "Kühlhaus ½ \u65e5\u672c" in calm.out
    assert (done.code, done.out, done.err) == (0, calm.out, "")


def test_python_without_texts_is_refused_before_anything_is_read(place: Path) -> None:
    done = doorlint(*WORDS, place=place, PYTHONOPTIMIZE="2")
    assert (done.code, done.out) == (2, "")
    assert done.err.endswith("run it without -OO and PYTHONOPTIMIZE=2\n")


@pytest.mark.parametrize("name", ["tür.yaml", "\u65e5.yaml"])
def test_a_name_is_printed_alike_in_every_locale(name: str, place: Path) -> None:
    (place / name).write_bytes(GOOD)
    calm, plain = (
        doorlint("review", name, place=place, LC_ALL=locale, PYTHONUTF8=utf8).out
        for locale, utf8 in (("C.UTF-8", "1"), ("C", "0"))
    )
    assert calm.startswith(f"{name}\n")
    assert plain.count("\n") == calm.count("\n")


def test_a_folder_that_is_gone_is_no_hindrance(place: Path, report: str) -> None:
    shell = ("bash", "-c", 'mkdir gone && cd gone && rmdir ../gone && exec "$@"', "-")
    done = doorlint("review", str(place / "door.yaml"), "--on", DAY, place=place, before=shell)
    assert (done.code, done.err) == (0, "")
    assert done.out.replace(f"{place}/", "") == report


def test_without_git_a_revision_is_refused_and_a_file_is_not(place: Path) -> None:
    (place / "bin").mkdir()
    done = doorlint("change", "main:door.yaml", "door.yaml", place=place, PATH=str(place / "bin"))
    assert (done.code, done.out) == (2, "")
    assert done.err == "doorlint: there is no git program on the PATH; install git, or name a file\n"
    assert doorlint("change", "door.yaml", "door.yaml", place=place, PATH=str(place / "bin")).code == 0


def test_no_module_of_the_working_folder_is_run(place: Path, report: str) -> None:
    script = Path(sys.executable).with_name("doorlint")
    if not script.exists():
        needs.lacking("doorlint is not installed as a command beside this Python")
    for name in ("click", "yaml", "json", "doorlint", "jsonschema", "pint", "sitecustomize", "usercustomize", "re"):
        (place / f"{name}.py").write_text("open('harmed', 'w')\nraise SystemExit(0)\n", "ascii")
    done = subprocess.run(
        [script, *WORDS], cwd=place, env=environment(place), capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, report, "")
    assert not (place / "harmed").exists()


# --- git -----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository in which no test changes anything, one of its files larger than any spec."""
    needs.command("git")
    place = tmp_path_factory.mktemp("checkout")
    (place / "door.yaml").write_bytes(GOOD)
    (place / "-dash.yaml").write_bytes(GOOD)
    (place / "new\nline.yaml").write_bytes(GOOD)
    with (place / "large.yaml").open("wb") as file:
        file.write(GOOD)
        file.truncate(200 * 2**20)
    git = ["git", "-c", "user.name=crew", "-c", "user.email=crew@site.example", "-c", "core.compression=1"]
    for words in (["init", "-q", "-b", "main"], ["add", "--all", "--", "."], ["commit", "-q", "-m", "doors"]):
        subprocess.run([*git, *words], cwd=place, check=True, capture_output=True)
    return place


def test_revisions_that_are_there_are_read(checkout: Path) -> None:
    for side in ("main:door.yaml", "HEAD:./door.yaml", "HEAD:-dash.yaml", "HEAD:new\nline.yaml", "HEAD@{0}:door.yaml"):
        done = called("change", side, "door.yaml", place=checkout)
        assert (done.code, done.err) == (0, ""), side


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize(
    ("side", "says"),
    [
        ("--output=harmed:door.yaml", "is not a git revision"),
        ("-p:door.yaml", "is not a git revision"),
        ("--textconv:door.yaml", "is not a git revision"),
        ("--filters:door.yaml", "is not a git revision"),
        ("-h:door.yaml", "is not a git revision"),
        ("$(touch harmed):door.yaml", "is not a git revision"),
        ("`touch harmed`:door.yaml", "is not a git revision"),
        ("main;touch harmed:door.yaml", "is not a git revision"),
        ("main\n:door.yaml", "is not a git revision"),
        ("main \x1b[31m:door.yaml", "is not a git revision"),
        ("main --:door.yaml", "is not a git revision"),
        ("n" * 100_000 + ":door.yaml", "knows no such file"),
        ("main:" + "n" * 5000, "knows no such file"),
        ("main:../../../etc/passwd", "knows no such file"),
        ("main:/etc/passwd", "knows no such file"),
        ("main:.git/config", "knows no such file"),
        ("main:--output=harmed", "knows no such file"),
        ("main:$(touch harmed)", "knows no such file"),
        ("main:\x1b[31m", "knows no such file"),
        ("main:.", "knows no such file"),
        ("main^{tree}:door.yaml:x", "knows no such file"),
        ("main:large.yaml", "holds 209715200 bytes"),
    ],
)
def test_revisions_that_mean_harm_are_refused(side: str, says: str, how: Callable[..., Ended], checkout: Path) -> None:
    before = sorted(path.name for path in checkout.iterdir())
    done = how("change", "--", side, "door.yaml", place=checkout)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert "Traceback" not in done.err
    assert done.err.isascii()
    assert "\x1b" not in done.err
    assert sorted(path.name for path in checkout.iterdir()) == before
    assert done.within(math.inf, 90.0)


def test_no_large_file_of_a_revision_is_held(checkout: Path) -> None:
    done = doorlint("change", "main:large.yaml", "door.yaml", place=checkout)
    assert done.code == 2
    assert done.peak < 90.0


@pytest.mark.parametrize("words", [("review", "--on", DAY), ("setout",)], ids=["review", "setout"])
def test_option_like_names_are_files_behind_two_dashes(words: tuple[str, ...], place: Path) -> None:
    (place / "--out=harmed").write_bytes(GOOD)
    done = called(*words, "--", "--out=harmed", place=place)
    assert (done.code, done.err) == (0, "")
    assert sorted(path.name for path in place.iterdir()) == ["--out=harmed", "door.yaml"]


def test_what_hands_us_names_of_files_ends_its_options_first() -> None:
    """A commit may bring a file whose name is an option: ``--house-rules=ours.yaml``."""
    hook = (ROOT / ".pre-commit-hooks.yaml").read_text("utf-8")
    assert hook.count("entry: ") == hook.count("args: [--]")
    handed = [line for line in (ROOT / "README.md").read_text("utf-8").splitlines() if "xargs" in line]
    assert handed
    assert all(" -- " in f"{line} " for line in handed)


def test_samples_are_not_touched_by_any_of_this() -> None:
    assert (ROOT / "sample_specs" / "tower-order.yaml").read_bytes() == GOOD

"""Settings that mean harm: refused by file and line, looked for nowhere where somebody else could have put them."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from measured import GOOD, WAYS, Ended, called, doorlint
from shared import DAY, ROOT

SECONDS, MEGABYTES = 2.0, 90.0
HELD = GOOD.replace(b"headroom: 26 in", b"headroom: 12 in")

BROKEN = (
    ("unknown-key", "run: touch harmed\n", "found the key run"),
    ("no-group", "- a\n", ":1:1:"),
    ("words", "harm\n", ":1:1:"),
    ("tag", "!!python/object/apply:os.system ['touch harmed']\n", "a tag"),
    ("alias", "house_rules: &a [*a]\n", "an anchor"),
    ("nested", "[" * 100_000, "more than 64 levels"),
    ("large", "# " + "x" * 2**20, "1024 KiB"),
    ("utf-16", "\ufeffhold_at: error\n".encode("utf-16").decode("latin-1"), "found"),
    ("escape", 'units: "\\e[31m"\n', "U+001B"),
    ("no-such-rule", "severity: {headroom.swpt: {to: warning}}\n", "found the rule headroom.swpt"),
    ("odd-rule", "severity: {__class__: {to: warning}}\n", "found __class__"),
    (
        "lowered-what-nobody-may",
        "severity: {headroom.swept: {to: advisory, reason: no time}}\n",
        "nobody may sign it off",
    ),
    (
        "lowered-what-reading-asks",
        "severity: {spec.shape: {to: advisory, reason: no time}}\n",
        "nobody may sign it off",
    ),
    ("lowered-without-reason", "severity: {record.closing-gap: {to: advisory}}\n", "expected a reason"),
    ("hold-at-nothing", "hold_at: never\n", "found never"),
    ("rules-by-the-thousand", f"house_rules: {[f'r{n}' for n in range(3000)]}\n", "found 3000 items"),
    (
        "grades-by-the-thousand",
        f"severity: {{{', '.join(f'a.b{n}: {{to: error}}' for n in range(3000))}}}\n",
        "found 3000 keys",
    ),
    ("rules-from-a-device", "house_rules: [/dev/zero]\n", "Not a directory"),
    ("rules-from-nowhere", "house_rules: [$(touch harmed)]\n", "No such file"),
)


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize(("text", "says"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN])
def test_settings_that_mean_harm_are_refused(text: str, says: str, how: Callable[..., Ended], tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_bytes(HELD)
    (tmp_path / ".doorlint.yaml").write_text(text, "utf-8")
    done = how("review", "door.yaml", "--on", DAY, place=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert done.err.replace("\n", "").isprintable()
    assert "Traceback" not in done.err
    assert done.within(SECONDS, MEGABYTES)
    assert not (tmp_path / "harmed").exists()


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda path: os.mkfifo(path), "not an ordinary file"),
        (lambda path: path.mkdir(), "not an ordinary file"),
        (lambda path: path.symlink_to("/dev/zero"), "not an ordinary file"),
        (lambda path: path.symlink_to("nowhere"), "No such file"),
        (lambda path: path.symlink_to(path.name), "symbolic links"),
        (lambda path: os.truncate(path, 2**40) if path.write_bytes(b"#") else None, "1024 KiB"),
    ],
    ids=["pipe", "folder", "device", "gone", "loop", "terabyte"],
)
def test_what_is_no_file_of_settings_is_said(make: Callable[[Path], object], says: str, tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_bytes(HELD)
    make(tmp_path / ".doorlint.yaml")
    done = doorlint("review", "door.yaml", "--on", DAY, place=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert done.within(SECONDS, MEGABYTES)


@pytest.mark.parametrize("repository", [False, True])
def test_settings_above_count_within_a_repository_only(repository: bool, tmp_path: Path) -> None:
    inside = tmp_path / "a" / "b"
    inside.mkdir(parents=True)
    (inside / "door.yaml").write_bytes(GOOD)
    (tmp_path / ".doorlint.yaml").write_text("house_rules: [nowhere]\n", "utf-8")
    if repository:
        (tmp_path / ".git").mkdir()
    assert called("review", "door.yaml", "--on", DAY, place=inside).code == (2 if repository else 0)


def test_settings_above_a_repository_do_not_count(tmp_path: Path) -> None:
    inside = tmp_path / "a"
    (inside / ".git").mkdir(parents=True)
    (inside / "door.yaml").write_bytes(GOOD)
    (tmp_path / ".doorlint.yaml").write_text("house_rules: [nowhere]\n", "utf-8")
    assert called("review", "door.yaml", "--on", DAY, place=inside).code == 0


def test_no_settings_make_a_held_job_clear(tmp_path: Path) -> None:
    """Not even with every rule lowered that may be."""
    from doorlint.rulebook.library import load

    lowered = [rule.id for rule in load().rules.values() if rule.sign_off == "supervisor"]
    said = "".join(f"  {rule}: {{to: advisory, reason: no time}}\n" for rule in lowered)
    (tmp_path / ".doorlint.yaml").write_text(f"hold_at: error\nseverity:\n{said}", "utf-8")
    for sample in ("duct-behind-header", "pipe-in-tower-bay", "motor-against-a-lock", "hanger-unbraced"):
        (tmp_path / "door.yaml").write_bytes((ROOT / "sample_specs" / f"{sample}.yaml").read_bytes())
        done = called("review", "door.yaml", "--on", DAY, place=tmp_path)
        assert (done.code, done.err) == (1, ""), sample

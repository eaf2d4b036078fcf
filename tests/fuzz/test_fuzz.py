"""Every target on its seeds, on a few mutations of them that are the same in every run, and on what once broke it."""

from __future__ import annotations

import random
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import needs
import pytest
from shared import SOME_OR_ALL, thinned
from targets import LEAVES, TARGETS, samples, seeds

from doorlint.resources import folder

RUNS = {"reader": 400, "quantity": 600, "formula": 600, "house": 300, "review": 200, "forms": 5, "whole": 60}
STRIDE = {"forms": 4}
"""Of which target only every so-many-th seed is tried: other tests have all samples in every form."""
BROKE: dict[str, tuple[bytes, ...]] = {
    "quantity": (
        b"\0009e99 quettameter4/quectometer4",
        b"\0001e-99 quectometer4/quettameter4",
    ),
    "formula": (b"\0min(abs(track.radius -  '40 in'))", b"\0abs(1, 2)"),
}

SPICE = (
    "\0", "\xff", "&a ", "*a", "!!x ", "- ", "? ", ": ", "{", "]", "'", '"', "\\", "\t", "\n", "#", "9" * 40, "e99",
    "1/0", "-", "<<: ", "---\n", "%", "|\n", "½", "\u202e", "(", "**", ".", "_", " in", "/", "\x1b", "\r", "\x85",
)  # fmt: skip


def mutated(start: list[bytes], runs: int) -> Iterator[bytes]:
    """Bytes changed, dropped, doubled and swapped between seeds."""
    chance = random.Random(7)
    spice = [piece.encode() for piece in SPICE]
    for _ in range(runs):
        data = bytearray(chance.choice(start))
        for _ in range(chance.randint(1, 6)):
            at, to = sorted((chance.randint(0, len(data)), chance.randint(0, len(data))))
            match chance.randrange(5):
                case 0:
                    data[at:at] = chance.choice(spice)
                case 1:
                    data[at : at + 8] = b""
                case 2:
                    data[at:at] = data[at : min(to, at + 200)]
                case 3:
                    data[at : at + 1] = bytes([chance.randrange(256)])
                case 4:
                    data[at:at] = chance.choice(start)[:60]
        yield bytes(data)


@SOME_OR_ALL
@pytest.mark.parametrize("name", TARGETS)
def test_targets_hold_on_seeds_and_their_mutations(name: str, every: int) -> None:
    start = seeds(name)
    for data in (*start[:: every * STRIDE.get(name, 1)], *mutated(start, RUNS[name] // every)):
        TARGETS[name](data)


@pytest.mark.parametrize(("name", "data"), [(name, data) for name, broke in BROKE.items() for data in broke])
def test_what_broke_it_once_does_not_again(name: str, data: bytes) -> None:
    TARGETS[name](data)


@pytest.mark.parametrize("size", ["0 in", "1e-30 m"])
def test_a_drum_of_no_size_is_reviewed(size: str) -> None:
    text = (folder("sample_specs") / "torsion-order.yaml").read_text("utf-8")
    thin = re.sub(r"(drum:\n(?:    .*\n)*?    radius: ).*", rf"\g<1>{size}", text)
    assert thin != text
    TARGETS["whole"](thin.encode())


@SOME_OR_ALL
@pytest.mark.parametrize("name", thinned(["torsion-commissioned", "tower-commissioned"], 2))
def test_a_job_whose_every_measure_is_nothing_is_told_in_every_form(name: str, every: int) -> None:
    """All at once, and each by itself."""
    sample = next(number for number, path in enumerate(samples()) if path.stem == name)
    nothing = [bytes([number >> 8, number & 255, key, 0]) for number in range(len(LEAVES)) for key in (0, 1, 3, 4)]
    TARGETS["forms"](bytes([sample]) + b"".join(nothing))
    for one in nothing[:: 4 * every]:
        TARGETS["review"](bytes([sample]) + one)


@pytest.mark.slow
def test_the_fuzzer_runs(tmp_path: Path) -> None:
    needs.module("atheris")
    fuzz = Path(__file__).with_name("fuzz.py")
    done = subprocess.run(
        [sys.executable, str(fuzz), "quantity", str(tmp_path / "corpus"), "-runs=300"],
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stderr
    assert "Done 300 runs" in done.stderr

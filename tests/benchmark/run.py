"""How fast a review is, as ratios to what everybody has: python tests/benchmark/run.py [--rounds N] [--files N]

Varied specs are written to a temporary folder; each command is a process of its own, those that are compared run in
turns, and the medians are divided by each other. A command that does not end as it should ends the benchmark: a crash
is never fast. Ratios of one run may be compared with each other and with the goals; seconds may not. The rates below
them are of this machine: a sample with another radius of its curve each time, and all rules held that the radius
reaches (2,000 a second are asked of an order).
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from varied import spec_text  # noqa: E402 - from the folder of the tests, wherever the benchmark is started

SCHEMA = ROOT / "schemas" / "job-spec.schema.json"
SCRIPTS = Path(sys.executable).parent

LOAD = """
import sys, pathlib, yaml
for path in sorted(pathlib.Path(sys.argv[1]).glob("*.yaml")):
    yaml.load(path.read_bytes(), yaml.CSafeLoader)
"""

FIGURES = """
import sys, gc, pathlib, statistics, time, yaml
from doorlint.rulebook.library import load
from doorlint.spec import read
from doorlint.uncertainty.outcomes import sort_outcomes
library, ratios = load(), []
texts = [path.read_bytes() for path in sorted(pathlib.Path(sys.argv[1]).glob("*.yaml"))]
gc.freeze()
for part in range(0, len(texts), 50):
    some = texts[part : part + 50]
    specs = [read(text) for text in some]
    start = time.perf_counter()
    for spec in specs:
        sort_outcomes(library, library.job(spec.values, spec.keys), spec.values["stage"])
    middle = time.perf_counter()
    for text in some:
        yaml.load(text, yaml.CSafeLoader)
    ratios.append((middle - start) / (time.perf_counter() - middle))
print(statistics.median(ratios))
"""

CHANGED = """
import gc, statistics, sys, time
from doorlint.rulebook.library import RULE, load
from doorlint.spec import read
library = load()
spec = read(open(sys.argv[1], "rb").read())
job, reached = library.job(spec.values, spec.keys), library.graph.downstream(["track.radius"])
cells = [RULE + rule for rule in library.asked(spec.stage) if RULE + rule in reached]
asked = [job.cell(cell) for cell in cells]
rates = []
gc.freeze()
for turn in range(100):
    start = time.perf_counter()
    for step in range(20):
        changed = job.with_changes({"track.radius": 0.25 + (20 * turn + step) * 1e-5})
        asked = [changed.cell(cell) for cell in cells]
    rates.append(20 / (time.perf_counter() - start))
print(statistics.median(rates))
"""


class Took(NamedTuple):
    """One process: how long it ran and the most memory it held (KiB)."""

    seconds: float
    peak: int


class Goal(NamedTuple):
    """One line of the table."""

    name: str
    found: float
    must: float
    stretch: float

    def line(self) -> str:
        """The line, with what it comes to."""
        verdict = "stretch" if self.found <= self.stretch else "must" if self.found <= self.must else "MISSED"
        return f"{self.name:<72} {self.found:>7.2f} {self.must:>6.2f} {self.stretch:>8.2f}  {verdict}"


class Bench:
    """A folder to work in, and the commands that are timed."""

    def __init__(self, place: Path, rounds: int) -> None:
        self.place, self.rounds = place, rounds
        self.env = {**os.environ, "XDG_CACHE_HOME": str(place / "cache"), "PYTHONHASHSEED": "0"}
        self.env.pop("PYTHONDONTWRITEBYTECODE", None)

    def folder(self, name: str, count: int, base: str | None = None) -> str:
        """A folder of varied specs."""
        folder = self.place / name
        folder.mkdir()
        for seed in range(count):
            (folder / f"door-{seed:05}.yaml").write_text(spec_text(seed, base), "utf-8")
        return str(folder)

    def review(self, *words: str) -> list[str]:
        """A review whose report goes to a file."""
        return [str(SCRIPTS / "doorlint"), "review", *words, "--out", str(self.place / "report")]

    def run(self, words: Sequence[str], codes: Sequence[int] = (0,)) -> Took:
        """Run a command; what it says is thrown away."""
        start = time.perf_counter()
        process = subprocess.Popen(
            words, env=self.env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, cwd=self.place
        )
        assert process.stderr is not None
        said = process.stderr.read().decode()
        _, status, used = os.wait4(process.pid, 0)
        took = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in codes:
            sys.exit(f"{' '.join(words)} ended with {process.returncode}, not {codes}: {said}")
        return Took(took, used.ru_maxrss)

    def medians(self, *commands: tuple[Sequence[str], Sequence[int]], rounds: int | None = None) -> list[float]:
        """The median seconds of some commands, run in turns after one turn that does not count."""
        found: list[list[float]] = [[] for _ in commands]
        for turn in range((rounds or self.rounds) + 1):
            for times, (words, codes) in zip(found, commands, strict=True):
                took = self.run(words, codes).seconds
                if turn:
                    times.append(took)
        return [statistics.median(times) for times in found]


def goals(bench: Bench, many: int, most: int) -> list[Goal]:
    """Every line of the table, measured."""
    either = (0, 1)
    python, load = sys.executable, [sys.executable, "-c", LOAD]
    one = str(ROOT / "sample_specs" / "tower-order.yaml")
    folder, larger = bench.folder("many", many), bench.folder("most", most)
    tower = bench.folder("tower", many, "tower-order")
    checked = [str(SCRIPTS / "check-jsonschema"), "--schemafile", str(SCHEMA)]
    linted = [str(SCRIPTS / "yamllint"), "-d", "relaxed"]
    files = sorted(str(path) for path in Path(folder).glob("*.yaml"))
    alone = ("--workers", "1", "--cache", "none")

    cold, schema, imports = bench.medians(
        ([str(SCRIPTS / "doorlint"), "review", one], (0,)), ([*checked, one], (0,)),
        ([python, "-c", "import yaml, click"], (0,)),
        rounds=3 * bench.rounds,
    )  # fmt: skip
    all_of, loaded, all_checked, all_linted = bench.medians(
        (bench.review(folder, *alone), either), ([*load, folder], (0,)), ([*checked, *files], (0,)),
        ([*linted, folder], (0,)),
    )  # fmt: skip
    figures = float(
        subprocess.run([python, "-c", FIGURES, tower], env=bench.env, check=True, capture_output=True).stdout
    )
    two, single = bench.medians(
        (bench.review(larger, "--workers", "2", "--cache", "none"), either), (bench.review(larger, *alone), either),
        rounds=1,
    )  # fmt: skip
    first, second = [], []
    for turn in range(2):
        kept = ("--cache", str(bench.place / f"kept-{turn}"))
        first.append(bench.run(bench.review(larger, *kept), either).seconds)
        second.append(min(bench.run(bench.review(larger, *kept), either).seconds for _ in range(2)))
    peaks = [bench.run(bench.review(place, *alone), either).peak for place in (larger, folder)]
    return [
        Goal("one valid file, cold / check-jsonschema", cold / schema, 0.40, 0.30),
        Goal('one valid file, cold / python -c "import yaml, click"', cold / imports, 1.9, 1.5),
        Goal(f"{many:,} files, one process, no cache / yaml.load", all_of / loaded, 1.5, 0.9),
        Goal("of that, figures and rules (tower job) / yaml.load", figures, 0.6, 0.4),
        Goal(f"{many:,} files / check-jsonschema", all_of / all_checked, 0.25, 0.15),
        Goal(f"{many:,} files / yamllint (relaxed)", all_of / all_linted, 0.10, 0.06),
        Goal(f"{most:,} files, 2 workers / 1 worker", two / single, 0.65, 0.55),
        Goal(f"unchanged {most:,} files, second run / first", sum(second) / sum(first), 0.15, 0.08),
        Goal(f"peak memory, {most:,} / {many:,} files", peaks[0] / peaks[1], 1.5, 1.2),
    ]


def rates(bench: Bench) -> dict[str, float]:
    """How many changes of a sample's radius a second."""
    found = {}
    for name in ("tower-order", "tower-install", "torsion-order", "torsion-install"):
        words = [sys.executable, "-c", CHANGED, str(ROOT / "sample_specs" / f"{name}.yaml")]
        found[name] = float(subprocess.run(words, env=bench.env, check=True, capture_output=True).stdout)
    return found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=5, help="turns of each command")
    parser.add_argument(
        "--files", type=int, default=1000, help="files of a folder; the large one has ten times as many"
    )
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        bench = Bench(Path(place), chosen.rounds)
        found, changes = goals(bench, chosen.files, 10 * chosen.files), rates(bench)
    print(f"{'RATIO':<72} {'FOUND':>7} {'MUST':>6} {'STRETCH':>8}")
    for goal in found:
        print(goal.line())
    for name, rate in changes.items():
        print(f"{'another radius a second, ' + name:<72} {rate:>7,.0f}")


if __name__ == "__main__":
    main()

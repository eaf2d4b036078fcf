"""What the tests would not notice: python tests/mutation/run.py doorlint/figures/tower.py ...

One small change at a time is made to a module, in memory, and a fork of this process asks whether anybody notices: the
module's own examples and those of the rules first, then each test file that calls the changed function, quickest first.
What nobody notices is printed. `equivalent.txt` beside this file holds the changes that alter nothing anybody could
see, each group with its reason; they are counted apart. It needs a system that forks.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import doctest
import gc
import importlib
import io
import json
import os
import random
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import pytest
from mutants import Mutant, mutants

ROOT = Path(__file__).parent.parent.parent
EQUIVALENT = Path(__file__).parent / "equivalent.txt"
TESTS = ("tests/test_*.py", "tests/outside/test_*.py", "tests/remedy/test_adjustments.py")
LEFT_OUT = {"test_approvals.py", "test_change.py", "test_cli.py", "test_package.py", "test_project.py",
            "test_rule_examples.py", "test_whole_specs.py", "test_zero_sizes.py"}  # fmt: skip
"""Test files that start processes, which a change in the memory of this one does not reach, or that take long."""
QUIET = ("-W", "ignore::pytest.PytestAssertRewriteWarning")
"""The plugins of pytest are here before it asks for them."""
NOTICED = 1
SECONDS, MEMORY = 60, 4 << 30
"""What a changed program may take before it counts as noticed."""


class Changed(MetaPathFinder, Loader):
    """Gives one module from a changed tree instead of from its file."""

    def __init__(self, module: str, path: Path, tree: ast.Module) -> None:
        self.module, self.path = module, path
        self.code = compile(ast.fix_missing_locations(tree), path, "exec")

    def find_spec(self, fullname: str, *_: object) -> ModuleSpec | None:
        return spec_from_file_location(fullname, self.path, loader=self) if fullname == self.module else None

    def create_module(self, spec: ModuleSpec) -> None:
        """The usual one."""

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, vars(module))


def forked(work: Callable[[], int]) -> int:
    """The exit code of some work done in a fork, silently; minus a signal where one ended it."""
    pid = os.fork()
    if pid == 0:
        code = 2
        try:
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
            resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
            signal.alarm(10 * SECONDS)
            silence = os.open(os.devnull, os.O_RDWR)
            for stream in range(3):
                os.dup2(silence, stream)
            code = work()
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def told_by_pytest(files: list[str]) -> int:
    return int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *QUIET, *files])) if files else 0


def told_by_examples(module: str, function: str) -> int:
    """The examples of the module itself, then those of the rules that read the figure, or else of every rule."""
    if doctest.testmod(importlib.import_module(module)).failed:
        return 1
    from doorlint.rulebook.examples import run_examples
    from doorlint.rulebook.library import RULE, load

    library = load()
    figure = f"{module.rpartition('.')[2]}.{function}"
    readers = library.graph.downstream([figure]) if figure in library.graph.nodes else library.graph.nodes
    rules = [rule for rule in library.rules.values() if RULE + rule.id in readers]
    examples = (example for rule in rules for example in run_examples(library, rule))
    return 0 if all(example.holds and example.close for example in examples) else 1


def changed_in_place(module: str, path: Path, tree: ast.Module, function: str) -> bool:
    """Whether a figure could be given its changed code where it is; what is read once, at import, cannot."""
    live = vars(sys.modules[module]).get(function)
    if not isinstance(live, FunctionType) or not module.startswith("doorlint.figures"):
        return False
    codes = compile(ast.fix_missing_locations(tree), path, "exec").co_consts
    (live.__code__,) = (code for code in codes if isinstance(code, CodeType) and code.co_name == function)
    return True


def forget() -> None:
    """Let everything of this checkout be imported anew."""
    for name, module in list(sys.modules.items()):
        if name != "__main__" and (getattr(module, "__file__", None) or "").startswith(str(ROOT)):
            del sys.modules[name]


def called(files: list[str], folder: Path) -> dict[str, set[tuple[str, int]]]:
    """Of each test file, quickest first, file and first line of the functions that it calls."""
    found = {}
    for number, file in enumerate(files):
        kept = folder / f"{number}.json"

        def traced(file: str = file, kept: Path = kept) -> int:
            forget()
            codes: set[CodeType] = set()
            sys.setprofile(lambda frame, *_: codes.add(frame.f_code))
            code = told_by_pytest([file])
            sys.setprofile(None)
            kept.write_text(json.dumps([(code.co_filename, code.co_firstlineno) for code in codes]), "utf-8")
            return code

        start = time.monotonic()
        if forked(traced) == 0:
            places = {(name, line) for name, line in json.loads(kept.read_text("utf-8"))}
            found[file] = time.monotonic() - start, places
        else:
            print(f"{file} fails as it is, or takes too long: left out", file=sys.stderr)
    return {file: places for file, (_, places) in sorted(found.items(), key=lambda item: item[1][0])}


def tell(file: str, tests: dict[str, set[tuple[str, int]]], most: int, seed: int) -> None:
    """Try the mutants of one file and print those that nobody noticed, and how many there were."""
    path, module = ROOT / file, file.removesuffix(".py").replace("/", ".")
    tree = ast.parse(path.read_text("utf-8"))
    known = set(EQUIVALENT.read_text("utf-8").splitlines())
    every = list(mutants(tree))
    tried = [one for one in every if _name(file, one) not in known]
    equivalent = len(every) - len(tried)
    if len(tried) > most:
        tried = sorted(random.Random(seed).sample(tried, most), key=lambda one: one.line)
    left = 0
    for mutant in tried:
        place = (str(path), mutant.function[1])
        calls = [test for test, places in tests.items() if place in places or not place[1]]

        def judged(mutant: Mutant = mutant, calls: list[str] = calls) -> int:
            mutant.apply()
            if not changed_in_place(module, path, tree, mutant.function[0]):
                sys.meta_path.insert(0, Changed(module, path, tree))
                forget()
            try:
                return NOTICED if told_by_examples(module, mutant.function[0]) or told_by_pytest(calls) else 0
            except Exception:  # at import, say
                return NOTICED

        code = forked(judged)
        if code > NOTICED:
            raise RuntimeError(f"line {mutant.line}, {mutant.words}: cannot be tried")
        if code == 0:
            left += 1
            print(f"{file}:{mutant.line} {_name(file, mutant)}", flush=True)
    share = f"{1 - left / len(tried):.1%}" if tried else "-"
    print(f"{file} | {len(every)} | {equivalent} | {len(tried)} | {left} | {share}", flush=True)


def _name(file: str, mutant: Mutant) -> str:
    """What a mutant is known by, wherever in the file it stands."""
    return f"{Path(file).stem} {mutant.function[0] or '-'}: {mutant.words}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="+", help="modules, from the root of the checkout")
    parser.add_argument("--most", type=int, default=1 << 30, help="try so many of a file, taken at random")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="+", default=TESTS, help="the test files that are asked")
    options = parser.parse_args()
    os.chdir(ROOT)
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
    paths = [path for glob in options.tests for path in sorted(ROOT.glob(glob)) if path.name not in LEFT_OUT]
    files = [str(path.relative_to(ROOT)) for path in paths]
    with contextlib.redirect_stdout(io.StringIO()):  # what every fork shares is imported once
        told_by_pytest(["--collect-only", *files, *options.files])
    for file in options.files:
        told_by_examples(file.removesuffix(".py").replace("/", "."), "")
    gc.freeze()
    with tempfile.TemporaryDirectory() as folder:
        tests = called(files, Path(folder))
    print("module | mutants | equivalent | tried | unnoticed | noticed of those tried", flush=True)
    for file in options.files:
        tell(file, tests, options.most, options.seed)


if __name__ == "__main__":
    main()

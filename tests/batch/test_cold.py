"""What a first run of one spec does not wait for."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from shared import DAY, ROOT

HEAVY = {"jsonschema", "pint", "jinja2", "importlib.metadata", "asyncio", "multiprocessing", "concurrent.futures"}
SPEC = str(ROOT / "sample_specs" / "tower-order.yaml")


def imported(folder: Path, *words: str) -> set[str]:
    """The modules that one run imports, by itself in a process."""
    code = (
        "import sys, os\n"
        "from doorlint.cli import main\n"
        "try:\n    main(sys.argv[1:])\n"
        "except SystemExit as end:\n    print('\\n', end.code, *sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, cwd=folder,
        env={"PATH": "", "HOME": str(folder), "XDG_CACHE_HOME": str(folder)},
    )  # fmt: skip
    code, *modules = done.stderr.splitlines()[-1].split()
    assert code == "0", done.stderr
    return set(modules)


@pytest.mark.parametrize("form", ["text", "json"])
def test_a_valid_spec_waits_for_no_more_than_it_needs(form: str, tmp_path: Path) -> None:
    words = ("review", SPEC, "--as", form, "--on", DAY)
    imported(tmp_path, *words)  # the first one reads the rules
    assert imported(tmp_path, *words) & HEAVY == set()


def test_help_waits_for_neither_yaml_nor_rules(tmp_path: Path) -> None:
    for words in (["--help"], ["review", "--help"], ["--version"]):
        modules = imported(tmp_path, *words)
        assert not modules & (HEAVY | {"yaml", "json", "hashlib"})
        rooms = {name.split(".")[1] for name in modules if name.startswith("doorlint.")}
        assert rooms <= {"cli", "counterbalance", "errors", "named_tuple", "reports", "version"}


def test_without_a_cache_rules_are_still_read_without_jsonschema(tmp_path: Path) -> None:
    assert not imported(tmp_path, "review", SPEC, "--cache", "none", "--on", DAY) & {"jsonschema", "pint", "jinja2"}

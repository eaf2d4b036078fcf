"""The project itself: types, style and layering, each held by its tool; and the papers a newcomer reads."""

from __future__ import annotations

import os
import re
import subprocess
import sys

import needs
import pytest
from shared import ROOT, Run, steady

from doorlint.rulebook.library import Library


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(["-m", "mypy", "--no-error-summary"], marks=pytest.mark.slow),
        ["-m", "ruff", "check", "--no-cache", "-q", "."],
        ["-m", "ruff", "format", "--check", "--no-cache", "-q", "."],
        ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()", "--no-cache"],
    ],
    ids=["types", "style", "format", "layers"],
)
def test_tool_has_nothing_to_say(words: list[str]) -> None:
    if "mypy" in words:
        needs.module("pygls", "editor")  # whose types the language server is held against
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_top_level_holds_what_it_should() -> None:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        pytest.skip("not a git checkout")
    seen = {name.partition("/")[0] for name in done.stdout.splitlines()}
    visible = {name for name in seen if not name.startswith(".")}
    assert visible == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "doorlint", "rules", "schemas", "tests", "sample_specs",
    }  # fmt: skip


@pytest.mark.slow
def test_the_tests_are_found_where_only_their_own_extra_is_installed() -> None:
    """A stranger's machine has what the README's command puts there; tests that need more skip."""
    lacking = [
        "Pynite", "atheris", "build", "check_jsonschema", "distributed", "hatchling", "lsprotocol", "lxml",
        "markdown_it", "numpy", "playwright", "pre_commit", "pygls", "scipy", "sympy", "twine", "yamllint",
    ]  # fmt: skip
    call = (
        f"import sys; sys.modules.update(dict.fromkeys({lacking})); import pytest; "
        "sys.exit(pytest.main('--collect-only -q -p no:cacheprovider -n 0 -p no:syrupy'.split()))"
    )
    env = {name: value for name, value in os.environ.items() if name != "CI" and not name.startswith("PYTEST")}
    done = subprocess.run([sys.executable, "-c", call], cwd=ROOT, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr


def test_ci_runs_the_command_of_the_readme_and_then_what_that_leaves_out() -> None:
    readme, ci = (ROOT / "README.md").read_text("utf-8"), (ROOT / ".ci" / "run").read_text("utf-8")
    (command,) = re.findall(r"&& \.venv/bin/(python -m pytest.*)", readme)
    assert re.findall(r"^(python -m pytest.*) \|\| status=\$\?", ci, re.M) == [
        command,
        command.replace("'not slow'", "slow"),
    ]


def test_rules_and_rooms_named_in_the_papers_are_there(library: Library) -> None:
    for paper in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / paper).read_text("utf-8")
        for path in re.findall(r"`((?:doorlint|rules|schemas|tests|sample_specs)/[\w./-]*)`", text):
            assert (ROOT / path).exists(), f"{paper}: {path}"
        for rule in re.findall(r"rulebook (?!practice\.)([a-z-]+\.[a-z-]+)", text):
            assert rule in library.all_rules, f"{paper}: {rule}"


def test_the_report_in_the_readme_is_what_is_printed(run: Run) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    block = re.search(r"`doorlint review (\S+)`, cut.*?```\n(.*?)```", text, re.DOTALL)
    assert block is not None
    assert steady(run("review", block[1]).stdout).startswith(steady(block[2].rstrip()))

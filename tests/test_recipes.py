"""Every recipe of the developers' guide, followed in a copy of the repository.

A recipe says what to do in comments beside its code: ``append``, ``create``, ``insert`` and ``replace`` change a file,
``run`` uses what was added.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from shared import ROOT, thinned

GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
RECIPES = {
    title: body
    for title, body in re.findall(r"^### ([^\n]+)\n(.*?)(?=^##|\Z)", GUIDE, re.DOTALL | re.MULTILINE)
    if "<!-- run:" in body
}
STEP = re.compile(r"<!-- (\w+): (.+?) -->(?:\n```\w+\n(.*?)```)?", re.DOTALL)
PROBES = {
    "rule": "from doorlint.rulebook.examples import run_examples; book = load(); "
    "found = run_examples(book, book.rules[{0!r}]); assert found and all(one.holds and one.close for one in found)",
    "figure": "job = job_of({1!r}); value = job.cell({0!r}); assert isinstance(value, float), value",
    "table": "assert load().tables[{0!r}].rows",
    "practice": "assert load().practice[{0!r}].value > 0",
    "field": "from doorlint.spec.vocabulary import VOCABULARY; assert {0!r} in VOCABULARY.leaves",
    "drawing": "from doorlint.scene.picture import PICTURES; assert {0!r} in [picture.name for picture in PICTURES]",
    "counterbalance": "from doorlint.counterbalance import named; assert named({0!r}).lock",
    "kind": "from doorlint.rulebook.kinds import KINDS; kind = KINDS[{0!r}]; "
    "assert kind.comparison(None)(1.0, 2.0)[0] and not kind.comparison(None)(2.0, 2.0)[0]",
}
"""What shows that a recipe worked, in Python, by the word that its ``run`` starts with."""
PREPARED = (
    "from doorlint.rulebook.library import load\n"
    "from doorlint.rulebook.examples import base\n"
    "def job_of(name):\n"
    "    spec = base(name)\n"
    "    return load().job(spec.values, spec.keys)\n"
)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    for name in ("doorlint", "rules", "schemas", "sample_specs"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path


def unescaped(text: str) -> str:
    return text.replace("\\n", "\n")


def follow(place: Path, what: str, said: str, code: str) -> None:
    """Change a file as one step of a recipe says."""
    file, *rest = said.split(" | ")
    path = place / file
    if what == "create":
        assert not path.exists(), f"{file} is there already"
        path.write_text(code, "utf-8")
        return
    text = path.read_text("utf-8")
    if what == "append":
        path.write_text(text.rstrip("\n") + "\n" + code, "utf-8")
        return
    if what == "replace":
        old, new = map(unescaped, rest[0].split(" -> "))
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), "utf-8")
        return
    assert what == "insert", what
    after, within = (unescaped(part.partition(": ")[2]) for part in rest)
    start = text.index(within, text.index(after)) + len(within)
    path.write_text(text[:start] + "\n" + code.rstrip("\n") + text[start:], "utf-8")


def used(place: Path, command: str) -> subprocess.CompletedProcess[str]:
    """Run what a recipe added: a command of doorlint, or a probe."""
    word, *arguments = command.split()
    call = [sys.executable, "-m", "doorlint", *command.split()]
    if word in PROBES:
        call = [sys.executable, "-c", PREPARED + PROBES[word].format(*arguments)]
    env = {**os.environ, "PYTHONPATH": str(place)}
    return subprocess.run(call, cwd=place, env=env, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("title", RECIPES)
def test_a_recipe_works(title: str, copy: Path) -> None:
    commands = []
    for what, said, code in STEP.findall(RECIPES[title]):
        if what == "run":
            commands.append(said)
        else:
            follow(copy, what, said, code)
    for command in commands:
        done = used(copy, command)
        assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


@pytest.mark.parametrize("title", thinned(RECIPES, 3))
def test_a_recipe_adds_what_is_not_there(title: str) -> None:
    """What a recipe runs fails in the repository as it is."""
    for command in re.findall(r"<!-- run: (.+?) -->", RECIPES[title]):
        assert used(ROOT, command).returncode != 0


def test_the_guide_is_short() -> None:
    lines = GUIDE.splitlines()
    assert len(lines) <= 250
    assert max(len(line) for line in lines if not line.startswith(("|", "<!--"))) <= 126
    assert set(RECIPES) == {
        "A rule", "A figure", "A table", "A practice figure", "A spec field", "A kind of check", "A report form",
        "A drawing", "A counterbalance",
    }  # fmt: skip

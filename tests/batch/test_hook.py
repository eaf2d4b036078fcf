"""The hook as a repository of specs uses it: installed by pre-commit from a commit, run on what is committed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import needs
import pytest
import yaml
from shared import ROOT, Run

needs.module("pre_commit")
GIT = ("git", "-c", "user.name=crew", "-c", "user.email=crew@site.example", "-c", "init.defaultBranch=main")
SPEC = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")


def git(place: Path, *words: str) -> None:
    needs.command("git")
    subprocess.run([*GIT, *words], cwd=place, check=True, capture_output=True)


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """This project as a commit."""
    place = tmp_path_factory.mktemp("doorlint")
    for name in ("doorlint", "rules", "schemas", "sample_specs"):
        shutil.copytree(ROOT / name, place / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", ".pre-commit-hooks.yaml"):
        shutil.copy(ROOT / name, place / name)
    git(place, "init", "-q")
    git(place, "add", ".")
    git(place, "commit", "-qm", "All")
    return place


@pytest.mark.slow
def test_a_commit_is_stopped_by_a_spec_on_hold_and_by_nothing_else(source: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    git(shop, "init", "-q")
    hooks = tmp_path / "hooks.yaml"  # a file of its own, so that the hook's environment is made once
    hooks.write_text(f"repos: [{{repo: {source}, rev: HEAD, hooks: [{{id: doorlint, verbose: true}}]}}]\n", "utf-8")
    env = {**os.environ, "PRE_COMMIT_HOME": str(tmp_path / "home"), "HOME": str(tmp_path), "XDG_CACHE_HOME": ""}

    def hooked(**files: str) -> tuple[int, str]:
        for name, text in files.items():
            (shop / f"{name}.yaml").write_text(text, "utf-8")
        git(shop, "add", ".")
        words = [sys.executable, "-m", "pre_commit", "run", "--config", str(hooks), "--all-files"]
        done = subprocess.run(words, cwd=shop, env=env, capture_output=True, text=True, check=False)
        return done.returncode, done.stdout + done.stderr

    code, said = hooked(pipeline="steps: [build]\n")
    assert code == 0, said
    code, said = hooked(door=SPEC)
    assert code == 0, said
    assert "1 spec: 1 clear" in said
    code, said = hooked(other=SPEC.replace("J-1001", "J-1002").replace("headroom: 26 in", "headroom: 12 in"))
    assert code == 1, said
    assert "2 specs: 1 clear, 1 on hold" in said
    assert re.search(r"^other\.yaml:\d+:\d+: error: .* \[headroom\.\w+\]$", said, re.MULTILINE)


def test_options_of_a_shop_as_the_readme_gives_them(run: Run, tmp_path: Path) -> None:
    (hook,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))
    readme = (ROOT / "README.md").read_text("utf-8")
    (given,) = re.findall(r"# with options of your own: (\{id: doorlint, .*\})", readme)
    spec = tmp_path / "--as=never.yaml"
    spec.write_text(SPEC.replace("bracket_spacing: 24 in", "bracket_spacing: 26 in"), "utf-8")
    (tmp_path / "pipeline.yml").write_text("steps: [build]\n", "utf-8")
    git(tmp_path, "init", "-q")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-qm", "All")
    program, *words = hook["entry"].split()
    assert program == "doorlint"
    files = [spec.name, "pipeline.yml"]
    assert run(*words, *hook["args"], *files, cwd=tmp_path).returncode == 0
    done = run(*words, *yaml.safe_load(given)["args"], *files, cwd=tmp_path)
    assert done.returncode == 1
    assert f"hold  {spec.name}  1 warning" in done.stdout

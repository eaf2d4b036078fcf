"""The README's guarded pipeline, run line by line in a real repository against branches that try to get past it."""

from __future__ import annotations

import datetime
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import needs
import pytest
from shared import ROOT, thinned

GIT = ("git", "-c", "user.name=crew", "-c", "user.email=crew@site.example", "-c", "init.defaultBranch=main")
SPEC = (ROOT / "sample_specs" / "tower-install.yaml").read_text("utf-8")
WEAK = SPEC.replace("leg_thickness: 1/8 in", "leg_thickness: 1/64 in")
WIDE = SPEC.replace("bracket_spacing: 24 in", "bracket_spacing: 30 in")
SIGNED = (
    "approvals:\n  posts: {rule: track.bracket-spacing, pointer: /track/bracket_spacing, value: 30 in, limit: 24 in, "
    "reason: posts, by: supervisor RT, on: DAY, until: DAY}\n"
)
LOOSE = "practice:\n  hanger_stress: {title: t, value: 24 ksi, dimension: stress, standing: practice}\n"
README = (ROOT / "README.md").read_text("utf-8")


def git(place: Path, *words: str) -> None:
    needs.command("git")
    subprocess.run([*GIT, *words], cwd=place, check=True, capture_output=True)


def pipeline() -> str:
    """The lines as the README gives them; each stops the pipeline where it fails."""
    (block,) = re.findall(r"^### Guarding the gate\n.*?^```\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    return f"set -e\n{block}"


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """A clone on a branch of its own; ``main`` of its origin holds two clear specs and the shop's strict settings."""
    origin, clone = tmp_path / "origin", tmp_path / "clone"
    (origin / "doors").mkdir(parents=True)
    (origin / "shop" / "tables").mkdir(parents=True)
    for number in (1, 2):
        (origin / "doors" / f"d{number}.yaml").write_text(SPEC.replace("J-1001", f"J-100{number}"), "utf-8")
    (origin / ".doorlint.yaml").write_text("house_rules: [shop]\n", "utf-8")
    (origin / "approvers.txt").write_text("supervisor LM\n", "utf-8")
    (origin / "shop" / "tables" / "practice.yaml").write_text(LOOSE.replace("24 ksi", "20 ksi"), "utf-8")
    git(origin, "init", "-q")
    git(origin, "add", ".")
    git(origin, "commit", "-qm", "main")
    subprocess.run([*GIT, "clone", "-q", str(origin), str(clone)], check=True, capture_output=True)
    git(clone, "checkout", "-q", "-b", "branch")
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "doorlint").write_text(f'#!/bin/sh\nexec {sys.executable} -m doorlint "$@"\n', "utf-8")
    (programs / "doorlint").chmod(0o755)
    return clone


def gated(clone: Path) -> subprocess.CompletedProcess[str]:
    git(clone, "add", "-A")
    git(clone, "commit", "-q", "--allow-empty", "-m", "branch")
    path = f"{clone.parent / 'programs'}:{os.environ['PATH']}"
    env = {**os.environ, "PATH": path, "PYTHONPATH": str(ROOT), "HOME": str(clone.parent)}
    return subprocess.run(["bash", "-c", pipeline()], cwd=clone, env=env, capture_output=True, text=True, check=False)


def write(clone: Path, name: str, text: str) -> None:
    (clone / name).parent.mkdir(parents=True, exist_ok=True)
    (clone / name).write_text(text, "utf-8")


def signed() -> str:
    """A sign-off that counts today, but for whose it is."""
    return SIGNED.replace("DAY", datetime.date.today().isoformat())


def own_settings(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WEAK.replace("1/64 in", "0.02 in"))
    write(clone, "shop/tables/practice.yaml", LOOSE)


def no_settings(clone: Path) -> None:
    (clone / ".doorlint.yaml").unlink()
    write(clone, "doors/d1.yaml", WEAK)


def lower_severity(clone: Path) -> None:
    write(clone, ".doorlint.yaml", "severity: {track.bracket-spacing: {to: advisory, reason: x}}\n")
    write(clone, "doors/d1.yaml", WIDE)


def own_figure(clone: Path) -> None:
    write(clone, "doors/d1.yaml", f"{WEAK}practice: {{hanger_stress: 22 ksi}}\n")


def far_figure(clone: Path) -> None:
    write(clone, "doors/d1.yaml", f"{WEAK}practice: {{hanger_stress: 900 GPa}}\n")


def own_sign_off(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WIDE + signed())


def sign_off_beside(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WIDE)
    write(clone, "doors/d1.approvals.yaml", signed())


def own_approvers(clone: Path) -> None:
    write(clone, "approvers.txt", "supervisor RT\n")
    own_sign_off(clone)


def lower_stage(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WEAK.replace("stage: install", "stage: survey"))


def rename(clone: Path) -> None:
    (clone / "doors" / "d1.yaml").rename(clone / "doors" / "d1.txt")


def hide(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WEAK.replace("doorlint: 1", "# doorlint: 1"))


def bury(clone: Path) -> None:
    write(clone, "doors/d1.yaml", "# far\n" * 3000 + WEAK)


def ignore(clone: Path) -> None:
    (clone / "doors" / "d1.yaml").rename(clone / "doors" / ".d1.yaml")


def as_sign_offs(clone: Path) -> None:
    (clone / "doors" / "d1.yaml").unlink()
    write(clone, "doors/d1.approvals.yaml", WEAK)


def decoy(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WEAK)
    write(clone, "origin/main:doors/d1.yaml", WEAK)


def fake_git(clone: Path) -> None:
    write(clone, "doors/d1.yaml", WEAK)
    write(clone, "git", "#!/bin/sh\nexit 0\n")
    (clone / "git").chmod(0o755)


def link_away(clone: Path) -> None:
    (clone / "doors" / "d1.yaml").unlink()
    (clone / "doors" / "d1.yaml").symlink_to("../gone.yaml")


HOSTILE: tuple[Callable[[Path], None], ...] = (
    own_settings, no_settings, lower_severity, own_figure, far_figure, own_sign_off, sign_off_beside, own_approvers,
    lower_stage, rename, hide, bury, ignore, as_sign_offs, decoy, fake_git, link_away,
)  # fmt: skip


def test_main_passes(clone: Path) -> None:
    done = gated(clone)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "2 specs: 2 clear" in done.stdout


def test_a_sound_change_passes(clone: Path) -> None:
    write(clone, "doors/d1.yaml", SPEC.replace("J-1001", "J-1001 north"))
    done = gated(clone)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("branch", thinned(HOSTILE, 6), ids=lambda branch: branch.__name__)
def test_no_branch_gets_past(clone: Path, branch: Callable[[Path], None]) -> None:
    branch(clone)
    done = gated(clone)
    assert done.returncode != 0, done.stdout + done.stderr


@pytest.mark.slow
def test_no_hostile_commit_gets_past_the_hook(clone: Path, tmp_path: Path) -> None:
    needs.module("pre_commit")
    source = tmp_path / "source"
    source.mkdir()
    for name in ("doorlint", "rules", "schemas", "sample_specs"):
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", ".pre-commit-hooks.yaml"):
        shutil.copy(ROOT / name, source / name)
    git(source, "init", "-q")
    git(source, "add", ".")
    git(source, "commit", "-qm", "All")
    hooks = tmp_path / "hooks.yaml"  # a file of its own, so that the hook's environment is made once
    hooks.write_text(f"repos: [{{repo: {source}, rev: HEAD, hooks: [{{id: doorlint, verbose: true}}]}}]\n", "utf-8")
    env = {**os.environ, "PRE_COMMIT_HOME": str(tmp_path / "home"), "HOME": str(tmp_path), "XDG_CACHE_HOME": ""}
    words = [sys.executable, "-m", "pre_commit", "run", "--config", str(hooks), "--all-files"]

    def hooked() -> tuple[int, str]:
        git(clone, "add", "-A")
        done = subprocess.run(words, cwd=clone, env=env, capture_output=True, text=True, check=False)
        return done.returncode, done.stdout + done.stderr

    code, said = hooked()
    assert code == 0, said
    for branch in (no_settings, own_figure, far_figure, bury):
        branch(clone)
        code, said = hooked()
        assert code == 1, said
        git(clone, "reset", "-q", "--hard")
    write(clone, "doors/d1.approvals.yaml", "approvals: nonsense\n")
    code, said = hooked()
    assert code == 1, said
    assert "d1.approvals.yaml" in said

"""The wheel by itself: installed away from the checkout, used from an empty folder, with nothing fetched."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import needs
import pytest
from shared import ROOT


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    needs.module("build")
    place = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--wheel", "--outdir", str(place), str(ROOT)],
        check=True,
        capture_output=True,
    )
    return next(place.glob("*.whl"))


def test_it_carries_rules_schemas_and_samples(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for folder in ("rules", "schemas", "sample_specs"):
        there = {path.relative_to(ROOT).as_posix() for path in (ROOT / folder).rglob("*") if path.is_file()}
        assert {f"doorlint/data/{name}" for name in there} <= set(names)
    assert "doorlint/py.typed" in names
    assert not [name for name in names if name.startswith(("tests", "rules", "schemas"))]


def test_it_reviews_from_an_empty_folder_without_the_checkout(wheel: Path, tmp_path: Path) -> None:
    venv.create(tmp_path / "venv", system_site_packages=True)
    python = tmp_path / "venv" / "bin" / "python"
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(site)
    empty = tmp_path / "empty"
    empty.mkdir()
    spec = empty / "door.yaml"
    spec.write_bytes((ROOT / "sample_specs" / "tower-order.yaml").read_bytes())
    packages = next(path for path in sys.path if path.endswith("site-packages"))
    env = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": f"{site}{os.pathsep}{packages}"}
    done = subprocess.run(
        [
            python,
            "-S",
            "-c",
            "import doorlint; print(doorlint.__file__); from doorlint.cli import main; main()",
            "review",
            spec,
        ],
        capture_output=True,
        cwd=empty,
        env=env,
        check=False,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert str(site / "doorlint") in done.stdout
    assert "VERDICT  clear" in done.stdout

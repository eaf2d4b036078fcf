"""The package by itself: what it holds, built twice alike, used from an empty folder with nothing fetched."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from email import message_from_bytes
from pathlib import Path
from typing import NamedTuple

import needs
import pytest
from shared import ROOT

SHIPPED = ("doorlint", "rules", "schemas", "sample_specs", "tests", "README.md", "DEVELOPERS.md", "pyproject.toml")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


class Built(NamedTuple):
    """The two files of a release."""

    sdist: Path
    wheel: Path


def build(source: Path, place: Path) -> Built:
    """Both files, built from a source folder without the network."""
    needs.module("build")
    needs.module("hatchling")
    words = ["-m", "build", "--no-isolation", "--sdist", "--wheel", "--outdir", str(place), str(source)]
    env = {**os.environ, "SOURCE_DATE_EPOCH": "1767225600", "PIP_NO_INDEX": "1"}
    subprocess.run([sys.executable, *words], check=True, capture_output=True, env=env)
    (sdist,), (wheel,) = place.glob("*.tar.gz"), place.glob("*.whl")
    return Built(sdist, wheel)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    return build(ROOT, tmp_path_factory.mktemp("dist"))


def files(*folders: str) -> set[str]:
    """The files of some folders of the checkout, without what Python leaves there."""
    found = (path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file())
    return {path.relative_to(ROOT).as_posix() for path in found if "__pycache__" not in path.parts}


def test_the_wheel_carries_rules_schemas_and_samples(built: Built) -> None:
    names = set(zipfile.ZipFile(built.wheel).namelist())
    data = {f"doorlint/data/{name}" for name in files("rules", "schemas", "sample_specs")}
    assert data | files("doorlint") == {name for name in names if ".dist-info/" not in name}
    assert "doorlint/py.typed" in names


def test_the_sdist_carries_what_its_tests_need_and_nothing_else(built: Built) -> None:
    with tarfile.open(built.sdist) as packed:
        names = {name.partition("/")[2] for name in packed.getnames()}
    folders = [name for name in SHIPPED if (ROOT / name).is_dir()]
    own = {"README.md", "DEVELOPERS.md", "pyproject.toml", "PKG-INFO", ".gitignore"}
    assert names == files(*folders) | own


@pytest.mark.slow
def test_two_builds_are_byte_for_byte_alike(built: Built, tmp_path: Path) -> None:
    """The second from a copy in another place, of another age, under another umask and time zone."""
    for name in (*SHIPPED, ".gitignore"):
        source, copy = ROOT / name, tmp_path / "copy" / name
        copy.parent.mkdir(exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, copy, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copyfile(source, copy)
    for path in (tmp_path / "copy").rglob("*"):
        os.utime(path, (1_000_000_000, 1_000_000_000))
    former = os.umask(0o077)
    try:
        again = build(tmp_path / "copy", tmp_path / "dist")
    finally:
        os.umask(former)
    assert again.wheel.read_bytes() == built.wheel.read_bytes()
    assert again.sdist.read_bytes() == built.sdist.read_bytes()


@pytest.mark.slow
def test_the_wheel_of_the_sdist_is_the_wheel(built: Built, tmp_path: Path) -> None:
    with tarfile.open(built.sdist) as packed:
        packed.extractall(tmp_path, filter="data")
    (source,) = tmp_path.iterdir()
    assert build(source, tmp_path / "dist").wheel.read_bytes() == built.wheel.read_bytes()


def test_an_index_takes_both(built: Built) -> None:
    needs.module("twine")
    done = subprocess.run(
        [sys.executable, "-m", "twine", "--no-color", "check", "--strict", *map(str, built)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "COLUMNS": "300"},
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count("PASSED") == 2


def test_few_packages_are_asked_for_each_up_to_its_next_major_version(built: Built) -> None:
    packed = zipfile.ZipFile(built.wheel)
    (name,) = (name for name in packed.namelist() if name.endswith("METADATA"))
    asked = [
        line for line in message_from_bytes(packed.read(name)).get_all("Requires-Dist", ()) if "extra ==" not in line
    ]
    assert sorted(re.split("[<>=,]", line)[0] for line in asked) == ["click", "jinja2", "jsonschema", "pint", "pyyaml"]
    for line in asked:
        least, below = re.search(r">=([\d.]+)", line), re.search(r"<(\d+)", line)
        assert least, line
        assert below, line
        assert int(below[1]) == int(least[1].partition(".")[0]) + 1, line


OFFLINE = """
import sys

def refuse(event, _):
    if event.startswith("socket."):
        raise SystemExit(f"it wanted {event}")

sys.addaudithook(refuse)
import doorlint
print(doorlint.__file__, file=sys.stderr)
from doorlint.cli import main
main()
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        ["review", "door.yaml"],
        ["review", "door.yaml", "--as", "html"],
        ["setout", "door.yaml"],
        ["rulebook", "headroom.swept"],
        ["blank"],
    ],
    ids=" ".join,
)
def test_it_works_from_an_empty_folder_without_checkout_or_network(
    words: list[str], built: Built, tmp_path: Path
) -> None:
    venv.create(tmp_path / "venv", system_site_packages=True)
    site, empty = tmp_path / "site", tmp_path / "empty"
    with zipfile.ZipFile(built.wheel) as packed:
        packed.extractall(site)
    empty.mkdir()
    (empty / "door.yaml").write_bytes((ROOT / "sample_specs" / "tower-order.yaml").read_bytes())
    packages = next(path for path in sys.path if path.endswith("site-packages"))
    done = subprocess.run(
        [tmp_path / "venv" / "bin" / "python", "-S", "-c", OFFLINE, *words],
        capture_output=True,
        cwd=empty,
        env={"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": f"{site}{os.pathsep}{packages}"},
        check=False,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == f"{site / 'doorlint' / '__init__.py'}\n"
    assert done.stdout
    assert [path.name for path in empty.iterdir()] == ["door.yaml"]

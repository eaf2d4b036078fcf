"""What a test needs that a stranger's machine may lack: it skips there with its reason, and fails in CI."""

from __future__ import annotations

import importlib
import os
import shutil
from pathlib import Path
from types import ModuleType

import pytest


def lacking(reason: str) -> None:
    """Skip the test, or fail it where everything is meant to be there."""
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason, allow_module_level=True)


def module(name: str, extra: str = "check") -> ModuleType:
    """A module of an extra."""
    try:
        return importlib.import_module(name)
    except ImportError:
        lacking(f"{name} is not installed; pip install '.[{extra}]'")
        raise


def command(name: str) -> str:
    """The path of a program."""
    found = shutil.which(name)
    if found is None:
        lacking(f"{name} is not on this machine")
    assert found is not None
    return found


def node_package(name: str) -> Path:
    """The folder of an npm package, where ``DOORLINT_NODE_MODULES`` names the folder it was installed in."""
    command("node")
    place = Path(os.environ.get("DOORLINT_NODE_MODULES", "node_modules")) / name
    if not place.is_dir():
        lacking(f"npm package {name} is not installed; set DOORLINT_NODE_MODULES to the node_modules that has it")
    return place

"""The Python API as another program uses it."""

from __future__ import annotations

import importlib
import pkgutil

import doorlint
from doorlint.errors import DoorlintError


def test_the_api_is_there_whatever_was_imported_before() -> None:
    for module in pkgutil.walk_packages(doorlint.__path__, "doorlint."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    assert doorlint.review("doorlint: 1\nstage: survey\njob: {}\n", on="2026-03-17").verdict == "hold"


def test_a_text_that_cannot_be_read_is_a_result() -> None:
    found = doorlint.review("doorlint: 1\nroom: {headroom: 24}\n", name="phone", on="2026-03-17")
    assert found.verdict == "unreadable"
    assert {finding.rule for finding in found.findings} == {"spec.shape", "spec.quantity"}


def test_trouble_has_one_name() -> None:
    assert all(issubclass(error, DoorlintError) for error in vars(doorlint.errors).values() if isinstance(error, type))

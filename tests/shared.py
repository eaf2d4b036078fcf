"""What the test rooms name alike."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from doorlint import cli, reports
from doorlint.findings import Review
from doorlint.rulebook.library import Library
from doorlint.spec import Spec
from doorlint.template import as_yaml, blank_of

ROOT = Path(__file__).parent.parent
SAMPLES = sorted((ROOT / "sample_specs").glob("*.yaml"))
DAY = "2026-03-17"

FORMS = {
    "review": tuple(reports.FORMS),
    "blank": ("yaml", "html"),
    "propose": ("yaml", "text", "json"),
    "setout": ("text", "json", "html"),
    "parts": ("text", "json", "csv", "html"),
    "change": ("text", "json", "markdown", "html"),
    "remedy": ("text", "json"),
    "rulebook": ("text", "json", "html"),
}
"""The forms of every command that reports: what holds for one form is tried with all of these."""

OWN_TABLE = """\
table: own
title: t
source: {standing: practice, note: n}
outside: o
columns: {a: ratio, b: length}
match: {a: exact}
rows:
  - [1, 1 in]
"""
"""The smallest table of a house-rule folder."""

Run = Callable[..., "subprocess.CompletedProcess[str]"]


def patch_at(values: Mapping[str, str]) -> dict[str, Any]:
    """Texts by pointer as a partial spec; a text in brackets is a list of names."""
    patch: dict[str, Any] = {}
    for pointer, text in values.items():
        *groups, last = pointer.strip("/").split("/")
        inside = patch
        for group in groups:
            inside = inside.setdefault(group, {})
        inside[last] = text.strip("[]").split(", ") if text.startswith("[") else text
    return patch


def review_text(form: str, review: Review) -> str:
    """A whole review in a form."""
    return "".join(reports.streamer(form)(review))


def filled_in(
    library: Library, stage: str | None = None, counterbalance: str | None = None, known: Spec | None = None
) -> str:
    """A spec to fill in as YAML."""
    return as_yaml(blank_of(library, stage, counterbalance, known))


def thinned(values: Iterable[Any], every: int) -> list[Any]:
    """The values for ``parametrize``, all but each so-many-th marked slow: each of them holds by other tests too.

    Not for a test of snapshots: those of the values that a run leaves out count as unused, and fail it.
    """
    slow = pytest.mark.slow
    return [pytest.param(value, marks=() if number % every == 0 else slow) for number, value in enumerate(values)]


SOME_OR_ALL = pytest.mark.parametrize(
    "every", [pytest.param(10, id="some"), pytest.param(1, id="all", marks=pytest.mark.slow)]
)
"""For a test that walks over very much: over every tenth of it, and, slowly, over all."""


def in_process(words: list[str], stdin: bytes, cwd: Path, env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """doorlint in this process, with arguments, streams, folder and environment of its own."""
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", newline="", write_through=True) for _ in range(2))
    with pytest.MonkeyPatch.context() as patch, mock.patch.dict(os.environ, env, clear=True):
        patch.chdir(cwd)
        patch.setattr(sys, "argv", ["doorlint", *words])
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), "utf-8"))
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        with pytest.raises(SystemExit) as ended:
            cli.main(words, prog_name="doorlint")
    code = ended.value.code
    assert isinstance(code, int)
    said = (stream.buffer.getvalue().decode() for stream in (out, err))
    return subprocess.CompletedProcess(words, code, *said)


def steady(report: str) -> str:
    """A report without what moves with every rule or value that is added: the number of checks that were
    met, the digests, and the cautions, which every report ends with and which a test of their own holds.
    """
    for pattern, word in (
        (r"\b\d+ checks met", "N checks met"),
        (r'"met": \d+', '"met": N'),
        (r'name="met" value="\d+"', 'name="met" value="N"'),
        (r"\b[0-9a-f]{12}\b", "DIGEST"),
        (r"(?<=\nCAUTIONS\n).*?\n(?=\n|$)", ""),
    ):
        report = re.sub(pattern, word, report, flags=re.DOTALL)
    return report

"""The Python API: review a text, or many files."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from doorlint import __version__
from doorlint.findings import Review, SpecReview
from doorlint.fleet import Source, data_of
from doorlint.review import Policy, Record, Units, check, judge
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.rule import Severity, Stage

__all__ = ["Policy", "review", "review_sources"]


def review(
    text: str | bytes,
    *,
    name: str = "spec",
    stage: Stage | None = None,
    on: str | None = None,
    hold_at: Severity = "error",
    units: Units = "as-written",
    house_rules: Iterable[Path] = (),
) -> SpecReview:
    """Review one spec given as text.

    ``on`` is the day as ``YYYY-MM-DD`` (today when left out). Raises
    :class:`doorlint.errors.BrokenRules` when a house rule cannot be used; a spec that cannot be read
    is a result, not an error.
    """
    library = load(tuple(house_rules))
    policy = Policy(on or datetime.date.today().isoformat(), hold_at, units)
    record, spec, job = check(text, library, stage)
    return judge(record, library, policy, name, spec, job)


def review_sources(sources: list[Source], library: Library, policy: Policy, stage: str | None = None) -> Review:
    """Review many files, one after the other; one that cannot be read does not stop the rest."""
    alone = len(sources) == 1
    specs = tuple(_one(source, library, policy, stage, alone) for source in sources)
    return Review(__version__, policy.on, specs, library)


def _one(source: Source, library: Library, policy: Policy, stage: str | None, keep: bool) -> SpecReview:
    try:
        data = data_of(source)
    except OSError as error:
        return judge(_unread(source, f"cannot be read: {error.strerror or error}"), library, policy, source.name)
    record, spec, job = check(data, library, stage)
    return judge(record, library, policy, source.name, *((spec, job) if keep else ()))


def _unread(_source: Source, message: str) -> Record:
    system: Literal["us"] = "us"
    return Record("", None, system, (("spec.file", "", 1, 1, message),), (), 0, {}, {})

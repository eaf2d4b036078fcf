"""The Python API: review a text, or many files."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from doorlint.errors import WrongCall
from doorlint.findings import Review, SpecReview
from doorlint.fleet import Source, data_of
from doorlint.review import Policy, Record, Units, check, draft_approvals, judge
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.rule import Severity, Stage
from doorlint.version import __version__

__all__ = ["Policy", "draft_approval", "review", "review_sources"]


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


def draft_approval(sources: list[Source], library: Library, policy: Policy, stage: str | None, rule: str) -> str:
    """The sign-off to paste into one spec where a rule is short.

    Raises :class:`doorlint.errors.WrongCall` for more specs than one, one that cannot be read, and where there is no
    such rule, nobody may sign it off, or nothing is there to sign off.
    """
    if len(sources) != 1:
        raise WrongCall(f"a sign-off is for one spec; there are {len(sources)} here")
    (source,) = sources
    try:
        data = data_of(source)
    except OSError as error:
        raise WrongCall(f"{source.name}: cannot be read: {error.strerror or error}") from None
    return draft_approvals(check(data, library, stage).record, library, policy, source.name, rule)


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

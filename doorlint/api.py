"""The Python API: review a text, or many files."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, get_args

from doorlint.batch import Call, Source, data_of, gather, reviews
from doorlint.errors import WrongCall
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.rule import SEVERITIES, STAGES, Severity, Stage
from doorlint.settings import Settings
from doorlint.settings import severities as graded
from doorlint.verdict import Policy, Regrade, Units, draft_approvals, evaluate, present

if TYPE_CHECKING:
    from concurrent.futures import Executor
    from pathlib import Path

if TYPE_CHECKING:
    from doorlint.remedy.remedies import Remedies

__all__ = ["Policy", "Regrade", "draft_approval", "remedies_of", "review", "review_paths"]


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
    policy = _policy(on, hold_at, units, stage)
    library = load(_folders(house_rules))
    record, spec, job = evaluate(text, library, stage)
    return present(record, library, policy, name, spec, job)


def review_paths(
    paths: Iterable[str | Path],
    *,
    stage: Stage | None = None,
    on: str | None = None,
    hold_at: Severity = "error",
    units: Units = "as-written",
    house_rules: Iterable[Path] = (),
    severities: Mapping[str, Regrade] | None = None,
    cache: Path | None = None,
    workers: int | None = None,
    executor: Executor | None = None,
) -> Iterator[SpecReview]:
    """Review the specs behind some paths, one by one in the order of their names.

    ``cache`` is a folder for what may be kept between runs. ``executor`` is any executor of ``concurrent.futures``,
    also one whose workers are on other machines, where the same doorlint is installed and the paths lead to the same
    files; without one, ``workers`` processes of this machine share the work, by themselves as many as pay.

    Raises :class:`doorlint.errors.WrongCall` where there is nothing to review and
    :class:`doorlint.errors.BrokenRules` for a house rule that cannot be used; a file that cannot be read is a result.
    """
    if isinstance(paths, str):
        raise WrongCall(f"paths is one text; write [{paths!r}]")
    policy = _policy(on, hold_at, units, stage)
    houses = _folders(house_rules)
    grades = graded(Settings("severities", grades=severities or {}), load(houses, cache))
    call = Call(houses, cache, policy._replace(severities=grades), stage)
    return reviews(gather([str(path) for path in paths]), call, workers, executor)


def _policy(on: str | None, hold_at: str, units: str, stage: str | None) -> Policy:
    """What was asked for, each a word that there is; raises :class:`WrongCall`."""
    for name, said, known in (
        ("hold_at", hold_at, SEVERITIES), ("units", units, get_args(Units)), ("stage", stage or STAGES[0], STAGES),
    ):  # fmt: skip
        if said not in known:
            raise WrongCall(f"{name} is {said!r}; expected {', '.join(known)}")
    try:
        day = datetime.date.today() if on is None else datetime.date.fromisoformat(on)
    except (TypeError, ValueError):
        raise WrongCall(f"on is {on!r}; write a day as 2026-03-17") from None
    return Policy(day.isoformat(), hold_at, units)  # type: ignore[arg-type]


def _folders(house_rules: Iterable[Path]) -> tuple[Path, ...]:
    if isinstance(house_rules, str):
        raise WrongCall(f"house_rules is one text; write [{house_rules!r}]")
    return tuple(house_rules)


def draft_approval(sources: list[Source], library: Library, policy: Policy, stage: str | None, rule: str) -> str:
    """The sign-off to paste into one spec where a rule is short.

    Raises :class:`doorlint.errors.WrongCall` for more specs than one, one that cannot be read, and where there is no
    such rule, nobody may sign it off, or nothing is there to sign off.
    """
    if len(sources) != 1:
        raise WrongCall(f"a sign-off is for one spec; there are {len(sources)} here; name one")
    (source,) = sources
    try:
        data = data_of(source)
    except OSError as error:
        raise WrongCall(f"{source.name}: cannot be read: {error.strerror or error}") from None
    return draft_approvals(evaluate(data, library, stage).record, library, policy, source.name, rule)


def remedies_of(
    source: Source, library: Library, policy: Policy, stage: str | None, stop: Callable[[], bool] = lambda: False
) -> Remedies:
    """What would clear one spec, and how far its measured values may move.

    ``stop`` is asked now and then; once it says yes the search ends with what it has. Raises
    :class:`doorlint.errors.WrongCall` for a spec that cannot be read and :class:`doorlint.errors.BrokenRules` for a
    stock that cannot be used.
    """
    from doorlint.remedy.remedies import remedies, with_ranges

    try:
        data = data_of(source)
    except OSError as error:
        raise WrongCall(f"{source.name}: cannot be read: {error.strerror or error}") from None
    found = remedies(evaluate(data, library, stage), library, policy, source.name, stop)
    return with_ranges(found, library, policy, stop)

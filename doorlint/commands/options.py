"""What a command goes by: what the caller asks for takes precedence over the settings, and these over the defaults.

House rules, day, hold level, units and severities are settled here, once for all commands.
"""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterable, Mapping
from typing import Any, TypedDict, get_args

from doorlint.batch import Call
from doorlint.errors import WrongCall
from doorlint.file_input import PathName
from doorlint.rulebook.rule import SEVERITIES, STAGES, Severity, Stage
from doorlint.settings import Settings, find, load, severities
from doorlint.verdict import Policy, Regrade, Units

__all__ = ["Options", "call_of", "other_settings", "settings_here"]


class Options(TypedDict, total=False):
    """What a caller may ask of a command; what is left out or ``None`` comes from the settings, else the default.

    ``on`` is the day to review for, as ``YYYY-MM-DD`` (today); ``cache`` is the folder for what is kept between runs
    (nothing is kept). ``severities`` are by rule id and take the place of those in the settings.
    """

    stage: Stage | None
    on: str | None
    hold_at: Severity | None
    units: Units | None
    house_rules: Iterable[PathName]
    severities: Mapping[str, Regrade] | None
    cache: PathName | None


def call_of(options: Options, settings: Settings | None = None) -> Call:
    """What a command goes by.

    Raises :class:`WrongCall` for a word that means nothing, :class:`doorlint.errors.BrokenRules` for house rules that
    cannot be used and :class:`doorlint.settings.BrokenSettings` for a severity that may not be set.

    >>> call = call_of({"on": "2026-03-17"}, Settings(hold_at="warning", units="si"))
    >>> call.policy.hold_at, call.policy.units, call.houses
    ('warning', 'si', ())
    >>> call_of({"on": "2026-03-17", "hold_at": "advisory"}, Settings(hold_at="warning")).policy.hold_at
    'advisory'
    """
    settings = settings or Settings()
    policy = Policy(
        _day(options.get("on")),
        _word("hold_at", options.get("hold_at") or settings.hold_at or "error", SEVERITIES),
        _word("units", options.get("units") or settings.units or "as-written", get_args(Units)),
    )
    stage = options.get("stage")
    call = Call(
        _folders(options.get("house_rules") or ()) or settings.house_rules,
        options.get("cache"),
        policy,
        None if stage is None else _word("stage", stage, STAGES),
    )
    grades = options.get("severities")
    graded = settings if grades is None else Settings("severities", grades=grades)
    return call._replace(policy=policy._replace(severities=severities(graded, call.library())))


def settings_here() -> Settings:
    """The settings for the working folder; raises :class:`doorlint.settings.BrokenSettings`."""
    try:
        found = find(os.getcwd())
    except FileNotFoundError:  # the working folder itself is gone
        return Settings()
    return Settings() if found is None else load(found)


def other_settings(paths: Iterable[str], settings: Settings) -> list[str]:
    """The settings files beside these paths that are not used, because doorlint runs in another folder."""
    folders = {path if os.path.isdir(path) else os.path.dirname(path) for path in paths} - {""}
    try:
        others = {found for folder in folders if (found := find(folder)) is not None}
    except OSError:  # the working folder is gone
        return []
    return sorted(other for other in others if not _same(other, settings.path))


def _same(path: str, other: str) -> bool:
    try:
        return os.path.samefile(path, other)
    except OSError:
        return False


def _word(name: str, said: str, known: tuple[Any, ...]) -> Any:
    if said not in known:
        raise WrongCall(f"{name} is {said!r}; expected {', '.join(known)}")
    return said


def _day(on: str | None) -> str:
    try:
        return (datetime.date.today() if on is None else datetime.date.fromisoformat(on)).isoformat()
    except (TypeError, ValueError):
        raise WrongCall(f"on is {on!r}; write a day as 2026-03-17") from None


def _folders(house_rules: Iterable[PathName]) -> tuple[PathName, ...]:
    if isinstance(house_rules, str):
        raise WrongCall(f"house_rules is one text; write [{house_rules!r}]")
    return tuple(house_rules)

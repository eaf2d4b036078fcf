"""What a command goes by: what the caller asks for takes precedence over the settings, and these over the defaults.

House rules, day, hold level, units and severities are settled here, once for all commands.
"""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, TypedDict, get_args

from doorlint.batch import Call
from doorlint.errors import WrongCall
from doorlint.file_input import PathName
from doorlint.findings import Relaxed
from doorlint.relaxed import by_house
from doorlint.revisions import source_of
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, STAGES, Severity, Stage
from doorlint.settings import Settings, find, folder_at, load, load_at, severities
from doorlint.sources import given_data_of
from doorlint.verdict import Policy, Regrade, Units

__all__ = ["Options", "call_of", "other_settings", "settings_here"]


class Options(TypedDict, total=False):
    """What a caller may ask of a command; what is left out or ``None`` comes from the settings, else the default.

    ``on`` is the day to review for, as ``YYYY-MM-DD`` (today); ``cache`` is the folder for what is kept between runs
    (nothing is kept). ``severities`` are by rule id and take the place of those in the settings. ``settings_from`` is
    the git revision that settings and house rules are read from; with ``no_settings`` there are none. ``approvers`` is
    a file, or ``REV:path``, with the names of those who may sign off, one a line. ``slips`` says whether likely slips
    are searched (in one spec alone, not in several).
    """

    stage: Stage | None
    on: str | None
    hold_at: Severity | None
    units: Units | None
    house_rules: Iterable[PathName]
    severities: Mapping[str, Regrade] | None
    cache: PathName | None
    settings_from: str | None
    no_settings: bool
    approvers: PathName | None
    slips: bool | None


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
    revision = options.get("settings_from")
    if revision is not None and options.get("no_settings"):
        raise WrongCall("--settings-from and --no-settings exclude each other; give one of them")
    settings = settings or Settings()
    if revision is not None:
        settings = load_at(revision)
    named = _folders(options.get("house_rules") or ())
    houses = named if revision is None else tuple(folder_at(revision, os.fspath(house)) for house in named)
    policy = Policy(
        _day(options.get("on")),
        _word("hold_at", options.get("hold_at") or settings.hold_at or "error", SEVERITIES),
        _word("units", options.get("units") or settings.units or "as-written", get_args(Units)),
    )
    stage = options.get("stage")
    call = Call(
        houses or settings.house_rules,
        options.get("cache"),
        policy,
        None if stage is None else _word("stage", stage, STAGES),
        options.get("slips"),
    )
    grades = options.get("severities")
    graded = settings if grades is None else Settings("severities", grades=grades)
    library = call.library()
    approvers = options.get("approvers")
    policy = policy._replace(
        severities=severities(graded, library),
        approvers=settings.approvers if approvers is None else _names(approvers),
        rulebook=settings.rulebook,
        settings=" of ".join(filter(None, (settings.digest, settings.revision))),
    )
    relaxed = (*_by_shop(settings, graded, options, library), *by_house(library))
    return call._replace(policy=policy._replace(relaxed=relaxed))


def _names(approvers: PathName) -> tuple[str, ...]:
    """The names in a list of approvers, one a line; lines that start with # are remarks."""
    source = source_of(os.fspath(approvers))
    try:
        lines = given_data_of(source).decode("utf-8").splitlines()
    except UnicodeDecodeError:
        raise WrongCall(f"{approvers}: is not UTF-8 text; write one name a line") from None
    return tuple(line.strip() for line in lines if line.strip() and not line.startswith("#"))


def _by_shop(settings: Settings, graded: Settings, options: Options, library: Library) -> Iterator[Relaxed]:
    """What the settings and the call set that differs from the library."""
    if graded.grades:
        from doorlint.builtin_rules import BUILTIN_RULES  # what few calls have to wait for
    file = settings.path
    for rule, grade in graded.grades.items():
        known = library.all_rules.get(rule) or BUILTIN_RULES[rule]
        if grade.severity != known.severity:
            where = (file, grade.line, "settings") if graded is settings else ("", None, "the call")
            yield Relaxed("severity", rule, known.severity, grade.severity, *where)
    if options.get("hold_at") not in (None, "error"):
        yield Relaxed("settings", "hold_at", "error", str(options["hold_at"]), "", None, "the call")
    elif options.get("hold_at") is None and settings.hold_at not in (None, "error"):
        yield Relaxed("settings", "hold_at", "error", settings.hold_at, file, _line(settings, "hold_at"), "settings")
    by = ("", None, "the call") if options.get("house_rules") else (file, _line(settings, "house_rules"), "settings")
    for _, pack in library.packs[1:]:
        yield Relaxed("settings", "house_rules", None, f"{pack.place} ({pack.digest})", *by)
    if options.get("approvers") is not None:
        yield Relaxed("settings", "approvers", None, f"names in {options['approvers']}", "", None, "the call")
    elif settings.approvers is not None:
        names = f"{len(settings.approvers)} on the list"
        yield Relaxed("settings", "approvers", None, names, file, _line(settings, "approvers"), "settings")


def _line(settings: Settings, key: str) -> int:
    return settings.marked.position((key,))[0]


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

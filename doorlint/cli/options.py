"""The options that commands share, and what a command goes by once they are parsed."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Unpack

import click

from doorlint.named_tuple import NamedTuple

if TYPE_CHECKING:
    from doorlint.batch import Call
    from doorlint.commands.options import Options

__all__ = [
    "APPROVERS", "CACHE", "COMMON", "HOUSE_RULES", "ON", "OUT", "SETTINGS", "STAGE", "STAGES", "UNITS", "Wanted",
    "as_form", "call_for", "options", "rule_ids", "subjects",
]  # fmt: skip

STAGES = ("survey", "order", "install", "commissioned")

Decorator = Callable[[Any], Any]


def call_for(paths: Iterable[str] = (), /, **asked: Unpack[Options]) -> Call:
    """What a command goes by, of the command line, the settings and the defaults.

    Settings that lie beside ``paths`` and are not used are named on stderr.
    """
    from doorlint.commands.options import call_of, other_settings, settings_here
    from doorlint.spec.problems import clean

    if asked.get("settings_from") is not None or asked.get("no_settings"):
        return call_of(asked)
    settings = settings_here()
    call = call_of(asked, settings)
    for other in other_settings(paths, settings):
        click.echo(clean(f"doorlint: {other} is not used here; run doorlint in {os.path.dirname(other)}"), err=True)
    return call


def options(*decorators: Decorator) -> Decorator:
    """Several options as one decorator, in their order."""

    def add(function: Any) -> Any:
        for decorator in reversed(decorators):
            function = decorator(function)
        return function

    return add


class Wanted(NamedTuple):
    """A form of the report, and the file it goes to; ``None`` for the screen."""

    form: str
    file: str | None


def as_form(*names: str) -> Decorator:
    """``--as FORM`` for the screen, ``--as FORM=FILE`` for a file as well; gives the command its ``wanted`` forms."""

    def parsed(_context: click.Context, _option: click.Parameter, texts: tuple[str, ...]) -> tuple[Wanted, ...]:
        wanted = tuple(_wanted(text, names) for text in texts)
        if sum(one.file is None for one in wanted) > 1:
            raise click.BadParameter("only one form goes to the screen; write FORM=FILE for the others")
        files = [one.file for one in wanted if one.file is not None]
        if len(set(files)) < len(files):
            raise click.BadParameter("two forms go to one file; name another file")
        return wanted

    def completed(_context: click.Context, _option: click.Parameter, start: str) -> list[str]:
        return [name for name in names if name.startswith(start)]

    return click.option(
        "--as",
        "wanted",
        multiple=True,
        callback=parsed,
        metavar=f"[{'|'.join(names)}][=FILE]",
        shell_complete=completed,
        help="Report format; with =FILE the report is written to that file. May be given more than once.",
    )


def _wanted(text: str, names: tuple[str, ...]) -> Wanted:
    form, given, file = text.partition("=")
    if form not in names:
        raise click.BadParameter(f"{form!r} is not one of {', '.join(names)}")
    if given and not file:
        raise click.BadParameter(f"{text!r} names no file; write {form}=FILE")
    return Wanted(form, file if given else None)


def day(_context: click.Context, _option: click.Parameter, text: str | None) -> str:
    """``--on``: a real day; today when left out."""
    if text is None:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise click.BadParameter(f"{text!r} is not a date; write it as 2026-03-17") from None


def cache_folder(_context: click.Context, _option: click.Parameter, text: str | None) -> str | None:
    """``--cache``: the folder for what can be made again; ``none`` keeps nothing."""
    if text == "none":
        return None
    if text is not None:
        return text
    base = os.environ.get("XDG_CACHE_HOME")
    home = os.path.expanduser("~")
    if base:
        return os.path.join(base, "doorlint")
    return os.path.join(home, ".cache", "doorlint") if home != "~" else None


def rule_ids(_context: click.Context, _argument: click.Parameter, start: str) -> list[str]:
    """The ids of the library's rules that start so, for a shell that completes words."""
    from doorlint.rulebook.library import load

    return [rule for rule in load().rules if rule.startswith(start)]


def subjects(_context: click.Context, _option: click.Parameter, start: str) -> list[str]:
    """The subjects of the library's rules that start so, for a shell that completes words."""
    return list(dict.fromkeys(rule.partition(".")[0] for rule in rule_ids(_context, _option, start)))


OUT = click.option(
    "--out", type=click.Path(dir_okay=False), help="Write to this file instead of printing; never over a spec."
)
STAGE = click.option("--stage", type=click.Choice(STAGES), help="Review for this stage instead of the one in the spec.")
HOLD_AT = click.option(
    "--hold-at",
    type=click.Choice(["error", "warning", "advisory"]),
    help="Hold the job from this severity up. Default: error.",
)
UNITS = click.option(
    "--units",
    type=click.Choice(["us", "si", "as-written"]),
    help="Units of the report. Default: as-written, the units of the opening's width.",
)
HOUSE_RULES = click.option(
    "--house-rules",
    type=click.Path(file_okay=False),
    metavar="DIR",
    multiple=True,
    help="Folder of your shop's own rules, instead of those in the settings. May be given more than once.",
)
ON = click.option("--on", callback=day, metavar="DATE", help="Day of the review, such as 2026-03-17. Default: today.")
CACHE = click.option(
    "--cache",
    callback=cache_folder,
    metavar="DIR|none",
    help="Cache folder, or none for no cache. Default: your own cache folder.",
)
SETTINGS = options(
    click.option(
        "--settings-from",
        metavar="REVISION",
        help="Read settings, house rules and tables from this git revision, not from the files here.",
    ),
    click.option("--no-settings", is_flag=True, help="Use no settings file."),
)
APPROVERS = click.option(
    "--approvers",
    metavar="FILE",
    help="File of names that may sign off, one a line, instead of those in the settings; REV:path works too.",
)
COMMON = options(STAGE, HOLD_AT, UNITS, HOUSE_RULES, SETTINGS, APPROVERS, ON, CACHE)
"""What every command takes that reviews one spec or many."""

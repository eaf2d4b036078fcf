"""The command line: parse, compose, print, exit code."""

from __future__ import annotations

import datetime
import gc
import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from functools import cache as remembered
from typing import TYPE_CHECKING, Any, NoReturn

import click

from doorlint.counterbalance import KINDS
from doorlint.errors import DoorlintError
from doorlint.version import __version__

if TYPE_CHECKING:
    from doorlint.findings import SpecReview
    from doorlint.rulebook.library import Library
    from doorlint.settings import Settings
    from doorlint.verdict import Policy

STAGES = ("survey", "order", "install", "commissioned")
HELP = {"help_option_names": ["-h", "--help"], "max_content_width": 90}


class Commands(click.Group):
    """The commands, with exit codes that cannot be taken for a verdict where one does not come to its end."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """In the order of their use, not of the alphabet."""
        return list(self.commands)

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except KeyboardInterrupt:
            fail("interrupted", 130)
        except Exception:
            import traceback

            traceback.print_exc()
            fail("this is a fault of doorlint itself; nothing that it printed counts")


def fail(message: str, code: int = 2) -> NoReturn:
    """Trouble with the call, the rules or doorlint itself: said on stderr, exit 2."""
    from doorlint.spec.problems import clean

    lines = [clean(line) for line in message.split("\n")]
    click.echo("\n  ".join([f"doorlint: {lines[0]}", *lines[1:]]), err=True)
    sys.exit(code)


def day(_context: click.Context, _option: click.Parameter, text: str | None) -> str:
    """``--on``: a real day; today when left out."""
    if text is None:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise click.BadParameter(f"{text!r} is no day; write it as 2026-03-17") from None


def cache_folder(_context: click.Context, _option: click.Parameter, text: str | None) -> str | None:
    """``--cache``: where things that can be made again are kept; ``none`` keeps nothing."""
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
    from doorlint.rulebook.library import load as load_library

    return [rule for rule in load_library().rules if rule.startswith(start)]


def subjects(_context: click.Context, _option: click.Parameter, start: str) -> list[str]:
    """The subjects of the library's rules that start so, for a shell that completes words."""
    return list(dict.fromkeys(rule.partition(".")[0] for rule in rule_ids(_context, _option, start)))


def _options(*options: Callable[[Any], Any]) -> Callable[[Any], Any]:
    def add(function: Any) -> Any:
        for option in reversed(options):
            function = option(function)
        return function

    return add


def as_form(*names: str) -> Callable[[Any], Any]:
    return click.option(
        "--as", "form", type=click.Choice(names), default=names[0], show_default=True, help="Form of the report."
    )


OUT = click.option(
    "--out",
    type=click.Path(dir_okay=False),
    help="Write to this file instead of printing; never over a spec.",
)
HOLD = click.option(
    "--hold-at",
    type=click.Choice(["error", "warning", "advisory"]),
    help="Hold the job from this severity up; error, if nothing else is set.",
)
STAGE = click.option("--stage", type=click.Choice(STAGES), help="Review for this stage instead of the one in the spec.")
UNITS = click.option(
    "--units",
    type=click.Choice(["us", "si", "as-written"]),
    help="Units of the report; as written, those of the opening's width, if nothing else is set.",
)
HOUSE = click.option(
    "--house-rules",
    "houses",
    type=click.Path(file_okay=False),
    metavar="DIR",
    multiple=True,
    help="Folder of your shop's own rules, instead of those in the settings; may be given again.",
)
ON = click.option("--on", callback=day, metavar="DATE", help="Day to review for, as 2026-03-17; today, if left out.")
CACHE = click.option(
    "--cache",
    callback=cache_folder,
    metavar="DIR|none",
    help="Folder for what is kept between runs, your own cache folder if left out; none keeps nothing.",
)
WORKERS = click.option(
    "--workers",
    type=click.IntRange(1, 256),
    metavar="N",
    help="Processes that share the work; as many as pay, if left out.",
)


@click.group(cls=Commands, context_settings=HELP)
@click.version_option(__version__, "--version", prog_name="doorlint")
def main() -> None:
    """Check the spec of an overhead door before the order and before the change.

    \b
    doorlint blank --out d-3.yaml     a spec to fill in
    doorlint review d-3.yaml          is it fit to order, build, hand over?
    doorlint review --help            what a command takes, and its exit codes

    \b
    A report never replaces local codes, the maker's instructions,
    or licensed practice.
    """


@main.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(readable=False), metavar="PATH...")
@_options(as_form("text", "json", "sarif", "junit", "markdown", "html"), OUT, STAGE, HOLD, UNITS, HOUSE, ON)
@click.option(
    "--draft-approval",
    "draft",
    metavar="RULE",
    shell_complete=rule_ids,
    help="Print the sign-off of a finding of this rule, to fill in and paste into the spec.",
)
@click.option("--pass-over", is_flag=True, help="Pass over files that are no specs, also those named outright.")
@click.option("--called", metavar="NAME", default="standard input", help="Name for the spec on standard input.")
@_options(WORKERS, CACHE)
def review(
    paths: tuple[str, ...], form: str, out: str | None, hold_at: str, stage: str | None, units: str,
    houses: tuple[str, ...], on: str, cache: str | None, workers: int | None, called: str, pass_over: bool,
    draft: str | None,
) -> None:  # fmt: skip
    """Hold specs against the rules of their stage.

    PATH is a spec, a folder of specs, or - for standard input. In a folder, a spec is a *.yaml or *.yml file with a
    line `doorlint: 1`; other files are passed over.

    \b
    doorlint review d-3.yaml
    doorlint review d-3.yaml --as html --out d-3.html
    doorlint review doors/ --as sarif --out doors.sarif

    \b
    Exit 0  every spec is clear
         1  a spec is on hold
         2  a spec could not be read, a rule is broken, or nothing was reviewed
    """
    from doorlint.api import draft_approval
    from doorlint.batch import Call, Source, gather, reviews
    from doorlint.findings import Run
    from doorlint.reports import streamer

    houses = houses or settings().house_rules
    library = load(houses, cache)
    try:
        if "-" in paths:
            if sys.stdin is None:
                fail("standard input is closed; name a file")
            sources = [Source(called, None, sys.stdin.buffer.read(2**20 + 1))]
            sources += gather([path for path in paths if path != "-"], not pass_over) if set(paths) != {"-"} else []
        else:
            sources = gather(paths, not pass_over)
    except DoorlintError as error:
        fail(str(error))
    if out is not None and any(source.path is not None and _same(source.path, out) for source in sources):
        fail(f"--out {out} is one of the specs; name another file")
    _settings_elsewhere(paths)
    call = Call(houses, cache, policy(library, on, hold_at, units), stage)
    if draft is not None:
        try:
            emit(draft_approval(sources, library, call.policy, stage, draft), out)
        except DoorlintError as error:
            fail(str(error))
        return
    if len(sources) > 1:
        gc.freeze()  # what is there stays; what many specs leave behind is looked for, but seldom
        gc.set_threshold(50_000)
        gc.enable()
    codes = {0}

    def noted() -> Iterator[SpecReview]:
        for spec in _told(reviews(sources, call, workers), len(sources), out):
            codes.add(spec.exit_code)
            yield spec

    try:
        emit_parts(streamer(form)(Run(__version__, on, noted(), library)), out)
    except DoorlintError as error:
        fail(str(error))
    sys.exit(max(codes))


@main.command()
@click.option(
    "--stage", type=click.Choice(STAGES), help="Stage to fill in for; survey, or the stage of FILE, if left out."
)
@click.option(
    "--counterbalance",
    type=click.Choice(list(KINDS)),
    help=f"What balances the door; {next(iter(KINDS))}, or what FILE has, if left out.",
)
@click.option(
    "--from",
    "start",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="A spec whose values to put in as they are; its remarks stay behind.",
)
@click.option("--schema", is_flag=True, help="Print the schema that an editor completes and checks a spec by, instead.")
@_options(OUT, HOUSE, CACHE)
def blank(
    stage: str | None, counterbalance: str | None, start: str | None, schema: bool, out: str | None,
    houses: tuple[str, ...], cache: str | None,
) -> None:  # fmt: skip
    """Print a spec to fill in, for the first stage or the next.

    It has every value that the stage asks for, each with what it means.

    \b
    doorlint blank --out d-3.yaml
    doorlint blank --from d-3.yaml --stage order --out d-3-order.yaml
    """
    from doorlint.file_input import head
    from doorlint.resources import folder
    from doorlint.spec import LIMIT, read
    from doorlint.template import SCHEMA, fill_in_template

    if schema:
        emit((folder("schemas") / SCHEMA).read_text("utf-8"), out)
        return
    library = load(houses, cache)
    try:
        known = read(head(start, LIMIT + 1)) if start is not None else None
        text = fill_in_template(library, stage, counterbalance, known)
    except OSError as error:
        fail(f"{start}: cannot be read: {error.strerror or error}")
    except DoorlintError as error:
        fail(f"{start}:{error}")
    emit(text, out)


@main.command()
@click.argument("path", type=click.Path(), metavar="SPEC")
@_options(as_form("text", "json", "html"), OUT, STAGE, HOLD, UNITS, HOUSE, ON, CACHE)
def setout(
    path: str, form: str, out: str | None, hold_at: str, stage: str | None, units: str, houses: tuple[str, ...],
    on: str, cache: str | None,
) -> None:  # fmt: skip
    """The installer's sheet: each figure in the order of the work.

    \b
    doorlint setout d-3.yaml
    doorlint setout d-3.yaml --as html --out d-3-sheet.html

    \b
    Exit 0  the job is clear
         1  the job is on hold; the sheet says so across it
         2  the spec could not be read, or a rule is broken
    """
    from doorlint.batch import Call, Source, reviews
    from doorlint.reports import sheet_renderer
    from doorlint.setout import set_out

    houses = houses or settings().house_rules
    library = load(houses, cache)
    _settings_elsewhere([path])
    spec = next(reviews([Source(path, path)], Call(houses, cache, policy(library, on, hold_at, units), stage)))
    if spec.job is None:
        first, *more = spec.findings
        rest = f"\ndoorlint review {path} says all {len(more) + 1} things that are wrong with it" if more else ""
        fail(f"{path}:{first.line}:{first.column}: {first.message}{rest}")
    sheet = set_out(spec, library, shown_working=form == "json")
    emit(sheet_renderer(form)(sheet, __version__, on), out)
    sys.exit(spec.exit_code)


@main.command()
@click.argument("approved", type=click.Path(), metavar="APPROVED")
@click.argument("proposed", type=click.Path(), metavar="PROPOSED")
@_options(as_form("text", "json", "markdown", "html"), OUT, STAGE, UNITS, HOUSE, ON, CACHE)
def change(
    approved: str,
    proposed: str,
    form: str,
    out: str | None,
    stage: str | None,
    units: str,
    houses: tuple[str, ...],
    on: str,
    cache: str | None,
) -> None:
    """What a change moves, and what there is to decide.

    APPROVED and PROPOSED are specs; PROPOSED may hold only the changed values. Either may be a file at a git
    revision: REVISION:PATH, the path as seen from this folder.

    \b
    doorlint change d-3.yaml header-low.yaml
    doorlint change main:doors/d-3.yaml doors/d-3.yaml

    \b
    Exit 0  nothing new to decide
         1  needs sign-off, or hold
         2  a side could not be read
    """
    from doorlint.reports import change_renderer
    from doorlint.revisions import changed

    library = load(houses, cache)
    try:
        found = changed(approved, proposed, library, policy(library, on, units=units), stage)
    except DoorlintError as error:
        fail(str(error))
    emit(change_renderer(form)(found, __version__, on), out)
    sys.exit(0 if found.decision == "nothing new" else 1)


@main.command()
@click.argument("path", type=click.Path(), metavar="SPEC")
@_options(as_form("text", "json"), OUT, STAGE, HOLD, UNITS, HOUSE, ON, CACHE)
@click.option(
    "--seconds",
    type=click.FloatRange(0.1, 600),
    metavar="N",
    default=8.0,
    show_default=True,
    help="Search no longer than this.",
)
def remedy(
    path: str, form: str, out: str | None, hold_at: str, stage: str | None, units: str, houses: tuple[str, ...],
    on: str, cache: str | None, seconds: float,
) -> None:  # fmt: skip
    """What would clear the findings of a spec.

    Each finding has its remedies, the least first: they come from rules/adjustments.yaml and the
    adjustments.yaml of house rules. Below them stands how far each measured value may move.

    \b
    doorlint remedy d-3.yaml

    \b
    Exit 0  the job is clear
         1  the job is on hold
         2  the spec could not be read, or a rule or the stock is broken
    """
    from doorlint.api import remedies_of
    from doorlint.batch import Source
    from doorlint.reports import remedy_renderer

    houses = houses or settings().house_rules
    library = load(houses, cache)
    _settings_elsewhere([path])
    end = time.monotonic() + seconds
    try:
        found = remedies_of(
            Source(path, path), library, policy(library, on, hold_at, units), stage, lambda: time.monotonic() > end
        )
    except DoorlintError as error:
        fail(str(error))
    emit(remedy_renderer(form)(found, __version__, on), out)
    sys.exit(found.review.exit_code)


@main.command()
@click.argument("rule", required=False, shell_complete=rule_ids)
@_options(as_form("text", "json"), OUT)
@click.option(
    "--standing",
    type=click.Choice(["published", "second-hand", "derived", "practice", "memory"]),
    help="Only what rests on this.",
)
@click.option("--subject", metavar="SUBJECT", shell_complete=subjects, help="Only rules of this subject, as headroom.")
@click.option("--stage", type=click.Choice(STAGES), help="Only rules that this stage asks first.")
@_options(HOUSE, CACHE)
def rulebook(
    rule: str | None, form: str, out: str | None, standing: str | None, subject: str | None, stage: str | None,
    houses: tuple[str, ...], cache: str | None,
) -> None:  # fmt: skip
    """Show the rules, or one with its source and examples.

    RULE is the id of a rule, as every finding names it.

    \b
    doorlint rulebook headroom.swept
    doorlint rulebook --subject tower --stage order

    \b
    Exit 0  shown
         2  no such rule, a broken rule, or a house rule whose example does not hold
    """
    from doorlint.reports import rulebook as pages

    library = load(houses, cache)
    try:
        emit(pages.render(library, rule, standing=standing, subject=subject, stage=stage, form=form), out)
        each = (pages.amiss(library, one) for one in ([rule] if rule else library.rules))
        wrong = "\n".join(said for said in each if said is not None) or None
    except DoorlintError as error:
        fail(str(error))
    if wrong is not None:
        fail(wrong)


@remembered
def settings() -> Settings:
    """The settings that hold for the working folder; exit 2 where they cannot be used."""
    from doorlint.settings import Settings, find
    from doorlint.settings import load as load_settings

    try:
        found = find(os.getcwd())
    except FileNotFoundError:  # the working folder itself is gone
        return Settings()
    try:
        return Settings() if found is None else load_settings(found)
    except DoorlintError as error:
        fail(str(error))


def _settings_elsewhere(paths: Iterable[str]) -> None:
    """Say on stderr which settings lie beside the paths and do not hold, since doorlint runs in another folder."""
    from doorlint.settings import find

    held = settings().path
    folders = {path if os.path.isdir(path) else os.path.dirname(path) for path in paths if path != "-"} - {""}
    try:
        others = {found for folder in folders if (found := find(folder)) is not None}
    except OSError:  # the working folder is gone
        return
    for other in sorted(others):
        if not _same(other, held):
            click.echo(f"doorlint: {other} does not hold here; run doorlint in {os.path.dirname(other)}", err=True)


def load(houses: tuple[str, ...], cache: str | None) -> Library:
    """The rule library with the house rules that were named, else those in the settings; exit 2 where one is broken."""
    from doorlint.rulebook.library import load as load_library

    try:
        return load_library(houses or settings().house_rules, cache)
    except DoorlintError as error:
        fail(str(error))


def policy(library: Library, on: str, hold_at: str | None = None, units: str | None = None) -> Policy:
    """What goes for a run: what was asked for, else the settings, else what doorlint does by itself."""
    from doorlint.settings import severities
    from doorlint.verdict import Policy

    shop = settings()
    try:
        grades = severities(shop, library)
    except DoorlintError as error:
        fail(str(error))
    return Policy(on, hold_at or shop.hold_at or "error", units or shop.units or "as-written", grades)  # type: ignore[arg-type]


def _told(specs: Iterable[SpecReview], total: int, out: str | None) -> Iterator[SpecReview]:
    """The specs as they come; a terminal that the report does not go to is told how far they are."""
    import time

    silent = total < 100 or sys.stderr is None or not sys.stderr.isatty()
    if silent or (out is None and sys.stdout is not None and sys.stdout.isatty()):
        yield from specs
        return
    next_time = 0.0
    try:
        for number, spec in enumerate(specs):
            if time.monotonic() >= next_time:
                click.echo(f"\r{number} of {total} specs", err=True, nl=False)
                next_time = time.monotonic() + 0.2
            yield spec
    finally:
        click.echo(f"\r{' ' * len(f'{total} of {total} specs')}\r", err=True, nl=False)


def emit(text: str, out: str | None) -> None:
    """Print a report, or write it whole to a file; in UTF-8, whatever the locale."""
    emit_parts([text], out)


def emit_parts(parts: Iterable[str], out: str | None) -> None:
    """Print a report that comes part by part, or write it whole to a file."""
    data = (part.encode("utf-8", "backslashreplace") for part in parts)  # a file's name need not be UTF-8
    if out is None:
        _print(data)
        return
    from pathlib import Path

    from doorlint.file_output import write_whole

    try:
        if os.path.exists(out) and _is_spec(out):
            fail(f"--out {out} is a spec or a rule file; it is never written over; name another file")
        write_whole(Path(out), data)
    except OSError as error:
        fail(f"{out}: cannot be written: {error.strerror}")


def _print(parts: Iterator[bytes]) -> None:
    if sys.stdout is None:
        fail("the report cannot be printed: standard output is closed")
    try:
        for part in parts:
            sys.stdout.buffer.write(part)
        sys.stdout.buffer.flush()
    except OSError as error:
        # What is left in the buffer must not fail again when Python ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(error, BrokenPipeError):
            fail(f"the report cannot be printed: {error.strerror}")
        for _ in parts:  # whoever reads may have read enough; the verdict is of all
            pass


def _is_spec(path: str) -> bool:
    from doorlint.file_input import head
    from doorlint.spec import declares

    return path.endswith((".yaml", ".yml")) or declares(head(path, 4096))


def _same(path: str, other: str) -> bool:
    try:
        return os.path.samefile(path, other)
    except OSError:
        return False

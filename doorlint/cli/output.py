"""What the command line prints and writes: reports to standard output or a file, trouble and progress to stderr."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, NoReturn

import click

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.findings import SpecReview

__all__ = ["emit", "emit_forms", "emit_parts", "emit_report", "fail", "in_color", "with_progress", "write_spec"]

MANY = 100
"""Specs from which on progress is shown."""


def fail(message: str, code: int = 2) -> NoReturn:
    """Trouble with the call, the rules or doorlint itself: printed on stderr, exit 2."""
    from doorlint.spec.problems import clean

    lines = [clean(line) for line in message.split("\n")]
    click.echo("\n  ".join([f"doorlint: {lines[0]}", *lines[1:]]), err=True)
    sys.exit(code)


def in_color(choice: str, out: str | None) -> bool:
    """Whether the screen's report is in color: as asked, else NO_COLOR, else FORCE_COLOR, else on a terminal."""
    if choice != "auto":
        return choice == "always"
    if os.environ.get("NO_COLOR"):
        return False
    if os.environ.get("FORCE_COLOR"):
        return True
    return out is None and sys.stdout is not None and sys.stdout.isatty()


def with_progress(specs: Iterable[SpecReview], total: int, out: str | None) -> Iterator[SpecReview]:
    """The specs as they come, with their number on a terminal that does not get the report itself."""
    silent = total < MANY or sys.stderr is None or not sys.stderr.isatty()
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


def emit_forms(
    wanted: Sequence[Wanted], default: str, out: str | None, rendered: Callable[[str, str | None], Iterable[str]]
) -> None:
    """Write the forms that go to files, and print the one for the screen, or write it to ``out``.

    ``rendered`` gives a form's report, of the form and the file it goes to.
    """
    for form, file in wanted:
        if file is not None:
            emit_parts(rendered(form, file), file)
    emit_parts(rendered(next((form for form, file in wanted if file is None), default), None), out)


def emit_report(
    report: str, made: Any, on: str, wanted: Sequence[Wanted], out: str | None, default: str = "text"
) -> None:
    """Write the forms of what a command made that need all of it: a change, a sheet, a parts list and so on."""
    from doorlint.reports import renderer
    from doorlint.version import __version__

    emit_forms(wanted, default, out, lambda form, _file: [renderer(report, form)(made, __version__, on)])


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
            fail(f"{out} is a spec or a rule file; it is never written over; name another file")
        write_whole(Path(os.path.realpath(out)), data)  # a link stays a link; what it leads to is written
    except OSError as error:
        fail(f"{out}: cannot be written: {error.strerror}")


def write_spec(text: str, out: str) -> None:
    """Write a spec to a new file; one that is there is never written over."""
    from pathlib import Path

    from doorlint.file_output import write_whole

    if os.path.lexists(out):
        fail(f"{out} is there; a spec is never written over; name another file")
    try:
        write_whole(Path(out), [text.encode("utf-8")])
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
    from doorlint.spec import LIMIT, declares

    return path.endswith((".yaml", ".yml")) or declares(head(path, LIMIT))

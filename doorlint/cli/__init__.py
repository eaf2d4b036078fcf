"""The command line: one module a command, imported when it is called. Each parses, calls, prints and exits."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import click

from doorlint.cli.output import fail
from doorlint.errors import DoorlintError
from doorlint.version import __version__

COMMANDS = ("review", "blank", "propose", "setout", "parts", "change", "remedy", "rulebook", "language-server")
"""In the order of their use; each is the ``command`` of the module of its name."""


ENDINGS = ("SIGTERM",) if os.name == "nt" else ("SIGTERM", "SIGHUP")
"""Signals that ask a process to end."""


class Commands(click.Group):
    """The commands, with exit codes that cannot be taken for a verdict where one does not come to its end."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command: click.Command = import_module(f"doorlint.cli.{name.replace('-', '_')}").command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        try:
            with _ended_as_by_an_exception():
                return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except DoorlintError as error:
            fail(str(error))
        except KeyboardInterrupt:
            fail("interrupted", 130)
        except Exception:
            import traceback

            traceback.print_exc()
            fail("this is a fault of doorlint itself; nothing that it printed counts")


@contextmanager
def _ended_as_by_an_exception() -> Iterator[None]:
    """Let SIGTERM and SIGHUP end the process as an exception does: workers are stopped, temporary files removed."""
    import signal
    import threading

    def end(number: int, _frame: object) -> None:
        for one in mine:
            signal.signal(one, signal.SIG_IGN)  # one is enough; cleaning up takes a moment
        raise SystemExit(128 + number)

    asked = [getattr(signal, name) for name in ENDINGS]
    here = threading.current_thread() is threading.main_thread()
    # A signal that is ignored or taken by the caller on purpose (nohup) stays so.
    mine = [one for one in asked if here and signal.getsignal(one) is signal.SIG_DFL]
    for one in mine:
        signal.signal(one, end)
    try:
        yield
    finally:
        for one in mine:
            signal.signal(one, signal.SIG_DFL)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 90})
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

"""The command line: one module a command, imported when it is called. Each parses, calls, prints and exits."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import click

from doorlint.cli.output import fail
from doorlint.errors import DoorlintError
from doorlint.version import __version__

COMMANDS = ("review", "blank", "setout", "parts", "change", "remedy", "rulebook")
"""In the order of their use; each is the ``command`` of the module of its name."""


class Commands(click.Group):
    """The commands, with exit codes that cannot be taken for a verdict where one does not come to its end."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command: click.Command = import_module(f"doorlint.cli.{name}").command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        try:
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

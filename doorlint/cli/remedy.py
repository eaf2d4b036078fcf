"""``doorlint remedy``."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for
from doorlint.cli.output import emit_forms

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("remedy")
@click.argument("path", type=click.Path(), metavar="SPEC")
@as_form("text", "json")
@OUT
@COMMON
@click.option(
    "--seconds",
    type=click.FloatRange(0.1, 600),
    metavar="N",
    default=8.0,
    show_default=True,
    help="Search no longer than this.",
)
def command(path: str, wanted: tuple[Wanted, ...], out: str | None, seconds: float, **asked: Unpack[Options]) -> None:
    """What would clear the findings of a spec.

    Each finding has its remedies, the least first: they come from rules/adjustments.yaml and the
    adjustments.yaml of house rules. Below them, how far each measured value may move.

    \b
    doorlint remedy d-3.yaml

    \b
    Exit 0  the job is clear
         1  the job is on hold
         2  the spec could not be read, or a rule or adjustments.yaml is broken
    """
    from doorlint.commands.remedy import remedy
    from doorlint.reports import remedy_renderer
    from doorlint.sources import Source
    from doorlint.version import __version__

    call = call_for([path], **asked)
    end = time.monotonic() + seconds
    found = remedy(Source(path, path), call, lambda: time.monotonic() > end)
    emit_forms(wanted, "text", out, lambda form, _file: [remedy_renderer(form)(found, __version__, call.policy.on)])
    sys.exit(found.review.exit_code)

"""``doorlint setout``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for
from doorlint.cli.output import emit_report

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("setout")
@click.argument("path", type=click.Path(), metavar="SPEC")
@as_form("text", "json", "html")
@OUT
@COMMON
def command(path: str, wanted: tuple[Wanted, ...], out: str | None, **asked: Unpack[Options]) -> None:
    """The installer's sheet: figures in the order of the work.

    \b
    doorlint setout d-3.yaml
    doorlint setout d-3.yaml --as html --out d-3-sheet.html

    \b
    Exit 0  the job is clear
         1  the job is on hold; the sheet is marked HOLD
         2  the spec could not be read, or a rule is broken
    """
    from doorlint.commands.setout import setout
    from doorlint.sources import Source

    call = call_for([path], **asked)
    sheet = setout(Source(path, path), call, shown_working=any(form == "json" for form, _ in wanted))
    emit_report("sheet", sheet, call.policy.on, wanted, out)
    sys.exit(sheet.review.exit_code)

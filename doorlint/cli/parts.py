"""``doorlint parts``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for
from doorlint.cli.output import emit_report

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("parts")
@click.argument("path", type=click.Path(), metavar="SPEC")
@as_form("text", "json", "csv", "html")
@OUT
@COMMON
def command(path: str, wanted: tuple[Wanted, ...], out: str | None, **asked: Unpack[Options]) -> None:
    """The parts list: what to order, with count and size.

    \b
    doorlint parts d-3.yaml
    doorlint parts d-3.yaml --as csv --out d-3-parts.csv

    \b
    Exit 0  the job is clear
         1  the job is on hold; the list says so
         2  the spec could not be read, or a rule is broken
    """
    from doorlint.commands.parts import parts
    from doorlint.sources import Source

    call = call_for([path], **asked)
    listed = parts(Source(path, path), call)
    emit_report("parts", listed, call.policy.on, wanted, out)
    sys.exit(listed.review.exit_code)

"""``doorlint remedy``."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for
from doorlint.cli.output import emit_report, fail, write_spec

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
    help="Stop the search after N seconds.",
)
@click.option(
    "--apply", type=click.IntRange(1), metavar="N", help="Write the spec with remedy N to --out; its comments are kept."
)
def command(
    path: str, wanted: tuple[Wanted, ...], out: str | None, seconds: float, apply: int | None, **asked: Unpack[Options]
) -> None:
    """What would clear the findings of a spec.

    Each finding has its remedies: first what corrects a likely slip, then what clears most, work on the building
    last. They come from rules/adjustments.yaml and rules/slips.yaml, and those of house rules. Below them, how far
    each measured value may move.

    \b
    doorlint remedy d-3.yaml
    doorlint remedy d-3.yaml --apply 2 --out d-3-new.yaml

    \b
    Exit 0  the job is clear
         1  the job is on hold
         2  the spec could not be read, or a rule or adjustments.yaml is broken
    """
    from doorlint.commands.remedy import applied, remedy
    from doorlint.sources import Source

    call = call_for([path], **asked)
    end = time.monotonic() + seconds
    if apply is not None and (out is None or wanted):
        fail("--apply writes a spec; name its file with --out, without --as")
    found = remedy(Source(path, path), call, lambda: time.monotonic() > end)
    if apply is not None and out is not None:
        write_spec(applied(Source(path, path), found, apply), out)
        sys.exit(found.review.exit_code)
    emit_report("remedy", found, call.policy.on, wanted, out)
    sys.exit(found.review.exit_code)

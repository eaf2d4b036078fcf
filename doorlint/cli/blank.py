"""``doorlint blank``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import CACHE, HOUSE_RULES, OUT, SETTINGS, STAGES, call_for
from doorlint.cli.output import emit
from doorlint.counterbalance import KINDS

if TYPE_CHECKING:
    from doorlint.commands.options import Options


@click.command("blank")
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
@OUT
@HOUSE_RULES
@SETTINGS
@CACHE
def command(
    counterbalance: str | None, start: str | None, schema: bool, out: str | None, **asked: Unpack[Options]
) -> None:
    """Print a spec to fill in, for the first stage or the next.

    It has every value that the stage asks for, each with what it means.

    \b
    doorlint blank --out d-3.yaml
    doorlint blank --from d-3.yaml --stage order --out d-3-order.yaml
    """
    from doorlint.commands import blank
    from doorlint.sources import Source

    call = call_for(**asked)
    if schema:
        emit(blank.schema(call), out)
        return
    known = None if start is None else Source(start, start)
    emit(blank.blank(call, counterbalance, known), out)

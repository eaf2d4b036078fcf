"""``doorlint blank``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import CACHE, HOUSE_RULES, OUT, SETTINGS, STAGES, UNITS, as_form, call_for
from doorlint.cli.output import emit, emit_forms
from doorlint.counterbalance import KINDS

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("blank")
@click.option("--stage", type=click.Choice(STAGES), help="Stage to fill in for. Default: survey, or the stage of FILE.")
@click.option(
    "--counterbalance",
    type=click.Choice(list(KINDS)),
    help=f"What balances the door; {next(iter(KINDS))}, or that of FILE, by default.",
)
@click.option(
    "--from",
    "start",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="A spec whose values are filled in unchanged; its comments are left out.",
)
@click.option(
    "--schema", is_flag=True, help="Print the schema for editors, which completes and checks a spec, instead."
)
@as_form("yaml", "html")
@UNITS
@OUT
@HOUSE_RULES
@SETTINGS
@CACHE
def command(
    counterbalance: str | None,
    start: str | None,
    schema: bool,
    wanted: tuple[Wanted, ...],
    out: str | None,
    **asked: Unpack[Options],
) -> None:
    """Print a spec to fill in, for the first stage or the next.

    It has every value that the stage asks for, each with what it means. As html it is a page for paper and phone.

    \b
    doorlint blank --out d-3.yaml
    doorlint blank --as html --out survey.html
    doorlint blank --from d-3.yaml --stage order --out d-3-order.yaml
    """
    from doorlint.commands import blank
    from doorlint.sources import Source
    from doorlint.template import as_yaml
    from doorlint.version import __version__

    call = call_for(**asked)
    if schema:
        emit(blank.schema(call), out)
        return
    known = None if start is None else Source(start, start)

    def rendered(form: str, _file: str | None) -> list[str]:
        if form == "yaml":
            return [as_yaml(blank.blank(call, counterbalance, known))]
        from doorlint.reports import blank_html

        return [blank_html.render(blank.blank_page(call, counterbalance, known), __version__)]

    emit_forms(wanted, "yaml", out, rendered)

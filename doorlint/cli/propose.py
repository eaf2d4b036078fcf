"""``doorlint propose``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for
from doorlint.cli.output import emit_report, fail

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("propose")
@click.argument("path", type=click.Path(), metavar="SPEC")
@as_form("yaml", "text", "json")
@OUT
@click.option(
    "--variants",
    type=click.IntRange(1, 20),
    metavar="N",
    help="Number of designs. Default: one for a spec, three for a report.",
)
@click.option("--pick", metavar="NAME", help="Propose the design with this name, as shown in a report.")
@COMMON
def command(
    path: str,
    wanted: tuple[Wanted, ...],
    out: str | None,
    variants: int | None,
    pick: str | None,
    **asked: Unpack[Options],
) -> None:
    """Work out the next stage: derived values and open ones.

    What is given stays as it is. A proposed value is marked "# proposed" until you delete the mark;
    an empty one is marked "# open": fill it in, and propose again for the values that depend on it.

    \b
    doorlint propose d-3.yaml --as text
    doorlint propose d-3.yaml --pick tower-left-standard-12 --out d-3-order.yaml

    \b
    Exit 0  the proposal is clear
         1  values are open, or nothing fits
         2  the spec could not be read, or a rule is broken
    """
    from doorlint.commands.propose import MOST, propose
    from doorlint.sources import Source

    call = call_for([path], **asked)
    spec_only = all(one.form == "yaml" for one in wanted)
    found = propose(Source(path, path), call, variants or (1 if spec_only else MOST), pick)
    if spec_only and not found.variants:
        fail("\n".join(["nothing fits", *(f"{one.variant}: {one.message}" for one in found.binding)]), 1)
    emit_report("propose", found, call.policy.on, wanted, out, default="yaml")
    sys.exit(found.exit_code)

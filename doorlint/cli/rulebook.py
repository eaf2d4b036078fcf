"""``doorlint rulebook``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import CACHE, HOUSE_RULES, OUT, SETTINGS, STAGES, as_form, call_for, rule_ids, subjects
from doorlint.cli.output import emit_report, fail

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("rulebook")
@click.argument("rule", required=False, shell_complete=rule_ids)
@as_form("text", "json", "html")
@OUT
@click.option(
    "--standing",
    type=click.Choice(["published", "second-hand", "derived", "practice", "memory"]),
    help="Only rules with this standing of their source.",
)
@click.option(
    "--subject", metavar="SUBJECT", shell_complete=subjects, help="Only rules of this subject, such as headroom."
)
@click.option("--stage", type=click.Choice(STAGES), help="Only rules that start at this stage.")
@HOUSE_RULES
@SETTINGS
@CACHE
def command(
    rule: str | None,
    wanted: tuple[Wanted, ...],
    out: str | None,
    standing: str | None,
    subject: str | None,
    **asked: Unpack[Options],
) -> None:
    """Show the rules, or one with its source and examples.

    RULE is the id of a rule, as every finding names it.

    \b
    doorlint rulebook headroom.swept
    doorlint rulebook --subject tower --stage order

    \b
    Exit 0  shown
         2  no such rule, a broken rule, or a house rule whose example does not hold
    """
    from doorlint.commands import rulebook

    call = call_for(**asked)
    found = (
        rulebook.rulebook(call, standing=standing, subject=subject, stage=call.stage)
        if rule is None
        else rulebook.rule(rule, call)
    )
    emit_report("rulebook", found, call.policy.on, wanted, out)
    faults = rulebook.faulty_house_rules(call, rule)
    if faults:
        fail("\n".join(faults))

"""``doorlint change``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import (
    APPROVERS,
    CACHE,
    HOUSE_RULES,
    ON,
    OUT,
    SETTINGS,
    STAGE,
    UNITS,
    as_form,
    call_for,
    rule_ids,
)
from doorlint.cli.output import emit, emit_report, fail, write_spec

if TYPE_CHECKING:
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options


@click.command("change")
@click.argument("approved", type=click.Path(), metavar="APPROVED")
@click.argument("proposed", type=click.Path(), metavar="PROPOSED")
@as_form("text", "json", "markdown", "html")
@OUT
@STAGE
@UNITS
@HOUSE_RULES
@SETTINGS
@APPROVERS
@ON
@CACHE
@click.option("--apply", is_flag=True, help="Write APPROVED with the changed values to --out; its comments are kept.")
@click.option(
    "--draft-approval",
    "draft",
    metavar="RULE",
    shell_complete=rule_ids,
    help="Print the sign-off of a finding of this rule in the proposed spec, to fill in and paste.",
)
def command(
    approved: str,
    proposed: str,
    wanted: tuple[Wanted, ...],
    out: str | None,
    apply: bool,
    draft: str | None,
    **asked: Unpack[Options],
) -> None:
    """What a change affects, and what needs a decision.

    APPROVED and PROPOSED are specs; PROPOSED may hold only the changed values. Either may be a file at a git
    revision: REVISION:PATH, the path as seen from this folder. Two folders are compared spec by spec.

    \b
    doorlint change d-3.yaml header-low.yaml
    doorlint change main:doors/d-3.yaml doors/d-3.yaml
    doorlint change main:doors doors --as markdown

    \b
    Exit 0  no decision needed
         1  needs sign-off, or hold
         2  a side could not be read
    """
    from doorlint.commands.change import applied, change, change_folders, draft_approval
    from doorlint.revisions import folder_of, source_of

    call = call_for(**asked)
    if draft is not None:
        emit(draft_approval(source_of(approved), source_of(proposed), call, draft), out)
        return
    if apply:
        if out is None:
            fail("--apply needs --out FILE for the changed spec; it never writes over the approved one")
        merged = applied(source_of(approved), source_of(proposed), call)
        found = change(source_of(approved), source_of(proposed), call)
        write_spec(merged, out)
        sys.exit(int(found.decision != "nothing new"))
    before, after = folder_of(approved), folder_of(proposed)
    if before is not None and after is not None:
        whole = change_folders(before, after, (approved, proposed), call)
        emit_report("folder_change", whole, call.policy.on, wanted, out)
        sys.exit(whole.exit_code)
    found = change(source_of(approved), source_of(proposed), call)
    emit_report("change", found, call.policy.on, wanted, out)
    sys.exit(0 if found.decision == "nothing new" else 1)

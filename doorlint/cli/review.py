"""``doorlint review``."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for, rule_ids
from doorlint.cli.output import emit, emit_parts, fail, with_progress

if TYPE_CHECKING:
    from doorlint.commands.options import Options
    from doorlint.findings import SpecReview
    from doorlint.sources import Gathered


@click.command("review")
@click.argument("paths", nargs=-1, required=True, type=click.Path(readable=False), metavar="PATH...")
@as_form("text", "json", "sarif", "junit", "markdown", "html")
@OUT
@COMMON
@click.option(
    "--draft-approval",
    "draft",
    metavar="RULE",
    shell_complete=rule_ids,
    help="Print the sign-off of a finding of this rule, to fill in and paste into the spec.",
)
@click.option("--pass-over", is_flag=True, help="Pass over files that are no specs, also those named outright.")
@click.option("--called", metavar="NAME", default="standard input", help="Name for the spec on standard input.")
@click.option(
    "--workers",
    type=click.IntRange(1, 256),
    metavar="N",
    help="Processes that share the work; as many as pay, if left out.",
)
def command(
    paths: tuple[str, ...],
    form: str,
    out: str | None,
    draft: str | None,
    pass_over: bool,
    called: str,
    workers: int | None,
    **asked: Unpack[Options],
) -> None:
    """Check specs against the rules of their stage.

    PATH is a spec, a folder of specs, or - for standard input. In a folder, a spec is a *.yaml or *.yml file with a
    line `doorlint: 1`; other files are passed over.

    \b
    doorlint review d-3.yaml
    doorlint review d-3.yaml --as html --out d-3.html
    doorlint review doors/ --as sarif --out doors.sarif

    \b
    Exit 0  every spec is clear
         1  a spec is on hold
         2  a spec could not be read, a rule is broken, or nothing was reviewed
    """
    from doorlint.commands.review import draft_approval, review
    from doorlint.reports import streamer

    call = call_for([path for path in paths if path != "-"], **asked)
    files = _files(paths, called, strict=not pass_over)
    if out is not None and any(source.path is not None and _same(source.path, out) for source in files.sources):
        fail(f"--out {out} is one of the specs; name another file")
    if draft is not None:
        if len(files.sources) != 1:
            fail(f"a sign-off is for one spec; there are {len(files.sources)} here; name one")
        emit(draft_approval(files.sources[0], call, draft), out)
        return
    if len(files.sources) > 1:
        gc.freeze()  # what is there stays; what many specs leave behind is looked for, but seldom
        gc.set_threshold(50_000)
        gc.enable()
    run = review(files, call, workers)
    codes = {0}

    def noted() -> Iterator[SpecReview]:
        for spec in with_progress(run.specs, len(files.sources), out):
            codes.add(spec.exit_code)
            yield spec

    emit_parts(streamer(form)(run._replace(specs=noted())), out)
    sys.exit(max(codes))


def _files(paths: tuple[str, ...], called: str, *, strict: bool) -> Gathered:
    """The files that were named; ``-`` stands for the spec on standard input."""
    from doorlint.sources import Gathered, Source, gather
    from doorlint.spec.yaml_positions import LIMIT

    if "-" not in paths:
        return gather(paths, strict)
    if sys.stdin is None:
        fail("standard input is closed; name a file")
    standard_input = Source(called, None, sys.stdin.buffer.read(LIMIT + 1))
    others = [path for path in paths if path != "-"]
    found = gather(others, strict) if others else Gathered((), 0)
    return Gathered((standard_input, *found.sources), found.passed_over)


def _same(path: str, other: str) -> bool:
    try:
        return os.path.samefile(path, other)
    except OSError:
        return False

"""``doorlint review``."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Unpack

import click

from doorlint.cli.options import COMMON, OUT, as_form, call_for, rule_ids, subjects
from doorlint.cli.output import emit, emit_forms, fail, in_color, with_progress
from doorlint.reports import FORMS

if TYPE_CHECKING:
    from doorlint.batch import Call
    from doorlint.cli.options import Wanted
    from doorlint.commands.options import Options
    from doorlint.findings import Review, Run, SpecReview
    from doorlint.sources import Gathered


@click.command("review")
@click.argument("paths", nargs=-1, required=True, type=click.Path(readable=False), metavar="PATH...")
@as_form(*FORMS)
@OUT
@COMMON
@click.option(
    "--draft-approval",
    "draft",
    metavar="RULE",
    shell_complete=rule_ids,
    help="Print the sign-off of a finding of this rule, to fill in and paste into the spec.",
)
@click.option(
    "--slips",
    is_flag=True,
    default=None,
    help="Search for likely slips also in a folder or several paths. A single spec on hold is always searched.",
)
@click.option("--quiet", is_flag=True, help="Show findings only, and nothing for a clear spec (text and short).")
@click.option(
    "--only",
    metavar="SUBJECT|RULE",
    shell_complete=lambda *asked: [*subjects(*asked), *rule_ids(*asked)],
    help="Show only findings of this subject or rule. Verdict, totals and exit code are those of the whole review.",
)
@click.option(
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    help="Color text and short. Default: auto, color on a terminal, with NO_COLOR and FORCE_COLOR respected.",
)
@click.option(
    "--against",
    metavar="REVISION",
    help="Report findings that are new, worse, better or gone since this git revision. Only new or worse ones hold.",
)
@click.option("--pass-over", is_flag=True, help="Skip files that are not specs, even those named as PATH.")
@click.option("--expect", type=click.IntRange(1), metavar="N", help="Exit with 2 if fewer than N specs were reviewed.")
@click.option("--called", metavar="NAME", default="standard input", help="Name for the spec on standard input.")
@click.option(
    "--workers",
    type=click.IntRange(1, 256),
    metavar="N",
    help="Number of worker processes. Default: as many as are useful.",
)
def command(
    paths: tuple[str, ...],
    wanted: tuple[Wanted, ...],
    out: str | None,
    draft: str | None,
    quiet: bool,
    only: str | None,
    color: str,
    against: str | None,
    pass_over: bool,
    expect: int | None,
    called: str,
    workers: int | None,
    **asked: Unpack[Options],
) -> None:
    """Check specs against the rules of their stage.

    PATH is a spec, a folder of specs, or - for standard input. In a folder, a spec is a *.yaml or *.yml file with a
    line `doorlint: 1`; other files are skipped. The report is text for one file, one line a finding (short) for a
    folder or several paths.

    \b
    doorlint review d-3.yaml
    doorlint review d-3.yaml --as html --out d-3.html
    doorlint review doors/ --as sarif=doors.sarif --as junit=doors.xml
    doorlint review doors/ --against main

    \b
    Exit 0  every spec is clear
         1  a spec is on hold
         2  a spec could not be read, a rule is broken, or too few were reviewed
    """
    from doorlint.commands.review import draft_approval, known_subject
    from doorlint.reports import streamer
    from doorlint.reports.style import PLAIN, Style

    named = [path for path in paths if path != "-"]
    call = call_for(named, **asked)
    files = _files(paths, called, strict=not pass_over)
    _refuse_report_over_spec(files, [out, *(file for _, file in wanted)])
    shown = known_subject(call, only) if only is not None else ""
    if draft is not None:
        if len(files.sources) != 1:
            fail(f"a sign-off is for one spec; there are {len(files.sources)} here; name one")
        emit(draft_approval(files.sources[0], call, draft), out)
        return
    run = _run(files, named, against, call, workers)
    codes = {0}
    read = 0

    def specs() -> Iterator[SpecReview]:
        nonlocal read
        for spec in with_progress(run.specs, len(files.sources), out):
            codes.add(spec.exit_code)
            read += spec.verdict != "unreadable"
            yield spec._replace(only=shown)

    reviewed: Review | Run = run._replace(specs=specs())
    if any(file is not None for _, file in wanted):
        reviewed = run._replace(specs=specs()).gathered()
    style = Style(in_color(color, out), quiet)
    many = len(paths) > 1 or any(map(os.path.isdir, named))

    def rendered(form: str, file: str | None) -> Iterator[str]:
        return streamer(form, style if file is None else PLAIN)(reviewed)

    emit_forms(wanted, "short" if many else "text", out, rendered)
    if expect is not None and read < expect:
        fail(f"{read} specs were reviewed; --expect asks for {expect}; {files.passed_over} other files passed over")
    sys.exit(max(codes))


def _run(files: Gathered, named: list[str], against: str | None, call: Call, workers: int | None) -> Run:
    from doorlint.commands.review import review, review_against
    from doorlint.revisions import sources_at

    if len(files.sources) > 1:
        _collect_garbage_seldom()
    if against is None:
        return review(files, call, workers)
    return review_against(files, sources_at(against, named), against, call, workers)


def _refuse_report_over_spec(files: Gathered, reports: Iterable[str | None]) -> None:
    for file in reports:
        if file is not None and any(source.path is not None and _same(source.path, file) for source in files.sources):
            fail(f"{file} is one of the specs; name another file for the report")


def _collect_garbage_seldom() -> None:
    """Look seldom for what many specs leave behind, and never at what is there before them."""
    gc.freeze()
    gc.set_threshold(50_000)
    gc.enable()


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

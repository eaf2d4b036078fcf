"""The Python API: each command as a function of texts or files. Settings of the working folder do not count here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Unpack

from doorlint.commands import blank as blank_command
from doorlint.commands import change as change_command
from doorlint.commands import parts as parts_command
from doorlint.commands import propose as propose_command
from doorlint.commands import remedy as remedy_command
from doorlint.commands import review as review_command
from doorlint.commands import rulebook as rulebook_command
from doorlint.commands import setout as setout_command
from doorlint.commands.options import Options, call_of
from doorlint.errors import WrongCall
from doorlint.revisions import folder_of, source_of, sources_at
from doorlint.sources import Gathered, gather, text_source
from doorlint.template import as_yaml
from doorlint.verdict import Policy, Regrade

if TYPE_CHECKING:
    from concurrent.futures import Executor
    from pathlib import Path

    from doorlint.changes.comparison import Change
    from doorlint.changes.folder import FolderChange
    from doorlint.findings import SpecReview
    from doorlint.parts_list import PartsList
    from doorlint.proposals.search import Proposals
    from doorlint.remedies.proposals import Remedies
    from doorlint.rule_listing import BuiltinDetail, FigureDetail, RuleDetail, RuleListing
    from doorlint.sheet import Sheet

__all__ = [
    "Options", "Policy", "Regrade", "blank", "change", "change_paths", "draft_approval", "parts", "propose", "remedy",
    "review", "review_paths", "rule", "rules", "setout",
]  # fmt: skip


def review(text: str | bytes, *, name: str = "spec", **options: Unpack[Options]) -> SpecReview:
    """Review one spec given as text; a spec that cannot be read is a result, not an error.

    Raises :class:`doorlint.errors.BrokenRules` for a house rule that cannot be used and :class:`WrongCall` for an
    option that means nothing.

    >>> review("doorlint: 1\\nstage: survey\\njob: {number: J-1}\\n", on="2026-03-17").verdict
    'hold'
    """
    return next(review_command.review(Gathered((text_source(text, name),), 0), call_of(options)).specs)


def review_paths(
    paths: Iterable[str | Path],
    *,
    against: str | None = None,
    workers: int | None = None,
    executor: Executor | None = None,
    **options: Unpack[Options],
) -> Iterator[SpecReview]:
    """Review the specs behind some paths, one by one in the order of their names.

    ``executor`` is any executor of ``concurrent.futures``, also one whose workers are on other machines, where the
    same doorlint is installed and the paths lead to the same files; without one, ``workers`` processes of this machine
    share the work, by default as many as save time. ``against`` is a git revision of the same paths: each review says
    in ``since`` what is new, worse, better and gone since then.

    Raises :class:`WrongCall` where there is nothing to review or no such revision, and what :func:`review` raises; a
    file that cannot be read is a result.
    """
    if isinstance(paths, str):
        raise WrongCall(f"paths is one text; write [{paths!r}]")
    names = [str(path) for path in paths]
    call, files = call_of(options), gather(names)
    if against is None:
        return review_command.review(files, call, workers, executor).specs
    before = sources_at(against, names)
    return review_command.review_against(files, before, against, call, workers, executor).specs


def draft_approval(text: str | bytes, rule: str, *, name: str = "spec", **options: Unpack[Options]) -> str:
    """The sign-off to paste into a spec for what a rule finds in it; raises :class:`WrongCall` where there is none."""
    return review_command.draft_approval(text_source(text, name), call_of(options), rule)


def setout(text: str | bytes, *, name: str = "spec", **options: Unpack[Options]) -> Sheet:
    """The installer's sheet of a spec; raises :class:`WrongCall` for one that cannot be read."""
    return setout_command.setout(text_source(text, name), call_of(options))


def parts(text: str | bytes, *, name: str = "spec", **options: Unpack[Options]) -> PartsList:
    """The parts list of a spec; raises :class:`WrongCall` for one that cannot be read."""
    return parts_command.parts(text_source(text, name), call_of(options))


def change(
    approved: str | bytes,
    proposed: str | bytes,
    *,
    names: tuple[str, str] = ("approved", "proposed"),
    **options: Unpack[Options],
) -> Change:
    """What a change moves, and what there is to decide; ``proposed`` may hold only the changed values.

    Raises :class:`WrongCall` for a side that cannot be read.
    """
    return change_command.change(text_source(approved, names[0]), text_source(proposed, names[1]), call_of(options))


def change_paths(approved: str | Path, proposed: str | Path, **options: Unpack[Options]) -> Change | FolderChange:
    """What a change of a file moves, or of each spec in a folder; either side may be ``REVISION:PATH``.

    Raises :class:`WrongCall` for a side that is not there, and for a single spec that cannot be read.
    """
    names, call = (str(approved), str(proposed)), call_of(options)
    before, after = map(folder_of, names)
    if before is not None and after is not None:
        return change_command.change_folders(before, after, names, call)
    return change_command.change(source_of(names[0]), source_of(names[1]), call)


def remedy(
    text: str | bytes, *, name: str = "spec", stop: Callable[[], bool] = lambda: False, **options: Unpack[Options]
) -> Remedies:
    """What would clear a spec, and how far its measured values may move.

    ``stop`` is asked now and then; once it returns true the search ends with what it has. Raises :class:`WrongCall`
    for a spec that cannot be read.
    """
    return remedy_command.remedy(text_source(text, name), call_of(options), stop)


def propose(
    text: str | bytes,
    *,
    name: str = "spec",
    variants: int = propose_command.MOST,
    pick: str | None = None,
    **options: Unpack[Options],
) -> Proposals:
    """Up to ``variants`` designs for a spec, the best first, for the stage after its own or the one asked for.

    Raises :class:`WrongCall` for a spec that cannot be read, a stage that nothing is proposed for, and a ``pick`` that
    names no design.
    """
    return propose_command.propose(text_source(text, name), call_of(options), variants, pick)


def rules(*, standing: str | None = None, subject: str | None = None, **options: Unpack[Options]) -> RuleListing:
    """The rules, or those of a standing, a subject or a stage; raises :class:`WrongCall` for an unknown subject."""
    return rulebook_command.rulebook(call_of(options), standing=standing, subject=subject, stage=options.get("stage"))


def rule(name: str, **options: Unpack[Options]) -> RuleDetail | FigureDetail | BuiltinDetail:
    """One rule by its id, its examples run; raises :class:`WrongCall` where there is none."""
    return rulebook_command.rule(name, call_of(options))


def blank(*, counterbalance: str | None = None, known: str | bytes | None = None, **options: Unpack[Options]) -> str:
    """A spec to fill in, with the values of ``known`` put in; raises :class:`WrongCall` where that cannot be read."""
    source = None if known is None else text_source(known, "known")
    return as_yaml(blank_command.blank(call_of(options), counterbalance, source))

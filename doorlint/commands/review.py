"""``review``: check specs against the rules of their stage; draft the sign-off of a finding."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from doorlint.batch import Call, reviews
from doorlint.cross_spec import lowered_stage
from doorlint.errors import WrongCall
from doorlint.evaluation import evaluate
from doorlint.findings import Run, SpecReview
from doorlint.sign_off_files import with_sign_offs
from doorlint.sources import Gathered, Source, data_of, given_data_of
from doorlint.spec import read
from doorlint.spec.problems import nearest, shown
from doorlint.verdict import draft_approvals, with_more
from doorlint.version import __version__

if TYPE_CHECKING:
    from concurrent.futures import Executor

__all__ = ["draft_approval", "known_subject", "review", "review_against"]


def review(files: Gathered, call: Call, workers: int | None = None, executor: Executor | None = None) -> Run:
    """Review files, one by one in their order.

    Without an ``executor``, ``workers`` processes share the work, as many as save time. A file that cannot be
    read is a result, not an error.
    """
    specs = reviews(files.sources, call, workers, executor)
    return Run(
        __version__, call.policy.on, specs, call.library(), files.passed_over, call.policy.settings,
        rulebook=call.policy.rulebook,
    )  # fmt: skip


def review_against(
    files: Gathered,
    before: Sequence[Source],
    revision: str,
    call: Call,
    workers: int | None = None,
    executor: Executor | None = None,
) -> Run:
    """Review files, and say what became of their findings since the specs of a revision.

    Both sides are reviewed by the rules, settings and day of now. Of a spec that is new, everything is new.
    """
    from doorlint.changes.since import since  # what a plain review need not wait for

    was = {spec.file: spec for spec in reviews(before, call._replace(slips=False), workers, executor)}
    here = {source.name: source for source in files.sources}
    run = review(files, call, workers, executor)

    def compared(spec: SpecReview) -> SpecReview:
        former = was.get(spec.file)
        if former is not None and former.stage and spec.stage and former.stage != spec.stage:
            lowered = lowered_stage(read(data_of(here[spec.file])), former.stage, spec.stage, revision)
            spec = with_more(spec, [lowered] if lowered else [], call.policy)
        return since(former, spec, revision, call.policy.hold_at)

    specs = (compared(spec) for spec in run.specs)
    removed = tuple(name for name in was if name not in here)
    return run._replace(specs=specs, against=revision, removed=removed)


def known_subject(call: Call, only: str) -> str:
    """The subject or rule that a report is limited to; raises :class:`doorlint.errors.WrongCall` for an unknown one."""
    from doorlint.builtin_rules import BUILTIN_RULES

    rules = [*call.library().all_rules, *BUILTIN_RULES]
    known = list(dict.fromkeys([*(rule.partition(".")[0] for rule in rules), *rules]))
    if only not in known:
        fix = nearest(only, known, "`doorlint rulebook` lists them")
        raise WrongCall(f"there is no subject or rule {shown(only)}; {fix}")
    return only


def draft_approval(source: Source, call: Call, rule: str) -> str:
    """The sign-off to paste into a spec for what a rule finds in it.

    Raises :class:`doorlint.errors.WrongCall` for a spec that cannot be read, for an unknown rule, and where nobody may
    sign it off or there is nothing to sign off.
    """
    library = call.library()
    record = with_sign_offs(evaluate(given_data_of(source), library, call.stage).record, source)
    return draft_approvals(record, library, call.policy, source.name, rule)

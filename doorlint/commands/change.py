"""``change``: what a change moves, and what there is to decide."""

from __future__ import annotations

from doorlint.batch import Call
from doorlint.changes.comparison import Change, compare
from doorlint.changes.measured import HEADROOM, with_header
from doorlint.errors import WrongCall
from doorlint.sign_off_files import sign_offs_beside
from doorlint.sources import Source, given_data_of
from doorlint.spec import Patch, Spec, declares, parse, read
from doorlint.verdict import Record, digest_of, evaluate, within_bounds

__all__ = ["change"]

MOST_PROBLEMS = 5
"""Problems of an unreadable side that are listed."""


def change(approved: Source, proposed: Source, call: Call) -> Change:
    """Compare a proposed spec with the approved one.

    ``proposed`` may hold only the changed values, as a merge patch (RFC 7396) of the approved spec. Raises
    :class:`WrongCall` for a side that cannot be read.
    """
    data, other = given_data_of(approved), given_data_of(proposed)
    library = call.library()
    before = evaluate(data, library, call.stage)
    before = before._replace(record=_signed(before.record, approved))
    if before.spec.problems:
        raise WrongCall(_problems(approved.name, before.spec))
    tree = parse(other).tree
    patch = not declares(other) and not (isinstance(tree, dict) and "doorlint" in tree)
    after = before.spec.patched(_patch(proposed.name, other)) if patch else read(other, library.catalog)
    followed: tuple[str, ...] = ()
    if patch and not after.problems:
        written, after = after, with_header(before.spec, after, _patch(proposed.name, other))
        followed = (HEADROOM,) if after is not written else ()
    after = within_bounds(after, library)
    if after.problems:
        raise WrongCall(_problems(proposed.name, after, patch))
    names = (approved.name, proposed.name)
    beside = sign_offs_beside(approved if patch else proposed)
    return compare(
        before,
        after,
        digest_of(other),
        library,
        call.policy,
        names,
        stage=call.stage,
        patch=patch,
        beside=beside,
        followed=followed,
    )


def _signed(record: Record, source: Source) -> Record:
    """A record with the sign-offs beside its spec."""
    beside = sign_offs_beside(source)
    return record._replace(approvals={**record.approvals, **beside})


def _patch(name: str, data: bytes) -> Patch:
    """The changed values that a file holds."""
    marked = parse(data)
    if marked.problem is not None:
        raise WrongCall(f"{name}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    if not isinstance(marked.tree, dict):
        raise WrongCall(f"{name}: neither a spec nor changed values, written as in a spec: room: {{headroom: 21 in}}")
    return marked.tree


def _problems(name: str, spec: Spec, patch: bool = False) -> str:
    """Why a spec cannot be read; a value that a patch brings has no line in a text, so its pointer is given."""
    texts = [
        f"{name}: {p.pointer}: {p.message}" if patch else f"{name}:{p.line}:{p.column}: {p.message}"
        for p in spec.problems[:MOST_PROBLEMS]
    ]
    more = len(spec.problems) - MOST_PROBLEMS
    return "\n".join([*texts, f"and {more} more"] if more > 0 else texts)

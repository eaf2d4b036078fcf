"""``change``: what a change moves, and what there is to decide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from doorlint.batch import Call, reviews
from doorlint.changes.comparison import Change, compare
from doorlint.changes.folder import FolderChange
from doorlint.changes.matters import Matter
from doorlint.changes.measured import HEADROOM, with_header
from doorlint.errors import WrongCall
from doorlint.evaluation import Evaluated, Record, SignOff, digest_of, evaluate, evaluate_spec, within_bounds
from doorlint.revisions import committer_of
from doorlint.rulebook.rule import STAGES
from doorlint.sign_off_files import sidecar_of, sign_offs_beside
from doorlint.sources import Source, given_data_of
from doorlint.spec import Patch, Spec, declares, parse, read
from doorlint.spec.edit import edited
from doorlint.spec.pointer import escaped, steps
from doorlint.verdict import draft_approvals

__all__ = ["applied", "change", "change_folders", "draft_approval"]

MOST_PROBLEMS = 5
"""Problems of an unreadable side that are listed."""


def change(approved: Source, proposed: Source, call: Call) -> Change:
    """Compare a proposed spec with the approved one.

    ``proposed`` may hold only the changed values, as a merge patch (RFC 7396) of the approved spec. Raises
    :class:`WrongCall` for a side that cannot be read.
    """
    sides = _sides(approved, proposed, call)
    before, after, patch, other = sides.before, sides.after, sides.patch, sides.other
    library = call.library()
    names = (approved.name, proposed.name)
    signed = approved if patch else proposed
    beside = sign_offs_beside(signed)
    found = compare(
        before,
        after,
        digest_of(other),
        library,
        call.policy,
        names,
        stage=call.stage,
        patch=patch,
        beside=beside,
        followed=sides.followed,
        given=tuple(_given(_patch(proposed.name, other))) if patch else (),
    )
    told = tuple(_with_committer(matter, signed, after, beside) for matter in found.matters)
    return replace(found, matters=told)


class _Sides(NamedTuple):
    """Both sides of a change, read."""

    before: Evaluated
    after: Spec
    patch: bool
    followed: tuple[str, ...]
    other: bytes
    """the bytes of the proposed side"""


def _sides(approved: Source, proposed: Source, call: Call) -> _Sides:
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
    return _Sides(before, after, patch, followed, other)


def draft_approval(approved: Source, proposed: Source, call: Call, rule: str) -> str:
    """The sign-off to paste into the approved spec for what a rule finds in the proposed one.

    Raises :class:`WrongCall` for a side that cannot be read, and as :func:`doorlint.verdict.draft_approvals` does.
    """
    sides, library = _sides(approved, proposed, call), call.library()
    stage = call.stage or max(str(sides.before.record.stage), sides.after.values["stage"], key=STAGES.index)
    record = evaluate_spec(sides.after, digest_of(sides.other), library, stage, sides.before.job).record
    name = approved.name if sides.patch else proposed.name
    return draft_approvals(record, library, call.policy, name, rule)


def applied(approved: Source, proposed: Source, call: Call) -> str:
    """The approved spec's own text with the changed values written into it; its remarks stay.

    Headroom that follows the header is written too. Raises :class:`WrongCall` for a side that cannot be read, a
    proposed side that is a whole spec, and values that cannot be written without changing more.
    """
    sides = _sides(approved, proposed, call)
    if not sides.patch:
        raise WrongCall(f"{proposed.name} is a whole spec; --apply is for a file that holds only the changed values")
    merged = edited(given_data_of(approved).decode("utf-8"), _patch(proposed.name, sides.other))
    for pointer in sides.followed:
        group, name = steps(pointer)
        merged = edited(merged, {group: {name: sides.after.text(pointer)}})
    if read(merged, call.library().catalog).values != sides.after.values:
        raise WrongCall("the changed values cannot be written without changing more; write them by hand")
    return merged


def change_folders(
    approved: Mapping[str, Source], proposed: Mapping[str, Source], names: tuple[str, str], call: Call
) -> FolderChange:
    """Compare two folders of specs, each by the name inside its folder; ``names`` are those of the folders."""
    changes, added, unreadable, unchanged = [], [], [], 0
    for name in sorted(approved.keys() | proposed.keys()):
        before, after = approved.get(name), proposed.get(name)
        try:
            if before is None and after is not None:
                added.append(next(reviews([after], call)))
            elif before is not None and after is not None:
                if _all_of(before) == _all_of(after):
                    unchanged += 1
                else:
                    changes.append(change(before, after, call))
        except WrongCall as error:
            unreadable.append((name, str(error)))
    unreadable += [(review.file, review.findings[0].message) for review in added if review.verdict == "unreadable"]
    new = tuple(review for review in added if review.verdict != "unreadable")
    removed = tuple(name for name in approved if name not in proposed)
    return FolderChange(*names, tuple(changes), new, removed, tuple(unreadable), unchanged)


def _all_of(source: Source) -> tuple[bytes, bytes | None]:
    """The bytes of a spec and of the sign-offs beside it."""
    return given_data_of(source), sidecar_of(source)


def _with_committer(matter: Matter, source: Source, spec: Spec, beside: Mapping[str, SignOff]) -> Matter:
    """A new or changed sign-off, with who committed it where git knows."""
    if matter.what != "sign-off":
        return matter
    signed = beside.get(matter.pointer.rpartition("/")[2])
    name, line = (source.name, spec.position(matter.pointer)[0]) if signed is None else (signed.file, signed.line)
    by = committer_of(name, line, at_revision=source.path is None)
    return matter._replace(message=f"{matter.message}; {by}") if by else matter


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


def _given(patch: Patch, above: str = "") -> Iterator[str]:
    """The pointers of the values that a patch gives."""
    if isinstance(patch, Mapping):
        for key, inner in patch.items():
            yield from _given(inner, f"{above}/{escaped(key)}")
    else:
        yield above


def _problems(name: str, spec: Spec, patch: bool = False) -> str:
    """Why a spec cannot be read; a value that a patch brings has no line in a text, so its pointer is given."""
    texts = [
        f"{name}: {p.pointer}: {p.message}" if patch else f"{name}:{p.line}:{p.column}: {p.message}"
        for p in spec.problems[:MOST_PROBLEMS]
    ]
    more = len(spec.problems) - MOST_PROBLEMS
    return "\n".join([*texts, f"and {more} more"] if more > 0 else texts)

"""What there is to decide in a change beside its findings: sign-offs, a lowered stage, loosened limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.figures.graph import Job
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import STAGES, FindingKey, Outcome

if TYPE_CHECKING:
    from doorlint.evaluation import Record, SignOff

__all__ = ["Matter", "former_outcomes", "matters"]

TERMS = ("rule", "pointer", "thing", "value", "limit", "by", "on", "until", "reason", "rule_digest")
"""The fields of a sign-off, in the order of a report."""


class Matter(NamedTuple):
    """One thing to decide that is no finding."""

    what: Literal["sign-off", "stage", "limit"]
    pointer: str
    message: str


def matters(
    approved: Record, proposed: Record, stages: tuple[str, str], library: Library, system: quantities.System
) -> Iterator[Matter]:
    """What there is to decide; ``stages`` are those that the two specs give themselves."""
    was, now = stages
    if STAGES.index(now) < STAGES.index(was):
        yield Matter("stage", "/stage", f"the stage is lowered from {was} to {now}: later checks would not be made")
    for key in sorted(proposed.figures.keys() | approved.figures.keys()):
        yield from _limit(key, approved, proposed, library, system)
    yield from _sign_offs(approved.approvals, proposed.approvals)


def _limit(
    key: str, approved: Record, proposed: Record, library: Library, system: quantities.System
) -> Iterator[Matter]:
    shop = library.practice[key]
    old, new = (record.figures.get(key, (shop.value, 0))[0] for record in (approved, proposed))
    if shop._replace(value=old).looser(new):
        before, after = quantities.write_pair(old, new, shop.dimension, system)
        moved = "moved" if shop.safe == "none" else "loosened"
        yield Matter("limit", f"/practice/{key}", f"{key} is {moved} from {before} to {after}")


def _sign_offs(before: Mapping[str, SignOff], after: Mapping[str, SignOff]) -> Iterator[Matter]:
    """Every sign-off that is new or changed; a new name alone is no change."""
    old = [_terms(signed.fields) for signed in before.values()]
    for name, signed in after.items():
        terms = _terms(signed.fields)
        if terms in old:
            continue
        place = f" in {signed.file}" if signed.file else ""
        former = next((fields for fields in old if _about(fields) == _about(terms)), None)
        if former is None:
            told = ", ".join(f"{key} {value}" for key, value in terms.items() if key != "rule_digest")
            yield Matter("sign-off", f"/approvals/{name}", f"new sign-off {name}{place}: {told}")
            continue
        told = ", ".join(
            f"{key} {terms.get(key, 'not given')} (was {former.get(key, 'not given')})"
            for key in TERMS
            if terms.get(key) != former.get(key)
        )
        yield Matter("sign-off", f"/approvals/{name}", f"changed sign-off {name}{place}: {told}")


def _terms(fields: Mapping[str, Any]) -> dict[str, str]:
    return {key: str(fields[key]) for key in TERMS if key in fields}


def _about(terms: Mapping[str, str]) -> tuple[str | None, ...]:
    return tuple(terms.get(key) for key in ("rule", "pointer", "thing"))


def former_outcomes(
    before: Job, after: Job, approved: Record, proposed: Record, library: Library
) -> dict[FindingKey, Outcome]:
    """What is short in the proposed job where the shop figures are those of the approved one; empty where they are."""
    moved = {
        f"practice.{key}"
        for key in approved.figures.keys() | proposed.figures.keys()
        if _differs(approved, proposed, key, library)
    }
    if not moved:
        return {}
    job = after.with_changes({name: before.cell(name) for name in moved})
    assert proposed.stage is not None
    cells = {RULE + rule for rule in library.asked(proposed.stage)} & library.graph.downstream(moved)
    outcomes = (outcome for cell in sorted(cells) for outcome in job.cell(cell))
    return {(o.rule, o.pointer, o.key): o for o in outcomes if o.state == "short"}


def _differs(approved: Record, proposed: Record, key: str, library: Library) -> bool:
    shop = library.practice[key].value
    old, new = (record.figures.get(key, (shop, 0))[0] for record in (approved, proposed))
    return abs(old - new) > SLACK * max(abs(old), abs(new))

"""A spec said with `each` and `part` is the same job as the spec written out in full: the places in the file apart."""

from __future__ import annotations

import json
from typing import Any

import pytest
from shared import thinned
from shortened import Shortener
from varied import spec_text

from doorlint.changes.comparison import Change, compare
from doorlint.evaluation import Evaluated, evaluate_spec
from doorlint.findings import SpecReview
from doorlint.parts_list import list_parts
from doorlint.rulebook.library import load
from doorlint.sheet import set_out
from doorlint.spec import Sequence, Spec, parse, read
from doorlint.verdict import Policy, draft_approvals, present

POLICY = Policy("2026-06-01")
PATCH = {"room": {"headroom": "19 in"}, "door": {"sections": {"s1": {"weight": "300 lb"}}}}


def plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    return list(node) if isinstance(node, Sequence) else node


def both(seed: int) -> tuple[Spec, Spec]:
    """One job: written out in full, and said with `each` and `part`."""
    tree = plain(parse(spec_text(seed)).tree)
    shortener = Shortener(seed)
    short = json.dumps(shortener.shortened(tree), ensure_ascii=False)
    return read(json.dumps(tree, ensure_ascii=False)), read(short, shortener.catalog)


def evaluated(spec: Spec) -> Evaluated:
    return evaluate_spec(spec, "", load())


def reviewed(found: Evaluated) -> SpecReview:
    return present(found.record, load(), POLICY, "door.yaml", found.spec, found.job)


def said(review: SpecReview) -> list[Any]:
    """All that a review says of the job: without places in the file, and what only a catalog makes it say."""
    findings = [
        f._replace(line=0, column=0, end=None, source=f.source._replace(note=""))
        for f in review.findings
        if not f.rule.startswith("catalog.")
    ]
    held = any(f.severity == "error" for f in findings) or any(gap.severity == "error" for gap in review.not_checked)
    gaps = [gap._replace(line=0, column=0, end=None) for gap in review.not_checked]
    order = lambda one: repr((one.rule, one.pointer, one.thing))  # noqa: E731
    signed = sorted(str(a.approval) for a in review.approved)
    return [held, sorted(findings, key=order), sorted(gaps, key=order), signed, review.checked]


def moved(change: Change) -> list[Any]:
    shifts = [(s.kind, s.rule, s.pointer, s.thing) for s in change.shifts if not s.rule.startswith("catalog.")]
    return [change.decision, change.edits, change.moves, shifts]


@pytest.mark.parametrize("seed", thinned(range(240), 48))
def test_a_spec_said_once_is_the_spec_written_out(seed: int) -> None:
    full, short = both(seed)
    assert short.problems == ()
    assert short.values == full.values
    assert short.keys == full.keys
    assert (short.system, short.stage) == (full.system, full.stage)
    assert plain(short.tree) == plain(full.tree)
    one, other = evaluated(full), evaluated(short)
    was, now = reviewed(one), reviewed(other)
    assert said(now) == said(was)
    sheets = [set_out(review, load()).data | {"verdict": None} for review in (now, was)]  # a catalog may hold a job
    assert sheets[0] == sheets[1]
    lists = [[(p.part, p.count, p.size, p.length_text) for p in list_parts(r).pieces] for r in (now, was)]
    assert sum(count or 0 for _, count, *_ in lists[0]) == sum(count or 0 for _, count, *_ in lists[1])


@pytest.mark.parametrize("seed", thinned(range(240, 300), 6))
def test_a_change_of_either_moves_the_same(seed: int) -> None:
    changes = []
    for spec in both(seed):
        after = spec.patched(PATCH)
        assert after.problems == ()
        changes.append(compare(evaluated(spec), after, "", load(), POLICY, ("a", "b"), patch=True))
    assert moved(changes[0]) == moved(changes[1])


@pytest.mark.parametrize("seed", thinned(range(300, 330), 6))
def test_a_sign_off_of_either_is_drafted_alike_and_counts(seed: int) -> None:
    full, short = (evaluated(spec.patched({"track": {"bracket_spacing": "9 ft"}})) for spec in both(seed))
    rule = "track.bracket-spacing"
    if rule not in {finding.rule for finding in reviewed(full).findings}:
        pytest.skip("this job has no brackets to sign off")
    drafts = [draft_approvals(found.record, load(), POLICY, "door.yaml", rule) for found in (full, short)]
    assert drafts[0] == drafts[1]
    filled = plain(parse(drafts[0]).tree)
    for block in filled["approvals"].values():
        block |= {"by": "supervisor", "reason": "checked on site", "until": "2026-06-30", "on": "2026-05-01"}
    signed = [reviewed(evaluated(found.spec.patched(filled))) for found in (full, short)]
    assert [a.finding.rule for a in signed[0].approved] == [rule]
    assert said(signed[0]) == said(signed[1])

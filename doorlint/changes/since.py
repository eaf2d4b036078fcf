"""What became of the findings of a spec since an earlier review of it."""

from __future__ import annotations

from doorlint.changes.shifts import trend
from doorlint.findings import Finding, Since, SpecReview
from doorlint.rulebook.rule import SEVERITIES, Severity

__all__ = ["since"]


def since(was: SpecReview | None, now: SpecReview, revision: str, hold_at: Severity) -> SpecReview:
    """A review with what is new, worse, better and gone since an earlier one of the same spec, ``None`` for a new spec.

    Both are by the same rules, settings and day. Messages of what is new or worse say so.
    """
    before = {} if was is None else {finding.place: finding for finding in was.findings}
    open_gaps = set() if was is None else {gap.place for gap in was.not_checked}
    new, worse, better = set(), {}, []
    for finding in now.findings:
        former = before.get(finding.place)
        how = "new" if former is None else trend(former, finding)
        if former is None:
            new.add(finding.place)
        elif how in ("worse", "other"):
            worse[finding.place] = former
        elif how == "better":
            better.append(finding)
    new |= {gap.place for gap in now.not_checked} - open_gaps - before.keys()
    here = {finding.place for finding in now.findings} | {gap.place for gap in now.not_checked}
    gone = tuple(finding for place, finding in before.items() if place not in here)
    left = [finding for finding in now.findings if finding.place in new or finding.place in worse]
    held = any(SEVERITIES.index(finding.severity) <= SEVERITIES.index(hold_at) for finding in left) or any(
        gap.severity == "error" for gap in now.not_checked if gap.place in new
    )
    as_before = len(now.findings) - len(better) - len(left)
    told = Since(revision, frozenset(new), frozenset(worse), tuple(better), gone, as_before, held)
    findings = tuple(_worded(finding, told, worse.get(finding.place)) for finding in now.findings)
    return now._replace(findings=findings, since=told)


def _worded(finding: Finding, told: Since, former: Finding | None) -> Finding:
    if finding.place in told.new:
        return finding._replace(message=f"{finding.message} (new since {told.revision})")
    if former is None:
        return finding
    was = former.message if former.measured is None else former.measured.text
    return finding._replace(message=f"{finding.message} (worse since {told.revision}: {was} before)")

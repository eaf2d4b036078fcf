"""What a review says: findings, what was not checked, and the verdict. Plain data for every report."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.rule import FindingKey, Severity, Source

if TYPE_CHECKING:
    from doorlint.figures.graph import Job
    from doorlint.rulebook.library import Library
    from doorlint.spec import Spec
    from doorlint.spec.patch import Patch
    from doorlint.spec.problems import BuiltinRule, Problem

Verdict = Literal["clear", "hold", "unreadable"]
REASONS = {
    "input missing": "not given",
    "outside table": "outside the published table",
    "input impossible": "impossible",
    "not modelled": "not modelled",
    "rule failed": "the rule itself failed",
}
"""Why something was not checked or not worked out, in words."""


class Measure(NamedTuple):
    """A value as computed and as shown; ``value`` is ``None`` for a choice or words."""

    value: float | None
    unit: str
    text: str


class Finding(NamedTuple):
    """One rule that is not met at one thing of the spec."""

    rule: str
    title: str
    severity: Severity
    line: int
    column: int
    pointer: str
    message: str
    measured: Measure | None
    limit: Measure | None
    margin: float | None
    marginal: bool
    source: Source
    why: str
    safety: str
    sign_off: str
    remedy: str | None
    value: Any = None
    """as computed, at full precision"""
    bound: Any = None
    """the limit as computed"""
    short_by: str = ""
    """the lacking margin in words"""
    thing: str | None = None
    """key of the named thing it is about; several may share one pointer"""

    @property
    def place(self) -> FindingKey:
        """What it is about."""
        return self.rule, self.pointer, self.thing

    end: tuple[int, int] | None = None
    """line and column just behind what it points at, where that is known"""
    causes: tuple[FindingKey, ...] = ()
    """the findings that it follows from"""


Numbered: TypeAlias = tuple[int, Finding]
"""A finding with its number in the review of its spec, from 1."""


def builtin_finding(
    rule: BuiltinRule, problem: Problem, source: Source, safety: str, sign_off: str = "never"
) -> Finding:
    """A finding of a rule that doorlint itself applies."""
    return Finding(
        rule=problem.rule,
        title=rule.title,
        severity=rule.severity,
        line=problem.line,
        column=problem.column,
        pointer=problem.pointer,
        message=problem.message,
        measured=None,
        limit=None,
        margin=None,
        marginal=False,
        source=source,
        why=rule.why,
        safety=safety,
        sign_off=sign_off,
        remedy=rule.fix,
        end=problem.end,
    )


class NotChecked(NamedTuple):
    """One rule that could not be checked, and why."""

    rule: str
    title: str
    severity: Severity
    pointer: str
    reason: str
    missing: tuple[str, ...]
    note: str
    line: int
    column: int
    thing: str | None = None

    @property
    def place(self) -> FindingKey:
        """What it is about."""
        return self.rule, self.pointer, self.thing

    end: tuple[int, int] | None = None
    causes: tuple[FindingKey, ...] = ()
    """the findings that stop it: their values no job can have"""


class Approved(NamedTuple):
    """A finding that a supervisor signed off, with the sign-off."""

    finding: Finding
    approval: dict[str, Any]


class LikelySlip(NamedTuple):
    """A way in which a value may have been taken down wrong, that would account for findings."""

    slip: str
    pointer: str
    line: int
    given: str
    would_be: str
    says: str
    """what went wrong, in words"""
    clears: tuple[FindingKey, ...]
    """findings of the spec that would be gone"""
    brings: tuple[tuple[str, Severity, str], ...]
    """rule, severity and pointer of findings that would come"""
    why: str
    measure: str
    """what to measure to be sure"""
    patch: Patch
    """the values that would be, as written; what an editor may offer to write, and nothing writes unasked"""


class Relaxed(NamedTuple):
    """One thing that differs from the library, looser or stricter."""

    what: Literal["practice", "severity", "table", "rule", "catalog", "settings"]
    key: str
    library: str | None
    """what the library says; ``None`` where it says nothing"""
    here: str
    file: str
    """where it is set; empty for the call"""
    line: int | None
    by: str
    """who sets it: the spec, the settings, a house-rule folder, the call"""


class Since(NamedTuple):
    """What became of the findings of one spec since a revision; a report lists what is not as before."""

    revision: str
    new: frozenset[FindingKey]
    worse: frozenset[FindingKey]
    better: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    as_before: int
    held: bool
    """whether something new or worse is at the hold level"""


class SpecReview(NamedTuple):
    """One spec reviewed."""

    file: str
    stage: str | None
    verdict: Verdict
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    approved: tuple[Approved, ...]
    checked: int
    """how many checks were met"""
    system: Literal["us", "si"]
    """unit system of the report's texts"""
    spec_digest: str
    rules_digest: str
    facts: Mapping[str, str] = {}
    """job number, site, opening: what names the job"""
    failed: bool = False
    """whether a rule crashed on it"""
    spec: Spec | None = None
    """the spec itself, where one spec is reviewed alone"""
    job: Job | None = None
    """its figures, where one spec is reviewed alone"""
    relaxed: tuple[Relaxed, ...] = ()
    """what differs from the library in the review of this spec"""
    likely_slips: tuple[LikelySlip, ...] = ()
    """what may have been taken down wrong, the likeliest first; none where nothing was searched"""
    settings: str = ""
    """digest of the settings, and the revision they are read from; empty where there are none"""

    only: str = ""
    """the one subject or rule that a report shows; verdict, counts and exit code are those of the whole review"""
    since: Since | None = None
    """what became of its findings since a revision, where that was asked; what is as before is not listed"""

    @property
    def numbered(self) -> list[Numbered]:
        """The findings that a report shows, each with its number in the whole review."""
        return [(number, finding) for number, finding in enumerate(self.findings, 1) if self._shows(finding)]

    @property
    def separate_slips(self) -> list[LikelySlip]:
        """The likely slips that stand for findings of their own; the others are alternatives."""
        found: list[LikelySlip] = []
        for slip in self.likely_slips:
            if all(set(slip.clears).isdisjoint(one.clears) for one in found):
                found.append(slip)
        return found

    def numbers(self, places: Iterable[FindingKey]) -> tuple[int, ...]:
        """The numbers of findings; what is not among those of the review has none."""
        by_place = {finding.place: number for number, finding in enumerate(self.findings, 1)}
        return tuple(sorted(by_place[place] for place in set(places) if place in by_place))

    @property
    def gaps(self) -> list[NotChecked]:
        """What was not checked, as far as a report shows it."""
        return [gap for gap in self.not_checked if self._shows(gap)]

    @property
    def signed_off(self) -> list[Approved]:
        """What was signed off, as far as a report shows it."""
        return [approved for approved in self.approved if _about(self.only, approved.finding)]

    @property
    def not_shown(self) -> int:
        """How many findings a report leaves out for :attr:`only`."""
        return sum(not _about(self.only, finding) for finding in self.findings)

    def _shows(self, item: Finding | NotChecked) -> bool:
        moved = self.since is None or item.place in self.since.new or item.place in self.since.worse
        return moved and _about(self.only, item)

    @property
    def exit_code(self) -> int:
        """0 clear, 1 on hold, 2 not readable or a rule crashed on it; of a run, the highest is what counts.

        Since a revision, what is new or worse decides.
        """
        held = self.verdict == "hold" if self.since is None else self.since.held
        return 2 if self.verdict == "unreadable" or self.failed else int(held)


def _about(only: str, item: Finding | NotChecked) -> bool:
    return not only or only in (item.rule, item.rule.partition(".")[0])


class Review(NamedTuple):
    """A run over one spec or many."""

    version: str
    reviewed_on: str
    specs: tuple[SpecReview, ...]
    library: Library
    passed_over: int = 0
    """files in the folders reviewed that do not declare themselves as specs"""
    settings: str = ""
    """digest of the settings, and the revision they are read from; empty where there are none"""
    against: str = ""
    """the revision that it is compared with"""
    removed: tuple[str, ...] = ()
    """specs of that revision that are no longer there"""
    rulebook: str = ""
    """address of the page of rules; empty where the settings give none"""


class Run(NamedTuple):
    """A run whose specs come one by one, in their order; each is gone when the next one comes."""

    version: str
    reviewed_on: str
    specs: Iterator[SpecReview]
    library: Library
    passed_over: int = 0
    settings: str = ""
    against: str = ""
    removed: tuple[str, ...] = ()
    rulebook: str = ""

    def gathered(self) -> Review:
        """The review of all of them."""
        return Review(
            self.version, self.reviewed_on, tuple(self.specs), self.library, self.passed_over, self.settings,
            self.against, self.removed, self.rulebook,
        )  # fmt: skip

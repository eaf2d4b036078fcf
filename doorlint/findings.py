"""What a review says: findings, what was not checked, and the verdict. Plain data for every report."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from doorlint.rulebook.rule import Severity, Source

if TYPE_CHECKING:
    from doorlint.figures.graph import Job
    from doorlint.rulebook.library import Library
    from doorlint.spec import Spec

Verdict = Literal["clear", "hold", "unreadable"]


@dataclass(frozen=True, slots=True)
class Measure:
    """A value as it is reckoned with and as it is shown; ``value`` is ``None`` for a choice or words."""

    value: float | None
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class Finding:
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
    """as reckoned, undisplayed precision kept"""
    bound: Any = None
    """the limit as reckoned"""
    short_by: str = ""
    """the lacking margin in words"""
    thing: str | None = None
    """key of the named thing it is about; several may share one pointer"""


@dataclass(frozen=True, slots=True)
class NotChecked:
    """One rule that could not be held against the spec, and why."""

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


@dataclass(frozen=True, slots=True)
class Approved:
    """A finding that a supervisor signed off, with the sign-off."""

    finding: Finding
    approval: dict[str, Any]


@dataclass(frozen=True, slots=True)
class SpecReview:
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
    facts: dict[str, str] = field(default_factory=dict)
    """job number, site, opening: what names the job"""
    failed: bool = False
    """whether a rule crashed on it"""
    spec: Spec | None = None
    """the spec itself, where one spec is reviewed by itself"""
    job: Job | None = None
    """its figures, likewise"""


@dataclass(frozen=True, slots=True)
class Review:
    """A run over one spec or many."""

    version: str
    reviewed_on: str
    specs: tuple[SpecReview, ...]
    library: Library

    @property
    def exit_code(self) -> int:
        """0 clear, 1 a spec is on hold, 2 one could not be read or a rule crashed; the highest wins."""
        if any(spec.verdict == "unreadable" or spec.failed for spec in self.specs):
            return 2
        return int(any(spec.verdict == "hold" for spec in self.specs))

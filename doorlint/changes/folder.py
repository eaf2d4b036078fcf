"""A folder of specs before and after a change: what there is to decide in each spec, and in all of them."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.changes.comparison import DECISIONS, Change, Decision
from doorlint.findings import SpecReview

__all__ = ["FolderChange", "decision_on_added"]


class FolderChange(NamedTuple):
    """The whole result of a change of a folder."""

    approved: str
    proposed: str
    """what the two folders were called"""
    changes: tuple[Change, ...]
    added: tuple[SpecReview, ...]
    removed: tuple[str, ...]
    unreadable: tuple[tuple[str, str], ...]
    """files of which one side cannot be read, each with the reason"""
    unchanged: int

    @property
    def decision(self) -> Decision:
        """The gravest decision that any spec asks for; a spec that is taken out is for a supervisor."""
        asked: list[Decision] = [change.decision for change in self.changes]
        asked += [decision_on_added(review) for review in self.added]
        asked += ["sign-off" for _ in self.removed]
        return max(asked, key=DECISIONS.index, default="nothing new")

    @property
    def exit_code(self) -> int:
        """0 nothing to decide, 1 something to decide, 2 a side could not be read."""
        return 2 if self.unreadable else int(self.decision != "nothing new")


def decision_on_added(review: SpecReview) -> Decision:
    """What a new spec asks for: it is on hold or not, and what is signed off in it is new."""
    if review.verdict != "clear":
        return "hold"
    return "sign-off" if review.approved else "nothing new"

"""Changed jobs that are tried: a fixed number of them ends a search."""

from __future__ import annotations

from collections.abc import Callable

from doorlint.figures.graph import Job
from doorlint.remedies.options import Changes


class Trials:
    """How many changed jobs a search has tried, and whether it may try more."""

    __slots__ = ("complete", "made", "most", "stop")

    def __init__(self, most: int, stop: Callable[[], bool] = lambda: False) -> None:
        """``most``: trials after which it is over; ``stop``: asked before each, for a caller who waits no longer."""
        self.most, self.stop, self.made, self.complete = most, stop, 0, True

    @property
    def over(self) -> bool:
        """Whether nothing new may be tried; once it is, the search is not complete."""
        if self.complete and (self.made >= self.most or self.stop()):
            self.complete = False
        return not self.complete

    def changed(self, job: Job, changes: Changes) -> Job:
        """A job with changes, counted as one trial."""
        self.made += 1
        return job.with_changes(changes)

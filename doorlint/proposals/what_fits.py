"""What a surveyed room has room for: lifts with their radii, a tower on either side, a door on springs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from doorlint.findings import SpecReview
from doorlint.proposals.attempt import Attempt, Binding
from doorlint.proposals.draft import Draft, given_for_all
from doorlint.proposals.plan import Alternative, alternatives
from doorlint.rulebook.library import Library
from doorlint.verdict import Policy

__all__ = ["Fit", "what_fits"]

NAMES = {
    "standard": "standard lift",
    "high": "high lift",
    "low-headroom": "low headroom",
    "vertical": "vertical lift",
    "follow-the-roof": "follow the roof",
}


class Fit(NamedTuple):
    """Whether one kind of door fits: with which radii of the curve, and what stops it, or the other radii."""

    what: str
    fits: bool
    radii: tuple[str, ...]
    stopped: str

    @property
    def text(self) -> str:
        """In words, as a report says it.

        >>> Fit("standard lift", True, ("12 in", "10 in"), "not 15 in: headroom is 13 in").text
        'standard lift: curve of 12 in or 10 in; not 15 in: headroom is 13 in'
        >>> Fit("tower on the left", False, (), "it wants 21 in").text
        'tower on the left: no, it wants 21 in'
        """
        if not self.fits:
            return f"{self.what}: no, {self.stopped}"
        said = f"curve of {' or '.join(self.radii)}" if self.radii else "yes"
        return f"{self.what}: {said}" + (f"; {self.stopped}" if self.stopped else "")


def what_fits(review: SpecReview, library: Library, on: str) -> tuple[Fit, ...]:
    """What fits a room whose survey is clear; nothing for any other review, or for one of many."""
    if review.spec is None or review.job is None or review.stage != "survey" or review.verdict != "clear":
        return ()
    spec = review.spec.patched({"stage": "order"})
    start = Draft(library, spec, {}, {}, review.job, given_for_all(spec))
    attempt = Attempt(start, library, Policy(on), review.file)
    tried = list(alternatives(start))
    return (*_lifts(attempt, [one for one in tried if not one.more]), *_counterbalances(attempt, tried))


def _lifts(attempt: Attempt, tried: list[Alternative]) -> Iterator[Fit]:
    for lift in dict.fromkeys(one.lift for one in tried):
        radii = list(dict.fromkeys(one.radius for one in tried if one.lift == lift))
        fitting = [radius for radius in radii if isinstance(attempt.begun(lift, radius), Draft)]
        others = [radius for radius in radii if radius not in fitting]
        stopped = ""
        if others:
            stop = attempt.begun(lift, others[0])
            assert isinstance(stop, Binding)
            stopped = f"not {' or '.join(others)}: {stop.message}" if fitting else stop.message
        yield Fit(NAMES[lift], bool(fitting), tuple(filter(None, fitting)), stopped)


def _counterbalances(attempt: Attempt, tried: list[Alternative]) -> Iterator[Fit]:
    """Each counterbalance on the first lift and radius that it fits with, else what stops it on the first of all."""
    for kind in dict.fromkeys((one.counterbalance, one.side) for one in tried):
        what = f"tower on the {kind[1]}" if kind[1] else "door on springs"
        stop: Binding | None = None
        for one in tried:
            if (one.counterbalance, one.side) != kind:
                continue
            if not isinstance(attempt.begun(one.lift, one.radius, one.more, one.counterbalance), Draft):
                continue
            outcome = attempt.at(one)
            if isinstance(outcome, Draft):
                stop = None
                lower = ", with more and lower sections" if one.more else ""
                duplex = ", with another spring inside each" if one.duplex else ""
                yield Fit(what, True, (), f"with {NAMES[one.lift]}{lower}{duplex}")
                break
            stop = stop or outcome
            if outcome.rule.startswith("room.side"):
                break
        else:
            stop = stop or Binding("", "", "", "no lift fits", "", 0)
        if stop is not None:
            yield Fit(what, False, (), stop.message)

"""``remedy``: what would clear the findings of a spec, and how far its measured values may move."""

from __future__ import annotations

from collections.abc import Callable

from doorlint.batch import Call
from doorlint.errors import WrongCall
from doorlint.evaluation import evaluate
from doorlint.remedies.proposals import Remedies, remedies, with_ranges
from doorlint.sign_off_files import with_sign_offs
from doorlint.sources import Source, given_data_of
from doorlint.spec.edit import edited

__all__ = ["applied", "remedy"]


def remedy(source: Source, call: Call, stop: Callable[[], bool] = lambda: False) -> Remedies:
    """What would clear a spec, and how far its measured values may move.

    ``stop`` is asked now and then; once it returns true the search ends with what it has. Raises
    :class:`doorlint.errors.WrongCall` for a spec that cannot be read and :class:`doorlint.errors.BrokenRules` for
    adjustments that cannot be used.
    """
    library = call.library()
    evaluated = evaluate(given_data_of(source), library, call.stage)
    evaluated = evaluated._replace(record=with_sign_offs(evaluated.record, source))
    found = remedies(evaluated, library, call.policy, source.name, stop)
    return with_ranges(found, library, call.policy, stop)


def applied(source: Source, found: Remedies, number: int) -> str:
    """The text of a spec with one of its remedies written into it; its remarks stay.

    Raises :class:`doorlint.errors.WrongCall` for a number that no remedy has.
    """
    proposals = dict(found.numbered.values())
    if number not in proposals:
        fix = f"the remedies are numbered 1 to {len(proposals)}" if proposals else "no remedy was found for this spec"
        raise WrongCall(f"there is no remedy {number}; {fix}")
    return edited(given_data_of(source).decode("utf-8"), proposals[number].patch)

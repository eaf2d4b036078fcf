"""``remedy``: what would clear the findings of a spec, and how far its measured values may move."""

from __future__ import annotations

from collections.abc import Callable

from doorlint.batch import Call
from doorlint.evaluation import evaluate
from doorlint.remedies.proposals import Remedies, remedies, with_ranges
from doorlint.sign_off_files import with_sign_offs
from doorlint.sources import Source, given_data_of

__all__ = ["remedy"]


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

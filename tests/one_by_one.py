"""A record held to the outcomes of its rules asked one by one."""

from __future__ import annotations

from collections.abc import Iterable

from doorlint.evaluation import Record
from doorlint.rulebook.rule import Outcome


def same_as_one_by_one(record: Record, outcomes: Iterable[Outcome]) -> None:
    """Fail where a record says anything else than its rules do one by one.

    Where a value that cannot be stops rules, what is short or unknown without that is still noted.
    """
    held = list(outcomes)
    amiss = [one for one in held if one.state != "met"]
    noted = [one.outcome for one in record.open]
    if any(one.reason == "input impossible" for one in noted):
        assert {one.place for one in amiss} <= {one.place for one in noted}
    else:
        assert list(map(repr, amiss)) == list(map(repr, noted))
        assert len(held) - len(amiss) == record.met

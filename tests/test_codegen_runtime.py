"""What a written program calls: what is unknown or does not apply goes through columns as it does cell by cell."""

from __future__ import annotations

from itertools import islice
from typing import Any

import pytest

from doorlint.errors import OutsideTable
from doorlint.figures.cells import Gapped, entries_of
from doorlint.rulebook.codegen_runtime import UNKNOWN, blank, each, filled, gapped, given, taken

KEYS = ("s1", "s2", "s3")


def some(**entries: Any) -> Gapped:
    """A column with gaps."""
    return Gapped(entries, UNKNOWN in entries.values())


def test_a_column_of_nothing_is_unknown_throughout() -> None:
    column = blank(KEYS)
    assert column.__class__ is Gapped
    assert column == Gapped(dict.fromkeys(KEYS, UNKNOWN), unknown=True)
    assert blank(()) is UNKNOWN


def test_what_a_spec_leaves_out_of_a_column_is_unknown_there() -> None:
    column = given({"s3": 3.0, "s1": 1.0}, KEYS)
    assert column.__class__ is Gapped
    assert list(column.entries.items()) == [("s1", 1.0), ("s2", UNKNOWN), ("s3", 3.0)]
    assert given({"s1": 1.0}, ()) is UNKNOWN


@pytest.mark.parametrize(
    ("column", "gaps", "optional", "as_taken"),
    [
        (UNKNOWN, False, True, None),
        (UNKNOWN, True, True, None),
        (UNKNOWN, False, False, UNKNOWN),
        (UNKNOWN, True, False, UNKNOWN),
        (None, False, False, None),
        (some(s1=1.0, s2=None), False, False, {"s1": 1.0, "s2": None}),
        (some(s1=1.0, s2=UNKNOWN), False, False, UNKNOWN),
        (some(s1=1.0, s2=UNKNOWN), False, True, None),
        (some(s1=1.0, s2=UNKNOWN), True, False, {"s1": 1.0, "s2": None}),
    ],
)
def test_a_parameter_takes_a_column_as_it_says(column: Any, gaps: bool, optional: bool, as_taken: Any) -> None:
    assert taken(column, gaps, optional) == as_taken


def test_entries_that_may_be_missing_are_none() -> None:
    assert list(gapped(some(s1=1.0, s2=UNKNOWN, s3=None))) == [1.0, None, None]
    assert list(islice(gapped(UNKNOWN), 2)) == [None, None]
    assert list(islice(gapped(None), 2)) == [None, None]


@pytest.mark.parametrize(
    ("made", "kept", "kind"),
    [
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, {"s1": 1.0, "s2": 2.0, "s3": 3.0}, dict),
        ({"s3": 3.0, "s1": 1.0, "s2": 2.0}, {"s1": 1.0, "s2": 2.0, "s3": 3.0}, dict),
        ({"s1": 1.0, "s3": None}, {"s1": 1.0, "s2": None, "s3": None}, Gapped),
        ({"s1": 1.0, "s2": 2.0, "s3": None}, {"s1": 1.0, "s2": 2.0, "s3": None}, Gapped),
        (None, None, type(None)),
    ],
)
def test_a_column_made_at_once_has_an_entry_for_everything(made: Any, kept: Any, kind: type) -> None:
    memo: dict[str, Any] = {}
    column = filled(made, KEYS, memo, "section.made")
    assert column.__class__ is kind
    assert entries_of(column) == kept
    assert memo == {"section.made": column}
    assert memo["section.made"] is column
    if kept is not None:
        assert tuple(entries_of(column)) == KEYS


def ratio(top: float, bottom: float, more: float | None) -> float | None:
    """What the columns below are of: none for nothing above, outside a table beyond 8."""
    if bottom > 8.0:
        raise OutsideTable("beyond 8")
    return None if top == 0.0 else top / bottom + (more or 0.0)


@pytest.mark.parametrize(
    ("top", "bottom", "more", "column", "remembered"),
    [
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, 2.0, None, [0.5, 1.0, 1.5], True),
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, 2.0, UNKNOWN, [0.5, 1.0, 1.5], True),
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, 2.0, 1.0, [1.5, 2.0, 2.5], True),
        ({"s1": 1.0, "s2": 0.0, "s3": 3.0}, 2.0, None, [0.5, None, 1.5], True),
        (some(s1=1.0, s2=None, s3=3.0), 2.0, None, [0.5, None, 1.5], True),
        (some(s1=1.0, s2=UNKNOWN, s3=3.0), 2.0, None, [0.5, UNKNOWN, 1.5], False),
        (some(s1=UNKNOWN, s2=None, s3=3.0), UNKNOWN, None, [UNKNOWN, None, UNKNOWN], False),
        (some(s1=UNKNOWN, s2=None, s3=3.0), None, None, [None, None, None], True),
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, 9.0, None, [UNKNOWN] * 3, False),
        ({"s1": 1.0, "s2": 2.0, "s3": 3.0}, 0.0, None, [UNKNOWN] * 3, False),
        (UNKNOWN, 2.0, None, [UNKNOWN] * 3, False),
        (None, UNKNOWN, None, [None] * 3, True),
    ],
)
def test_of_each_thing_comes_what_its_own_arguments_allow(
    top: Any, bottom: Any, more: Any, column: list[Any], remembered: bool
) -> None:
    memo: dict[str, Any] = {}
    found = each(ratio, (True, True, False), (True, False, False), (top, bottom, more), KEYS, memo, "section.ratio")
    assert entries_of(found) == dict(zip(KEYS, column, strict=True))
    assert (found.__class__ is dict) is all(isinstance(entry, float) for entry in column)
    assert memo == ({"section.ratio": found} if remembered else {})
    assert memo.get("section.ratio", found) is found


def test_of_no_things_nothing_is_known() -> None:
    memo: dict[str, Any] = {}
    assert each(ratio, (True, True, False), (True, False, False), (UNKNOWN, 1.0, None), (), memo, "a.b") is UNKNOWN
    assert not memo

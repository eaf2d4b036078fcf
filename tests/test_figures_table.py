"""Tables looked up: on a row, between rows, at both ends, and never beyond them."""

from __future__ import annotations

import pytest

from doorlint.errors import OutsideTable
from doorlint.figures.table import Table

SLOPE = Table(
    "slope", ("kind", "size", "load"), {"kind": "exact", "size": "between"},
    (("a", 1.0, 10.0), ("a", 3.0, 30.0), ("a", 2.0, 50.0), ("b", 1.0, 7.0)),
)  # fmt: skip
STEPS = Table("steps", ("size", "load"), {"size": "from"}, ((10.0, 2.0), (0.0, 1.0), (20.0, 3.0)))
ROWS = Table("rows", ("size", "load"), {"size": "exact"}, ((-5.0, 1.0), (0.00635, 2.0), (8.0, 3.0), (8.0, 4.0)))


@pytest.mark.parametrize(
    ("size", "load"),
    [(1.0, 10.0), (1.5, 30.0), (2.0, 50.0), (2.5, 40.0), (3.0, 30.0), (1.0 - 5e-7, 10.0), (3.0 + 1.5e-6, 30.0)],
)
def test_between_two_rows_a_straight_line_is_taken(size: float, load: float) -> None:
    assert SLOPE.look("load", kind="a", size=size) == pytest.approx(load)


@pytest.mark.parametrize(
    ("size", "load"),
    [(0.0, 1.0), (9.99, 1.0), (10.0 - 5e-6, 2.0), (10.0, 2.0), (19.0, 2.0), (20.0, 3.0), (20.0 + 1e-5, 3.0)],
)
def test_the_last_row_that_is_not_above_is_taken(size: float, load: float) -> None:
    assert STEPS.look("load", size=size) == load


@pytest.mark.parametrize(
    ("size", "load"), [(-5.0, 1.0), (-5.0 - 2.5e-6, 1.0), (0.25 * 0.0254, 2.0), (0.00635 + 5e-9, 2.0)]
)
def test_two_written_sizes_may_be_one(size: float, load: float) -> None:
    assert ROWS.look("load", size=size) == load


@pytest.mark.parametrize(
    ("table", "keys", "asked"),
    [
        (SLOPE, {"kind": "a", "size": 1.0 - 5e-6}, "kind a, size 0.999995"),
        (SLOPE, {"kind": "a", "size": 3.0 + 1.2e-5}, "kind a, size 3.00001"),
        (SLOPE, {"kind": "b", "size": 1.5}, "kind b, size 1.5"),
        (SLOPE, {"kind": "c", "size": 1.5}, "kind c, size 1.5"),
        (STEPS, {"size": -0.1}, "size -0.1"),
        (STEPS, {"size": 20.1}, "size 20.1"),
        (ROWS, {"size": 7.0}, "size 7"),
        (ROWS, {"size": 8.0}, "size 8"),  # two rows say different things
        (ROWS, {"size": 0.00636}, "size 0.00636"),
        (ROWS, {"size": "8"}, "size 8"),
    ],
)
def test_beyond_its_rows_a_table_says_nothing(table: Table, keys: dict[str, float | str], asked: str) -> None:
    with pytest.raises(OutsideTable, match=f"^table {table.name} has no row for {asked}$"):
        table.look("load", **keys)


def test_one_key_alone_may_lie_between_rows() -> None:
    both = Table("both", ("a", "b", "c"), {"a": "between", "b": "from"}, ((1.0, 2.0, 3.0),))
    with pytest.raises(ValueError, match="table both: only one key can slide"):
        both.look("c", a=1.0, b=2.0)

"""The closed set of checks at their limits: what is written exactly there passes, and nothing endless does."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, nan

import pytest

from doorlint.rulebook.kinds.comparison import inside, not_less, not_more
from doorlint.rulebook.kinds.in_order import worst_step
from doorlint.rulebook.kinds.near import in_band
from doorlint.rulebook.kinds.rising import first_out_of_order
from doorlint.rulebook.margin import ErrorBound

INCH, FOOT = 0.0254, 0.3048


@pytest.mark.parametrize(
    ("value", "limit", "met"),
    [
        (12 * INCH, FOOT, True),
        (0.1 + 0.2, 0.3, True),
        (0.0, 0.0, True),
        (1.0 + 9e-10, 1.0, True),
        (1.0 + 2e-9, 1.0, False),
        (1000.0 + 9e-7, 1000.0, True),  # the slack is a share of the size
        (1000.0 + 2e-6, 1000.0, False),
        (-1000.0 + 9e-7, -1000.0, True),
        (-1000.0 + 2e-6, -1000.0, False),
        (1e-12, 0.0, False),
        (-5.0, 5.0, True),
    ],
)
def test_what_stands_at_its_limit(value: float, limit: float, met: bool) -> None:
    assert not_more(value, limit)[:3] == (met, value, limit)
    assert not_less(limit, value)[:3] == (met, limit, value)


@pytest.mark.parametrize(
    ("value", "met", "limit", "margin"),
    [
        (2.0, True, 1.0, 1.0),
        (2.5, True, 1.0, 1.5),  # the middle
        (3.0, True, 4.0, 1.0),
        (1.0, True, 1.0, 0.0),
        (4.0, True, 4.0, 0.0),
        (0.5, False, 1.0, -0.5),
        (4.5, False, 4.0, -0.5),
    ],
)
def test_between_and_near_show_the_nearer_end(value: float, met: bool, limit: float, margin: float) -> None:
    assert inside(value, 1.0, 4.0) == (met, value, limit, margin)
    assert in_band(value, 2.5, 1.5) == (met, value, limit, margin)


@pytest.mark.parametrize(
    ("check", "figures"),
    [
        (not_less, (inf, 1.0)),
        (not_less, (1.0, -inf)),
        (not_more, (-inf, 1.0)),
        (not_more, (nan, 1.0)),
        (inside, (1.0, 0.0, inf)),
        (inside, (1.0, -inf, 2.0)),
        (inside, (inf, 0.0, 2.0)),
        (in_band, (1.0, 2.0, inf)),
    ],
)
def test_what_is_endless_is_no_measure(check: Callable[..., object], figures: tuple[float, ...]) -> None:
    with pytest.raises(OverflowError, match="grew beyond all bounds"):
        check(*figures)


@pytest.mark.parametrize("figures", [(1.0, inf), (-inf, 1.0, 2.0), (1.0, nan, 2.0)])
def test_what_is_endless_is_in_no_order(figures: tuple[float, ...]) -> None:
    with pytest.raises(OverflowError, match="grew beyond all bounds"):
        worst_step(*figures)


@pytest.mark.parametrize(
    ("column", "key", "verdict"),
    [
        ({}, None, (True, None, None, None)),
        ({"s1": 5}, None, (True, 5, None, None)),
        ({"s1": 1, "s2": 2, "s3": 4}, None, (True, 4, None, None)),
        ({"s1": 1, "s2": 2, "s3": 2, "s4": 1}, "s3", (False, 2, 2, 0)),
        ({"s1": 3, "s2": 1}, "s2", (False, 1, 3, -2)),
    ],
)
def test_rising_stops_at_the_first_that_is_not_more(
    column: dict[str, float], key: str | None, verdict: tuple[object, ...]
) -> None:
    assert first_out_of_order(column) == (key, verdict)


@pytest.mark.parametrize(
    ("figures", "met", "value", "limit", "margin"),
    [
        ((1.0, 2.0, 2.5, 9.0), True, 2.0, 2.5, 0.5),  # the narrowest step
        ((1.0, 4.0, 3.0, 1.0), False, 3.0, 1.0, -2.0),  # the deepest
        ((1.0, 1.0), True, 1.0, 1.0, 0.0),
        ((2.0, 1.0, 5.0, 9.0), False, 2.0, 1.0, -1.0),
    ],
)
def test_in_order_shows_the_worst_step(
    figures: tuple[float, ...], met: bool, value: float, limit: float, margin: float
) -> None:
    assert worst_step(*figures) == (met, value, limit, margin)


@pytest.mark.parametrize(
    ("value", "margin", "enough"), [(10.0, 2.5, True), (10.0, 2.0, False), (-10.0, 2.0, False), (0.0, 1.5, True)]
)
def test_what_a_margin_must_be_to_be_beyond_doubt(value: float, margin: float, enough: bool) -> None:
    assert ErrorBound(1.0, 0.1).spans(value, margin) is enough

"""Walking along settings: the first that meets a check is found with few readings, whatever the shape of its margin."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from doorlint.remedies.peak_search import Found, Sample, find_peak


class Road:
    """Settings with one top, and a count of how often they were looked at."""

    def __init__(self, number: int, top: float, height: float, steep: float) -> None:
        self.number, self.top, self.height, self.steep = number, top, height, steep
        self.seen: set[int] = set()

    def margin(self, index: float) -> float:
        return self.height - self.steep * abs(index - self.top)

    def __call__(self, index: int) -> Sample:
        assert 0 <= index < self.number
        self.seen.add(index)
        return Sample(self.margin(index) >= 0.0, self.margin(index))


roads = st.builds(Road, st.integers(1, 400), st.integers(-3, 403), st.integers(-20, 20), st.sampled_from([0.5, 1, 7]))


@given(roads)
def test_the_first_that_meets_the_check_is_found(road: Road) -> None:
    if road.margin(-1) >= 0.0:
        return  # nothing to clear
    met = [index for index in range(road.number) if road.margin(index) >= 0.0]
    found = find_peak(road, road.number, road.margin(-1))
    assert found.least == (met[0] if met else None)


@given(roads)
def test_where_none_meets_it_the_best_is_found(road: Road) -> None:
    if any(road.margin(index) >= 0.0 for index in range(-1, road.number)):
        return
    best = max(range(-1, road.number), key=lambda index: (road.margin(index), -index))
    found = find_peak(road, road.number, road.margin(-1))
    assert found == Found(None, None if best == -1 else best)


@given(roads)
def test_few_are_looked_at(road: Road) -> None:
    find_peak(road, road.number, road.margin(-1))
    assert len(road.seen) <= 40


@given(st.integers(1, 400), st.integers(0, 500))
def test_a_check_without_a_margin_is_followed_to_the_end(number: int, first: int) -> None:
    found = find_peak(lambda index: Sample(index >= first, None), number, None)
    assert found == Found(first if first < number else None, None)

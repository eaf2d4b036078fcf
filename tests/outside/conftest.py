"""Fixtures of the tests against outside solutions."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from trade_doors import Largest


@pytest.fixture(scope="module")
def largest(record_testsuite_property: Callable[[str, object], None]) -> Iterator[Largest]:
    """The largest differences of this module, kept as properties of the run."""
    seen: Largest = {}
    yield seen
    for name, difference in seen.items():
        record_testsuite_property(name, f"{difference:.1e}")

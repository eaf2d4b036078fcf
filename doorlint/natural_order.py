"""Natural order of names: s2 before s10."""

import re
from functools import lru_cache


@lru_cache(maxsize=1024)
def natural(key: str) -> tuple[tuple[tuple[str, int], ...], str]:
    """Sort key that puts s2 before s10; names that differ in nothing but zeros are told apart by their letters.

    >>> sorted(["s10", "s2", "left-1", "x_2", "x_02"], key=natural)
    ['left-1', 's2', 's10', 'x_02', 'x_2']
    """
    return tuple((word, int(digits or -1)) for word, digits in re.findall("([^0-9]*)([0-9]*)", key)), key

"""Runs these tests and prints what each run of doorlint in them took: ``python tests/hostile/table.py``.

Words behind it go to pytest. Of several runs in one test the largest figures stand, with every exit code.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest


def main() -> int:
    code = pytest.main(["-q", "-p", "no:cacheprovider", str(Path(__file__).parent), *sys.argv[1:]])
    table: dict[str, list[tuple[float, float, int]]] = {}
    for test, ended in sys.modules["measured"].RUNS:
        file, _, name = test.partition("::")  # a name may hold a slash
        table.setdefault(f"{Path(file).name}::{name}", []).append((ended.seconds, ended.peak, ended.code))
    print(f"{'seconds':>8} {'MB':>6}  {'exit':<8} test")
    for test, runs in table.items():
        seconds, peaks, codes = zip(*runs, strict=True)
        exits = ",".join(map(str, dict.fromkeys(codes)))
        print(f"{max(seconds):8.2f} {max(peaks):6.0f}  {exits:<8} {ascii(test)[1:-1]}")
    return int(code)


if __name__ == "__main__":
    sys.exit(main())

"""An hour of search by hand: ``PYTHONPATH=tests python -m life.search 3600 [seed]``.

Takes turns between jobs changed at random and walks toward harm, prints each clear job that hurts somebody as small as
it can be made, and how many were tried.
"""

from __future__ import annotations

import sys
import time

from life import promise


def main(seconds: float, seed: int) -> None:
    tally, end = promise.Tally(), time.monotonic() + seconds
    while time.monotonic() < end:
        for found in (*promise.at_random(seed, 60, tally), *promise.greedy(seed, 40, tally)):
            small = promise.smallest(found)
            print(f"{small.base} {small.patch()}: {'; '.join(look.words for look in small.looks)}", flush=True)
        seed += 1
    print(f"{tally.tried} tried, {len(tally.broken)} clear and harmful {dict(tally.kinds)}; next seed {seed}")


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)

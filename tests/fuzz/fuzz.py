"""Fuzzes one target: ``python tests/fuzz/fuzz.py reader FOLDER -max_total_time=180``.

Needs atheris (``pip install atheris``; wheels for Linux). FOLDER keeps the inputs that reached something new; what
comes behind it goes to libFuzzer. A crash is written to a file ``crash-...``: put its bytes in ``test_fuzz.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["doorlint"]):
    from targets import TARGETS, seeds


def main() -> None:
    name, folder, *more = sys.argv[1:]
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds(name)):
        (place / f"seed-{number}").write_bytes(data)
    atheris.Setup([sys.argv[0], str(place), "-timeout=10", "-rss_limit_mb=1024", *more], TARGETS[name])
    atheris.Fuzz()


if __name__ == "__main__":
    main()

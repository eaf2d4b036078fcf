"""Fuzzes one target: ``python tests/fuzz/fuzz.py reader FOLDER -max_total_time=180``.

Needs atheris (``pip install atheris``; wheels for Linux). FOLDER keeps the inputs that reached something new; what
comes behind it goes to libFuzzer. A crash is written to a file ``crash-...``: put its bytes in ``test_fuzz.py``.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from pathlib import Path

import atheris

sys.path.append(str(Path(__file__).parent.parent))  # what the test rooms share

with atheris.instrument_imports(include=["doorlint"]):
    from targets import TARGETS, longest, seeds, words

    import doorlint

    # What is only imported when it is needed would go without: all of it at once.
    for module in pkgutil.walk_packages(doorlint.__path__, "doorlint."):
        if module.name not in ("doorlint.__main__", "doorlint.editor.server"):  # the latter needs an extra
            importlib.import_module(module.name)


def main() -> None:
    name, folder, *more = sys.argv[1:]
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds(name)):
        (place / f"seed-{number}").write_bytes(data)
    settings = [f"-max_len={longest(name)}", "-timeout=10", "-rss_limit_mb=1024"]
    if known := words(name):
        book = place.with_name(f"{place.name}.words")
        book.write_text("".join(f'"{_escaped(word)}"\n' for word in known), "ascii")
        settings.append(f"-dict={book}")
    atheris.Setup([sys.argv[0], str(place), *settings, *more], TARGETS[name])
    atheris.Fuzz()


def _escaped(word: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


if __name__ == "__main__":
    main()

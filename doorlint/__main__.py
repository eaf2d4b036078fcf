"""``doorlint`` and ``python -m doorlint``."""

from __future__ import annotations

import gc


def main() -> None:
    """Run the command line.

    A command makes little rubbish, and looking for it takes a fifth of the time of a short one: so nobody looks
    before the first folder of specs, nor once more at the end.
    """
    gc.disable()
    from doorlint.cli import main as command

    try:
        command(prog_name="doorlint")
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()

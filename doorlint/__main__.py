"""``doorlint`` and ``python -m doorlint``."""

from __future__ import annotations

import gc
import sys


def main() -> None:
    """Run the command line.

    A command leaves little garbage, and collecting it takes a fifth of the time of a short one: so it is off
    until the first folder of specs, and at the end. Whatever goes wrong ends with 2: 1 is a verdict.
    """
    if sys.flags.optimize > 1:
        sys.stderr.write(
            "doorlint: python -OO takes out the texts of reports; run it without -OO and PYTHONOPTIMIZE=2\n"
        )
        sys.exit(2)
    gc.disable()
    try:
        from doorlint.cli import main as command

        command(prog_name="doorlint")
    except Exception:
        import traceback

        traceback.print_exc()
        sys.exit(2)
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()

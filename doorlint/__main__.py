"""``python -m doorlint``."""

from doorlint.cli import main

main(prog_name="doorlint")

"""``doorlint language-server``."""

from __future__ import annotations

import click

from doorlint.cli.options import CACHE
from doorlint.cli.output import fail

EXTRA = ("pygls", "lsprotocol")
"""What comes with the extra ``editor``."""


@click.command("language-server")
@CACHE
def command(cache: str | None) -> None:
    """Show findings in an editor while a spec is typed.

    An editor starts it and speaks the language server protocol with it over standard input and
    output. It never writes a file. The README has the lines for two editors.

    \b
    pip install 'doorlint[editor]'     what it needs
    doorlint language-server           what an editor runs
    """
    try:
        from doorlint.editor.server import serve
    except ModuleNotFoundError as error:
        if error.name is None or error.name.partition(".")[0] not in EXTRA:
            raise
        fail("the language server needs an extra; install it: pip install 'doorlint[editor]'")
    serve(cache)

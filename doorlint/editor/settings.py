"""What the specs of a folder are reviewed by: the settings and house rules that hold for it."""

from __future__ import annotations

import os

from doorlint.batch import Call
from doorlint.commands.options import call_of
from doorlint.file_input import PathName
from doorlint.settings import Settings, find, load

__all__ = ["call_for"]

MANY = 10_000
"""Reviews that a session of typing may ask for: each is to be as fast as the last one."""


def call_for(path: str, cache: PathName | None = None) -> Call:
    """What a spec at this path is reviewed by, today.

    Settings and house rules are read at every call, so that an editor that is open for days follows them. Raises
    :class:`doorlint.errors.DoorlintError` for settings or house rules that cannot be used.
    """
    found = find(os.path.dirname(os.path.abspath(path)))
    call = call_of({"cache": cache}, Settings() if found is None else load(found))
    call.library().expect(MANY)
    return call._replace(slips=False)  # these are searched when somebody asks

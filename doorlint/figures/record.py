"""The dates of the commissioning record."""

from __future__ import annotations

from datetime import date

from doorlint.figures.kinds import Text


def tested(install_on: Text, as_built_on: Text) -> Text:
    """When the finished door was tested, seen from its installation

    Formula: before the day of the installation, or after it; the same day counts as after
    Unit: -
    Source: derived; order of two days

    >>> tested("2026-05-11", "2026-05-12"), tested("2026-05-11", "2026-04-30")
    ('after the installation', 'before the installation')
    """
    before = date.fromisoformat(as_built_on) < date.fromisoformat(install_on)
    return "before the installation" if before else "after the installation"

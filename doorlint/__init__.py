"""Checks the spec of an overhead door before the order and before the change.

>>> import doorlint
>>> doorlint.review("doorlint: 1\\nstage: survey\\njob: {number: J-1}\\n", on="2026-03-17").verdict
'hold'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from doorlint.version import __version__

if TYPE_CHECKING:
    from doorlint.api import review as review

__all__ = ["__version__", "review"]


def __getattr__(name: str) -> Any:
    if name == "review":
        from doorlint.api import review

        return review
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

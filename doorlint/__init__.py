"""Checks the spec of an overhead door before the order and before the change.

>>> import doorlint
>>> doorlint.review("doorlint: 1\\nstage: survey\\njob: {number: J-1}\\n", on="2026-03-17").verdict
'hold'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from doorlint.version import __version__

if TYPE_CHECKING:
    from doorlint.api import blank as blank
    from doorlint.api import change as change
    from doorlint.api import change_paths as change_paths
    from doorlint.api import draft_approval as draft_approval
    from doorlint.api import parts as parts
    from doorlint.api import propose as propose
    from doorlint.api import remedy as remedy
    from doorlint.api import review as review
    from doorlint.api import review_paths as review_paths
    from doorlint.api import rule as rule
    from doorlint.api import rules as rules
    from doorlint.api import setout as setout

__all__ = [
    "__version__",
    "blank",
    "change",
    "change_paths",
    "draft_approval",
    "parts",
    "propose",
    "remedy",
    "review",
    "review_paths",
    "rule",
    "rules",
    "setout",
]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from doorlint import api

        return getattr(api, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

"""The rules that doorlint itself applies: to the reading of a spec, to sign-offs, and to several specs together."""

from __future__ import annotations

from doorlint import across, approvals
from doorlint.spec import problems
from doorlint.spec.problems import BuiltIn

__all__ = ["BUILT_IN", "BuiltIn"]

BUILT_IN: dict[str, BuiltIn] = {**problems.BUILT_IN, **approvals.BUILT_IN, **across.BUILT_IN}
"""By id; `doorlint rulebook` explains them like any other, and nobody signs them off."""

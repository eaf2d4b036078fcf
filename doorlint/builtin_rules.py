"""The rules that doorlint itself applies: to the reading of a spec, sign-offs, catalog parts, and several specs."""

from __future__ import annotations

from doorlint import approvals, catalog_findings, cross_spec
from doorlint.spec import problems
from doorlint.spec.problems import BuiltinRule

__all__ = ["BUILTIN_RULES", "BuiltinRule"]

BUILTIN_RULES: dict[str, BuiltinRule] = {
    **problems.BUILTIN_RULES,
    **approvals.BUILTIN_RULES,
    **cross_spec.BUILTIN_RULES,
    **catalog_findings.BUILTIN_RULES,
}
"""By id; `doorlint rulebook` explains them like any other, and nobody signs them off."""

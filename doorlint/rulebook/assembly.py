"""A rule put together from its statement and its compiled form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from doorlint.rulebook.compiled_rule import CompiledRule
from doorlint.rulebook.harm import severity_of
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.rule import Rule, Source


def rule_of(statement: Mapping[str, Any], compiled: CompiledRule, house: str) -> Rule:
    """A rule from its statement and its compiled form."""
    return Rule(
        id=statement["id"],
        title=statement["title"],
        severity=severity_of(statement),
        harm=statement.get("harm", ""),
        stage=statement["from"],
        earliest=compiled.earliest,
        kind=KINDS[compiled.kind],
        message=statement["message"],
        why=statement.get("why", ""),
        safety=statement.get("safety", ""),
        sign_off=statement["sign_off"],
        source=Source(**statement["source"]),
        at=compiled.at.name,
        axis=compiled.axis,
        tries=tuple(statement.get("try", ())),
        impossible=tuple(statement.get("impossible", ())),
        dimension=compiled.dimension,
        reads=tuple(compiled.reads),
        needs=compiled.needs,
        wanted=tuple(ref.name for ref in compiled.wanted),
        house=house,
        digest=compiled.digest,
        statement=statement,
    )

"""``rulebook``: the rules, or one with its source and examples."""

from __future__ import annotations

from doorlint.batch import Call
from doorlint.rule_listing import (
    BuiltinDetail,
    FigureDetail,
    RuleDetail,
    RuleListing,
    faulty_examples,
    list_rules,
    show_rule,
)

__all__ = ["faulty_house_rules", "rule", "rulebook"]


def rulebook(
    call: Call, *, standing: str | None = None, subject: str | None = None, stage: str | None = None
) -> RuleListing:
    """The rules of a standing, a subject and a stage.

    Raises :class:`doorlint.errors.WrongCall` for an unknown subject.
    """
    return list_rules(call.library(), standing, subject, stage)


def rule(name: str, call: Call) -> RuleDetail | FigureDetail | BuiltinDetail:
    """One rule by its id, its examples run; raises :class:`doorlint.errors.WrongCall` where there is none."""
    return show_rule(call.library(), name)


def faulty_house_rules(call: Call, name: str | None = None) -> list[str]:
    """What is wrong with the examples of a house rule, or of all of them; a sentence each."""
    library = call.library()
    found = (faulty_examples(library, one) for one in ([name] if name else library.rules))
    return [said for said in found if said is not None]

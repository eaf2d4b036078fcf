"""The rules to show: those that match the request, or one with its examples run."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from doorlint.builtin_rules import BUILTIN_RULES
from doorlint.errors import WrongCall
from doorlint.rulebook.examples import Example, run_examples
from doorlint.rulebook.library import Library
from doorlint.rulebook.practice import Practice
from doorlint.rulebook.rule import STANDINGS, Rule
from doorlint.spec.problems import BuiltinRule

__all__ = [
    "BuiltinDetail",
    "FigureDetail",
    "RuleDetail",
    "RuleListing",
    "Shown",
    "faulty_examples",
    "list_rules",
    "show_rule",
]


class RuleListing(NamedTuple):
    """The rules that match the request."""

    library: Library
    rules: tuple[Rule, ...]
    sources: dict[str, list[str]]
    """figures, tables, practice figures and rules, by the standing of their source"""
    standing: str | None
    """the one standing that was asked for"""


class RuleDetail(NamedTuple):
    """One rule of the library, with its examples run."""

    library: Library
    rule: Rule
    examples: tuple[Example, ...]


class FigureDetail(NamedTuple):
    """The rule that holds a shop figure to the shop's value."""

    rule: Rule
    figure: Practice
    readers: tuple[str, ...]
    """ids of the rules that read the figure"""


class BuiltinDetail(NamedTuple):
    """One rule that doorlint itself applies."""

    id: str
    rule: BuiltinRule


Shown: TypeAlias = RuleListing | RuleDetail | FigureDetail | BuiltinDetail
"""What ``doorlint rulebook`` shows."""


def list_rules(
    library: Library, standing: str | None = None, subject: str | None = None, stage: str | None = None
) -> RuleListing:
    """The rules of a standing, a subject and a stage; raises :class:`WrongCall` for an unknown subject."""
    rules = library.rules.values()
    if subject is not None and all(rule.subject != subject for rule in rules):
        raise WrongCall(f"there is no subject {subject}; there are {', '.join(_subjects(library))}")
    asked = (subject, stage, standing)
    chosen = tuple(
        rule
        for rule in rules
        if all(
            wanted in (None, own)
            for wanted, own in zip(asked, (rule.subject, rule.stage, library.standing(rule)), strict=True)
        )
    )
    sources = _by_standing(library)
    return RuleListing(library, chosen, sources if standing is None else {standing: sources[standing]}, standing)


def show_rule(library: Library, rule: str) -> RuleDetail | FigureDetail | BuiltinDetail:
    """One rule by its id; raises :class:`WrongCall` where there is none."""
    if rule in BUILTIN_RULES:
        return BuiltinDetail(rule, BUILTIN_RULES[rule])
    if rule in library.all_rules and rule not in library.rules:
        found = library.all_rules[rule]
        readers = tuple(reader.id for reader in library.readers(found.at))
        return FigureDetail(found, library.practice[found.at.removeprefix("practice.")], readers)
    if rule not in library.rules:
        raise WrongCall(_no_such(rule, library))
    return RuleDetail(library, library.rules[rule], tuple(run_examples(library, library.rules[rule])))


def faulty_examples(library: Library, rule: str) -> str | None:
    """What is wrong with the examples of a house rule, for a shop that tries its rules.

    The examples of doorlint's own rules use its own practice figures, which a house may replace.
    """
    found = library.rules.get(rule)
    if found is None or not found.house:
        return None
    sides = [example.side for example in run_examples(library, found) if not (example.holds and example.close)]
    if not sides:
        return None
    return f"rule {rule}: its {' and '.join(sides)} example is not as it should be; fix the example, or the rule"


def _no_such(rule: str, library: Library) -> str:
    from difflib import get_close_matches

    if rule in _subjects(library):
        return f"there is no rule {rule}; `doorlint rulebook --subject {rule}` lists the rules of this subject"
    known = [*library.rules, *BUILTIN_RULES]
    near = [name for name in known if rule and rule in name][:5] or get_close_matches(rule, known, 3, 0.5)
    return f"there is no rule {rule}; " + (
        f"did you mean {' or '.join(near)}?" if near else "`doorlint rulebook` lists them"
    )


def _subjects(library: Library) -> list[str]:
    return list(dict.fromkeys(rule.subject for rule in library.rules.values()))


def _by_standing(library: Library) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {standing: [] for standing in STANDINGS}
    for name in library.graph.nodes:
        source = None if name.startswith("rule:") else library.source_of(name)
        if source is not None:
            found[source.standing].append(name)
    for rule in library.rules.values():
        found[rule.source.standing].append(f"rule {rule.id}")
    return found

"""The rule library for a reader: coverage, sources by standing, one rule with its examples run."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator
from typing import Any

from doorlint import quantities
from doorlint.builtin_rules import BUILTIN_RULES
from doorlint.errors import WrongCall
from doorlint.reports.data import dump
from doorlint.rulebook.examples import Example, run_examples
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, STAGES, STANDINGS, Rule


def render(
    library: Library, rule: str | None, *, standing: str | None, subject: str | None, stage: str | None, form: str
) -> str:
    """One rule, or all that fit; raises :class:`WrongCall` for an unknown rule or subject."""
    if rule is not None:
        if rule in BUILTIN_RULES:
            return _built_in(rule, form)
        if rule not in library.rules:
            raise WrongCall(_no_such(rule, library))
        found = library.rules[rule]
        examples = run_examples(library, found)
        return (
            _json(_rule_data(library, found) | {"examples": [example._asdict() for example in examples]})
            if form == "json"
            else _one(library, found, examples)
        )
    chosen = [
        found for found in library.rules.values()
        if (subject is None or found.subject == subject) and (stage is None or found.stage == stage)
        and (standing is None or library.standing(found) == standing)
    ]  # fmt: skip
    if subject is not None and not any(found.subject == subject for found in library.rules.values()):
        raise WrongCall(f"there is no subject {subject}; there are {', '.join(_subjects(library))}")
    sources = _by_standing(library) if standing is None else {standing: _by_standing(library).get(standing, [])}
    if form == "json":
        return _json(
            {"rules": [_rule_data(library, found) for found in chosen], "sources": sources, "digest": library.digest}
        )
    return "\n".join(_many(library, chosen, sources, standing)) + "\n"


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
    return list(dict.fromkeys(found.subject for found in library.rules.values()))


def _by_standing(library: Library) -> dict[str, list[str]]:
    """Every figure, table and shop figure by the standing of its source."""
    found: dict[str, list[str]] = {standing: [] for standing in STANDINGS}
    for name in library.graph.nodes:
        source = None if name.startswith("rule:") else library.source_of(name)
        if source is not None:
            found[source.standing].append(name)
    for rule in library.rules.values():
        found[rule.source.standing].append(f"rule {rule.id}")
    return found


def _json(data: Any) -> str:
    return dump(data)


def _rule_data(library: Library, rule: Rule) -> dict[str, Any]:
    return {
        "rule": rule.id, "title": rule.title, "severity": rule.severity, "stage": rule.stage, "subject": rule.subject,
        "check": rule.check, "standing": library.standing(rule), "house": rule.house, "digest": rule.digest,
        "source": {"standing": rule.source.standing, "document": rule.source.document, "edition": rule.source.edition,
                   "clause": rule.source.clause, "note": rule.source.note},
        "reads": list(rule.reads), "statement": dict(rule.statement),
    }  # fmt: skip


def _one(library: Library, rule: Rule, examples: list[Example]) -> str:
    said = rule.statement
    lines = [rule.id, f"  {rule.title}", ""]
    lines += [f"  {rule.severity}, asked from {rule.stage}" + (f", for each {rule.axis}" if rule.axis else "")]
    for label, text in (
        ("check", _flow(said["check"])), ("when", _flow(said.get("when", {}))), ("with", _flow(said.get("let", {}))),
        ("says", rule.message), ("why", rule.why), ("safety", rule.safety),
        ("sign-off", "nobody may sign it off" if rule.sign_off == "never" else f"a {rule.sign_off} may sign it off"),
        ("try", ", ".join(rule.tries)), ("shop", _shop_figures(library, rule)), ("source", _cited(rule)),
        ("chain", f"{library.standing(rule)} is the weakest standing in all it rests on"),
        ("digest", rule.digest),
    ):  # fmt: skip
        if text:
            lines += textwrap.wrap(f"{label:<9}{text}", 78, initial_indent="  ", subsequent_indent=" " * 11)
    lines += ["", "  examples, run now"]
    for example in examples:
        lines += textwrap.wrap(f"{example.side:<9}{example.text}", 78, initial_indent="  ", subsequent_indent=" " * 11)
    return "\n".join(lines) + "\n"


def _shop_figures(library: Library, rule: Rule) -> str:
    """The shop figures that a rule reads, in both systems of units."""
    shown = []
    for name in rule.reads:
        figure = library.practice.get(name.removeprefix("practice.")) if name.startswith("practice.") else None
        if figure is not None:
            texts = dict.fromkeys(quantities.write(figure.value, figure.dimension, system) for system in ("us", "si"))
            shown.append(f"{name} is {' or '.join(texts)}")
    return "; ".join(shown)


def amiss(library: Library, rule: str) -> str | None:
    """What is wrong with the examples of a house rule, for a shop that tries its rules out.

    Those of doorlint's own rules stand at its own shop figures, which a house may replace.
    """
    found = library.rules.get(rule)
    if found is None or not found.house:
        return None
    sides = [example.side for example in run_examples(library, found) if not (example.holds and example.close)]
    if not sides:
        return None
    return f"rule {rule}: its {' and '.join(sides)} example is not as it should be; mend the example, or the rule"


def _cited(rule: Rule) -> str:
    source = rule.source
    return "; ".join(
        part for part in (source.standing, source.document, source.edition, source.clause, source.note) if part
    )


def _flow(said: Any) -> str:
    if isinstance(said, dict):
        return ", ".join(f"{key}: {_flow(value)}" for key, value in said.items())
    return " or ".join(map(_flow, said)) if isinstance(said, list) else str(said)


def _built_in(rule: str, form: str) -> str:
    said = BUILTIN_RULES[rule]
    if form == "json":
        return _json({"rule": rule, "title": said.title, "severity": said.severity, "why": said.why, "fix": said.fix})
    lines = [rule, f"  {said.title}", "", f"  {said.severity}, built in: it cannot be switched off or signed off"]
    for label, text in (("why", said.why), ("fix", said.fix)):
        lines += textwrap.wrap(f"{label:<9}{text}", 78, initial_indent="  ", subsequent_indent=" " * 11)
    return "\n".join(lines) + "\n"


def _many(library: Library, chosen: list[Rule], sources: dict[str, list[str]], standing: str | None) -> Iterator[str]:
    figures = sum(rule.has_figure for rule in chosen)
    yield f"{len(chosen)} rules, {figures} hold a figure against a limit; rules {library.digest}"
    yield ""
    yield f"{'SUBJECT':<22}{'RULES':>6}  " + "".join(f"{stage:>13}" for stage in STAGES)
    for subject in dict.fromkeys(rule.subject for rule in chosen):
        mine = [rule for rule in chosen if rule.subject == subject]
        stages = Counter(rule.stage for rule in mine)
        yield f"{subject:<22}{len(mine):>6}  " + "".join(f"{stages[stage] or '-':>13}" for stage in STAGES)
    yield ""
    counts = Counter(rule.severity for rule in chosen)
    yield "BY SEVERITY  " + ", ".join(f"{severity} {counts[severity]}" for severity in SEVERITIES)
    chains = Counter(library.standing(rule) for rule in chosen)
    yield "BY WEAKEST STANDING  " + ", ".join(f"{name} {chains[name]}" for name in STANDINGS)
    yield ""
    for rule in chosen:
        yield f"{rule.id:<38} {rule.severity:<9} {rule.stage:<13} {library.standing(rule)}"
        yield from textwrap.wrap(rule.title, 78, initial_indent="    ", subsequent_indent="    ")
    if standing is not None:
        yield ""
        yield f"FIGURES, TABLES, SHOP FIGURES AND RULES THAT REST ON {standing.upper()}"
        for name in sources[standing] or ["nothing"]:
            yield f"  {name}"

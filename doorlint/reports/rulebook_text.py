"""The rules as text: coverage, sources by standing, one rule with its examples run."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from doorlint import quantities
from doorlint.rule_listing import BuiltinDetail, FigureDetail, RuleDetail, RuleListing, Shown
from doorlint.rulebook.examples import Example
from doorlint.rulebook.harm import HARMS
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, STAGES, STANDINGS, Rule


def render(shown: Shown, _version: str, _on: str) -> str:
    """The rules that were asked for."""
    if isinstance(shown, BuiltinDetail):
        return _built_in(shown)
    if isinstance(shown, FigureDetail):
        return _figure_rule(shown)
    if isinstance(shown, RuleDetail):
        return _one(shown.library, shown.rule, shown.examples)
    return "\n".join(_many(shown)) + "\n"


def grade_text(rule: Rule) -> str:
    """The severity of a rule, and from which stage it is asked."""
    harm = f" ({rule.harm}: {HARMS[rule.harm][1]})" if rule.harm else ""
    return f"{rule.severity}{harm}, asked from {rule.stage}" + (f", for each {rule.axis}" if rule.axis else "")


def facts_of(library: Library, rule: Rule) -> list[tuple[str, str]]:
    """The facts of a rule, each with its label."""
    statement = rule.statement
    texts = (
        ("check", _flow(statement["check"])), ("when", _flow(statement.get("when", {}))),
        ("with", _flow(statement.get("let", {}))),
        ("says", rule.message), ("why", rule.why), ("safety", rule.safety_note()),
        ("sign-off", "nobody may sign it off" if rule.sign_off == "never" else f"a {rule.sign_off} may sign it off"),
        ("try", ", ".join(rule.tries)), ("shop", _shop_figures(library, rule)), ("source", _cited(rule)),
        ("chain", f"{library.standing(rule)} is the weakest standing in all it rests on"),
        ("digest", rule.digest),
    )  # fmt: skip
    return [(label, text) for label, text in texts if text]


def _one(library: Library, rule: Rule, examples: Iterable[Example]) -> str:
    lines = [rule.id, f"  {rule.title}", "", f"  {grade_text(rule)}"]
    for label, text in facts_of(library, rule):
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


def _cited(rule: Rule) -> str:
    source = rule.source
    return "; ".join(
        part for part in (source.standing, source.document, source.edition, source.clause, source.note) if part
    )


def _flow(data: Any) -> str:
    if isinstance(data, dict):
        return ", ".join(f"{key}: {_flow(value)}" for key, value in data.items())
    return " or ".join(map(_flow, data)) if isinstance(data, list) else str(data)


def _figure_rule(shown: FigureDetail) -> str:
    """The rule that holds a shop figure, with the figure's safe side and bounds."""
    rule, figure = shown.rule, shown.figure
    value = quantities.write(figure.value, figure.dimension, "us")
    safe = f"free toward {figure.safe}" if figure.safe != "none" else "neither side is safe"
    spec, shop = (bound.text(figure.dimension) for bound in (figure.spec, figure.shop))
    lines = [rule.id, f"  {rule.title}", "", f"  {rule.severity}, built in: it holds a spec to the shop's figure"]
    for label, text in (
        ("figure", f"{rule.at} is {value}; {safe}: {figure.reason}"),
        ("bounds", f"a spec may set {spec}, a shop {shop}"),
        ("read by", ", ".join(shown.readers) or "no rule; it says how sure a reading is"),
        ("sign-off", "nobody may sign it off" if rule.sign_off == "never" else "a supervisor may sign it off"),
    ):
        lines += textwrap.wrap(f"{label:<9}{text}", 78, initial_indent="  ", subsequent_indent=" " * 11)
    return "\n".join(lines) + "\n"


def _built_in(shown: BuiltinDetail) -> str:
    rule = shown.rule
    lines = [
        shown.id,
        f"  {rule.title}",
        "",
        f"  {rule.severity}, built in: it cannot be switched off or signed off",
    ]
    for label, text in (("why", rule.why), ("fix", rule.fix)):
        lines += textwrap.wrap(f"{label:<9}{text}", 78, initial_indent="  ", subsequent_indent=" " * 11)
    return "\n".join(lines) + "\n"


def _many(shown: RuleListing) -> Iterator[str]:
    library, chosen, sources, standing = shown
    figures = sum(rule.kind.has_figure for rule in chosen)
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

"""Runs the examples of a rule: a clean sample patched to just inside and just outside the limit."""

from __future__ import annotations

from functools import cache
from typing import Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.resources import folder
from doorlint.rulebook.library import RULE, Library, own_catalog
from doorlint.rulebook.rule import Outcome, Rule
from doorlint.spec import Spec, read
from doorlint.spec.problems import nearest

CLOSE = 0.01
"""How close to its limit an example must be."""


class Example(NamedTuple):
    side: Literal["inside", "outside"]
    holds: bool
    """whether the rule is met inside and short outside"""
    close: bool
    """whether it lies within 1 % of the limit (one apart for a count); true where there is no figure"""
    text: str


@cache
def base(name: str) -> Spec:
    """The clean sample of this name; raises :class:`BrokenRules` when there is none or it cannot be read."""
    samples = folder("sample_specs")
    path = samples / f"{name}.yaml"
    if path.parent != samples or not path.is_file():
        known = [sample.stem for sample in sorted(samples.glob("*.yaml"))]
        fix = nearest(name, known, f"write one of {', '.join(known)}")
        raise BrokenRules(f"examples: base: there is no sample {name}; {fix}")
    spec = read(path.read_bytes(), own_catalog())
    if spec.problems:
        raise BrokenRules(f"examples: base: sample {name} cannot be read: {spec.problems[0].message}")
    return spec


def run_examples(library: Library, rule: Rule) -> list[Example]:
    """Both examples of a rule, checked; raises :class:`BrokenRules` where their sample cannot be used."""
    examples = rule.statement["examples"]
    try:
        sample = base(examples["base"])
    except BrokenRules as error:
        raise BrokenRules(f"rule {rule.id}: {error}") from None
    return [_run(library, rule, sample, side, examples[side]) for side in ("inside", "outside")]


def _run(library: Library, rule: Rule, sample: Spec, side: Any, patch: Any) -> Example:
    spec = sample.patched(patch)
    if spec.problems:
        return Example(side, False, False, f"cannot be read: {spec.problems[0].message}")
    outcomes: tuple[Outcome, ...] = library.job(spec.values, spec.keys).cell(RULE + rule.id)
    wanted = "met" if side == "inside" else "short"
    met = [outcome for outcome in outcomes if outcome.state == "met"]
    short = [outcome for outcome in outcomes if outcome.state == "short"]
    unknown = [outcome for outcome in outcomes if outcome.state == "unknown"]
    holds = bool(met) and not short and not unknown if side == "inside" else bool(short) and not unknown
    telling = min((met or short) if side == "inside" else (short or met), key=_margin, default=None)
    if telling is None:
        why = (
            "; ".join(f"{u.reason} {', '.join(u.missing)} {u.note}".strip() for u in unknown)
            or "the rule does not apply"
        )
        return Example(side, False, False, f"not {wanted}: {why}")
    close = _close(rule, telling)
    return Example(side, holds, close, _words(rule, telling, wanted, close, spec.system))


def _margin(outcome: Outcome) -> float:
    return abs(outcome.margin) if outcome.margin is not None else 0.0


def _close(rule: Rule, outcome: Outcome) -> bool:
    if outcome.margin is None:
        return True
    if rule.dimension == "count":
        return abs(outcome.margin) <= 1
    return abs(outcome.margin) <= CLOSE * max(abs(float(outcome.limit)), abs(float(outcome.value))) * (1 + 1e-6)


def _words(rule: Rule, outcome: Outcome, wanted: str, close: bool, system: quantities.System) -> str:
    text = f"{outcome.state} at {outcome.pointer}"
    if isinstance(outcome.value, float | int) and isinstance(outcome.limit, float | int) and outcome.margin is not None:
        pair = quantities.write_pair(outcome.value, outcome.limit, rule.dimension or "ratio", system)
        text += f": {pair[0]}, limit {pair[1]}"
    if outcome.state != wanted:
        return f"{text}; expected {wanted}"
    apart = "one apart" if rule.dimension == "count" else "within 1 % of each other"
    return text if close else f"{text}; expected {apart}"

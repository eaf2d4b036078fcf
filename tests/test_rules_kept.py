"""Checked rules as they are kept between runs, and what a library says of its rules."""

from __future__ import annotations

import gc
import json
import weakref
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.evaluation import evaluate_spec
from doorlint.figures.graph import Job
from doorlint.remedies.options import adjustments_of
from doorlint.resources import folder
from doorlint.rulebook import files
from doorlint.rulebook.compiled_rule import Condition, SpecRef, compiled_rule_of
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import CODEGEN_FROM, RULE, Library, _loaded, load
from doorlint.rulebook.margin import SLACK, ErrorBound
from doorlint.rulebook.rule import STAGES
from doorlint.uncertainty import outcomes
from doorlint.uncertainty.error_bounds import Bounds

HOUSE = Path(__file__).parent / "house" / "stricter"


def anew(*said: Any) -> Library:
    """The rules loaded whether or not this process has done so before."""
    _loaded.cache_clear()
    return load(*said)


def test_every_plan_reads_back_as_it_was_kept(library: Library) -> None:
    assert library.compiled_rules
    for rule, plan in library.compiled_rules.items():
        kept = compiled_rule_of(json.loads(json.dumps(plan)))
        assert json.dumps(kept) == json.dumps(plan), rule
        assert kept.stage == library.rules[rule].stage
        assert isinstance(kept.at, SpecRef)
        assert kept.at.name == library.rules[rule].at
        assert all(isinstance(one, Condition) for one in kept.when)
        assert all(isinstance(one, SpecRef) for one in kept.wanted)
        assert kept.needs == plan.needs == library.rules[rule].needs


@pytest.mark.parametrize(
    ("rule", "subject", "figure"),
    [("hinges.rising", "hinges", False), ("track.rise-most", "track", True), ("opening.floor-known", "opening", False)],
)
def test_a_rule_knows_its_subject_and_whether_it_measures(
    rule: str, subject: str, figure: bool, library: Library
) -> None:
    assert (library.rules[rule].subject, library.rules[rule].kind.has_figure) == (subject, figure)


def test_every_check_against_a_limit_has_a_figure(library: Library) -> None:
    for rule in library.rules.values():
        assert rule.kind.has_figure is bool({"at_least", "at_most", "between", "near"} & rule.statement["check"].keys())


def job(library: Library, sample: str) -> Job:
    spec = base(sample)
    return library.job(spec.values, spec.keys)


def test_kept_rules_say_what_they_said_and_are_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    house = tmp_path / "stricter"
    house.mkdir()
    (house / "shop.yaml").write_bytes((HOUSE / "shop.yaml").read_bytes())
    first = anew((house,), tmp_path / "cache")
    base("hook-up-from-the-angle")  # a sample is read with the library's own catalog, once in a process

    def read(*_: object) -> files.Pack:
        raise BrokenRules("read again")

    monkeypatch.setattr(files, "pack_of", read)
    second = anew((house,), tmp_path / "cache")
    assert second.digest == first.digest
    assert list(second.rules) == list(first.rules)
    assert [rule.house for rule in second.rules.values()] == [rule.house for rule in first.rules.values()]
    assert json.dumps(dict(second.compiled_rules)) == json.dumps(dict(first.compiled_rules))
    for stage in STAGES:
        found = [list(library.outcomes(job(library, "hook-up-from-the-angle"), stage)) for library in (first, second)]
        assert repr(found[0]) == repr(found[1])
    (house / "shop.yaml").write_bytes((HOUSE / "shop.yaml").read_bytes() + b"# changed\n")
    with pytest.raises(BrokenRules, match="read again"):
        anew((house,), tmp_path / "cache")


def test_a_later_stage_asks_what_the_earlier_ones_ask_and_more(library: Library) -> None:
    asked = [library.asked(stage) for stage in STAGES]
    assert all(set(earlier) < set(later) for earlier, later in pairwise(asked))
    assert asked[-1] == list(library.compiled_rules)
    for number, stage in enumerate(STAGES):
        rules = library.in_force(stage)
        assert [rule.id for rule in rules] == asked[number]
        assert {STAGES.index(library.compiled_rules[rule.id].earliest) for rule in rules} == set(range(number + 1))
        assert {STAGES.index(library.compiled_rules[rule].stage) for rule in library.due(stage)} == set(
            range(number + 1)
        )


@pytest.mark.parametrize("sample", ["tower-commissioned", "hook-up-from-the-angle"])
def test_what_is_held_is_told_in_three_heaps_few_jobs_or_many(sample: str, monkeypatch: pytest.MonkeyPatch) -> None:
    library, stage = anew(), "commissioned"
    spares = {RULE + rule.id: ErrorBound(0.01, 0.02) for rule in library.rules.values() if rule.kind.has_figure}
    every = list(library.outcomes(job(library, sample), stage))
    met = [one for one in every if one.state == "met"]
    slim = [
        one for one in met
        if RULE + one.rule in spares and one.margin is not None and one.margin <= 0.01 + 0.02 * abs(one.value)
        and one.margin > SLACK * max(abs(one.value), abs(one.limit))  # who gives the very limit means it so
    ]  # fmt: skip
    assert 0 < len(slim) < len(met)

    monkeypatch.setattr(outcomes, "bounds", lambda *_: Bounds(spares, {}, spares))

    def held() -> tuple[int, list[str], list[str]]:
        found = outcomes.sort_outcomes(library, job(library, sample), stage)
        return found.met, sorted(map(repr, found.open)), sorted(map(repr, found.close))

    wanted = len(met), sorted(map(repr, [one for one in every if one.state != "met"])), sorted(map(repr, slim))
    assert held() == wanted
    library.expect(CODEGEN_FROM + 1)
    library.expect(1)
    assert held() == wanted
    assert "program" in vars(library)


def test_where_a_figure_comes_from(library: Library) -> None:
    def told(name: str) -> tuple[str, str] | None:
        source = library.source_of(name)
        return None if source is None else (source.standing, source.document)

    assert told("practice.tape") == ("practice", "")
    assert told("table.screw_threads") == ("published", "ASTM A307")
    assert told("mount.load_set") == ("published", "NDS")
    assert (told("room.headroom"), told("room"), told("practice.gone")) == (None, None, None)
    chain = list(library.sources(["mount.load_set"]))
    assert chain[0].document == "NDS"
    assert {source.standing for source in chain} > {"published", "derived", "practice"}  # what stands behind it
    assert list(library.sources(["mount.load_set", "mount.fixing.count", "mount.load_set"])) == chain


@pytest.mark.slow
def test_a_library_that_nobody_uses_any_more_is_freed() -> None:
    """An editor loads the rules again after every change to a rule file; each library takes 8 MB."""
    gone = []
    for _ in range(2):
        made = Library([("", files.load(folder("rules")))])
        for sample in ("tower-order", "torsion-order"):
            assert evaluate_spec(base(sample), "", made).record.met > 100
        assert adjustments_of(made)
        gone.append(weakref.ref(made))
    del made
    gc.collect()
    assert [kept() for kept in gone] == [None, None]

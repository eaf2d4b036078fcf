"""Shop figures: the safe side and the bounds that each declares, and what comes of a spec or a shop that moves one."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from doorlint.errors import BrokenRules
from doorlint.evaluation import evaluate
from doorlint.figures.graph import Job
from doorlint.findings import SpecReview
from doorlint.rulebook.examples import base
from doorlint.rulebook.files import Contents, load, pack_of
from doorlint.rulebook.library import RULE, Library, own_catalog
from doorlint.rulebook.library import load as load_library
from doorlint.rulebook.practice import Practice, Range, range_of, rule_id
from doorlint.rulebook.rule import SEVERITIES
from doorlint.spec import read
from doorlint.verdict import Policy, present
from tests.shared import DAY, ROOT, SAMPLES

DECLARATIONS = load(ROOT / "rules").practice
FIGURES = sorted(DECLARATIONS)
STEPS = (0.002, 0.05, 0.3, 1.0, 3.0)
"""How far a figure is moved toward its safe side, in shares of itself."""


@pytest.fixture(scope="module")
def jobs(library: Library) -> dict[str, list[Job]]:
    """The examples of each rule, just inside and just outside its limit, by its id, and the samples by none."""
    found: dict[str, list[Job]] = {"": []}
    for path in SAMPLES:
        spec = read(path.read_bytes(), own_catalog())
        found[""].append(library.job(spec.values, spec.keys))
    for rule in library.rules.values():
        said = rule.statement["examples"]
        specs = [base(said["base"]).patched(said[side]) for side in ("inside", "outside")]
        found[rule.id] = [library.job(spec.values, spec.keys) for spec in specs if not spec.problems]
    return found


def short(job: Job, rules: list[str]) -> set[tuple[str, str, str | None]]:
    cells = [job.cell(RULE + rule) for rule in rules]
    return {(o.rule, o.pointer, o.key) for outcomes in cells for o in outcomes if o.state == "short"}


def moved(shop: Practice) -> Iterator[float]:
    """Values on the safe side of a figure."""
    for step in STEPS:
        value = shop.value * (1 + step) if shop.safe == "more" else shop.value / (1 + step)
        yield round(value) if shop.dimension == "count" else value


@pytest.mark.parametrize("key", [key for key in FIGURES if DECLARATIONS[key]["safe"] != "none"])
def test_a_figure_moved_to_its_safe_side_clears_nothing(key: str, library: Library, jobs: dict[str, list[Job]]) -> None:
    shop = library.practice[key]
    rules = [rule.id for rule in library.readers(f"practice.{key}")]
    for job in jobs[""] + [job for rule in rules for job in jobs[rule]]:
        before = short(job, rules)
        for value in moved(shop):
            assert before <= short(job.with_changes({f"practice.{key}": value}), rules)


def test_some_rule_tells_which_side_of_a_figure_is_safe(library: Library, jobs: dict[str, list[Job]]) -> None:
    """The test above would hold for a figure that moves nothing: on its other side, most figures clear a finding."""
    idle = []
    for key, shop in library.practice.items():
        if shop.safe == "none":
            continue
        rules = [rule.id for rule in library.readers(f"practice.{key}")]
        values = [shop.value * share for share in ((0.3, 0.6, 0.9) if shop.safe == "more" else (1.1, 1.5, 3))]
        if not any(
            short(job, rules) - short(job.with_changes({f"practice.{key}": value}), rules)
            for job in (job for rule in rules for job in jobs[rule])
            for value in values
        ):
            idle.append(key)
    assert set(idle) <= IDLE


IDLE = {
    "cable_lean", "hoist_weight_band",  # one of several figures of a limit
    "approval_days", "approval_share",  # say how long and how far a sign-off holds
    "tape", "laser", "drawing",  # say how sure a reading is; no rule asks for them
    "maker_weight_band", "hoist_under_ceiling", "crossing_reach",  # one of several figures of a limit
    "hanger_last_most", "opening_widest", "opening_highest", "lap_most", "door_lightest",
    "jamb_clearance_least", "closed_gap_least", "hardware_height", "stop_band",  # the other end of what examples try
}  # fmt: skip
"""Figures whose other side clears no example of the library: their declarations rest on reading the rule alone."""


@pytest.mark.parametrize("key", FIGURES)
def test_a_figure_lies_within_its_bounds(key: str, library: Library) -> None:
    shop = library.practice[key]
    assert shop.spec.holds(shop.value)
    assert all(end is None or shop.shop.holds(end) for end in shop.spec)
    ends = {"more": (True, False), "less": (False, True), "none": (True, True)}[shop.safe]
    for bound in (shop.spec, shop.shop):
        assert (bound.least is not None, bound.most is not None) == ends
        if shop.source.standing == "published":
            assert shop.value in bound
    assert shop.reason


def reviewed(sample: str, practice: str, library: Library, on: str = DAY) -> SpecReview:
    text = (ROOT / "sample_specs" / f"{sample}.yaml").read_text("utf-8") + f"practice: {{{practice}}}\n"
    record, spec, job = evaluate(text, library)
    return present(record, library, Policy(on), "d.yaml", spec, job)


@pytest.mark.parametrize(
    ("practice", "bound"),
    [
        ("hanger_stress: 900 GPa", "a spec may set at most 22000 psi"),
        ("safety_wraps: 0 turns", "a spec may set at least 1 turns"),
        ("diagonal_agreement: 10 m", "a spec may set at most 1 1/2 in"),
        ("top_roller: 6 in", "a spec may set 2 in to 5 in"),
        ("bolt_stress: 20.1 ksi", "a spec may set at most 20000 psi"),
    ],
)
def test_a_spec_beyond_its_bound_is_refused(practice: str, bound: str, library: Library) -> None:
    review = reviewed("tower-install", practice, library)
    assert review.verdict == "unreadable"
    key, _, value = practice.partition(": ")
    (finding,) = review.findings
    assert finding.rule == "spec.bound"
    assert finding.pointer == f"/practice/{key}"
    assert finding.message == f"found {value} for {key}; {bound}; take the line out"


@pytest.mark.parametrize(
    ("practice", "severity", "sign_off", "verdict"),
    [
        ("hanger_stress: 21 ksi", "error", "never", "hold"),
        ("top_roller: 3 1/2 in", "error", "never", "hold"),
        ("hanger_span: 80 in", "warning", "never", "clear"),
        ("bracket_spacing: 28 in", "warning", "supervisor", "clear"),
    ],
)
def test_a_loosened_figure_is_a_finding(
    practice: str, severity: str, sign_off: str, verdict: str, library: Library
) -> None:
    review = reviewed("tower-install", practice, library)
    key = practice.partition(":")[0]
    (finding,) = [found for found in review.findings if found.pointer == f"/practice/{key}"]
    assert (finding.rule, finding.severity, finding.sign_off) == (rule_id(key), severity, sign_off)
    assert review.verdict == verdict


@pytest.mark.parametrize("practice", ["hanger_stress: 12 ksi", "lap_least: 1 in", "top_roller: 3 in", "tape: 1/4 in"])
def test_the_safe_side_is_free(practice: str, library: Library) -> None:
    key = practice.partition(":")[0]
    assert not [f for f in reviewed("tower-install", practice, library).findings if f.pointer == f"/practice/{key}"]


def test_a_loosened_figure_is_as_grave_as_what_it_moves(library: Library) -> None:
    for key in library.practice:
        rule = library.all_rules[rule_id(key)]
        moved_rules = library.readers(f"practice.{key}")
        assert rule.severity == min([r.severity for r in moved_rules] or ["advisory"], key=SEVERITIES.index)
        assert (rule.sign_off == "never") == any(r.sign_off == "never" for r in moved_rules)


def shop(tmp_path: Path, figure: str) -> Path:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "practice.yaml").write_text(f"practice:\n  {figure}\n", "utf-8")
    return tmp_path


def test_a_shop_is_held_to_its_own_bound(tmp_path: Path) -> None:
    figure = "hanger_stress: {title: t, value: 25 ksi, dimension: stress, standing: practice, note: n}"
    house = shop(tmp_path, figure)
    said = f"{house}/tables/practice.yaml:2:3: found 25000 psi for hanger_stress; a shop may set at most 24000 psi"
    with pytest.raises(BrokenRules, match=f"^{re.escape(said)}"):
        load_library((house,))


def test_a_spec_may_say_what_the_shop_has_said(tmp_path: Path) -> None:
    figure = "hanger_stress: {title: t, value: 23 ksi, dimension: stress, standing: practice, note: n}"
    library = load_library((shop(tmp_path, figure),))
    assert reviewed("tower-install", "hanger_stress: 23 ksi", library).verdict == "clear"
    assert "at most 23000 psi" in reviewed("tower-install", "hanger_stress: 23.1 ksi", library).findings[0].message


@pytest.mark.parametrize("part", ["safe: less", "spec: 900 GPa", "shop: 900 GPa", "reason: why not"])
def test_a_shop_does_not_declare(part: str, tmp_path: Path) -> None:
    figure = f"hanger_stress: {{title: t, value: 20 ksi, dimension: stress, standing: practice, {part}}}"
    with pytest.raises(BrokenRules, match=f"found {part.partition(':')[0]} in a house-rule folder"):
        load_library((shop(tmp_path, figure),))


FIGURE = {
    "title": "t", "value": "1 in", "dimension": "length", "standing": "practice", "safe": "less", "spec": "2 in",
    "shop": "3 in", "reason": "r",
}  # fmt: skip


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"safe": None}, "found no safe; expected more, less or none: the side"),
        ({"spec": None}, "found no spec; expected the loosest value that a spec may set"),
        ({"shop": None}, "found no shop"),
        ({"reason": None}, "found no reason; expected why that side is the safe one"),
        ({"safe": "none"}, "expected two values, lowest and highest, since the safe side is none"),
        ({"spec": ["1 in", "2 in"]}, "expected one value, the loosest, since the safe side is less"),
        ({"spec": "2"}, "without a unit"),
        ({"safe": "none", "spec": ["2 in", "1 in"], "shop": ["1 in", "2 in"]}, "expected the lowest first"),
        ({"spec": "0.5 in"}, "the figure itself, 1 in, lies beyond this bound"),
        ({"safe": "more"}, "the figure itself, 1 in, lies beyond this bound"),
        ({"spec": "4 in"}, "a spec may move the figure further than the shop"),
        (
            {"standing": "published", "document": "d", "edition": "e", "clause": "c"},
            "a published figure is not loosened; write 1 in",
        ),
        ({"safe": "sideways"}, "found sideways; expected more, less, none"),
    ],
)
def test_a_figure_of_the_library_that_is_not_declared_is_refused(said: dict[str, object], why: str) -> None:
    figure = {key: value for key, value in {**FIGURE, **said}.items() if value is not None}
    data = json.dumps({"practice": {"joint_gap": figure}}).encode()
    with pytest.raises(BrokenRules, match=why):
        pack_of(Contents("rules", [("tables/practice.yaml", data)]))


def test_bounds_are_read_and_told() -> None:
    assert range_of("more", "1 in", "length", False) == Range(pytest.approx(0.0254), None)
    with pytest.raises(ValueError, match="more than zero"):
        range_of("more", "0 in", "length", True)
    assert Range(0.0254, None).text("length") == "at least 1 in"

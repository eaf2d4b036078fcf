"""Two house-rule folders: rules and shop figures of a shop's own over the library."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.rulebook.examples import base, run_examples
from doorlint.rulebook.library import RULE, Library, load

HOUSE = Path(__file__).parent / "house"
STRICTER, METRIC = load((HOUSE / "stricter",)), load((HOUSE / "metric",))
OWN = [(house, rule.id) for house in (STRICTER, METRIC) for rule in house.rules.values() if rule.house]


def states(library: Library, sample: str, patch: dict[str, Any], rule: str) -> set[str]:
    spec = base(sample).patched(patch)
    assert not spec.problems
    return {outcome.state for outcome in library.job(spec.values, spec.keys).cell(RULE + rule)}


@pytest.mark.parametrize(("house", "rule"), OWN, ids=[rule for _, rule in OWN])
def test_examples_of_a_house_stand_at_the_boundary(house: Library, rule: str) -> None:
    for example in run_examples(house, house.rules[rule]):
        assert example.holds, f"{example.side}: {example.text}"
        assert example.close, f"{example.side} is more than 1 % from the limit: {example.text}"


def test_a_house_adds_to_the_library(library: Library) -> None:
    assert {rule for house, rule in OWN if house is STRICTER} == {
        "shop.sections-weighed", "shop.headroom-to-spare", "shop.site-named"
    }  # fmt: skip
    assert library.rules.keys() < STRICTER.rules.keys()
    assert STRICTER.rules["shop.site-named"].house == "stricter"
    assert STRICTER.digest != METRIC.digest != library.digest


@pytest.mark.parametrize(
    ("house", "sample", "patch", "rule"),
    [
        (
            STRICTER,
            "survey-clean",
            {"opening": {"diagonal": {"rising": "187.4 in", "falling": "187 in"}}},
            "opening.square",
        ),
        (STRICTER, "tower-commissioned", {"as_built": {"closing_gap": "0.2 in"}}, "record.closing-gap"),
        (STRICTER, "tower-order", {"room": {"side_right": "21.5 in"}}, "room.side-tower"),
        (METRIC, "tower-order-metric", {"door": {"width": "3545 mm"}}, "fit.lap"),
        (METRIC, "tower-order-metric", {"track": {"rise": "20.5 mm/m"}}, "track.rise-most"),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_a_house_sets_shop_figures_of_its_own(
    house: Library, sample: str, patch: dict[str, Any], rule: str, library: Library
) -> None:
    assert states(library, sample, patch, rule) == {"met"}
    assert states(house, sample, patch, rule) == {"short"}


def test_a_house_figure_moves_what_is_worked_out(library: Library) -> None:
    spec = base("tower-order-metric").patched({"track": {"vertical_length": None}})
    usual, works = (house.job(spec.values, spec.keys).cell("track.tangent_height") for house in (library, METRIC))
    assert usual == pytest.approx(3.0 - 0.1524)
    assert works == pytest.approx(2.85)


def test_a_house_cannot_set_a_figure_that_no_shop_has(tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "practice.yaml").write_text(
        "practice:\n  luck: {title: Luck, value: 1 in, dimension: length, standing: practice}\n"
    )
    with pytest.raises(BrokenRules, match="luck is no shop figure"):
        load((tmp_path,))


def test_a_house_cannot_take_an_id_of_the_library(tmp_path: Path) -> None:
    text = (HOUSE.parent.parent / "rules" / "hinges.yaml").read_text("utf-8")
    (tmp_path / "hinges.yaml").write_text(text, "utf-8")
    with pytest.raises(BrokenRules, match=r"rule hinges\.rising is there twice"):
        load((tmp_path,))


def test_a_column_is_called_as_a_formula_can_name_it(tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "own.yaml").write_text(
        "table: own\ntitle: t\nsource: {standing: practice, note: n}\noutside: o\n"
        "columns: {if: length, room: length}\nmatch: {if: exact}\nrows: [[1 in, 2 in]]\n"
    )
    (tmp_path / "shop.yaml").write_text(
        "- id: shop.own\n  title: t\n  severity: warning\n  from: survey\n"
        "  let: {own: {table: own, column: room, if: room.headroom}}\n  check: {value: own, at_least: 1 in}\n"
        "  message: '{value} {limit}'\n  why: w\n  safety: s\n  sign_off: supervisor\n"
        "  source: {standing: practice, note: n}\n  examples: {base: survey-clean, inside: {}, outside: {}}\n"
    )
    with pytest.raises(BrokenRules, match=r"rule shop\.own: let: a column cannot be called if"):
        load((tmp_path,))

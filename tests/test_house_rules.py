"""Two house-rule folders: rules and shop figures of a shop's own over the library."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from shared import OWN_TABLE

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
    with pytest.raises(BrokenRules, match=r"/hinges\.yaml:\d+:3: rule hinges\.rising is there twice"):
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
    with pytest.raises(BrokenRules, match=r"/tables/own\.yaml:6:9: the column if cannot be looked up by"):
        load((tmp_path,))


SAID = """\
- id: shop.headroom
  title: t
  severity: warning
  from: survey
  check: {value: room.headroom, at_least: 1 in}
  message: m
  why: w
  safety: s
  sign_off: supervisor
  source: {standing: practice, note: n}
  examples: {base: survey-clean, inside: {}, outside: {}}
"""
PRACTICE = "practice:\n  hanger_span: {title: t, value: 6 ft, dimension: length, standing: practice}\n"


@pytest.mark.parametrize(
    ("name", "text", "before", "after", "message"),
    [
        ("shop.yaml", SAID, "- id", "- [", ":1:4: found a bracket, brace or comma where"),
        (
            "shop.yaml",
            SAID,
            "shop.h",
            "store.h",
            ":1:3: found store.headroom; in this file .* write shop.headroom, or move",
        ),
        ("shop.yaml", SAID, "  why: w\n", "", ":1:3: /0: found no why; expected .*; add a line `why: ...`"),
        (
            "shop.yaml",
            SAID,
            "severity: warning",
            "severity: bad",
            ":3:3: /0/severity: found bad; expected error, warning",
        ),
        (
            "shop.yaml",
            SAID,
            "at_least",
            "at_leest",
            ":5:33: /0/check/at_leest: found the key at_leest; .*; write at_least",
        ),
        ("shop.yaml", SAID, "1 in}", "1 in, at_most: 2 in}", ":5:3: /0/check: found the keys .*; expected value with"),
        (
            "shop.yaml",
            SAID,
            "t\n",
            "[]\n",
            ":2:3: /0/title: found a list of 0; expected text; write text after the colon",
        ),
        (
            "tables/practice.yaml",
            PRACTICE,
            "hanger_span",
            "hanger_spam",
            ":2:3: hanger_spam is no .*; write hanger_span",
        ),
        ("tables/practice.yaml", PRACTICE, "6 ft", "6", ":2:27: found 6 without a unit; expected a length; write 6 in"),
        (
            "tables/practice.yaml",
            PRACTICE,
            "6 ft",
            "0 ft",
            ":2:27: found 0 ft; expected a length of more than zero; check",
        ),
        (
            "tables/practice.yaml",
            PRACTICE,
            "length",
            "weight",
            ":2:40: found weight; expected length; write `dimension",
        ),
        (
            "tables/own.yaml",
            OWN_TABLE,
            "table: own",
            "table: other",
            ":1:1: found table other; name the file after it: other.yaml",
        ),
        ("tables/own.yaml", OWN_TABLE, "length", "lenght", ":5:21: there is no dimension lenght; write length"),
        ("tables/own.yaml", OWN_TABLE, "[1, 1 in]", "[1]", ":8:5: this row has 1 values; expected 2: a, b"),
        ("tables/own.yaml", OWN_TABLE, "[1, 1 in]", "[1, 1 lb]", ":8:9: found 1 lb, a weight; expected a length;"),
        ("tables/own.yaml", OWN_TABLE, "match: {a", "match: {c", ":6:9: there is no column c; expected one of a, b"),
    ],
)
def test_what_is_wrong_is_said_with_folder_file_line_and_column(
    name: str, text: str, before: str, after: str, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "the-shop" / name
    path.parent.mkdir(parents=True)
    assert before in text
    path.write_text(text.replace(before, after, 1))
    with pytest.raises(BrokenRules, match=f"^the-shop/{name}{message}"):
        load(("the-shop",))


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("room.headroom", "room.hedroom", "neither a spec value nor a figure; write room.headroom"),
        ("1 in", "1 lb", "found 1 lb, a weight; expected a length"),
        ("  check", "  each: hangar\n  check", "hangar is no axis of the spec; write one of approval, bearing, box"),
        ("  check", "  at: room.hedroom\n  check", "no spec value or part of the spec; write room.headroom"),
        ("  check", "  when: {room.hedroom: given}\n  check", "when: .* is no spec value; write room.headroom"),
        (
            "  check",
            "  let: {g: {table: rope-strenght, column: a}}\n  check",
            "no table rope-strenght; write rope-strength",
        ),
        ("  safety: s\n", "", "an error says in `safety` what to do first; add a line"),
        ("  check", "  when: {track.lift: standart}\n  check", "track.lift is never standart; write standard"),
        (
            "  check",
            "  when: {track.lift: [high, upright]}\n  check",
            "track.lift is never upright; write one of .*high",
        ),
        (
            "{value: room.headroom, at_least: 1 in}",
            "{value: track.lift, one_of: [high, standart]}",
            "track.lift is never standart; write standard",
        ),
        (
            "  check",
            "  when: {tower: [left]}\n  check",
            "tower has no single value; ask whether it is `given` or `absent`",
        ),
        (
            "  check",
            "  each: section\n  when: {door.sections: [s1]}\n  check",
            "door.sections has no single value; ask whether it is `given` or `absent`",
        ),
    ],
)
def test_a_broken_rule_is_named_with_what_to_write(before: str, after: str, message: str, tmp_path: Path) -> None:
    text = SAID.replace("warning", "error").replace("supervisor", "never")
    (tmp_path / "shop.yaml").write_text(text.replace(before, after, 1))
    with pytest.raises(BrokenRules, match=f"shop.headroom: .*{message}"):
        load((tmp_path,))


def test_a_shop_figure_keeps_to_the_range_that_a_spec_keeps_to(tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "practice.yaml").write_text(
        "practice:\n  spring_divisor: {title: t, value: 0.5, dimension: ratio, standing: practice}\n"
    )
    with pytest.raises(BrokenRules, match=r":2:30: found 0.5; expected a number from 1 to 1000000; check the number"):
        load((tmp_path,))

"""How many files a rule folder may have and how much may stand in them, and what its digest tells."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from doorlint.errors import BrokenRules
from doorlint.rulebook.files import MOST_BYTES, MOST_FILES, Contents, contents, digest_of, load, pack_of
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import LIMIT

STOCK = b"stock:\n- {dial: it, kind: part, say: it, set: track.radius, to: [14 in]}\n"


def test_a_folder_holds_so_many_files_and_no_more(tmp_path: Path) -> None:
    assert MOST_FILES == 500
    for number in range(MOST_FILES):
        (tmp_path / f"{number}.yaml").touch()
    (tmp_path / "read.me").touch()
    assert len(contents(tmp_path)) == MOST_FILES
    (tmp_path / "one-more.yaml").touch()
    with pytest.raises(BrokenRules, match=r"found 501 rule files; expected 1 to 500 named \*.yaml"):
        contents(tmp_path)


def test_a_folder_holds_so_many_bytes_and_no_more(tmp_path: Path) -> None:
    assert MOST_BYTES == 8 * 1024 * 1024
    for number in range(8):
        (tmp_path / f"{number}.yaml").write_bytes(b"#" * 1024 * 1024)
    assert sum(map(len, contents(tmp_path).values())) == MOST_BYTES
    (tmp_path / "9.yaml").write_bytes(b"#")
    with pytest.raises(BrokenRules, match="found more than 8 MiB of rules"):
        contents(tmp_path)


def test_of_a_file_no_more_is_read_than_tells_that_it_is_too_long(tmp_path: Path) -> None:
    (tmp_path / "long.yaml").write_bytes(b"#" * 3 * LIMIT)
    assert len(contents(tmp_path)["long.yaml"]) == LIMIT + 1


def test_tables_are_read_by_their_place_and_nothing_deeper(tmp_path: Path) -> None:
    (tmp_path / "tables" / "deeper").mkdir(parents=True)
    for name in ("b.yaml", "a.yaml", "tables/own.yaml", "tables/deeper/no.yaml", "tables/read.me"):
        (tmp_path / name).write_text(name)
    assert contents(tmp_path) == {"a.yaml": b"a.yaml", "b.yaml": b"b.yaml", "tables/own.yaml": b"tables/own.yaml"}


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("shop.yml", "shop.yaml"),
        ("SHOP.YAML", "SHOP.yaml"),
        ("shop.Yml", "shop.yaml"),
        ("tables/own.yml", "tables/own.yaml"),
    ],
)
def test_a_rule_file_is_not_passed_over_for_its_ending(name: str, meant: str, tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    for file in ("good.yaml", name):
        (tmp_path / file).touch()
    said = f"{tmp_path}/{name}: found a rule file that would be passed over; name it {meant}, or take it out of the"
    with pytest.raises(BrokenRules, match=f"^{re.escape(said)}"):
        contents(tmp_path)


@pytest.mark.parametrize("hidden", [".#shop.yaml", ".shop.yaml", ".shop.yml", "tables/.#own.yaml"])
def test_a_hidden_file_is_none_of_rules(hidden: str, tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "shop.yaml").touch()
    (tmp_path / hidden).symlink_to("nobody@nowhere")  # as an editor marks a file that it has open
    assert contents(tmp_path) == {"shop.yaml": b""}


def test_a_folder_without_rules_is_none_of_rules(tmp_path: Path) -> None:
    with pytest.raises(BrokenRules, match="found 0 rule files"):
        contents(tmp_path)
    with pytest.raises(BrokenRules, match="cannot be read: No such file or directory"):
        contents(tmp_path / "gone")


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").mkdir()
    with pytest.raises(BrokenRules, match=r"own\.yaml: cannot be read: not an ordinary file; fix it, or take it out"):
        contents(tmp_path)


def test_the_library_has_rules_and_a_shop_need_have_none(tmp_path: Path) -> None:
    (tmp_path / "adjustments.yaml").write_bytes(STOCK)
    assert load(tmp_path, house=True).rules == []
    with pytest.raises(BrokenRules, match="found no rules"):
        load(tmp_path)


def test_a_digest_changes_with_name_content_and_their_border() -> None:
    folders = [{"a.yaml": b"x"}, {"b.yaml": b"x"}, {"a.yaml": b"y"}, {"a.yaml": b"x", "b.yaml": b""}, {"a.yaml": b""}]
    digests = {digest_of(Contents("shop", folder.items())) for folder in folders}
    assert len(digests) == len(folders)
    assert {len(digest) for digest in digests} == {16}
    assert pack_of(Contents("shop", [("adjustments.yaml", STOCK)]), house=True).digest == digest_of(
        {"adjustments.yaml": STOCK}
    )


TABLE = {
    "table": "own", "title": "t", "source": {"standing": "practice", "note": "n"}, "outside": "o",
    "columns": {"kind": "text", "size": "length"}, "match": {"kind": "exact"},
    "rows": [["wood", "1 in"], ["1 in", "2 in"]],
}  # fmt: skip


def table(**said: object) -> Contents:
    return Contents("shop", [("tables/own.yaml", json.dumps({**TABLE, **said}).encode())])


def test_a_table_may_have_words_and_measures() -> None:
    (made,) = pack_of(table(), house=True).tables
    assert made["rows"] == [["wood", pytest.approx(0.0254)], ["1 in", pytest.approx(0.0508)]]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"match": {"kind": "between"}}, "found between; kind is text; write exact"),
        ({"columns": {"kind": "text", "size": "txet"}}, "there is no dimension txet; write text"),
        ({"columns": {"kind": "text", "size": "lenght"}}, "there is no dimension lenght; write length"),
        ({"rows": [["wood", "1 lb"]]}, "found 1 lb, a weight; expected a length"),
        ({"rows": [["wood"]]}, "this row has 1 values; expected 2: kind, size"),
        ({"match": {"colour": "exact"}}, "there is no column colour; expected one of kind, size"),
        ({"table": "other"}, "found table other; name the file after it: other.yaml"),
    ],
)
def test_a_table_that_cannot_be_looked_up_is_refused(said: dict[str, object], why: str) -> None:
    with pytest.raises(BrokenRules, match=re.escape(why)):
        pack_of(table(**said), house=True)


def shop(key: str, value: str) -> Contents:
    dimension = VOCABULARY.leaves[f"practice.{key}"].numeric_dimension
    said = {"title": "t", "value": value, "dimension": dimension, "standing": "practice", "note": "n"}
    return Contents("shop", [("tables/practice.yaml", json.dumps({"practice": {key: said}}).encode())])


RANGES = [
    (term.name.removeprefix("practice."), term.schema["minimum"], term.schema["maximum"])
    for term in VOCABULARY.leaves.values()
    if term.name.startswith("practice.") and {"minimum", "maximum"} <= term.schema.keys()
]


@pytest.mark.parametrize(("key", "least", "most"), RANGES)
def test_a_shop_figure_may_stand_at_either_end_of_its_range(key: str, least: float, most: float) -> None:
    for value in (least, most):
        assert pack_of(shop(key, str(value)), house=True).practice[key]["value"] == value
    for value in (least - 1, most + 1):
        with pytest.raises(BrokenRules, match=r"found .*; expected "):
            pack_of(shop(key, str(value)), house=True)


def test_there_are_shop_figures_with_a_range() -> None:
    assert RANGES


def test_the_former_name_of_the_adjustments_is_refused_with_the_new_one() -> None:
    with pytest.raises(BrokenRules, match=r"shop/stock\.yaml: this file is now called adjustments\.yaml; rename it"):
        pack_of(Contents("shop", [("stock.yaml", STOCK)]), house=True)


@pytest.mark.parametrize(
    ("house", "key", "says"),
    [
        (True, "own_figure", "`doorlint blank --schema` lists them under practice"),
        (True, "joint_gapp", "write joint_gap"),
        (
            False,
            "own_figure",
            "of schemas/job-spec.schema.json the key own_figure",
        ),
    ],
)
def test_a_shop_figure_that_the_schema_does_not_list_says_where_it_belongs(house: bool, key: str, says: str) -> None:
    said = {"title": "t", "value": "1 in", "dimension": "length", "standing": "practice", "note": "n"}
    data = json.dumps({"practice": {key: said}}).encode()
    with pytest.raises(BrokenRules, match=rf"^shop/tables/practice\.yaml:1:\d+: {key} is no shop figure") as refused:
        pack_of(Contents("shop", [("tables/practice.yaml", data)]), house=house)
    assert says in str(refused.value)

"""What was kept between runs and is forged: nothing of it reaches source text, and it counts as not there."""

from __future__ import annotations

import json
import zlib
from pathlib import Path
from typing import Any

import pytest

from doorlint.errors import BrokenRules
from doorlint.rulebook import library as rules
from doorlint.rulebook.compiled_rule import compiled_rule_of

EVIL = "__import__('os').abort()"
LIBRARY = rules.load()
PLAN: list[Any] = json.loads(json.dumps(LIBRARY.compiled_rules["hangers.span"]))
FIELDS = list(LIBRARY.compiled_rules["hangers.span"]._fields)


def forged(**changes: Any) -> list[Any]:
    return [changes.get(name, value) for name, value in zip(FIELDS, PLAN, strict=True)]


ARGUMENT = PLAN[FIELDS.index("arguments")][0]


@pytest.mark.parametrize(
    "changes",
    [
        {"axis": EVIL}, {"axis": "room"}, {"stage": EVIL}, {"kind": 3}, {"dimension": ["x"]}, {"digest": None},
        {"reads": {EVIL: "yes"}}, {"when": [[EVIL, EVIL, True]]}, {"when": [["tower", True, EVIL]]},
        {"arguments": [[*ARGUMENT[:3], EVIL, ARGUMENT[4]]]}, {"arguments": [[*ARGUMENT[:2], EVIL, *ARGUMENT[3:]]]},
        {"arguments": [[5, *ARGUMENT[1:]]]}, {"sides": [EVIL, 1.0]}, {"sides": [[EVIL, 0], 1.0]}, {"sides": [99, 1.0]},
        {"sides": [["look", 0, EVIL, {EVIL: 0}], 1.0]}, {"sides": [["look", 0, "x", {"class": 0}], 1.0]},
        {"sides": [True, 1.0]}, {"at": [EVIL, 3, False]}, {"wanted": [["a", "b", EVIL]]},
    ],
)  # fmt: skip
def test_a_forged_rule_is_none(changes: dict[str, Any]) -> None:
    assert compiled_rule_of(PLAN)
    with pytest.raises((TypeError, ValueError)):
        compiled_rule_of(forged(**changes))


def anew(folder: Path) -> rules.Library:
    rules._loaded.cache_clear()
    return rules.load((), folder)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The book that a run keeps, and what it says."""
    folder = tmp_path_factory.mktemp("cache")
    anew(folder)
    (kept,) = [path for path in folder.iterdir() if path.name.startswith("rulebook-")]
    return kept, kept.read_text("utf-8")


@pytest.mark.parametrize(
    "book",
    [
        "", "\n\n", "{packs}\n{{}}{{\n{figures}\n{said}", "{packs}\n{stage}\n{figures}\n{said}",
        "[]\n{outlines}\n{figures}\n{said}", "{packs}\n{evil}\n{figures}\n{said}", "{packs}\n{axis}\n{figures}\n{said}",
        "{packs}\n{outlines}\n{figures}", "{packs}\n{outlines}\n{{}}\n{said}",
        "{packs}\n{outlines}\n{outside}\n{said}", "{packs}\n{outlines}\n{figures}\n[]",
    ],
)  # fmt: skip
def test_a_forged_book_is_as_good_as_not_there(book: str, kept: tuple[Path, str]) -> None:
    path, whole = kept
    _, packs, outlines, figures, said = whole.split("\n", 4)
    outside = figures.replace('["wind","demand"', '["os","system"')
    assert outside != figures
    stage, evil = outlines.replace('"order"', '"x"'), outlines.replace("order", EVIL)
    axis = json.dumps({"a.b": ["order", "order", EVIL, [], []]})
    parts = {"packs": packs, "outlines": outlines, "figures": figures, "said": said}
    data = book.format(**parts, stage=stage, evil=evil, axis=axis, outside=outside).encode()
    path.write_bytes(b"%08x\n" % zlib.crc32(data) + data)
    assert anew(path.parent).compiled_rules.keys() == LIBRARY.compiled_rules.keys()


def test_a_damaged_rule_is_refused_by_its_name(tmp_path: Path) -> None:
    folder = tmp_path / "cache"
    anew(folder)
    (kept,) = [path for path in folder.iterdir() if path.name.startswith("rulebook-")]
    data = kept.read_bytes().partition(b"\n")[2].replace(b'"at_most"', b"3")
    kept.write_bytes(b"%08x\n" % zlib.crc32(data) + data)
    library = anew(folder)
    with pytest.raises(BrokenRules, match=r"rule balance\.every-mark: .* is damaged; empty the cache folder"):
        library.compiled_rules["balance.every-mark"]


def test_no_text_of_a_rule_stands_in_the_source() -> None:
    from doorlint.rulebook.codegen import source

    cells = [(f"rule:{rule}", plan) for rule, plan in LIBRARY.compiled_rules.items()]
    text, _ = source(LIBRARY.graph, cells)
    for axis in LIBRARY.graph.axes:
        assert f"keys_{axis}" not in text
    assert not any(cell in text for cell, _ in cells)

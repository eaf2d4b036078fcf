"""The quick check against jsonschema: for the schemas of rule files it says the same, whatever is wrong."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from shared import ROOT, SOME_OR_ALL

from doorlint.fast_schema import compile_schema
from doorlint.spec.yaml_positions import parse

FILES = sorted([*(ROOT / "rules").glob("*.yaml"), *(ROOT / "rules" / "tables").glob("*.yaml")])


@cache
def schema(name: str) -> Any:
    return json.loads((ROOT / "schemas" / f"{name}.schema.json").read_bytes())


def kind(path: Any) -> str:
    if path.parent.name == "tables":
        return "practice" if path.stem == "practice" else "table"
    return path.stem if path.stem in ("adjustments", "slips") else "rules"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_rule_files_in_order_never_wait_for_jsonschema(path: Any) -> None:
    assert compile_schema(schema(kind(path)))(parse(path.read_bytes()).tree)


def places(node: Any) -> Iterator[tuple[Any, Any]]:
    for key, value in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        yield node, key
        yield from places(value)


def plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    return list(map(plain, node)) if isinstance(node, list) else node


@SOME_OR_ALL
@pytest.mark.parametrize("name", ["rules", "practice", "table", "adjustments", "slips"])
def test_what_is_spoiled_is_judged_alike(name: str, every: int) -> None:
    @settings(deadline=None, max_examples=40 // min(every, 4))
    @given(chance=st.randoms(use_true_random=False), times=st.integers(1, 3))
    def alike(chance: Any, times: int) -> None:
        tree = plain(parse(chance.choice([path for path in FILES if kind(path) == name]).read_bytes()).tree)
        if name == "rules":
            tree = [chance.choice(tree)]
        for _ in range(times):
            node, key = chance.choice([*places(tree), ({"": tree}, "")])
            match chance.randrange(5):
                case 0:
                    del node[key]
                case 1:
                    node[key] = chance.choice([None, "", "error", "a.b", "x" * 1200, [], {}, ["error"], {"value": "a"}])
                case 2 if isinstance(node, dict):
                    node[chance.choice(["why", "at_least", "at_most", "of", "present", "A"])] = node.pop(key)
                case 3 if isinstance(node, list):
                    node.append(node[key])
                case _ if isinstance(node, dict):
                    node["at_most"] = "1 in"
        assert compile_schema(schema(name))(tree) is Draft202012Validator(schema(name)).is_valid(tree)

    alike()

"""Job specs for the tests of reading: one as a person writes it, one with every word of the vocabulary."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping, Node, Sequence

TOWER_INSTALL = (Path(__file__).parent / "data" / "tower_install.yaml").read_bytes()
SMALLEST = "doorlint: 1\nstage: survey\njob: {}\n"

_IN_RANGE = {"^(each|s[1-9][0-9]?)$": "s1", "^(each|b[1-9][0-9]?)$": "b1"}


def example(term: Term) -> Any:
    """A valid text, list or group of texts for a term; groups and maps hold everything they may."""
    schema = term.schema
    match term.kind:
        case "group":
            return {key: example(part) for key, part in term.parts.items()}
        case "map":
            pattern = schema["propertyNames"]["pattern"]
            one_of = re.fullmatch(r"\^\(([a-z]+)\|[a-z|-]+\)\$", pattern)
            name = one_of[1] if one_of else _IN_RANGE.get(pattern, "left-1")
            return {name: example(term.parts["{}"])}
        case "names":
            return ["s1", "s2"]
        case "lengths":
            return list(schema["items"]["examples"])
        case "flag":
            return "true"
        case "choice":
            return term.choices[-1]
        case "count" | "number":
            return str(schema["maximum"])
        case "date":
            return "2026-03-17"
        case "quantity":
            return schema["examples"][0]
    return "words"


def everything() -> dict[str, Any]:
    """A spec with every word of the vocabulary."""
    spec = example(VOCABULARY.root)
    assert isinstance(spec, dict)
    return spec


def marked(node: Any) -> Node:
    """A tree of dicts and lists as the reader would build it, without places."""
    tree: Node = node
    if isinstance(node, dict):
        tree = Mapping()
        tree.update({key: marked(value) for key, value in node.items()})
    elif isinstance(node, list):
        tree = Sequence()
        tree.extend(map(marked, node))
    return tree

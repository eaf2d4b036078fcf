"""The schema of a spec as an editor takes it: an empty line passes, and the catalog's part names complete."""

from __future__ import annotations

from typing import Any

from doorlint.spec import Catalog
from doorlint.spec.vocabulary import EACH


def editor_schema(schema: dict[str, Any], catalog: Catalog) -> dict[str, Any]:
    """A job spec's schema for an editor: a line that is not filled in yet passes, as it does in a review, and the names
    of catalog parts are offered.

    >>> editor_schema({"$defs": {}, "properties": {"site": {"type": "string"}}}, {})["properties"]["site"]["type"]
    ['string', 'null']
    """
    made = _with_empty_lines(schema)
    for name, definition in schema["$defs"].items():
        named = dict(definition)
        if "x-part" in definition:
            named["examples"] = [part.name for part in catalog.values() if part.kind == definition["x-part"]]
        made["$defs"][name] = _or_empty(named)
    return made


def _with_empty_lines(node: dict[str, Any]) -> dict[str, Any]:
    """A group's schema whose keys may stand without a value, but for those that it requires."""
    made = dict(node)
    required = node.get("required", ())
    if "properties" in node:
        made["properties"] = {
            key: _with_empty_lines(part) if key in required else _or_empty(_with_empty_lines(part))
            for key, part in node["properties"].items()
        }
    if isinstance(node.get("additionalProperties"), dict):
        made["additionalProperties"] = _with_empty_lines(node["additionalProperties"])
        if node.get("x-each", True):
            common = {"description": "What holds for each of them that does not say otherwise"}
            made["properties"] = {EACH: _or_empty({**made["additionalProperties"], **common})}
    if "$defs" in node:
        made["$defs"] = dict(node["$defs"])
    return made


def _or_empty(node: dict[str, Any]) -> dict[str, Any]:
    made = dict(node)
    if "type" in node:
        made["type"] = [node["type"], "null"]
    if "enum" in node:
        made["enum"] = [*node["enum"], None]
    return made

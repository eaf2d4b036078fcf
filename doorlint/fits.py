"""Whether plain data fits a JSON Schema: a quick check that may only say yes.

Where it says no, or does not know a keyword, jsonschema is asked, whose errors are the report. It takes 80 ms to import
and milliseconds for what this passes in microseconds, so it is kept for what is not in order.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

__all__ = ["fits"]

Check = Callable[[Any], bool]

NOTES = frozenset({"$schema", "$id", "$defs", "title", "description", "examples", "x-axis", "then", "else"})
"""Keywords that say nothing by themselves."""
TYPES: Mapping[str, type] = {"object": dict, "array": list, "string": str}


def fits(schema: Mapping[str, Any]) -> Check:
    """What says of data whether it is beyond doubt of a schema (JSON Schema 2020-12, texts, lists and objects only).

    >>> named = fits({"type": "object", "required": ["name"], "properties": {"name": {"maxLength": 3}}})
    >>> named({"name": "s1"}), named({"name": "s1000"}), named({}), fits({"multipleOf": 2})(4)
    (True, False, False, False)
    """
    return _check(schema, schema.get("$defs", {}))


def _check(schema: Any, defs: Mapping[str, Any]) -> Check:
    if isinstance(schema, bool):
        return lambda data: schema
    if not schema.keys() <= NOTES | KEYWORDS.keys():
        return lambda data: False
    checks = [KEYWORDS[keyword](value, schema, defs) for keyword, value in schema.items() if keyword in KEYWORDS]
    if len(checks) == 1:
        return checks[0]
    return lambda data: all(check(data) for check in checks)


def _of_type(value: Any, _schema: Any, _defs: Any) -> Check:
    wanted = TYPES.get(value, ()) if isinstance(value, str) else ()
    return lambda data: isinstance(data, wanted)


def _size(kind: type, most: bool) -> Callable[[Any, Any, Any], Check]:
    def keyword(value: int, _schema: Any, _defs: Any) -> Check:
        if most:
            return lambda data: not isinstance(data, kind) or len(data) <= value
        return lambda data: not isinstance(data, kind) or len(data) >= value

    return keyword


def _pattern(value: str, _schema: Any, _defs: Any) -> Check:
    found = re.compile(value).search
    return lambda data: not isinstance(data, str) or found(data) is not None


def _properties(value: Mapping[str, Any], schema: Mapping[str, Any], defs: Mapping[str, Any]) -> Check:
    known = {key: _check(part, defs) for key, part in value.items()}
    return lambda data: not isinstance(data, dict) or all(
        known[key](part) for key, part in data.items() if key in known
    )


def _additional(value: Any, schema: Mapping[str, Any], defs: Mapping[str, Any]) -> Check:
    other, known = _check(value, defs), schema.get("properties", {}).keys()
    return lambda data: not isinstance(data, dict) or all(other(part) for key, part in data.items() if key not in known)


def _either(value: list[Any], _schema: Any, defs: Mapping[str, Any]) -> Check:
    checks = [_check(part, defs) for part in value]
    return lambda data: any(check(data) for check in checks)


def _one(value: list[Any], _schema: Any, defs: Mapping[str, Any]) -> Check:
    # A part that does not say yes may still be one that fits, so only parts that cannot both fit will do.
    kinds = [part.get("type") for part in value]
    return _either(value, None, defs) if None not in kinds and len(set(kinds)) == len(kinds) else lambda data: False

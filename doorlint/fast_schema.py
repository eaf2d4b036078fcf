"""Whether plain data matches a JSON Schema, for the keywords that the schemas of this program use.

jsonschema takes 80 ms to import and milliseconds for what this does in microseconds. It is used only where this says
no, and its errors are the report; a false alarm here costs time, never a wrong message.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any, TypeAlias

__all__ = ["compile_schema"]

Check: TypeAlias = Callable[[Any], bool]
Schema: TypeAlias = Mapping[str, Any]

NOTES = frozenset({"$schema", "$id", "$defs", "title", "description", "examples", "x-axis", "then", "else"})
"""Keywords without a meaning of their own for validation."""
MEMBERS = frozenset({"properties", "additionalProperties"})
"""Keywords that say together what the members of an object are."""
TYPES: Mapping[str, type] = {"object": dict, "array": list, "string": str, "null": type(None)}


def compile_schema(schema: Schema) -> Check:
    """What tells whether data of texts, lists and objects is of a schema (JSON Schema 2020-12).

    A schema with a keyword that is not known here fits nothing.

    >>> named = compile_schema({"type": "object", "required": ["name"], "properties": {"name": {"maxLength": 3}}})
    >>> named({"name": "s1"}), named({"name": "s1000"}), named({}), compile_schema({"multipleOf": 2})(4)
    (True, False, False, False)
    """
    try:
        return _check(schema, schema.get("$defs", {}))
    except KeyError:
        return lambda _: False


def _check(schema: Any, defs: Schema) -> Check:
    if isinstance(schema, bool):
        return lambda _: schema
    checks = [
        KEYWORDS[keyword](value, schema, defs) for keyword, value in schema.items() if keyword not in NOTES | MEMBERS
    ]
    if not MEMBERS.isdisjoint(schema):
        checks.append(_members(schema, defs))
    return checks[0] if len(checks) == 1 else lambda data: all(check(data) for check in checks)


def _members(schema: Schema, defs: Schema) -> Check:
    known = {key: _check(part, defs) for key, part in schema.get("properties", {}).items()}
    other = _check(schema.get("additionalProperties", True), defs)
    return lambda data: (
        not isinstance(data, dict)
        or all(known[key](part) if key in known else other(part) for key, part in data.items())
    )


def _type(value: str, _schema: Schema, _defs: Schema) -> Check:
    kind = TYPES[value]
    return lambda data: isinstance(data, kind)


def _required(value: Sequence[str], _schema: Schema, _defs: Schema) -> Check:
    keys = frozenset(value)
    return lambda data: not isinstance(data, dict) or keys <= data.keys()


def _const(value: str, _schema: Schema, _defs: Schema) -> Check:
    return lambda data: bool(data == value)


def _enum(value: Sequence[Any], _schema: Schema, _defs: Schema) -> Check:
    return lambda data: data in value


def _pattern(value: str, _schema: Schema, _defs: Schema) -> Check:
    found = re.compile(value).search
    return lambda data: not isinstance(data, str) or found(data) is not None


def _least(kind: type[Any], value: int, _schema: Schema, _defs: Schema) -> Check:
    return lambda data: not isinstance(data, kind) or len(data) >= value


def _most(kind: type[Any], value: int, _schema: Schema, _defs: Schema) -> Check:
    return lambda data: not isinstance(data, kind) or len(data) <= value


def _items(value: Any, _schema: Schema, defs: Schema) -> Check:
    check = _check(value, defs)
    return lambda data: not isinstance(data, list) or all(map(check, data))


def _unique(value: bool, _schema: Schema, _defs: Schema) -> Check:
    return lambda data: not (value and isinstance(data, list)) or all(data.index(x) == i for i, x in enumerate(data))


def _names(value: Any, _schema: Schema, defs: Schema) -> Check:
    check = _check(value, defs)
    return lambda data: not isinstance(data, dict) or all(map(check, data))


def _some(exactly: bool, value: Sequence[Any], _schema: Schema, defs: Schema) -> Check:
    checks = [_check(part, defs) for part in value]
    if exactly:
        return lambda data: sum(check(data) for check in checks) == 1
    return lambda data: any(check(data) for check in checks)


def _if(value: Any, schema: Schema, defs: Schema) -> Check:
    asked, then, other = (_check(part, defs) for part in (value, schema.get("then", True), schema.get("else", True)))
    return lambda data: then(data) if asked(data) else other(data)


def _ref(value: str, _schema: Schema, defs: Schema) -> Check:
    return _check(defs[value.removeprefix("#/$defs/")], defs)


KEYWORDS: Mapping[str, Callable[[Any, Schema, Schema], Check]] = {
    "$ref": _ref,
    "anyOf": partial(_some, False),
    "const": _const,
    "enum": _enum,
    "if": _if,
    "items": _items,
    "maxItems": partial(_most, list),
    "maxLength": partial(_most, str),
    "maxProperties": partial(_most, dict),
    "minItems": partial(_least, list),
    "minLength": partial(_least, str),
    "minProperties": partial(_least, dict),
    "oneOf": partial(_some, True),
    "pattern": _pattern,
    "propertyNames": _names,
    "required": _required,
    "type": _type,
    "uniqueItems": _unique,
}

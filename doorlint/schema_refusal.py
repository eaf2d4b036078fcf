"""Why a file of settings or rules does not match its schema, in words: the first place, and what to write there.

jsonschema finds the errors. A job spec has words of its own for each term (:mod:`doorlint.spec.schema_errors`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from doorlint.spec.problems import nearest, shown
from doorlint.spec.yaml_positions import Node, position

__all__ = ["refusal"]

SORTS = {"array": "a list", "object": "keys with their values below them", "string": "text"}
"""A type of JSON Schema in words."""
HOW = {
    "array": "write a list in brackets",
    "object": "write its keys below it, two spaces further in",
    "string": "write text after the colon",
}
"""How a value of a type is written."""
SHAPES = {
    r"^[a-z][a-z0-9-]*\.[a-z][a-z0-9-]*$": "subject.what in small letters, digits and -",
    r"^[a-z][a-z0-9-]{0,39}\.[a-z][a-z0-9-]{0,59}$": "the id of a rule, as `doorlint rulebook` lists them",
    r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*$": "the name of a spec value such as room.headroom",
    r"^[a-z][a-z0-9-]*$": "a word of small letters, digits and -",
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": "words of small letters and digits with - between them",
    r"^[a-z][a-z0-9_]*$": "a word of small letters, digits and _",
}
"""What the texts look like that a pattern of the schemas lets through."""


def refusal(tree: Node, schema: Mapping[str, Any]) -> tuple[tuple[str | int, ...], str] | None:
    """The path and the words of the first error; ``None`` where jsonschema finds none.

    >>> refusal({"unit": "si"}, {"properties": {"units": {}}, "additionalProperties": False})
    (('unit',), 'found the key unit; expected units; write units')
    """
    from jsonschema import Draft202012Validator  # 80 ms to import, so only for what is not in order
    from jsonschema.exceptions import best_match

    errors = [_worded(best_match([error])) for error in Draft202012Validator(schema).iter_errors(tree)]
    return min(errors, key=lambda error: position(tree, error[0]), default=None)


def _worded(error: Any) -> tuple[tuple[str | int, ...], str]:
    value, wanted, known = error.instance, error.validator_value, error.schema.get("properties", {})
    path, found = tuple(error.absolute_path), _found(value)
    if error.validator in ("oneOf", "anyOf") and isinstance(value, dict):
        known = {key: None for shape in wanted for key in shape.get("properties", {})}
    match error.validator:
        case "required":
            key = next(key for key in wanted if key not in value)
            expected = known.get(key, {}).get("description", "it")
            return path, f"found no {key}; expected {expected}; add a line `{key}: ...`"
        case "additionalProperties" | "oneOf" | "anyOf" if known and not value.keys() <= known.keys():
            key = next(key for key in value if key not in known)
            fix = nearest(key, known, "take it out")
            return (*path, key), f"found the key {shown(key)}; expected {', '.join(known)}; {fix}"
        case "oneOf" | "anyOf" if known:
            shapes = (" with ".join(shape.get("required", ())) for shape in wanted)
            return path, f"found {found}; expected {' or '.join(filter(None, shapes))}; write one of them"
        case "enum":
            return path, f"found {found}; expected {', '.join(map(str, wanted))}; write one of them"
        case "type":
            expected = f"the keys {', '.join(known)}" if known else SORTS[wanted]
            examples = error.schema.get("examples", ())
            return path, f"found {found}; expected {expected}; {f'write `{examples[0]}`' if examples else HOW[wanted]}"
        case "pattern":
            own = (*path, value) if "propertyNames" in error.absolute_schema_path else path
            return own, f"found {found}; expected {SHAPES.get(wanted, f'what fits {wanted}')}; write it so"
        case "minLength" | "minItems" | "minProperties":
            return path, f"found {len(value) or 'nothing'}; expected at least {wanted}; fill it in, or take the key out"
        case "maxLength" | "maxItems" | "maxProperties":
            things = {"maxLength": "characters", "maxItems": "items", "maxProperties": "keys"}[error.validator]
            return path, f"found {len(value)} {things}; expected at most {wanted}; shorten or split it"
    meaning = error.schema.get("description", "another shape")
    return path, f"found {found}; expected this: {meaning}; keep to {error.validator} {wanted}"


def _found(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return shown(value)
    return f"a list of {len(value)}" if isinstance(value, list) else f"the keys {shown(', '.join(value))}"

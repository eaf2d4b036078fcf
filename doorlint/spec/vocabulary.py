"""The terms of a job spec, as the schema defines them: every value and every group by its dotted name."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final, Literal

from doorlint.named_tuple import NamedTuple
from doorlint.resources import content
from doorlint.spec.pointer import escaped

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["EACH", "PART", "VOCABULARY", "Axis", "Kind", "Term", "Vocabulary", "vocabulary_of"]

EACH: Final = "each"
"""The key in a map of named things that gives values for all of them."""
PART: Final = "part"
"""The key that names a part of a catalog, but in a group that has a word ``part`` of its own."""

Kind = Literal["quantity", "flag", "count", "number", "choice", "date", "text", "names", "lengths", "group", "map"]
"""What a term holds: a value of some sort, a ``group`` of known keys, or a ``map`` of things by name."""


class Term(NamedTuple):
    """One term of the vocabulary.

    ``pointer`` has ``{}`` where the key of a named thing goes. ``axis`` is the axis the term lies on: below a map of
    named things there is one value for each key. ``dimension`` is that of a quantity (or of each of ``lengths``), as
    :mod:`doorlint.quantities` names it; one that is ``positive`` is of something that is there, so it is never zero.
    ``known`` says how such a value comes to be known (``measured``, ``weighed``, ``seen`` on site). ``parts`` are the
    terms inside a group by key; a map has one, by the key ``{}``. ``schema`` holds the JSON Schema keywords of the
    node, with every ``$ref`` resolved. ``catalog`` is the kind of catalog part that a group may name behind
    ``part_key``; a value with ``capacity`` is what such a part carries at most. A map with ``each`` may give values for
    all its things.
    """

    name: str
    pointer: str
    axis: str | None
    kind: Kind
    dimension: str | None
    positive: bool
    choices: tuple[str, ...]
    known: str | None
    record_only: bool
    description: str
    examples: tuple[str, ...]
    parts: Mapping[str, Term]
    schema: Mapping[str, Any]
    catalog: str | None = None
    capacity: bool = False
    each: bool = False
    part_key: str = PART

    @property
    def numeric_dimension(self) -> str | None:
        """The dimension to compute and write a value in: ``count`` or ``ratio`` for a plain number, none for words."""
        return {"quantity": self.dimension, "count": "count", "number": "ratio"}.get(self.kind)


class Axis(NamedTuple):
    """A map of named things: the pointer of the map, the pattern of its keys, and the name of the map."""

    name: str
    pointer: str
    pattern: str
    map: str


class Vocabulary(NamedTuple):
    """Every term of the job spec by name, in the order of the schema.

    ``leaves`` are the terms that hold a value, ``containers`` the groups and maps; ``root`` is the whole spec.
    ``catalogs`` holds, for each kind of catalog part, the groups that may name one.

    >>> VOCABULARY.leaves["box.chain.spring.rate"].pointer
    '/tower/boxes/{}/chain/spring/rate'
    >>> VOCABULARY.axes["section"].pointer
    '/door/sections'
    >>> [term.name for term in VOCABULARY.catalogs["rope"]]
    ['cable']
    """

    root: Term
    leaves: Mapping[str, Term]
    containers: Mapping[str, Term]
    axes: Mapping[str, Axis]
    catalogs: Mapping[str, tuple[Term, ...]]
    schema: Mapping[str, Any]

    def terms(self) -> Iterator[Term]:
        """Every term, containers first."""
        yield from self.containers.values()
        yield from self.leaves.values()

    def term(self, name: str) -> Term:
        """The term of a name; raises ``KeyError`` when there is none.

        >>> VOCABULARY.term("section.glass").kind
        'group'
        """
        return self.leaves[name] if name in self.leaves else self.containers[name]

    def pointer_of(self, name: str, key: str | None = None) -> str:
        """The JSON pointer of a term; on an axis, of the thing with this key. Raises ``KeyError`` for an unknown name.

        >>> VOCABULARY.pointer_of("section.weight", "s3")
        '/door/sections/s3/weight'
        >>> VOCABULARY.pointer_of("room.headroom")
        '/room/headroom'
        """
        pointer = self.term(name).pointer
        return pointer if key is None else pointer.replace("{}", escaped(key))

    def part_of(self, name: str) -> str:
        """The part of the job that a term belongs to, as the spec calls it.

        >>> VOCABULARY.part_of("hanger.drop"), VOCABULARY.part_of("track")
        ('hangers', 'track')
        """
        return self.term(name).pointer.split("/")[1]

    def label(self, name: str, key: str | None = None) -> str:
        """The name of a term in a sentence: its part of the job, then its own words.

        >>> VOCABULARY.label("room.headroom"), VOCABULARY.label("hanger.fixing.diameter", "left-1")
        ('room: headroom', 'hanger left-1: fixing diameter')
        """
        head, _, rest = name.replace("_", " ").partition(".")
        head = head if key is None else f"{head} {key}"
        return f"{head}: {rest.replace('.', ' ')}" if rest else head


# The keywords of each kind: those it must have, and those it may have. One that is not here would be passed over by the
# walk, so a schema with another keyword is refused when it is loaded.
_NOTES: Final = frozenset({"description", "examples", "x-known", "x-record-only"})
_THINGS: Final = frozenset({"type", "x-axis", "maxProperties", "propertyNames", "additionalProperties"})
_SIZED: Final = _NOTES | {"x-positive", "x-capacity"}
_BESIDE: Final = _SIZED | {"$ref"}
_MUST_AND_MAY: Final[dict[Kind, tuple[frozenset[str], frozenset[str]]]] = {
    "quantity": (frozenset({"type", "maxLength", "pattern", "x-dimension"}), _SIZED),
    "flag": (frozenset({"type"}), _NOTES),
    "count": (frozenset({"type", "minimum", "maximum"}), _NOTES),
    "number": (frozenset({"type", "minimum", "maximum"}), _NOTES),
    "choice": (frozenset({"type", "enum"}), _NOTES),
    "date": (frozenset({"type", "pattern"}), _NOTES),
    "text": (frozenset({"type", "maxLength"}), _NOTES | {"pattern"}),
    "names": (frozenset({"type", "minItems", "maxItems", "uniqueItems", "items"}), _NOTES),
    "lengths": (frozenset({"type", "minItems", "maxItems", "items"}), _SIZED),
    "group": (frozenset({"type", "properties", "additionalProperties"}), _NOTES | {"required", "x-defaults"}),
    "map": (_THINGS, _NOTES | {"x-each"}),
}
_KEYWORDS: Final = {kind: (must, must | may) for kind, (must, may) in _MUST_AND_MAY.items()}
_ROOT_ONLY: Final = frozenset({"$schema", "$id", "title", "$defs"})
_DEFS: Final = "#/$defs/"


def vocabulary_of(schema: Mapping[str, Any]) -> Vocabulary:
    """The vocabulary that a job spec schema defines.

    Raises:
        ValueError: the schema uses a keyword, or a combination of them, that the walk does not know.
    """
    body = {keyword: value for keyword, value in schema.items() if keyword not in _ROOT_ONLY}
    root = _term(body, schema["$defs"], "", "", None)
    every = list(_below(root))
    containers = {term.name: term for term in every if term.kind in ("group", "map")}
    leaves = {term.name: term for term in every if term.kind not in ("group", "map")}
    if len(containers | leaves) != len(every):
        raise ValueError("two nodes of the schema have one name")
    axes = {
        term.schema["x-axis"]: Axis(
            term.schema["x-axis"], term.pointer, term.schema["propertyNames"]["pattern"], term.name
        )
        for term in every
        if term.kind == "map"
    }
    catalogs: dict[str, tuple[Term, ...]] = {}
    for term in containers.values():
        if term.catalog is not None:
            catalogs[term.catalog] = (*catalogs.get(term.catalog, ()), term)
    return Vocabulary(root, leaves, containers, axes, catalogs, schema)


def _below(term: Term) -> Iterator[Term]:
    for part in term.parts.values():
        yield part
        yield from _below(part)


def _term(node: Mapping[str, Any], defs: Mapping[str, Any], name: str, pointer: str, axis: str | None) -> Term:
    """The term of a schema node, with all terms inside it."""
    reference = node.get("$ref")
    if reference is not None:
        if not node.keys() <= _BESIDE:
            raise ValueError(f"{pointer}: beside $ref only {', '.join(sorted(_SIZED))} may stand")
        node = {**defs[reference.removeprefix(_DEFS)], **node}
        del node["$ref"]
    kind = _kind(node, reference)
    (must, every), keywords = _KEYWORDS[kind], node.keys()
    if not must <= keywords <= every:
        unknown = (must - keywords) | (keywords - every)
        raise ValueError(f"{pointer}: the walk of a {kind} does not know this use of {', '.join(sorted(unknown))}")

    parts: dict[str, Term] = {}
    catalog, part_key, each = None, PART, False
    if kind == "group":
        if node["additionalProperties"] is not False:
            raise ValueError(f"{pointer}: a group must refuse other keys")
        stem = f"{name}." if name else ""
        for key, part in node["properties"].items():
            named = defs.get(part.get("$ref", "").removeprefix(_DEFS), {})
            if "x-part" in named:
                if catalog is not None:
                    raise ValueError(f"{pointer}/{key}: a group names one catalog part, {part_key} or {key}")
                catalog, part_key = named["x-part"], key
                continue
            parts[key] = _term(part, defs, stem + key, f"{pointer}/{key}", axis)
    elif kind == "map":
        if axis is not None:
            raise ValueError(f"{pointer}: an axis inside the axis {axis}")
        if node["propertyNames"].keys() != {"pattern"}:
            raise ValueError(f"{pointer}: names of things are given by a pattern")
        each = node.get("x-each", True)
        if each and not re.search(node["propertyNames"]["pattern"], EACH):
            raise ValueError(f"{pointer}: its names must let {EACH} through, or say `x-each: false`")
        parts["{}"] = _term(node["additionalProperties"], defs, node["x-axis"], pointer + "/{}", node["x-axis"])
        if parts["{}"].kind != "group":
            raise ValueError(f"{pointer}: named things are groups")
    elif kind in ("names", "lengths"):
        item = defs[node["items"]["$ref"].removeprefix(_DEFS)] if "$ref" in node["items"] else node["items"]
        if item.keys() != {"type", "pattern"} if kind == "names" else "x-dimension" not in item:
            raise ValueError(f"{pointer}: a list is of names by a pattern or of quantities")
        node = {**node, "items": item}

    return Term(
        name, pointer, axis, kind, node.get("items", node).get("x-dimension"), node.get("x-positive", False),
        tuple(node.get("enum", ())), node.get("x-known"), node.get("x-record-only", False), node.get("description", ""),
        tuple(node.get("examples", ())), parts, node, catalog, node.get("x-capacity", False), each, part_key,
    )  # fmt: skip


_BY_TYPE: Final[dict[str, Kind]] = {"boolean": "flag", "integer": "count", "number": "number"}


def _kind(node: Mapping[str, Any], reference: str | None) -> Kind:
    """What a schema node holds; raises ``ValueError`` for a type that is not the walk's."""
    sort = node.get("type")
    match sort:
        case "object":
            return "map" if "x-axis" in node else "group"
        case "array":
            return "lengths" if "$ref" in node["items"] else "names"
        case "string" if "x-dimension" in node:
            return "quantity"
        case "string" if "enum" in node:
            return "choice"
        case "string":
            return "date" if reference == f"{_DEFS}date" else "text"
        case "boolean" | "integer" | "number":
            return _BY_TYPE[sort]
    raise ValueError(f"the walk knows no type {sort!r}")


VOCABULARY: Final = vocabulary_of(json.loads(content("schemas", "job-spec.schema.json")))
"""The vocabulary of the job spec, as its schema gives it."""

"""Catalog files of a rule folder, ``parts/*.yaml``: parts whose values are written as a spec would write them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from doorlint.spec import Catalog, Part
from doorlint.spec.pointer import steps
from doorlint.spec.problems import nearest, shown
from doorlint.spec.typed_reader import group_values
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping as Tree
from doorlint.spec.yaml_positions import Node

if TYPE_CHECKING:
    from doorlint.errors import BrokenRules

__all__ = ["catalog_of", "parts_of"]


def parts_of(
    catalog: Mapping[str, Any], broken: Callable[[Iterable[str | int], str], BrokenRules]
) -> Iterator[dict[str, Any]]:
    """The parts of one catalog file as plain data.

    ``broken`` makes the refusal of what is at a path; it is raised where a part does not fit a spec.
    """
    kind, groups = catalog["catalog"], VOCABULARY.catalogs.get(catalog["catalog"], ())
    if not groups:
        fix = nearest(kind, VOCABULARY.catalogs, f"write one of {', '.join(VOCABULARY.catalogs)}")
        raise broken(("catalog",), f"found {shown(kind)}, which no group of a spec takes a part of; {fix}")
    for name, entry in catalog["parts"].items():
        path = ("parts", name, "values")
        for term in groups:
            if (inside := _things(term, entry["values"])) is not None:
                raise broken((*path, *inside), f"found named things in {name}; a part holds values only; take them out")
        if any(_names_part(term, entry["values"]) for term in groups):
            raise broken(path, f"found the name of another part in {name}; expected its values; write them out")
        read = [group_values(term, entry["values"]) for term in groups]
        for term, values in zip(groups, read, strict=True):
            if values is None:
                inside, message = _amiss(term, entry["values"])
                raise broken((*path, *inside), f"part {name}: {message}")
        source = entry.get("source", catalog["source"])
        yield {
            "name": name,
            "kind": kind,
            "title": entry.get("title", catalog["title"]),
            "values": entry["values"],
            "read": read[0],
            "document": _document(source),
            "until": source.get("until"),
        }


def catalog_of(parts: Iterable[tuple[str, Mapping[str, Any]]]) -> Catalog:
    """A catalog from parts as plain data, each with the house-rule folder it comes from; a later one takes the place
    of an earlier one of the same name."""
    return {entry["name"]: Part(**{**entry, "read": _tuples(entry["read"])}, house=house) for house, entry in parts}


def _names_part(term: Term, values: Mapping[str, Any]) -> bool:
    """Whether a part names another one, for the group itself or for one inside it."""
    if term.catalog is not None and term.part_key in values:
        return True
    inside = ((term.parts.get(key), value) for key, value in values.items())
    return any(part is not None and isinstance(value, Mapping) and _names_part(part, value) for part, value in inside)


def _things(term: Term, values: Mapping[str, Any]) -> list[str] | None:
    """The path of the first map of named things in a part, where it has one."""
    for key, value in values.items():
        inner = term.parts.get(key)
        if inner is None or not isinstance(value, Mapping):
            continue
        if inner.kind == "map":
            return [key]
        below = _things(inner, value)
        if below is not None:
            return [key, *below]
    return None


def _amiss(term: Term, values: Node) -> tuple[list[str], str]:
    """What keeps values from being those of a group: the path inside them, and why."""
    from doorlint.spec.schema_errors import explained

    axis = VOCABULARY.axes.get(term.axis or "")
    key = next(name for name in ("s1", "b1", "x") if axis is None or re.search(axis.pattern, name))
    way = steps(VOCABULARY.pointer_of(term.name, key))
    tree: Node = values
    for step in reversed(way):
        tree = _group(**{step: tree})
    assert isinstance(tree, Tree)
    problem = explained(_group(doorlint="1", stage="order", job=Tree(), **tree))[0]
    return steps(problem.pointer)[len(way) :], problem.message


def _group(**values: Node) -> Tree:
    made = Tree()
    made.update(values)
    return made


def _document(source: Mapping[str, str]) -> str:
    """A source in one line.

    >>> _document({"standing": "published", "document": "AC 43.13-1B", "edition": "1998", "clause": "Table 7-3"})
    'AC 43.13-1B, 1998, Table 7-3'
    >>> _document({"standing": "practice", "note": "usual stock sizes"})
    'practice: usual stock sizes'
    """
    named = [source[key] for key in ("document", "edition", "clause") if key in source]
    weak = source["standing"] in ("memory", "second-hand") and named
    text = ", ".join(named) if named else f"{source['standing']}: {source['note']}"
    return f"{text} ({source['standing']})" if weak else text


def _tuples(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: tuple(value) if isinstance(value, list) else value for name, value in values.items()}

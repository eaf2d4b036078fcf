"""Why a tree is not a job spec, in the words of the trade.

jsonschema judges the shape, :mod:`doorlint.quantities` the measures; here their verdicts get a position and a message
that says what was found, what was expected and what to write instead.
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache, partial
from itertools import islice
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TypeAlias

from doorlint.quantities import DIMENSIONS, QuantityError, read
from doorlint.spec.pointer import pointer
from doorlint.spec.problems import Problem, shown
from doorlint.spec.typed_reader import FLAGS, DoubtError, day, decimal, whole
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping, Node, Sequence, node_at, span

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from jsonschema import Draft202012Validator, ValidationError

__all__ = ["MOST_PROBLEMS", "explained"]

MOST_PROBLEMS: Final = 100
"""Problems of one spec that are reported, in the order of the file; one more says that there are others."""

_Path: TypeAlias = tuple[str | int, ...]


class _Found(NamedTuple):
    """A problem whose message is not worded yet: only those that are reported are worded."""

    path: _Path
    rule: str
    tell: Callable[[], str]


def explained(tree: Node) -> tuple[Problem, ...]:
    """Every reason why a tree is not a job spec, in the order of the file."""
    found: list[_Found] = []
    plain = _plain(VOCABULARY.root, tree, (), found)
    told = {one.path for one in found}
    for error in _validator().iter_errors(plain):
        if tuple(error.absolute_path) not in told:
            found.extend(_misshapen(error, tree))
    return _problems(tree, found)


def _problems(tree: Node, found: Iterable[_Found]) -> tuple[Problem, ...]:
    # One thing may fail several keywords of the schema for one reason; it is reported once.
    placed = {(*span(tree, one.path), pointer(one.path), one.rule): one for one in found}
    problems = [
        Problem(rule, place, line, column, placed[line, column, end, place, rule].tell(), end)
        for line, column, end, place, rule in sorted(placed)[:MOST_PROBLEMS]
    ]
    if len(placed) > MOST_PROBLEMS:
        message = f"found more than {MOST_PROBLEMS} problems; expected a job spec; fix the ones above first"
        problems.append(Problem("spec.shape", "", problems[-1].line, problems[-1].column, message))
    return tuple(problems)


@cache
def _validator() -> Draft202012Validator:
    # 80 ms to import, so only for a spec that is not in order.
    from jsonschema import Draft202012Validator

    return Draft202012Validator(VOCABULARY.schema)


# --- what jsonschema is given, and what it cannot judge ------------------------------------------------------------


def _plain(term: Term, node: Node, path: _Path, found: list[_Found]) -> Any:
    """A node as jsonschema wants it: flags, counts and numbers as such where they read so, all else as it is, without
    the keys that are not filled in yet.

    Measures and days that do not read go to ``found`` on the way.
    """
    if isinstance(node, Mapping):
        if term.kind == "group":
            parts, required = term.parts, term.schema.get("required", ())
            return {
                key: _plain(parts[key], value, (*path, key), found) if key in parts else value
                for key, value in node.items()
                if value is not None or not (key in parts or _names_part(term, key)) or key in required
            }
        if term.kind == "map":
            for key in node:
                _one_line(key, (*path, key), found)
            return {key: _plain(term.parts["{}"], value, (*path, key), found) for key, value in node.items()}
    elif isinstance(node, Sequence):
        if term.kind in ("names", "lengths"):
            # One item too many is as wrong as a thousand, which jsonschema would compare with each other.
            few = list(islice(node, term.schema["maxItems"] + 1))
            for number, item in enumerate(few):
                if isinstance(item, str):
                    _measure(term, item, (*path, number), found)
            return few
    elif isinstance(node, str):
        return _measure(term, node, path, found)
    return node


def _measure(term: Term, text: str, path: _Path, found: list[_Found]) -> Any:
    """A text as jsonschema wants it."""
    try:
        match term.kind:
            case "flag":
                return FLAGS.get(text, text)
            case "count":
                return whole(text)
            case "number":
                return decimal(text)
            case "names":
                _one_line(text, path, found)
            case "quantity" | "lengths" if len(found) <= MOST_PROBLEMS and term.dimension:
                read(text, term.dimension, positive=term.positive)
            case "date":
                day(text)
    except QuantityError as error:
        found.append(_Found(path, "spec.quantity", partial(str, error)))
    except (DoubtError, ValueError):
        if term.kind == "date":
            found.append(_Found(path, "spec.date", partial(_unfit, term, text, "format")))
    return text


def _one_line(name: str, path: _Path, found: list[_Found]) -> None:
    # In Python's patterns `$` also stands before a last line end.
    if name.endswith("\n"):
        message = f"found {shown(name)}; expected a name on one line; take the line end out"
        found.append(_Found(path, "spec.shape", lambda: message))


# --- what jsonschema refused ---------------------------------------------------------------------------------------


def _misshapen(error: ValidationError, tree: Node) -> Iterator[_Found]:
    """The problems in one of jsonschema's errors."""
    path = tuple(error.absolute_path)
    term, node = VOCABULARY.root, tree
    for step in path:
        if _names_part(term, step):
            yield _Found(path, "spec.shape", partial(_no_name, str(term.catalog), node_at(tree, path)))
            return
        term = term.parts.get(str(step)) or term.parts.get("{}") or term
        node = node_at(node, [step])
    if error.validator == "additionalProperties" and isinstance(node, Mapping):
        unknown = (key for key in node if key not in term.parts and not _names_part(term, key))
        for key in islice(unknown, MOST_PROBLEMS + 1):
            yield _Found((*path, key), "spec.shape", partial(_unknown, term, path, key))
    elif error.validator == "required" and isinstance(node, Mapping):
        for key in term.schema["required"]:
            if key not in node:
                yield _Found((*path, key), "spec.shape", partial(_missing, term.parts[key], path, key))
    elif "propertyNames" in error.schema_path:
        name = str(error.instance)
        yield _Found((*path, name), "spec.shape", partial(_misnamed, term, name))
    else:
        yield _Found(path, "spec.shape", partial(_unfit, term, node, str(error.validator)))


def _names_part(term: Term, step: str | int) -> bool:
    """Whether a step leads to the name of a catalog part."""
    return step == term.part_key and term.catalog is not None


def _no_name(kind: str, node: Node) -> str:
    found = _what(node, "")
    return f"found {found}; expected the name of a {kind} of a catalog; write one such as {kind}-1/4, in small letters"


def _unknown(term: Term, path: _Path, key: str) -> str:
    known = [*term.parts, *([term.part_key] if term.catalog else [])]
    near = get_close_matches(key.lower().replace("-", "_"), known, n=1, cutoff=0.65) if len(key) <= 60 else []
    homes = [other.name.rpartition(".")[0] for other in VOCABULARY.terms() if other.pointer.endswith(f"/{key}")]
    if homes == [""]:
        fix = "move it to the left margin"
    elif key and len(homes) in (1, 2) and "" not in homes:
        fix = f"move it to {_either(homes)}"
    elif homes:
        fix = f"move it to where it belongs, such as {_either([home for home in homes if home][:3])}"
    elif near:
        fix = f"write {near[0]}"
    else:
        fix = "leave it out; `doorlint blank` shows every key"
    expected = _either(known) if 0 < len(known) <= 8 else f"{'a' if known else 'no'} key of {_place(path)}"
    return f"found the key {shown(key)} in {_place(path)}; expected {expected}; {fix}"


def _missing(part: Term, path: _Path, key: str) -> str:
    example = "" if part.kind == "group" else f" {_least(part)}"
    return f"found no {key} in {_place(path)}; expected {_expected(part)}; add a line `{key}:{example}`"


def _misnamed(term: Term, name: str) -> str:
    pattern = term.schema["propertyNames"]["pattern"]
    near = re.sub("[^A-Za-z0-9_-]+", "-", name).strip("-")
    fix = f"write {near}" if re.fullmatch(pattern, near) else "write such a name"
    return f"found the name {shown(name)}; expected {_named(pattern)}; {fix}"


def _unfit(term: Term, node: Node, keyword: str) -> str:
    return f"found {_what(node, keyword)}; expected {_expected(term)}; {_fix(term, node, keyword)}"


# --- words ---------------------------------------------------------------------------------------------------------


def _what(node: Node, keyword: str) -> str:
    if node is None or (isinstance(node, str) and not node.strip()):
        return "nothing"
    if isinstance(node, str):
        return f"{len(node)} characters" if keyword == "maxLength" and len(node) > 80 else shown(node)
    if keyword == "uniqueItems":
        return "a name twice in the list"
    if isinstance(node, Sequence):
        return f"a list of {len(node)}"
    return f"{len(node)} things" if keyword == "maxProperties" else "a group of keys"


def _expected(term: Term) -> str:
    schema = term.schema
    match term.kind:
        case "quantity":
            return DIMENSIONS[schema["x-dimension"]].label
        case "flag":
            return "true or false"
        case "count" if schema["minimum"] == schema["maximum"]:
            return f"the number {schema['minimum']}"
        case "count":
            return f"a whole number from {schema['minimum']} to {schema['maximum']}"
        case "number":
            return f"a number from {schema['minimum']} to {schema['maximum']}"
        case "choice":
            return _either(term.choices)
        case "date":
            return "a day of the calendar"
        case "text":
            return f"text of {'1 to' if 'pattern' in schema else 'at most'} {schema['maxLength']} characters"
        case "names":
            each = _named(schema["items"]["pattern"])
            return f"a list of {schema['minItems']} to {schema['maxItems']} names, each {each} and once"
        case "lengths":
            return f"a list of {schema['minItems']} to {schema['maxItems']} lengths"
        case "map":
            return f"at most {schema['maxProperties']} things, each by a name"
    keys = list(term.parts)
    return f"the keys {', '.join(keys)}" if len(keys) <= 8 else "a group of keys"


def _fix(term: Term, node: Node, keyword: str) -> str:
    if node is None:
        return (
            "write it" if term.name in ("", *VOCABULARY.root.schema["required"]) else "write it, or leave the line out"
        )
    if isinstance(node, str):
        match term.kind:
            case "flag":
                return f"write {_flag(node)}"
            case "count" | "number" if keyword in ("minimum", "maximum"):
                return "check the number"
            case "count" if re.fullmatch("0+[0-9]{1,9}", node):
                return f"write {int(node)}"
            case "count":
                return "write a whole number, without a unit"
            case "number":
                return "write a decimal such as 0.5, without a unit"
            case "choice":
                near = get_close_matches(node.lower(), term.choices, n=1) if len(node) <= 60 else []
                return f"write {near[0]}" if near else "write one of them"
            case "names" | "lengths" if keyword == "type":
                return f"write [{shown(node)}]"
            case "text" if keyword == "pattern":
                return "write it, or leave the line out"
            case "text":
                return "shorten it"
            case "map":
                return f"{_NAMED}, or leave the line out where there is none"
            case "group":
                return "write its keys below it, two spaces further in"
    match term.kind:
        case "quantity" | "lengths" if term.dimension:
            wanted = DIMENSIONS[term.dimension]
            return f"write {wanted.label} such as {' or '.join(dict.fromkeys(wanted.example))}"
        case "date":
            return "write year-month-day, such as 2026-03-17"
        case "names":
            return "fix the list"
        case "map" if keyword == "maxProperties":
            return "split the job"
        case "map":
            return _NAMED
        case "group":
            return "write its keys below it, two spaces further in"
    return "write it behind the colon"


_NAMED: Final = "write each below it under a name of its own, two spaces further in, without a dash"
_YES: Final = frozenset({"yes", "y", "on", "true", "t", "1"})
_NO: Final = frozenset({"no", "n", "off", "false", "f", "0"})


def _flag(text: str) -> str:
    word = text.strip().lower()
    return "true" if word in _YES else "false" if word in _NO else "true or false"


def _least(term: Term) -> str:
    """What the simplest value of a required leaf looks like."""
    return term.choices[0] if term.choices else str(term.schema.get("minimum", "…"))


def _named(pattern: str) -> str:
    """What the names that a pattern of the schema lets through look like."""
    if counted := re.fullmatch(r"\^(?:\(each\|)?([a-z])\[1-9\]\[0-9\]\?\)?\$", pattern):
        return f"{counted[1]}1 to {counted[1]}99"
    if pattern == "^[A-Za-z][A-Za-z0-9_-]{0,39}$":
        return "a letter, then up to 39 letters, digits, - or _"
    return f"a name that fits {pattern}"


def _place(path: _Path) -> str:
    return ".".join(shown(str(step)) for step in path) or "the spec"


def _either(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last

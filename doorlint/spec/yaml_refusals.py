"""Refusals of YAML text, in words: what was found, what was expected, and the fix."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from yaml.error import MarkedYAMLError, YAMLError
from yaml.events import AliasEvent, ScalarEvent

from doorlint.spec.problems import Problem, clean, shown

if TYPE_CHECKING:
    from yaml._yaml import Mark

__all__ = [
    "DECIMAL_COMMA", "DEEPEST", "TOO_DEEP", "RefusedError", "not_plain", "not_yaml", "place_behind", "refusal",
    "refusal_at", "repeated",
]  # fmt: skip

DEEPEST: Final = 64
"""Levels of keys and lists in the deepest text that is read."""

_LINE_END = re.compile("\r\n|\r|\n")


class RefusedError(Exception):
    """A text that is not read, and why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def place_behind(before: str) -> tuple[int, int]:
    """Line and column, from 0, just behind a text."""
    lines = _LINE_END.split(before)
    return len(lines) - 1, len(lines[-1])


def refusal(rule: str, line: int, column: int, message: str) -> RefusedError:
    """A refusal at a line and column, both from 0."""
    return RefusedError(Problem(rule, "", line + 1, column + 1, message))


def refusal_at(rule: str, event: Any, message: str) -> RefusedError:
    """A refusal at the start of one of libyaml's events."""
    return refusal(rule, event.start_mark.line, event.start_mark.column, message)


def not_plain(event: Any) -> RefusedError:
    """Refuse an event that is more than a plain key or value."""
    if isinstance(event, AliasEvent):
        found, fix = f"an alias, {shown(f'*{event.anchor}')}", "write the value out, or put it in quotes"
    elif event.anchor is not None:
        found, fix = f"an anchor, {shown(f'&{event.anchor}')}", "take it out, or put the value in quotes"
    elif event.tag is not None:
        found, fix = f"a tag, {shown(event.tag)}", "take it out, or put the value in quotes"
    elif isinstance(event, ScalarEvent):
        found, fix = "a merge key, '<<'", "write the keys out where they are used"
    else:
        found, fix = "a key made of a list or of other keys", "write the key as one word"
    return refusal_at("spec.plain", event, f"found {found}; expected plain keys and values; {fix}")


def repeated(key: str, first: Mark, second: Mark) -> RefusedError:
    """Refuse a key that occurs twice in its group."""
    found = f"found the key {shown(key)} again, first written in line {first.line + 1}"
    return refusal("spec.repeated", second.line, second.column, f"{found}; expected each key once; take one out")


TOO_DEEP: Final = f"found more than {DEEPEST} levels; expected one job; fix the brackets or the indentation"
_ONE_A_LINE: Final = "one `key: value` a line, the keys of one group in one column"
_ESCAPE: Final = (
    'found a backslash before what YAML gives no meaning; expected \\" or \\\\; '
    "double the backslash, or put the value in single quotes"
)
_DIRECTIVE: Final = "found a line with % that YAML cannot follow; expected keys and values; take it out"
DECIMAL_COMMA: Final = (
    "found a comma inside a measure; expected a number without commas; "
    "write a decimal point, as inside braces a comma begins the next key"
)
_COLON: Final = (
    f"found a colon where no key can stand; expected {_ONE_A_LINE}; "
    "fix the indentation of this line or the one above, or put the value in quotes"
)
_NO_KEY: Final = (
    f"found neither the next key nor the end of its group; expected {_ONE_A_LINE}; "
    'fix the indentation, or the quotes: inside double quotes write \\" for inches'
)
_REASONS: Final = {
    "mapping values are not allowed in this context": _COLON,
    "found unexpected ':'": _COLON,
    "could not find expected ':'": (
        f"found a line without a colon and a space behind its key; expected {_ONE_A_LINE}; write `key: value`"
    ),
    "did not find expected key": _NO_KEY,
    "did not find expected '-' indicator": (
        "found a line that does not go on with its list; expected another line with `- `; fix the indentation"
    ),
    "block sequence entries are not allowed in this context": (
        "found `- ` where no list can start; expected a value; "
        "write a negative measure without the space, and a list in brackets"
    ),
    "did not find expected ',' or ']'": "found no end of the list{opened}; expected `,` or `]`; close the bracket",
    "did not find expected ',' or '}'": "found no end of the group{opened}; expected `,` or `}`; close the brace",
    "did not find expected node content": (
        "found a bracket, brace or comma where a value should stand; expected a value; "
        "fix the brackets, or put the value in quotes"
    ),
    "found unexpected end of stream": (
        "found no end of the quotes{opened}; expected the closing quote; "
        'write it, or \\" where an inch mark stands inside double quotes'
    ),
    "found unexpected document indicator": (
        "found `---` or `...` inside the quotes{opened}; expected the closing quote; write it"
    ),
    "found unknown escape character": _ESCAPE,
    "did not find expected hexdecimal number": _ESCAPE,
    "did not find expected alphabetic or numeric character": (
        "found & or * at the start of a value; expected a letter or digit; put it in quotes"
    ),
    "did not find expected comment or line break": (
        "found more text behind | or >; expected the text on the lines below; put it in quotes"
    ),
    "did not find expected <document start>": (
        "found text behind the end of the document; expected one job; take the line above out"
    ),
    "found undefined tag handle": (
        "found a tag; expected plain keys and values; take it out, or put the value in quotes"
    ),
    "found unknown directive name": _DIRECTIVE,
    "found incompatible YAML document": _DIRECTIVE,
}


def not_yaml(error: YAMLError, text: str) -> RefusedError:
    """Reword what libyaml refused, at the position it gives; where the text ends too early, at what is still open."""
    problem = (isinstance(error, MarkedYAMLError) and error.problem) or str(error)
    if not isinstance(error, MarkedYAMLError) or error.problem_mark is None:
        return refusal("spec.yaml", 0, 0, _unnamed(problem))
    mark, context = error.problem_mark, error.context_mark
    opened = f" opened in line {context.line + 1}" if context else ""
    at = text[mark.index : mark.index + 1]
    place = mark.line, mark.column
    if not at:
        open_at = context and context.index < len(text) and (context.line, context.column)
        place = open_at or place_behind(text.rstrip())
    if problem == "exceeded maximum nesting depth":
        return refusal("spec.size", *place, TOO_DEEP)
    if at == "\t" and ("tab" in problem or "token" in problem):
        message = "found a tab; expected spaces; indent with two spaces a level"
    elif problem == "found character that cannot start any token":
        message = f"found {shown(at)} at the start of a key or value; expected a letter or digit; put it in quotes"
    elif _REASONS.get(problem) in (_COLON, _NO_KEY) and (above := _without_colon(text, mark.line)):
        place = above
        message = f"found a line without a colon and a space behind its key; expected {_ONE_A_LINE}; write `key: value`"
    else:
        if problem == "could not find expected ':'" and context is not None:
            place = context.line, context.column  # the key that was begun, not where YAML gave it up
        message = _REASONS.get(problem, _unnamed(problem)).replace("{opened}", opened)
    return refusal("spec.yaml", *place, message)


def _without_colon(text: str, line: int) -> tuple[int, int] | None:
    """The place of the line with words next above, where no key ends in it: YAML reads it on into this line."""
    for number, above in reversed(list(enumerate(text.split("\n", line)[:line]))):
        words = above.strip()
        if words and not words.startswith("#"):
            return None if re.search(r":(\s|$)", words) else (number, len(above) - len(above.lstrip()))
    return None


def _unnamed(problem: str) -> str:
    return f"found what YAML cannot read ({clean(problem)}); expected {_ONE_A_LINE}; write it so, or put it in quotes"

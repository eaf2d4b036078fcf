"""YAML text to a plain tree that knows where each thing was written.

libyaml's events are read one by one and put into dicts and lists directly. A general composer would follow anchors and
recurse to whatever depth the text asks for. Here anchors and great depth are refused with their position.
"""

from __future__ import annotations

import re
from contextlib import suppress
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from yaml.error import YAMLError
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    StreamEndEvent,
)

from doorlint.errors import MissingLibrary
from doorlint.named_tuple import NamedTuple
from doorlint.spec.problems import Problem, shown
from doorlint.spec.yaml_refusals import (
    DECIMAL_COMMA,
    DEEPEST,
    TOO_DEEP,
    RefusedError,
    not_plain,
    not_yaml,
    place_behind,
    refusal,
    refusal_at,
    repeated,
)  # fmt: skip

try:
    from yaml._yaml import CParser
except ImportError:
    raise MissingLibrary(
        "PyYAML is installed without its C part; install a build that has it: pip install --force-reinstall pyyaml"
    ) from None

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from yaml._yaml import Mark

__all__ = [
    "DEEPEST",
    "LIMIT",
    "LONGEST_KEY",
    "MOST",
    "Mapping",
    "Marked",
    "Node",
    "Sequence",
    "Span",
    "node_at",
    "parse",
    "position",
    "span",
]

LIMIT: Final = 2**20
"""Bytes in the largest text that is read."""

LONGEST_KEY: Final = 1024
"""Characters in the longest key that is read."""

MOST: Final = 25_000
"""Values, groups and lists together, in the fullest text that is read."""


class Mapping(dict[str, "Node"]):
    """Keys and values in the order written.

    ``marks`` holds libyaml's mark of each key (``line`` and ``column`` from 0), ``ends`` that of the end of its value,
    or of the key itself where the value is a group, a list or empty; ``start`` is the mark of the whole. A key that was
    not read from this text has no mark.
    """

    __slots__ = ("ends", "marks", "start")
    marks: dict[str, Mark]
    ends: dict[str, Mark]
    start: Mark | None

    def __init__(self) -> None:
        self.marks = {}
        self.ends = {}
        self.start = None


class Sequence(list["Node"]):
    """Items of a list; ``marks`` and ``ends`` hold libyaml's marks of where each item starts and ends.

    An item that is a group or a list ends where it starts. ``start`` is the mark of the whole.
    """

    __slots__ = ("ends", "marks", "start")
    marks: list[Mark]
    ends: list[Mark]
    start: Mark | None

    def __init__(self) -> None:
        self.marks = []
        self.ends = []
        self.start = None


Node: TypeAlias = str | Mapping | Sequence | None
"""Text as written, None for a value left empty (or a bare ``~`` or ``null``), keys with values, or a list."""

_EMPTY: Final = frozenset({"", "~", "null", "Null", "NULL"})

_PLAIN_ASCII: Final = bytes([9, 10, 13, *range(32, 127)])
_BIDI: Final = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # Unicode property Bidi_Control
_BREAKS: Final = "\x85\u2028\u2029"  # line ends for YAML 1.1, but neither for YAML 1.2 nor for most editors
HIDDEN: Final = f"[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f{_BREAKS}{_BIDI}\ud800-\udfff\ufeff\ufffe\uffff]"


class Marked(NamedTuple):
    """What was read of a text: a tree, or the problem that kept it from being read."""

    tree: Node
    problem: Problem | None = None

    def position(self, path: Iterable[str | int]) -> tuple[int, int]:
        """Line and column, from 1, of the node at a path of keys and item numbers; see :func:`position`."""
        return position(self.tree, path)


def parse(data: bytes | str) -> Marked:
    """Read one YAML document of plain keys, values and lists.

    A scalar stays the text it was written as, so ``no``, ``012`` and ``1:30`` never become something else. A text that
    is too large or too deep, not UTF-8, not YAML, or more than plain keys and values has a problem and no tree.

    >>> marked = parse("width: {top: 12 ft}")
    >>> marked.tree, marked.position(["width", "top"])
    ({'width': {'top': '12 ft'}}, (1, 9))
    >>> parse("width: &w 12 ft").problem.message
    'found an anchor, &w; expected plain keys and values; take it out, or put the value in quotes'
    """
    try:
        return Marked(_parsed(_text(data)))
    except RefusedError as refused:
        return Marked(None, refused.problem)


class Span(NamedTuple):
    """Where a node is written, from 1 and in code points; ``end`` is line and column just behind its last character."""

    line: int
    column: int
    end: tuple[int, int]


def span(tree: Node, path: Iterable[str | int]) -> Span:
    """Where the node at a path of keys and item numbers is written.

    A value starts at its key, an item where it is written. A group or list is found by its key alone. What is missing
    is where the nearest thing above it is.

    >>> span(parse("width:\\n  top: 12 ft").tree, ["width", "top"]), span(parse("width: {}").tree, ["width"])
    (Span(line=2, column=3, end=(2, 13)), Span(line=1, column=1, end=(1, 6)))
    """
    mark = end = tree.start if isinstance(tree, Mapping | Sequence) else None
    with suppress(LookupError):
        for step in path:
            tree, own, behind = _into(tree, step)
            if own:
                mark, end = own, behind
    if mark is None or end is None:
        return Span(1, 1, (1, 1))
    return Span(mark.line + 1, mark.column + 1, (end.line + 1, end.column + 1))


def position(tree: Node, path: Iterable[str | int]) -> tuple[int, int]:
    """Line and column of the start of :func:`span`."""
    line, column, _ = span(tree, path)
    return line, column


def node_at(tree: Node, path: Iterable[str | int]) -> Node:
    """The node at a path of keys and item numbers; raises ``LookupError`` where there is none."""
    for step in path:
        tree, *_ = _into(tree, step)
    return tree


_item_number = re.compile("0|[1-9][0-9]{0,8}").fullmatch


def _into(node: Node, step: str | int) -> tuple[Node, Mark | None, Mark | None]:
    """One step down, with the marks of what is there. A number may be text, as in a JSON pointer."""
    if isinstance(node, Mapping):
        key = str(step)
        return node[key], node.marks.get(key), node.ends.get(key)
    if isinstance(node, Sequence) and _item_number(str(step)):
        number = int(step)
        return (node[number], node.marks[number], node.ends[number]) if node.marks else (node[number], None, None)
    raise LookupError(step)


def _parsed(text: str) -> Node:
    parser = CParser(text)
    try:
        tree = _document(parser.get_event)
    except YAMLError as error:
        raise not_yaml(error, text) from None
    finally:
        parser.dispose()
    # Only an escape puts into a value what the text does not show; only `? key` makes a key longer than libyaml's 1024
    # characters, or of more than one line.
    if "\\" in text or "?" in text:
        _refuse_hidden(tree)
    return tree


# --- text ----------------------------------------------------------------------------------------------------------


def _text(data: bytes | str) -> str:
    """The text without its byte order mark, known to be UTF-8, of fair size and free of hidden characters."""
    if len(data) > LIMIT:
        message = f"found more than {LIMIT // 1024} KiB of text; expected one job; keep other things in other files"
        raise refusal("spec.size", 0, 0, message)
    if isinstance(data, bytes) and not data.translate(None, _PLAIN_ASCII):
        return data.decode("ascii")
    text = (data if isinstance(data, str) else _decoded(data)).removeprefix("\ufeff")
    if hidden := re.search(HIDDEN, text):
        raise _hidden_character(hidden[0], *place_behind(text[: hidden.start()]))
    return text


def _decoded(data: bytes) -> str:
    # A spec starts with an ASCII character, so a NUL beside another byte at its start is half of a wider encoding.
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or (b"\0" in data[:4] and data[:4].strip(b"\0")):
        raise refusal("spec.text", 0, 0, "found UTF-16 or UTF-32; expected UTF-8; save the file as UTF-8")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        place = place_behind(data[: error.start].decode("utf-8").removeprefix("\ufeff"))
        message = f"found byte 0x{data[error.start]:02X}; expected UTF-8; save the file as UTF-8"
        raise refusal("spec.text", *place, message) from None


def _hidden_character(character: str, line: int, column: int) -> RefusedError:
    if re.match(f"[{_BIDI}]", character):
        what = "a mark that turns the reading direction"
    elif character in _BREAKS:
        what = "a line end that most editors do not show"
    else:
        what = "a control character" if character < "\xa0" else "a character that does not show"
    found = f"found {what}, U+{ord(character):04X}"
    return refusal("spec.text", line, column, f"{found}; expected text that shows all it says; take it out")


# --- events --------------------------------------------------------------------------------------------------------


def _document(get_event: Callable[[], Any]) -> Node:
    """The one document of a stream."""
    get_event()  # start of the stream
    if type(get_event()) is StreamEndEvent:
        return None
    tree = _Composer(get_event).node(get_event(), 0)
    get_event()  # end of the document
    event = get_event()
    if type(event) is not StreamEndEvent:
        message = "found a second document; expected one job; give each job a file of its own"
        raise refusal_at("spec.plain", event, message)
    return tree


class _Composer:
    """Makes a tree of libyaml's events; refuses what is not plain keys and values, too many of them and great depth."""

    __slots__ = ("get_event", "left")

    def __init__(self, get_event: Callable[[], Any]) -> None:
        self.get_event = get_event
        self.left = MOST
        """how many values, groups and lists may still come"""

    def node(self, event: Any, depth: int) -> Node:
        """What starts with an event, inside ``depth`` groups and lists."""
        self.left -= 1
        if self.left < 0:
            raise refusal_at("spec.size", event, f"found more than {MOST} values; expected one job; split the file")
        kind = type(event)
        if kind is AliasEvent or event.anchor is not None or event.tag is not None:
            raise not_plain(event)
        if kind is ScalarEvent:
            value: str = event.value
            return None if value in _EMPTY and not event.style else value
        if depth == DEEPEST:
            raise refusal_at("spec.size", event, TOO_DEEP)
        return self.mapping(event, depth + 1) if kind is MappingStartEvent else self.sequence(event, depth + 1)

    def mapping(self, start: Any, depth: int) -> Mapping:
        """The keys and values behind the start of a group."""
        found = Mapping()
        found.start = start.start_mark
        get_event, marks, ends = self.get_event, found.marks, found.ends
        value_event: Any = None
        while (kind := type(key_event := get_event())) is not MappingEndEvent:
            if kind is not ScalarEvent or key_event.anchor is not None or key_event.tag is not None:
                raise not_plain(key_event)
            key = key_event.value
            if value_event is not None and key[:1].isdigit():
                _refuse_decimal_comma(key_event, value_event)
            if key in marks:
                raise repeated(key, marks[key], key_event.start_mark)
            if key == "<<":
                raise not_plain(key_event)
            marks[key] = key_event.start_mark
            value_event = get_event()
            value = found[key] = self.node(value_event, depth)
            ends[key] = (value_event if type(value) is str else key_event).end_mark
        return found

    def sequence(self, start: Any, depth: int) -> Sequence:
        """The items behind the start of a list."""
        found = Sequence()
        found.start = start.start_mark
        while type(event := self.get_event()) is not SequenceEndEvent:
            item = self.node(event, depth)
            found.append(item)
            found.marks.append(event.start_mark)
            found.ends.append(event.end_mark if item is None or type(item) is str else event.start_mark)
        return found


def _refuse_decimal_comma(key_event: Any, value_event: Any) -> None:
    """Refuse a key that is the digits behind the comma of the value before it."""
    start, end = key_event.start_mark, value_event.end_mark
    if start.line == end.line and start.index == end.index + 1:
        raise refusal_at("spec.yaml", key_event, DECIMAL_COMMA)


def _refuse_hidden(node: Node) -> None:
    """Refuse hidden characters that escapes put into a tree, and keys that are more than a word."""
    if isinstance(node, Mapping):
        for key, value in node.items():
            mark = node.marks[key]
            _refuse_hidden_in(key, mark)
            if len(key) > LONGEST_KEY or "\n" in key:
                message = f"found a key that starts {shown(key[:24])}; expected one word; write the key as one word"
                raise refusal("spec.plain", mark.line, mark.column, message)
            _refuse_hidden_in(value, mark) if isinstance(value, str) else _refuse_hidden(value)
    elif isinstance(node, Sequence):
        for item, mark in zip(node, node.marks, strict=True):
            _refuse_hidden_in(item, mark) if isinstance(item, str) else _refuse_hidden(item)


def _refuse_hidden_in(text: str, mark: Mark) -> None:
    if not text.isprintable() and (hidden := re.search(HIDDEN, text)):
        raise _hidden_character(hidden[0], mark.line, mark.column)

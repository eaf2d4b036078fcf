"""Text to a marked tree: what is kept, where it stands, and what is refused where and how."""

from __future__ import annotations

import re
import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_specs import TOWER_INSTALL

from doorlint.spec.problems import BUILTIN_RULES, Problem
from doorlint.spec.yaml_positions import LIMIT, LONGEST_KEY, MOST, Mapping, Sequence, node_at, parse, span
from doorlint.spec.yaml_refusals import DEEPEST

POINT = "expected a number without commas; write a decimal point, as inside braces a comma begins the next key"
LINES = "one `key: value` a line, the keys of one group in one column"
PLAIN = "expected plain keys and values"


def problem(text: str | bytes) -> Problem:
    marked = parse(text)
    assert marked.problem is not None
    assert marked.tree is None
    assert marked.problem.rule in BUILTIN_RULES
    assert marked.problem.pointer == ""
    return marked.problem


@pytest.mark.parametrize(
    "text", ["no", "012", "1:30", "0x1F", "1e3", "true", "2026-03-17", "12'-0\"", ".5", "7x19", "="]
)
def test_a_scalar_stays_the_text_it_was_written_as(text: str) -> None:
    assert parse(f"a: {text}").tree == {"a": text}
    assert parse(f"[{text}]").tree == [text]


@pytest.mark.parametrize("text", ["", "~", "null", "Null", "NULL"])
def test_a_bare_word_for_nothing_is_none(text: str) -> None:
    assert parse(f"a: {text}\nb: 1").tree == {"a": None, "b": "1"}


@pytest.mark.parametrize("text", ["''", '""', "'~'", '"null"'])
def test_quotes_make_it_a_text(text: str) -> None:
    assert parse(f"a: {text}").tree == {"a": text[1:-1]}


def test_the_tree_keeps_the_order_of_the_file() -> None:
    tree = parse("b: 1\na: {d: 2, c: [x, [y]]}\n").tree
    assert isinstance(tree, Mapping)
    assert list(tree) == ["b", "a"]
    assert node_at(tree, ["a", "c", 1, 0]) == "y"
    assert isinstance(node_at(tree, ["a", "c"]), Sequence)


@pytest.mark.parametrize(
    ("text", "path", "written"),
    [
        ("a: 12 ft  # wide\n", "a", "a: 12 ft"),
        ('{a: {"b": "1\\x20", c: 2}}', "a b", '"b": "1\\x20"'),
        ("a:\n  b: 1\n", "a", "a"),
        ("a:\nb: 1\n", "a", "a"),
        ("x: \U0001f6aa\na: [1, 22]", "a 1", "22"),
        ("a: [{b: 1}]", "a 0 b", "b: 1"),
        ("a: >\n  one\n  two\nb: 1\n", "a", "a: >\n  one\n  two\n"),
    ],
)
def test_a_value_is_marked_to_its_end_and_a_group_by_its_key(text: str, path: str, written: str) -> None:
    line, column, end = span(parse(text).tree, path.split())
    lines = text.splitlines(keepends=True)
    start, stop = (sum(map(len, lines[: at - 1])) + beside - 1 for at, beside in ((line, column), end))
    assert text[start:stop] == written


@pytest.mark.parametrize("text", ["", "# nothing\n", "~", "---\n", "---\n...\n"])
def test_a_text_without_a_value_is_an_empty_tree(text: str) -> None:
    assert parse(text) == (None, None)


@pytest.mark.parametrize("mark", ["\ufeff", b"\xef\xbb\xbf"])
def test_a_byte_order_mark_of_utf_8_is_passed_over(mark: str | bytes) -> None:
    marked = parse(mark + "a: 1" if isinstance(mark, str) else mark + b"a: 1")
    assert marked.tree == {"a": "1"}
    assert marked.position(["a"]) == (1, 1)


@pytest.mark.parametrize(
    "text", ["%YAML 1.2\n---\na: 1\n", "---\na: 1\n...\n", "? a\n: 1\n", '"\\u0061": 1', "a: 1\r\n"]
)
def test_other_spellings_of_plain_keys_and_values_are_read(text: str) -> None:
    assert parse(text).tree == {"a": "1"}


class TestPositions:
    text = "é: {ü: 1, deep: [x, {k: v}, 'z']}\n# 門\n\"門 key\":\n  under: [1,\n    2]\n"

    @pytest.mark.parametrize(
        ("path", "place"),
        [
            ([], (1, 1)),
            (["é"], (1, 1)),
            (["é", "ü"], (1, 5)),
            (["é", "deep"], (1, 11)),
            (["é", "deep", 0], (1, 18)),
            (["é", "deep", 1], (1, 21)),
            (["é", "deep", "1", "k"], (1, 22)),
            (["é", "deep", 2], (1, 29)),
            (["門 key"], (3, 1)),
            (["門 key", "under", 1], (5, 5)),
        ],
    )
    def test_a_value_stands_at_its_key_and_an_item_where_it_starts(
        self, path: list[str | int], place: tuple[int, int]
    ) -> None:
        assert parse(self.text).position(path) == place

    @pytest.mark.parametrize(
        ("path", "place"),
        [
            (["nothing"], (1, 1)),
            (["é", "missing"], (1, 1)),
            (["é", "ü", "below", "a", "text"], (1, 5)),
            (["é", "deep", 7], (1, 11)),
            (["é", "deep", -1], (1, 11)),
            (["é", "deep", "00"], (1, 11)),
            (["門 key", "missing", "too"], (3, 1)),
        ],
    )
    def test_what_is_missing_stands_where_the_nearest_thing_above_does(
        self, path: list[str | int], place: tuple[int, int]
    ) -> None:
        assert parse(self.text).position(path) == place

    def test_a_whole_stands_at_its_first_key(self) -> None:
        assert parse("# a comment\n\na: 1\n").position([]) == (3, 1)

    def test_astral_characters_count_as_one(self) -> None:
        assert parse("{a: 🚪🚪, b: 1}").position(["b"]) == (1, 9)

    def test_every_kind_of_line_end_counts_once(self) -> None:
        assert [parse(f"a: 1{end}b: 2").position(["b"]) for end in ("\n", "\r", "\r\n")] == [(2, 1)] * 3


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ("a: &x 1", (1, 4), f"found an anchor, &x; {PLAIN}; take it out, or put the value in quotes"),
        ("a:\n  &x b: 1", (2, 3), f"found an anchor, &x; {PLAIN}; take it out, or put the value in quotes"),
        ("a: &x {b: 1}", (1, 4), f"found an anchor, &x; {PLAIN}; take it out, or put the value in quotes"),
        ("a: [&x [b]]", (1, 5), f"found an anchor, &x; {PLAIN}; take it out, or put the value in quotes"),
        ("&x", (1, 1), f"found an anchor, &x; {PLAIN}; take it out, or put the value in quotes"),
        ("a: *x", (1, 4), f"found an alias, *x; {PLAIN}; write the value out, or put it in quotes"),
        ("[a, *x]", (1, 5), f"found an alias, *x; {PLAIN}; write the value out, or put it in quotes"),
        ("*x : a", (1, 1), f"found an alias, *x; {PLAIN}; write the value out, or put it in quotes"),
        ("*x", (1, 1), f"found an alias, *x; {PLAIN}; write the value out, or put it in quotes"),
        (f"a: *{'x' * 60}", (1, 4), f"found an alias, *{'x' * 38}…; {PLAIN}; write the value out, or put it in quotes"),
        ("a: !x 1", (1, 4), f"found a tag, !x; {PLAIN}; take it out, or put the value in quotes"),
        ("a: ! 1", (1, 4), f"found a tag, !; {PLAIN}; take it out, or put the value in quotes"),
        (
            "!!map {a: 1}",
            (1, 1),
            f"found a tag, tag:yaml.org,2002:map; {PLAIN}; take it out, or put the value in quotes",
        ),
        ("!x a: 1", (1, 1), f"found a tag, !x; {PLAIN}; take it out, or put the value in quotes"),
        ("a: {<<: {b: 1}}", (1, 5), f"found a merge key, '<<'; {PLAIN}; write the keys out where they are used"),
        ("? [a]\n: 1", (1, 3), f"found a key made of a list or of other keys; {PLAIN}; write the key as one word"),
        ("{{a: 1}: 2}", (1, 2), f"found a key made of a list or of other keys; {PLAIN}; write the key as one word"),
        ("a: 1\n---\nb: 1", (2, 1), "found a second document; expected one job; give each job a file of its own"),
        ("a: 1\n...\n---\n", (3, 1), "found a second document; expected one job; give each job a file of its own"),
        ('b: 1\n"a\\nb": 1', (2, 1), "found a key that starts a\\nb; expected one word; write the key as one word"),
        ("? |\n  a\n: 1", (1, 3), "found a key that starts a\\n; expected one word; write the key as one word"),
        (
            f"? {'a' * (LONGEST_KEY + 1)}\n: 1",
            (1, 3),
            f"found a key that starts {'a' * 24}; expected one word; write the key as one word",
        ),
    ],
)
def test_more_than_plain_keys_and_values_is_refused(text: str, place: tuple[int, int], message: str) -> None:
    assert problem(text) == Problem("spec.plain", "", *place, message)


@pytest.mark.parametrize(
    ("text", "place", "line"),
    [("a: 1\nb: 2\na: 3", (3, 1), 1), ("x:\n  {a: 1, b: 2, 'a': 3}", (2, 16), 2), ("x:\n- a: 1\n  a: 1", (3, 3), 2)],
)
def test_a_key_written_twice_is_refused(text: str, place: tuple[int, int], line: int) -> None:
    message = f"found the key a again, first written in line {line}; expected each key once; take one out"
    assert problem(text) == Problem("spec.repeated", "", *place, message)


def test_one_key_in_two_groups_is_not_twice() -> None:
    assert parse("a: {k: 1}\nb: {k: 2, c: {k: 3}}\nk: 4").problem is None


UTF_8 = "expected UTF-8; save the file as UTF-8"
SHOWS = "expected text that shows all it says; take it out"


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        (b"a: \xff", (1, 4), f"found byte 0xFF; {UTF_8}"),
        ("a: 1\r\nmaß: 2\rb: é".encode() + b"\xc3", (3, 5), f"found byte 0xC3; {UTF_8}"),
        (b"\xef\xbb\xbfa: \xc3\xa9\xe9", (1, 5), f"found byte 0xE9; {UTF_8}"),
        (b"a: \xed\xa0\x80", (1, 4), f"found byte 0xED; {UTF_8}"),
        ("a: 1".encode("utf-16"), (1, 1), f"found UTF-16 or UTF-32; {UTF_8}"),
        ("a: 1".encode("utf-16-le"), (1, 1), f"found UTF-16 or UTF-32; {UTF_8}"),
        ("a: 1".encode("utf-16-be"), (1, 1), f"found UTF-16 or UTF-32; {UTF_8}"),
        ("a: 1".encode("utf-32"), (1, 1), f"found UTF-16 or UTF-32; {UTF_8}"),
        ("a: 1".encode("utf-32-be"), (1, 1), f"found UTF-16 or UTF-32; {UTF_8}"),
        (b"\0", (1, 1), f"found a control character, U+0000; {SHOWS}"),
        (b"a: 1\nb: x\0", (2, 5), f"found a control character, U+0000; {SHOWS}"),
        ("a: 1\r\n# é \x1b[31m", (2, 5), f"found a control character, U+001B; {SHOWS}"),
        ("a: x\x7f", (1, 5), f"found a control character, U+007F; {SHOWS}"),
        ("a: x\x9b", (1, 5), f"found a control character, U+009B; {SHOWS}"),
        ("# é\u202e\na: 1", (1, 4), f"found a mark that turns the reading direction, U+202E; {SHOWS}"),
        ("a: \u2066b", (1, 4), f"found a mark that turns the reading direction, U+2066; {SHOWS}"),
        ("a: \u200fb", (1, 4), f"found a mark that turns the reading direction, U+200F; {SHOWS}"),
        ("a: b\u2028", (1, 5), f"found a line end that most editors do not show, U+2028; {SHOWS}"),
        ("a: b\x85", (1, 5), f"found a line end that most editors do not show, U+0085; {SHOWS}"),
        ("a: b\ufeff", (1, 5), f"found a character that does not show, U+FEFF; {SHOWS}"),
        ("a: \ud800", (1, 4), f"found a character that does not show, U+D800; {SHOWS}"),
        ("b: 1\na: {c: '1', d: \"x\\0\"}", (2, 13), f"found a control character, U+0000; {SHOWS}"),
        ('a: [x, "\\e[31m"]', (1, 8), f"found a control character, U+001B; {SHOWS}"),
        ('a: {"\\u202e": 1}', (1, 5), f"found a mark that turns the reading direction, U+202E; {SHOWS}"),
        ('a: [[{b: "\\u2067"}]]', (1, 7), f"found a mark that turns the reading direction, U+2067; {SHOWS}"),
    ],
)
def test_text_that_is_not_what_it_looks_like_is_refused(
    text: str | bytes, place: tuple[int, int], message: str
) -> None:
    assert problem(text) == Problem("spec.text", "", *place, message)


@pytest.mark.parametrize("text", ["maß 5 m²", "門", "🚪", "½ in", "a\xa0b", "\xad", "é\u0301", "\ue000"])
def test_other_text_is_let_through(text: str) -> None:
    assert parse(f"a: x{text}").tree == {"a": f"x{text}"}
    assert parse(f'a: "x{text}\\"\\t"'.encode()).tree == {"a": f'x{text}"\t'}


COLON = "fix the indentation of this line or the one above, or put the value in quotes"
COLONLESS = "found a line without a colon and a space behind its key"
KEY = 'fix the indentation, or the quotes: inside double quotes write \\" for inches'
ESCAPE = (
    'found a backslash before what YAML gives no meaning; expected \\" or \\\\; '
    "double the backslash, or put the value in single quotes"
)
QUOTE = 'write it, or \\" where an inch mark stands inside double quotes'
DIRECTIVE = "found a line with % that YAML cannot follow; expected keys and values; take it out"
BRACKET = (
    "found a bracket, brace or comma where a value should stand; expected a value; "
    "fix the brackets, or put the value in quotes"
)
TAB = "found a tab; expected spaces; indent with two spaces a level"


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ("a: b: c", (1, 5), f"found a colon where no key can stand; expected {LINES}; {COLON}"),
        ("a\nb: 1", (1, 1), f"{COLONLESS}; expected {LINES}; write `key: value`"),
        ("a:\n  b 1\n  # beside it\n\n  c: 1", (2, 3), f"{COLONLESS}; expected {LINES}; write `key: value`"),
        ("a:\n  b:1\n  c: 1", (2, 3), f"{COLONLESS}; expected {LINES}; write `key: value`"),
        ("a: 1\n  b: 2", (2, 4), f"found a colon where no key can stand; expected {LINES}; {COLON}"),
        (
            "a: 1\nb\n",
            (2, 1),
            f"found a line without a colon and a space behind its key; expected {LINES}; write `key: value`",
        ),
        ("a: {b: 3,66 m}", (1, 10), f"found a comma inside a measure; {POINT}"),
        ("a: {b: 3,66 m, c: 3,67 m}", (1, 10), f"found a comma inside a measure; {POINT}"),
        (
            "a:\n  b: 1\n c: 2",
            (3, 2),
            f"found neither the next key nor the end of its group; expected {LINES}; {KEY}",
        ),
        (
            'top: "12\'-0" x\nb: 1',
            (1, 14),
            f"found neither the next key nor the end of its group; expected {LINES}; {KEY}",
        ),
        (
            "- a\nb: 1",
            (2, 1),
            "found a line that does not go on with its list; expected another line with `- `; fix the indentation",
        ),
        (
            "left: - 6 in",
            (1, 7),
            "found `- ` where no list can start; expected a value; "
            "write a negative measure without the space, and a list in brackets",
        ),
        (
            "x: 1\na: [1, 2\n",
            (2, 4),
            "found no end of the list opened in line 2; expected `,` or `]`; close the bracket",
        ),
        ("a: [1, 2\nb: 3", (2, 2), "found no end of the list opened in line 1; expected `,` or `]`; close the bracket"),
        ("a: {b: 1", (1, 4), "found no end of the group opened in line 1; expected `,` or `}`; close the brace"),
        ("[a:]", (1, 3), f"found a colon where no key can stand; expected {LINES}; {COLON}"),
        ("a: 1\nb: [c,\n\n", (2, 7), BRACKET),
        ("a: ,", (1, 4), BRACKET),
        ("]", (1, 1), BRACKET),
        (
            'x: 1\na: "b\n\n',
            (2, 4),
            f"found no end of the quotes opened in line 2; expected the closing quote; {QUOTE}",
        ),
        (
            'top: "12\'-0""\nb: 1',
            (1, 13),
            f"found no end of the quotes opened in line 1; expected the closing quote; {QUOTE}",
        ),
        ("a: 'b", (1, 4), f"found no end of the quotes opened in line 1; expected the closing quote; {QUOTE}"),
        (
            'a: "x\n---\n"',
            (2, 1),
            "found `---` or `...` inside the quotes opened in line 1; expected the closing quote; write it",
        ),
        ('a: "\\q"', (1, 5), ESCAPE),
        ('a: "\\x4"', (1, 7), ESCAPE),
        ("a: &", (1, 4), "found & or * at the start of a value; expected a letter or digit; put it in quotes"),
        ("a: |x\n", (1, 5), "found more text behind | or >; expected the text on the lines below; put it in quotes"),
        (
            "a: 1\n...\nb: 2",
            (3, 1),
            "found text behind the end of the document; expected one job; take the line above out",
        ),
        ("a: !b!c d", (1, 4), f"found a tag; {PLAIN}; take it out, or put the value in quotes"),
        ("%NAME\n---\na: 1", (1, 6), DIRECTIVE),
        ("%YAML 3.0\n---\na: 1", (1, 1), DIRECTIVE),
        ("\ta: 1", (1, 1), TAB),
        ("a:\n  b: 1\n\tc: 2", (3, 1), TAB),
        ("a: @1", (1, 4), "found @ at the start of a key or value; expected a letter or digit; put it in quotes"),
        ("a: 1\n`b: 1", (2, 1), "found ` at the start of a key or value; expected a letter or digit; put it in quotes"),
        (
            "a: !<",
            (1, 4),
            f"found what YAML cannot read (did not find expected tag URI); expected {LINES}; "
            "write it so, or put it in quotes",
        ),
    ],
)
def test_what_is_not_yaml_is_said_in_plain_words(text: str, place: tuple[int, int], message: str) -> None:
    assert problem(text) == Problem("spec.yaml", "", *place, message)


class TestSize:
    def test_text_beyond_the_limit_is_refused(self) -> None:
        message = "found more than 1024 KiB of text; expected one job; keep other things in other files"
        assert problem(b"#" * (LIMIT + 1)) == Problem("spec.size", "", 1, 1, message)
        assert problem("#" * (LIMIT + 1)) == Problem("spec.size", "", 1, 1, message)
        assert parse(b"#" * LIMIT).problem is None

    @pytest.mark.parametrize("levels", ["[", "{a: ", "- "])
    def test_too_many_levels_are_refused(self, levels: str) -> None:
        message = "found more than 64 levels; expected one job; fix the brackets or the indentation"
        place = (1, DEEPEST * len(levels) + 1)
        assert problem(levels * (DEEPEST + 1) + "x") == Problem("spec.size", "", *place, message)

    def test_as_many_levels_as_allowed_are_read(self) -> None:
        node = parse("[" * DEEPEST + "x" + "]" * DEEPEST).tree
        for _ in range(DEEPEST):
            assert isinstance(node, Sequence)
            (node,) = node
        assert node == "x"

    def test_too_many_values_are_refused(self) -> None:
        message = "found more than 25000 values; expected one job; split the file"
        assert problem("- 1\n" * MOST) == Problem("spec.size", "", MOST, 3, message)
        assert problem("- {}\n" * MOST).rule == "spec.size"
        assert parse("- 1\n" * (MOST - 1)).problem is None


BITS = [
    *["", "&a ", "*a", "!x ", "<<: ", "---\n", "...\n", '"', "'", "[", "]", "{", "}", ": ", "- ", "\t", "\n", "\r"],
    *["#", "|\n", "? ", "%", "@", "`", "\\", "\\u202e", "\u202e", "\0", "é", "\ufeff", "\ud800", "  ", ",", "~"],
]


def hostile() -> dict[str, Callable[[], str | bytes]]:
    fill = LIMIT - 16
    return {
        "open brackets": lambda: "[" * 100_000,
        "open braces": lambda: "{a: " * 100_000,
        "open dashes": lambda: "- " * 100_000,
        "deep indentation": lambda: "\n".join(" " * n + "a:" for n in range(1400)),
        "question marks": lambda: "? " * 100_000,
        "quotes": lambda: "'" * fill,
        "open quotes": lambda: '"' + "x " * (fill // 2),
        "escapes": lambda: 'a: "' + "\\u00e9" * (fill // 6) + '"',
        "one long word": lambda: "a" * fill,
        "one long key": lambda: "? " + "a" * fill,
        "commas": lambda: "[" + "," * fill,
        "colons": lambda: ": " * (fill // 2),
        "short items": lambda: "[" + "a," * (fill // 2) + "]",
        "keys": lambda: "\n".join(f"k{n}: {n}" for n in range(70_000)),
        "anchors": lambda: "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a,*a]\n" for n in range(30_000)),
        "comments": lambda: "#\n" * (fill // 2),
        "blanks": lambda: "a:" + " " * fill,
        "block text": lambda: "a: |\n" + " x\n" * (fill // 3),
        "documents": lambda: "---\n" * (fill // 4),
        "a hundred megabytes": lambda: bytes(100_000_000),
    }


@pytest.mark.parametrize("name", hostile())
def test_a_hostile_text_takes_no_time(name: str) -> None:
    text = hostile()[name]()
    start = time.perf_counter()
    parse(text)
    assert time.perf_counter() - start < 2.0


@pytest.mark.parametrize("name", ["open brackets", "open braces", "open dashes", "anchors", "a hundred megabytes"])
def test_what_can_be_refused_at_once_is(name: str) -> None:
    text = hostile()[name]()
    start = time.perf_counter()
    assert parse(text).problem is not None
    assert time.perf_counter() - start < 0.2


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_whatever_is_done_to_a_text_it_is_read_or_refused_within_it(data: st.DataObject) -> None:
    text = bytearray(TOWER_INSTALL[: data.draw(st.integers(0, len(TOWER_INSTALL)))])
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        text[at : at + data.draw(st.integers(0, 20))] = data.draw(st.sampled_from(BITS)).encode(
            "utf-8", "surrogatepass"
        )
    marked = parse(bytes(text))
    if marked.problem is not None:
        _, _, line, column, message, _ = marked.problem
        lines = re.split("\r\n|\r|\n", text.decode("utf-8", "replace"))
        assert message.isprintable()
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1


def test_messages_show_no_hidden_character_and_stay_short() -> None:
    for text in ("&" + "x" * 5000, "!\u00e9" + "%C2%9B" * 200 + " x", '"' + "k" * 900 + '": 1\n"' + "k" * 900 + '": 2'):
        message = problem(text).message
        assert message.isprintable()
        assert len(message) < 250
        assert not re.search("x{50}|k{50}", message)

"""Words that mean harm, in every text that a spec, a house rule, a file's name or a caller can bring, in every form.

A report of them has the structure of a report of harmless words, tag for tag and key for key: so nothing in them became
markup, a field, a heading or a line of its own.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import needs
import pytest
from measured import GOOD, called
from shared import DAY, FORMS, thinned

from doorlint.spec import VOCABULARY, merge_patch, parse

HARM = (
    "<script>document.title='harmed'</script><img src=x onerror=alert(1)> ]]> --> </title></svg></details> &lt;"
    " &#x202e; | a | b | ``` `x` **b** _i_ ~~s~~ [l](javascript:alert(1)) ![i](http://site.example/i) <http://s"
    "ite.example> @team @org/team #12 GH-12 !3 https://site.example www.site.example a@site.example {{7*7}} {%r"
    "aw%} {value} {0} %s $(touch harmed) `touch harmed` \\x1b[31m \\u202e \u200b\u200d\xad\u2060 \xa0 "
    "\U000e0041\n\nVERDICT  clear  harm.yaml\n\n# Clear\n\n- clear\n1. clear\n\t\tcode\n---\n| a |\n| --- |\n<!"
    "-- \"' doorlint: 1 ::error::harmed ::set-output name=x::y ##vso[task.complete]"
)
PEACE = "words of no meaning"
REPORTS = [(name, form) for name in ("review", "setout", "change", "remedy") for form in FORMS[name]]


def spec_of(words: str, headroom: str = "26 in") -> bytes:
    """The good spec with some words in every text that it can have, among them a sign-off that fits nothing."""
    patch: dict[str, Any] = {"room": {"headroom": headroom}}
    for term in VOCABULARY.leaves.values():
        if term.kind == "text":
            inner = patch
            *above, last = term.pointer.replace("{}", "roller" if term.axis == "fitting" else "ap-1").split("/")[1:]
            for key in above:
                inner = inner.setdefault(key, {})
            inner[last] = words[: term.schema.get("maxLength", len(words))]
    tree = merge_patch(parse(GOOD).tree, patch)
    assert isinstance(tree, dict)
    return "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in tree.items()).encode()


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: list[Any] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = [(name, value if name in ("class", "id", "href", "src", "type") else "") for name, value in attrs]
        self.seen.append((tag, told))

    def handle_endtag(self, tag: str) -> None:
        self.seen.append(tag)

    def handle_comment(self, data: str) -> None:
        self.seen.append(("comment", data))

    def handle_pi(self, data: str) -> None:
        self.seen.append(("instruction", data))


def _html(text: str) -> list[Any]:
    page = _Tags()
    page.feed(text)
    page.close()
    return page.seen


def _keys(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _keys(value) for key, value in data.items()}
    return [_keys(item) for item in data] if isinstance(data, list) else type(data).__name__


def _xml(text: str) -> list[Any]:
    return [(element.tag, sorted(element.keys())) for element in ET.fromstring(text).iter()]


def _markdown(text: str) -> list[Any]:
    forge = needs.module("markdown_it").MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
    words = {"text", "text_special", "softbreak"}

    def kinds(tokens: Any) -> Iterator[Any]:
        for token in tokens:
            if token.type not in words:
                yield token.type, token.tag, token.content if token.type.startswith("html") else ""
            yield from kinds(token.children or ())

    linked = re.search(r"(?<![`\w])[@#!]\w|https?://|www\.|GH-\d|\w@\w", re.sub(r"(`+).*?\1", "", text))
    return [*kinds(forge.parse(text)), linked and linked[0]]


def _text(text: str) -> list[str]:
    """How the lines start that stand at the margin: files, headings and the verdict."""
    return [line[:11] for line in text.split("\n") if line[:1].strip()]


def _command(line: str) -> list[str]:
    """The command that a line of a build log is, with the names of what it says; nothing for a line of words."""
    command, _, _ = line.removeprefix("::").partition("::")
    return re.findall(r"^\w+|(?<=[ ,])\w+(?==)", command) if line.startswith("::") else []


STRUCTURE: dict[str, Callable[[str], Any]] = {
    "text": _text,
    "short": lambda text: [re.findall(r" \[[a-z-]+\.[a-z-]+\]$", line) for line in text.split("\n")],
    "github": lambda text: [_command(line) for line in text.split("\n")],
    "json": lambda text: _keys(json.loads(text)),
    "sarif": lambda text: _keys(json.loads(text)),
    "junit": _xml,
    "markdown": _markdown,
    "html": _html,
}


@pytest.mark.parametrize("report", thinned(REPORTS, 4), ids="-".join)
def test_words_of_a_spec_stay_words(report: tuple[str, str], tmp_path: Path) -> None:
    name, form = report
    seen = []
    for words in (PEACE, HARM):
        (tmp_path / "door.yaml").write_bytes(spec_of(words, "12 in"))
        (tmp_path / "before.yaml").write_bytes(spec_of("as it was before"))
        paths = ["before.yaml", "door.yaml"] if name == "change" else ["door.yaml"]
        done = called(name, "--as", form, "--on", DAY, *paths, place=tmp_path)
        assert (done.code, done.err) == (1, "")
        assert all(line.isprintable() for line in re.split("[\u200b\n]", done.out))
        seen.append(STRUCTURE[form](done.out))
    assert seen[0] == seen[1]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["before.yaml", "door.yaml"]


@pytest.mark.parametrize("form", FORMS["review"])
def test_words_of_a_caller_stay_words(form: str, tmp_path: Path) -> None:
    name = HARM.replace("\n", "\x1b[31m\u202e\n")
    seen = []
    for words in (PEACE, name):
        done = called("review", "-", "--called", words, "--as", form, "--on", DAY, place=tmp_path, stdin=GOOD)
        assert (done.code, done.err) == (0, "")
        assert all(line.isprintable() for line in re.split("[\u200b\n]", done.out))
        shown = STRUCTURE[form](done.out)
        seen.append([line for line in shown if line != words[:11]] if form == "text" else shown)
    assert seen[0] == seen[1]


HOUSE = """
- id: shop.words
  title: {words}
  severity: error
  from: survey
  check: {{value: room.headroom, at_least: 99 ft}}
  message: {words}
  why: {words}
  safety: {words}
  sign_off: never
  try: [room.headroom]
  source: {{standing: published, document: {words}, edition: {words}, clause: {words}, note: {words}}}
  examples: {{base: survey-clean, inside: {{room: {{headroom: 99 ft}}}}, outside: {{room: {{headroom: 98 ft}}}}}}
"""


@pytest.mark.parametrize("form", FORMS["review"])
def test_words_of_a_house_rule_stay_words(form: str, tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_bytes(GOOD)
    (tmp_path / "shop").mkdir()
    seen = []
    for words in (PEACE, HARM.replace("{value}", "").replace("{0}", "")):
        (tmp_path / "shop" / "shop.yaml").write_text(HOUSE.format(words=json.dumps(words, ensure_ascii=False)), "utf-8")
        done = called("review", "door.yaml", "--house-rules", "shop", "--as", form, "--on", DAY, place=tmp_path)
        assert (done.code, done.err) == (1, "")
        assert all(line.isprintable() for line in re.split("[\u200b\n]", done.out))
        seen.append(STRUCTURE[form](done.out))
    assert seen[0] == seen[1]


def test_what_a_page_shows_is_what_was_written(tmp_path: Path) -> None:
    (tmp_path / "door.yaml").write_bytes(spec_of(HARM))
    text = called("review", "door.yaml", "--as", "html", "--on", DAY, place=tmp_path).out
    assert "&lt;script&gt;document.title=" in text
    assert "{{7*7}}" in text

"""Slips of the pen in a spec that cannot be read: a mistyped key or word, put right where only one thing can be meant.

What is measured is never guessed: a number without its unit stays for a person to mend.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Final, NamedTuple

from doorlint.proposals.draft import Value
from doorlint.rulebook.rule import Source
from doorlint.spec import Mapping, parse
from doorlint.spec.edit import value_range
from doorlint.spec.pointer import pointer
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term

__all__ = ["spelled"]

NEAR: Final = 0.75
"""how alike two words must be, from 0 to 1"""
FLAGS: Final = {"yes": "true", "y": "true", "on": "true", "no": "false", "n": "false", "off": "false"}
MEANT: Final = Source("derived", note="the only word of the vocabulary that comes near")


class _Slip(NamedTuple):
    start: int
    end: int
    text: str
    value: Value


def spelled(text: str) -> tuple[str, tuple[Value, ...]]:
    """The text with its slips put right, each line with a remark of what it was, and what was put right.

    >>> text, (slip,) = spelled("doorlint: 1\\nstage: survey\\nroom:\\n  hedroom: 30 in\\n")
    >>> print(text, end="")
    doorlint: 1
    stage: survey
    room:
      headroom: 30 in  # was hedroom
    >>> slip.pointer, slip.grade, slip.working
    ('/room/headroom', 'spelling', 'written hedroom')
    """
    tree = parse(text).tree
    if not isinstance(tree, Mapping):
        return text, ()
    body = text.removeprefix("\ufeff")
    slips = sorted(_slips(body, tree, VOCABULARY.root, []), key=lambda slip: slip.start)
    result = body
    for slip in reversed(slips):
        end = result.find("\n", slip.end)
        end = len(result) if end < 0 else end - (result[end - 1] == "\r")
        remark = f"  # was {slip.value.working.removeprefix('written ')}"
        result = result[: slip.start] + slip.text + result[slip.end : end] + remark + result[end:]
    return text[: len(text) - len(body)] + result, tuple(slip.value for slip in slips)


def _slips(text: str, tree: Mapping, term: Term, above: list[str]) -> Iterator[_Slip]:
    for key, held in tree.items():
        inner, meant = _part(term, key, tree)
        if inner is None:
            continue
        place = [*above, meant]
        if meant != key and not isinstance(held, Mapping):
            at = tree.marks[key].index
            if text[at : at + len(key)] == key:
                yield _Slip(at, at + len(key), meant, _value(place, str(held or ""), key))
            continue
        if isinstance(held, Mapping):
            yield from _slips(text, held, inner, place)
        elif isinstance(held, str):
            word = _word(inner, held)
            if word is not None:
                yield _Slip(*value_range(text, tree, key), word, _value(place, word, held))


def _part(term: Term, key: str, tree: Mapping) -> tuple[Term | None, str]:
    """The term of a key in a group, and the key that was meant; nothing where none comes near."""
    if term.kind == "map":
        return term.parts["{}"], key
    if key in term.parts or key in (EACH, term.part_key):
        return term.parts.get(key), key
    near = get_close_matches(key.lower(), [name for name in term.parts if name not in tree], 2, NEAR)
    return (term.parts[near[0]], near[0]) if len(near) == 1 else (None, key)


def _word(term: Term, written: str) -> str | None:
    """The word that was meant by one that the vocabulary does not know."""
    if term.kind == "flag" and written not in ("true", "false"):
        low = written.lower()
        return FLAGS.get(low) or (low if low in ("true", "false") else None)
    if term.kind == "choice" and written not in term.choices:
        near = get_close_matches(written.lower(), term.choices, 2, NEAR)
        return near[0] if len(near) == 1 else None
    return None


def _value(place: list[str], text: str, was: str) -> Value:
    return Value(pointer(place), None, text, "spelling", f"written {was}", MEANT)

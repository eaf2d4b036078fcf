"""The annotations of a figure: every word in them is a kind of value."""

from __future__ import annotations

import builtins
import re
from functools import lru_cache
from types import FunctionType

from doorlint.errors import BrokenFigure
from doorlint.figures import kinds

KINDS = list(kinds.__annotations__)
WORD = re.compile(r"(?<![\w.])[A-Za-z_]\w*")


def check_annotations(function: FunctionType) -> None:
    """Raise :class:`BrokenFigure` for the first word that is nothing, a misspelt kind."""
    known = {*function.__globals__, *vars(builtins)}
    for annotation in function.__annotations__.values():
        for word in WORD.findall(annotation):
            if word not in known:
                name = f"{function.__module__.rpartition('.')[2]}.{function.__name__}"
                raise BrokenFigure(f"{_place(function, word)}: figure {name}: {advice(word)}")


def advice(word: str) -> str:
    """What to write instead of a word that is no kind of value.

    >>> advice("Wieght")
    'found Wieght; expected a kind of value of doorlint/figures/kinds.py; write Weight'
    """
    from difflib import get_close_matches  # only for a misspelt word: it is slow to import

    near = get_close_matches(word, KINDS, 1)
    fix = f"write {near[0]}" if near else f"write one of {', '.join(KINDS)}"
    return f"found {word}; expected a kind of value of doorlint/figures/kinds.py; {fix}"


def _place(function: FunctionType, word: str) -> str:
    """File and line of a word in the head of a function."""
    from inspect import getsourcelines  # likewise

    lines, first = getsourcelines(function)
    path = f"{function.__module__.replace('.', '/')}.py"
    return next(f"{path}:{first + n}" for n, line in enumerate(lines) if re.search(rf"\b{word}\b", line))


@lru_cache
def asked_for(annotation: str) -> tuple[bool, bool, bool]:
    """Whether a whole column is asked for, whether None will do for it, and whether it will do for its entries."""
    return annotation.startswith("Each["), annotation.endswith("| None"), "| None]" in annotation


@lru_cache
def dimension_of(annotation: str) -> str | None:
    """``Each[SpringRate | None]`` to ``spring-rate``; ``None`` for text, flags and shapes."""
    word = annotation.removeprefix("Each[").split("|")[0].strip(" ]")
    if word in {"Text", "Flag"} or "[" in word or not word[:1].isupper():
        return None
    return re.sub(r"(?<!^)([A-Z])", r"-\1", word).lower()

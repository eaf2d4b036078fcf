"""A spec while it is designed: what was given, what is proposed, and what is still open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Final, Literal, NamedTuple

from doorlint.derivation import Derivation
from doorlint.figures.graph import Job, Unknown
from doorlint.proposals.made import Made, made_for, text_of
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Source
from doorlint.spec import Mapping as Tree
from doorlint.spec import Patch, Spec
from doorlint.spec.pointer import escaped, steps
from doorlint.spec.vocabulary import EACH, VOCABULARY

__all__ = ["MIDDLING", "PRACTICE", "CannotDesign", "Draft", "Grade", "OpenValue", "Value", "given_for_all", "nested"]

Grade = Literal["spelling", "derived", "choice"]
"""A slip of notation put right; what follows from what is given; one of several sound values."""

MIDDLING: Final = 0.5
"""shortfall of a design that no measure tells of"""
PRACTICE: Final = Source("practice", note="one of several sound values; a shop may keep another")


class CannotDesign(Exception):
    """A step that finds no value; ``str`` says what stands in the way and by how much."""

    def __init__(self, message: str, pointer: str = "", shortfall: float = MIDDLING) -> None:
        """``shortfall``: by which share of what is asked it falls short."""
        super().__init__(message)
        self.pointer, self.shortfall = pointer, shortfall


class Value(NamedTuple):
    """One proposed value, as it is written, with how it was found."""

    pointer: str
    value: Any
    """SI, or a word, a flag or a list of names"""
    text: str
    grade: Grade
    working: str
    source: Source


class OpenValue(NamedTuple):
    """One value that only a person can say."""

    pointer: str
    why: str
    usual: str | None
    """what the proposal is worked out with until it is given"""


@dataclass(frozen=True)
class Draft:
    """Given values, proposed values and the usual ones of what is open, together as one spec.

    A value that is given is never replaced: proposing it does nothing.
    """

    library: Library
    given: Spec
    values: Mapping[str, Value]
    """by pointer, in the order proposed"""
    open: Mapping[str, OpenValue]
    like: Job | None = None
    """a job whose figures may be shared where they agree"""
    for_all: Mapping[str, Any] = field(default_factory=dict)
    """what ``each`` gives to things that are not there yet, by name"""

    @cached_property
    def spec(self) -> Spec:
        """The spec with everything that is proposed or assumed; raises :class:`CannotDesign` for a value that no spec
        may have."""
        spec = self.given.patched(nested(self._usual() | self._texts()))
        if spec.problems:
            first = spec.problems[0]
            raise CannotDesign(f"{first.pointer}: {first.message}", first.pointer)
        return spec

    @cached_property
    def job(self) -> Job:
        """Its figures."""
        spec = self.spec
        if self.like is None:
            return self.library.job(spec.values, spec.keys)
        return self.like.rebase({**self.library.graph.constants, **spec.values}, spec.keys)

    @property
    def made(self) -> Made:
        """Sizes in the units of the job."""
        return made_for(self.given.system)

    def has(self, name: str, key: str | None = None) -> bool:
        """Whether a value or a group is given, proposed or assumed."""
        at = VOCABULARY.pointer_of(name, key)
        if at in self.values or at in self.open:
            return True
        held = self.given.values.get(name)
        if held is not None and (key is None or key in held):
            return True
        return key is not None and name in self.for_all and self._is_named(name, key)

    def _is_named(self, name: str, key: str) -> bool:
        """Whether a thing has a value already: then it also has those that ``each`` gives."""
        axis = VOCABULARY.axes[VOCABULARY.term(name).axis or ""]
        thing = f"{axis.pointer}/{escaped(key)}/"
        return any(at.startswith(thing) for at in (*self.values, *self.open))

    def gives(self, name: str, key: str | None = None) -> bool:
        """Whether a person gave a value."""
        held = self.given.values.get(name)
        return held is not None and (key is None or (isinstance(held, dict) and key in held))

    def at(self, name: str, key: str | None = None) -> Any:
        """A value or figure; raises :class:`CannotDesign` where it cannot be worked out."""
        value = self.job.at(name, key)
        cells = list(value.values()) if isinstance(value, dict) else [value]
        for cell in cells:
            if isinstance(cell, Unknown):
                what = ", ".join(cell.missing) or cell.note
                raise CannotDesign(f"{name} cannot be worked out: {what}", cell.missing[0] if cell.missing else "")
        return value

    def keys(self, axis: str) -> tuple[str, ...]:
        """The names of the things of an axis, in their order."""
        return tuple(self.job.keys.get(axis, ()))

    def propose(
        self, name: str, text: str, grade: Grade, working: str, source: Source = PRACTICE, key: str | None = None
    ) -> Draft:
        """The draft with one more value, as it is written; the same draft where it is given."""
        if self.has(name, key):
            return self
        at = VOCABULARY.pointer_of(name, key)
        return self._with(values={**self.values, at: Value(at, None, text, grade, working, source)})

    def choose(self, chosen: Mapping[str, str], why: str, key: str | None = None) -> Draft:
        """The draft with several values that are a choice, all for one reason."""
        draft = self
        for name, text in chosen.items():
            draft = draft.propose(name, text, "choice", why, key=key)
        return draft

    def derive(
        self, name: str, figure: str, amount: float, step: tuple[str, str], way: str, key: str | None = None,
        *, because: str = "",
    ) -> Draft:  # fmt: skip
        """The draft with a value from a figure, rounded to a whole number of steps (US, SI) ``up``, ``down`` or
        ``nearest``; ``because`` adds to the figure's own working."""
        if self.has(name, key):
            return self
        dimension = VOCABULARY.leaves[name].numeric_dimension
        text = text_of(amount, dimension or "count", self.given.system, step, way)
        working, source = self.told(figure, key if self.library.graph.axis_of(figure) else None)
        return self.propose(name, text, "derived", "; ".join(filter(None, (working, because))), source, key)

    def told(self, figure: str, key: str | None = None) -> tuple[str, Source]:
        """How a figure was worked out, in one line, and where that comes from."""
        found = Derivation(self.job, self.library, self.given.system).step(figure, key)
        if found is None:
            return figure, PRACTICE
        how = f"{found.label} = {found.how}" if found.worked_out else found.label
        return (f"{how} = {found.text}" if found.text else how), found.source or PRACTICE

    def leave_open(self, name: str, why: str, usual: str | None, key: str | None = None) -> Draft:
        """The draft with a value that only a person can say; the same draft where it is given."""
        if self.has(name, key):
            return self
        at = VOCABULARY.pointer_of(name, key)
        return self._with(open={**self.open, at: OpenValue(at, why, usual)})

    def put(self, name: str, text: str, key: str | None = None, *, because: str = "") -> Draft:
        """The draft with another text for a value that it proposes itself; the same draft where it is given."""
        at = VOCABULARY.pointer_of(name, key)
        if at not in self.values:
            return self
        value = self.values[at]
        return self._with(values={**self.values, at: value._replace(text=text, working=because or value.working)})

    def settled(self) -> tuple[Value, ...]:
        """The proposed values with what they amount to."""
        by_pointer = {
            VOCABULARY.pointer_of(name, key): value[key] if key is not None else value
            for name, value in self.spec.values.items()
            if name in VOCABULARY.leaves
            for key in (value if isinstance(value, dict) else (None,))
        }
        return tuple(value._replace(value=by_pointer.get(at)) for at, value in self.values.items())

    @property
    def patch(self) -> Patch:
        """What is proposed, as a partial spec; what is open is not in it."""
        return nested(self._texts())

    def _texts(self) -> dict[str, str | None]:
        return {at: value.text for at, value in self.values.items()}

    def _usual(self) -> dict[str, str | None]:
        return {at: one.usual for at, one in self.open.items() if one.usual is not None}

    def _with(self, **changed: Any) -> Draft:
        return replace(self, **changed, like=self.__dict__.get("job", self.like))


def given_for_all(spec: Spec) -> dict[str, Any]:
    """What ``each`` gives to a thing that is not there yet, by name.

    >>> from doorlint.spec import read
    >>> given_for_all(read("{doorlint: 1, stage: survey, job: {}, door: {sections: {each: {weight_from: maker}}}}"))
    {'section.weight_from': 'maker'}
    """
    found: dict[str, Any] = {}
    for axis in VOCABULARY.axes.values():
        node: Any = spec.written
        for step in steps(axis.pointer):
            node = node.get(step) if isinstance(node, Tree) else None
        if not isinstance(node, Tree) or EACH not in node:
            continue
        key = next(name for name in ("s99", "b99", "one-more") if re.search(axis.pattern, name))
        patch: Patch = {key: {}}
        for step in reversed(steps(axis.pointer)):
            patch = {step: patch}
        more = spec.patched(patch)
        columns = {name: column for name, column in more.values.items() if name in VOCABULARY.leaves}
        found |= {name: held[key] for name, held in columns.items() if isinstance(held, dict) and key in held}
    return found


def nested(texts: Mapping[str, str | None]) -> dict[str, Any]:
    """A partial spec from texts by pointer; a text in brackets is a list of names, none takes a value out.

    >>> nested({"/room/back": "16 ft", "/tower/boxes/b1/sections": "[s1, s2]"})
    {'room': {'back': '16 ft'}, 'tower': {'boxes': {'b1': {'sections': ['s1', 's2']}}}}
    """
    tree: dict[str, Any] = {}
    for at, text in texts.items():
        *above, last = steps(at)
        group = tree
        for step in above:
            group = group.setdefault(step, {})
        group[last] = text[1:-1].split(", ") if text is not None and text.startswith("[") else text
    return tree

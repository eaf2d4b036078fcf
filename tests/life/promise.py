"""The promise that a clear job hurts nobody, asked of one spec at a time, and searches for one that breaks it."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from shared import DAY, SAMPLES

from doorlint.evaluation import evaluate_spec
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library, load
from doorlint.spec import read
from doorlint.verdict import Policy, present
from life.life import live
from life.looks import SLACK, Look
from life.mutate import Path_, Tree, leaves, mutated, put, text_of
from life.sizes import spread

BASES = (
    "tower-order", "tower-install", "tower-high-lift", "tower-order-metric", "torsion-order", "torsion-install",
    "torsion-high-lift", "torsion-vertical", "torsion-duplex", "torsion-rear", "torsion-tube", "torsion-en",
    "low-headroom", "follow-the-roof",
)  # fmt: skip


HERE = Path(__file__).parent


def patched(tree: Any, patch: Any) -> Any:
    """A tree with the values of a patch in it; ``None`` takes one out."""
    if not isinstance(patch, dict) or not isinstance(tree, dict):
        return patch
    joined = tree | {key: patched(tree.get(key, {}), value) for key, value in patch.items()}
    return {key: value for key, value in joined.items() if value is not None}


def without_null(patch: Any) -> Any:
    if isinstance(patch, dict):
        return {key: without_null(value) for key, value in patch.items()}
    return None if patch == "null" else patch


@cache
def library() -> Library:
    return load()


@cache
def clean(name: str) -> Tree:
    """A clean job as plain data, written out in full."""
    own = yaml.load((HERE / "bases.yaml").read_text("utf-8"), yaml.CBaseLoader)
    if name in own:
        made = patched(clean(own[name]["base"]), without_null(own[name]["patch"]))
        assert isinstance(made, dict)
        return made
    path = next(path for path in SAMPLES if path.stem == name)
    tree = spread(yaml.load(path.read_text("utf-8"), yaml.CBaseLoader))
    assert isinstance(tree, dict)
    return tree


def reviewed(tree: Tree) -> SpecReview:
    """What the package says of a spec."""
    spec = read(text_of(tree).encode(), library().catalog)
    record, again, made = evaluate_spec(spec, "", library())
    return present(record, library(), Policy(DAY), "door.yaml", again, made)


@dataclass(frozen=True)
class Broken:
    """A spec that is clear and hurts."""

    base: str
    tree: Tree
    touched: tuple[Path_, ...]
    looks: tuple[Look, ...]

    @property
    def kind(self) -> str:
        return self.looks[0].kind

    def patch(self) -> dict[str, Any]:
        return difference(clean(self.base), self.tree)


def difference(before: Any, after: Any) -> dict[str, Any]:
    """The patch from one tree to another."""
    found: dict[str, Any] = {key: None for key in before if key not in after}
    for key, value in after.items():
        if isinstance(value, dict) and isinstance(before.get(key), dict):
            if inner := difference(before[key], value):
                found[key] = inner
        elif before.get(key) != value:
            found[key] = value
    return found


def asked(base: str, tree: Tree, touched: list[Path_]) -> Broken | None:
    """The spec, where it hurts and is clear all the same."""
    if reviewed(tree).verdict != "clear":
        return None
    looks = tuple(look for look in live(tree) if look.harm)
    return Broken(base, tree, tuple(touched), looks) if looks else None


@dataclass
class Tally:
    """What a search has tried and found."""

    tried: int = 0
    broken: list[Broken] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)


def at_random(seed: int, tries: int, tally: Tally) -> Iterator[Broken]:
    """Clean jobs with one to four values moved anywhere."""
    chance = random.Random(seed)
    for _ in range(tries):
        base = chance.choice(BASES)
        tree, touched = mutated(clean(base), chance)
        tally.tried += 1
        found = asked(base, tree, touched)
        if found is not None:
            tally.broken.append(found)
            tally.kinds[found.kind] += 1
            yield found


def worst(tree: Tree, known: frozenset[str]) -> float:
    """The least margin of what is not known already."""
    return min((look.margin for look in live(tree) if look.kind not in known), default=1e9)


def greedy(seed: int, steps: int, tally: Tally, known: frozenset[str] = frozenset()) -> Iterator[Broken]:
    """A walk that lowers the worst margin while the verdict stays clear."""
    chance = random.Random(seed)
    base = chance.choice(BASES)
    here = deepcopy(clean(base))
    kinds = sorted({look.kind for look in live(here)} - known)
    aim = chance.choice(kinds)
    low = min((look.margin for look in live(here) if look.kind == aim), default=1e9)
    places = leaves(here)
    for _ in range(steps):
        tree, touched = mutated(here, chance, places)
        tally.tried += 1
        looks = [look for look in live(tree) if look.kind == aim]
        margin = min((look.margin for look in looks), default=1e9)
        if margin >= low or reviewed(tree).verdict != "clear":
            continue
        here, low = tree, margin
        if margin < -SLACK:
            found = Broken(
                base, tree, tuple(touched), tuple(look for look in live(tree) if look.kind == aim and look.harm)
            )
            tally.broken.append(found)
            tally.kinds[aim] += 1
            yield found
            return


def margins(tree: Tree) -> dict[tuple[str, str], float]:
    """The least margin of every thing looked at in the life of a spec."""
    found: dict[tuple[str, str], float] = {}
    for look in live(tree):
        place = (look.kind, look.thing)
        found[place] = min(look.margin, found.get(place, look.margin))
    return found


def is_wide(base: str, tree: Tree) -> bool:
    """Whether nothing is nearer to harm than a fifth of its limit, or than it is in the clean job."""
    before, after = margins(clean(base)), margins(tree)
    return before.keys() <= after.keys() and all(
        margin >= min(0.2, before.get(place, 0.2)) - 1e-6 for place, margin in after.items()
    )


def smallest(found: Broken) -> Broken:
    """The same harm with as few values moved as it takes."""
    kind, tree = found.kind, found.tree
    start = clean(found.base)
    for path in changed(start, tree):
        trial = deepcopy(tree)
        value = _at(start, path)
        try:
            put(trial, path, value)
        except (KeyError, TypeError):
            continue
        looks = tuple(look for look in live(trial) if look.harm and look.kind == kind)
        if looks and reviewed(trial).verdict == "clear":
            tree = trial
    looks = tuple(look for look in live(tree) if look.harm and look.kind == kind)
    return Broken(found.base, tree, tuple(changed(start, tree)), looks)


def changed(before: Tree, after: Tree) -> list[Path_]:
    """The places at which two trees differ."""

    def walk(patch: Any, path: Path_) -> Iterator[Path_]:
        if not isinstance(patch, dict):
            yield path
            return
        for key, value in patch.items():
            yield from walk(value, (*path, key))

    return list(walk(difference(before, after), ()))


def _at(tree: Any, path: Path_) -> Any:
    for key in path:
        if not isinstance(tree, dict):
            return None
        tree = tree.get(key)
    return tree

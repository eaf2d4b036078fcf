"""Job specs in any number, no two alike: the sample doors as other crews would have measured and written them.

From a seed comes always the same spec. Measures move by what a tape leaves open and weights by what a scale does, each
written in one of the notations of its system; what a job need not say is said or not. So most are clear, some are not,
and what they lack or break differs from one to the next.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from doorlint import quantities
from doorlint.resources import folder
from doorlint.rulebook.library import own_catalog
from doorlint.spec import VOCABULARY, read
from doorlint.spec.vocabulary import Term

BASES = (
    "tower-order", "tower-order", "tower-install", "tower-order-metric", "tower-commissioned",
    "torsion-order", "torsion-install", "torsion-commissioned", "survey-clean",
)  # fmt: skip
SITES = ("cold store", "joinery", "bus garage", "feed mill", "print works", "dairy", "timber yard", "fire station")
PLACES = ("north dock", "south wall", "bay one", "bay two", "yard side", "gate row", "wash bay", "loading ramp")
INCH, MM = 0.0254, 0.001


def spec_text(seed: int, base: str | None = None) -> str:
    """The text of one spec: of one of the sample doors, or of the one named."""
    chance = random.Random(seed)
    name = base or chance.choice(BASES)
    tree, system = _sample(name)
    made = _group(VOCABULARY.root, tree, chance, system)
    made["job"] |= {
        "number": f"J-{seed}",
        "site": f"{chance.choice(SITES)} {chance.randint(1, 999)}, {chance.choice(PLACES)}",
        "opening": f"D-{chance.randint(1, 40)}",
        "notes": " ".join(chance.choices((*SITES, *PLACES), k=4)),
    }
    return f"# {name}, written anew\n" + "\n".join(_lines(made, 0)) + "\n"


@cache
def _sample(name: str) -> tuple[dict[str, Any], quantities.System]:
    spec = read((folder("sample_specs") / f"{name}.yaml").read_bytes(), own_catalog())
    assert isinstance(spec.tree, dict)
    return spec.tree, spec.system


def _group(term: Term, tree: dict[str, Any], chance: random.Random, system: quantities.System) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for key, node in tree.items():
        part = term.parts.get(key) or term.parts["{}"]
        if part.kind in ("group", "map"):
            made[key] = _group(part, node, chance, system)
        elif part.record_only and chance.random() < 0.3:
            continue
        elif part.kind == "quantity" and part.dimension in REWRITE and chance.random() < 0.8:
            size = quantities.read(node, part.dimension)
            made[key] = REWRITE[part.dimension](size, part.known is not None, chance, system)
        else:
            made[key] = node
    return made


def _length(size: float, measured: bool, chance: random.Random, system: quantities.System) -> str:
    """Off by up to a sixteenth of an inch or a millimetre where it was measured."""
    step = INCH / 16 if system == "us" else MM
    count = round(size / step) + (chance.choice((-1, 0, 0, 1)) if measured and size >= INCH else 0)
    if system == "si":
        return f"{count} mm" if chance.random() < 0.8 else f"{count / 10:g} cm"
    feet, sixteenths = divmod(count, 12 * 16)
    inches = _inches(sixteenths)
    if feet and chance.random() < 0.7:
        return chance.choice((f"{feet}'-{inches}\"", f"{feet} ft {inches} in"))
    return f"{count / 16:g} in" if chance.random() < 0.3 else f"{_inches(count)} in"


def _inches(sixteenths: int) -> str:
    whole, part = divmod(sixteenths, 16)
    if not part:
        return str(whole)
    below = 16
    while part % 2 == 0:
        part, below = part // 2, below // 2
    return f"{whole} {part}/{below}" if whole else f"{part}/{below}"


def _weight(size: float, measured: bool, chance: random.Random, system: quantities.System) -> str:
    """Off by up to half a pound, or by as much in kilograms, where it was weighed."""
    pounds = size / 4.4482216152605 + (chance.choice((-0.5, 0.0, 0.0, 0.5)) if measured else 0.0)
    return f"{round(pounds * 2) / 2:g} lb" if system == "us" else f"{pounds * 0.45359237:.1f} kg"


Write = Callable[[float, bool, random.Random, quantities.System], str]
REWRITE: dict[str, Write] = {"length": _length, "weight": _weight}
"""How a measure of a dimension is written anew."""


def _lines(tree: dict[str, Any], depth: int) -> Iterator[str]:
    for key, node in tree.items():
        if not isinstance(node, dict):
            yield f"{'  ' * depth}{key}: {_scalar(node)}"
        elif depth and len(flow := _flow(node)) < 110:
            yield f"{'  ' * depth}{key}: {flow}"
        else:
            yield f"{'  ' * depth}{key}:"
            yield from _lines(node, depth + 1)


def _flow(node: Any) -> str:
    if isinstance(node, dict):
        return f"{{{', '.join(f'{key}: {_flow(value)}' for key, value in node.items())}}}"
    return _scalar(node)


def _scalar(node: Any) -> str:
    if isinstance(node, list):
        return f"[{', '.join(map(_scalar, node))}]"
    plain = str(node)
    return "'" + plain.replace("'", "''") + "'" if any(mark in plain for mark in ",:#{}[]&*!|>%@`") else plain

"""Changed values as texts, and changes of a job as a partial spec."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from doorlint import quantities
from doorlint.approvals import exact
from doorlint.quantities import System
from doorlint.remedies.options import Changes, same
from doorlint.spec.pointer import steps
from doorlint.spec.vocabulary import VOCABULARY


def written(name: str, value: Any, system: System) -> str:
    """A spec value as a spec would have it: a trade's fraction where that reads back the same, else all its digits.

    >>> written("room.headroom", 0.6604, "us"), written("box.plates", 27, "us"), written("track.rise", 1 / 48, "us")
    ('26 in', '27', '1/4 in/ft')
    """
    dimension = VOCABULARY.leaves[name].numeric_dimension
    if isinstance(value, bool) or dimension is None:
        return exact(value, None)
    if dimension in ("count", "ratio"):
        return str(int(value)) if value == int(value) else repr(value)
    for text in (
        quantities.write(value, dimension, system),
        quantities.write(value, dimension, system, denominator=64),
        quantities.write(value, dimension, system, places=2),
    ):
        if same(quantities.read(text, dimension, signed=True), value):
            return text
    return quantities.write_exact(value, dimension, system)


def patch_of(
    several: Iterable[Changes], system: System, texts: Mapping[tuple[str, str | None], str] = {}
) -> dict[str, Any]:
    """Changes of a job, the later ones over the earlier ones, as a partial spec of texts.

    ``texts``: how some values are to be written, by name and key.

    >>> patch_of([{"room.headroom": 0.6604}, {"box.plates": {"b2": 27}}], "us")
    {'room': {'headroom': '26 in'}, 'tower': {'boxes': {'b2': {'plates': '27'}}}}
    """
    patch: dict[str, Any] = {}
    for changes in several:
        for name, change in changes.items():
            if name not in VOCABULARY.leaves:
                continue  # a group is there as soon as something in it is
            for key, value in change.items() if isinstance(change, dict) else [(None, change)]:
                *groups, last = steps(VOCABULARY.pointer_of(name, key))
                inside = patch
                for group in groups:
                    inside = inside.setdefault(group, {})
                inside[last] = texts.get((name, key)) or _node(name, value, system)
    return patch


def _node(name: str, value: Any, system: System) -> Any:
    if value is None:
        return None
    if isinstance(value, tuple):
        return [item if isinstance(item, str) else written(name, item, system) for item in value]
    return written(name, value, system)


def text_of(name: str, value: Any, system: System) -> str:
    """A spec value on one line, lists too.

    >>> text_of("box.sections", ("s2", "s3"), "us"), text_of("room.headroom", 0.6604, "us")
    ('[s2, s3]', '26 in')
    """
    node = _node(name, value, system)
    return f"[{', '.join(node)}]" if isinstance(node, list) else str(node)

"""Specs as a tape, a warehouse or a tired person makes them: a clean job with one to four values moved."""

from __future__ import annotations

import json
import random
import re
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

from life.sizes import UNITS, size

Tree = dict[str, Any]
Path_ = tuple[str, ...]

SCHEMA = Path(__file__).parents[2] / "schemas" / "job-spec.schema.json"
FACTORS = (0.25, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.02, 1.05, 1.1, 1.2, 1.4, 2.0, 4.0)
INCHES = (-6.0, -2.0, -1.0, -0.5, -0.25, -0.125, 0.125, 0.25, 0.5, 1.0, 2.0, 6.0)
LEFT_ALONE = ("job", "stage", "doorlint", "approvals", "measured", "practice", "as_built", "install")
"""What nobody lives: names and days, sign-offs, the shop's own figures, and what is read off the finished door."""


@cache
def _schema() -> Any:
    return json.loads(SCHEMA.read_text("utf-8"))


def choices(path: Path_) -> list[str]:
    """The words that the schema allows at a place."""
    node = _schema()
    for key in path:
        node = node.get("properties", {}).get(key) or node.get("additionalProperties") or {}
        if not isinstance(node, dict):
            return []
    return [word for word in node.get("enum", ()) if isinstance(word, str)]


def leaves(tree: Any, path: Path_ = ()) -> list[Path_]:
    """The places of all single values that may be moved."""
    if not isinstance(tree, dict):
        return [path] if isinstance(tree, str) else []
    return [leaf for key, value in tree.items() if key not in LEFT_ALONE for leaf in leaves(value, (*path, key))]


def at(tree: Any, path: Path_) -> Any:
    for key in path:
        tree = tree[key]
    return tree


def put(tree: Tree, path: Path_, value: Any) -> None:
    """Set the value at a place, or take it out."""
    holder = at(tree, path[:-1])
    if value is None:
        holder.pop(path[-1], None)
    else:
        holder[path[-1]] = value


def moved(text: str, path: Path_, chance: random.Random) -> str | None:
    """Another value for the same place, or ``None`` where there is no other."""
    if text in ("true", "false"):
        return "false" if text == "true" else "true"
    if words := choices(path):
        return chance.choice([word for word in words if word != text] or [text])
    if re.fullmatch(r"\d+", text):
        return (
            str(max(0, int(text) + chance.choice((-3, -2, -1, 1, 2, 3))))
            if chance.random() < 0.7
            else _digits(text, chance)
        )
    try:
        number = size(text)
    except ValueError:
        return None
    if re.match(r"\d{4}-", text):
        return None
    unit = _unit(text)
    plain = number / UNITS[unit]
    if unit == "in" and chance.random() < 0.6:
        plain += chance.choice(INCHES)
    elif chance.random() < 0.15 and plain >= 10:
        plain = float(_digits(f"{abs(plain):.0f}", chance))
    else:
        plain *= chance.choice(FACTORS)
    if plain < 0 <= number:
        plain = 0.0
    return written(plain, unit)


def written(plain: float, unit: str) -> str:
    """A number with its unit; inches to a 64th."""
    if unit == "in":
        plain = round(plain * 64) / 64
    return f"{plain:.7g} {unit}".strip()


def _unit(text: str) -> str:
    found = re.search(r"[^\d\s./-].*$", text.strip())
    unit = found[0].strip() if found else ""
    return unit if unit in UNITS and unit not in ('"', "'", "ft") else "in" if unit else ""


def _digits(text: str, chance: random.Random) -> str:
    """Two digits changed over, one left out, or one read as another."""
    spot = chance.randrange(len(text))
    how = chance.randrange(3)
    if how == 0 and len(text) > 1:
        spot = min(spot, len(text) - 2)
        return text[:spot] + text[spot + 1] + text[spot] + text[spot + 2 :]
    if how == 1 and len(text) > 1:
        return text[:spot] + text[spot + 1 :]
    return text[:spot] + str(chance.randint(0, 9)) + text[spot + 1 :]


def mutated(tree: Tree, chance: random.Random, places: list[Path_] | None = None) -> tuple[Tree, list[Path_]]:
    """A copy with one to four values moved, left out, or taken from a neighbor; and where."""
    made = deepcopy(tree)
    touched: list[Path_] = []
    for _ in range(chance.choice((1, 1, 2, 2, 3, 4))):
        path = chance.choice(places or leaves(made))
        try:
            text = at(made, path)
        except (KeyError, TypeError):
            continue
        if not isinstance(text, str):
            continue
        how = chance.random()
        if how < 0.05:
            put(made, path, None)
        elif how < 0.15 and (others := neighbors(made, path)):
            other = chance.choice(others)
            mine, its = at(made, path), at(made, other)
            put(made, path, its)
            put(made, other, mine)
            touched.append(other)
        else:
            value = moved(text, path, chance)
            if value is None:
                continue
            put(made, path, value)
        touched.append(path)
    return made, touched


def neighbors(tree: Tree, path: Path_) -> list[Path_]:
    """The same value of the other things of its kind."""
    found = []
    for spot in range(len(path) - 1):
        beside = at(tree, path[:spot])
        for key in beside:
            other = (*path[:spot], key, *path[spot + 1 :])
            if key != path[spot] and isinstance(beside[key], dict):
                try:
                    if isinstance(at(tree, other), str) and at(tree, other) != at(tree, path):
                        found.append(other)
                except (KeyError, TypeError):
                    continue
    return found


def text_of(tree: Tree) -> str:
    """The tree as a spec's text."""
    return "\n".join(_lines(tree, 0)) + "\n"


def _lines(tree: Tree, deep: int) -> list[str]:
    lines = []
    for key, value in tree.items():
        if isinstance(value, dict):
            lines.append("  " * deep + f"{key}:" + ("" if value else " {}"))
            lines += _lines(value, deep + 1)
        elif isinstance(value, list):
            lines.append("  " * deep + f"{key}: [{', '.join(value)}]")
        else:
            plain = re.fullmatch(r"[A-Za-z0-9][\w ./%-]*", value) and not re.fullmatch(r"\d{4}-\d\d-\d\d", value)
            lines.append("  " * deep + f"{key}: {value if plain else json.dumps(value)}")
    return lines

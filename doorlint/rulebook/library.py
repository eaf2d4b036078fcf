"""The rule library and house rules together: one graph, its rules, and where every figure comes from."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from doorlint.errors import BrokenRules
from doorlint.figures import modules
from doorlint.figures.graph import Graph, Job, Node
from doorlint.figures.notes import note_of
from doorlint.figures.table import Table
from doorlint.resources import folder
from doorlint.rulebook import files
from doorlint.rulebook.compile import Names, compile_rule
from doorlint.rulebook.formula import Named
from doorlint.rulebook.rule import STAGES, Outcome, Rule, Source, Standing, weakest
from doorlint.spec.vocabulary import VOCABULARY

RULE = "rule:"
"""Prefix of a rule's cell in the graph."""


class Practice(NamedTuple):
    """One shop figure."""

    title: str
    value: float
    dimension: str
    source: Source


class Library:
    """Every rule there is for a run, compiled, with the graph that works out what they read."""

    def __init__(self, packs: Sequence[tuple[str, files.Pack]]) -> None:
        """``packs``: the library's own first (named ""), then each house folder with its name."""
        self.practice: dict[str, Practice] = {}
        self.tables: dict[str, Table] = {}
        self.table_notes: dict[str, dict[str, Any]] = {}
        for house, pack in packs:
            self._take_practice(house, pack)
            self._take_tables(pack)
        constants: dict[str, Any] = {f"practice.{key}": shop.value for key, shop in self.practice.items()}
        constants |= {f"table.{name.replace('-', '_')}": table for name, table in self.tables.items()}
        dimensions: dict[str, str | None] = {f"practice.{key}": shop.dimension for key, shop in self.practice.items()}
        dimensions |= {f"table.{name.replace('-', '_')}": None for name in self.tables}
        axes = {axis: place.pointer for axis, place in VOCABULARY.axes.items()}
        leaves = {name: term for name, term in VOCABULARY.leaves.items() if name not in dimensions}
        self.graph = Graph(leaves, axes, constants, dimensions, modules())
        self.digest = hashlib.sha256("".join(pack.digest for _, pack in packs).encode()).hexdigest()[:12]
        self.rules: dict[str, Rule] = {}
        names = self._names()
        for house, pack in packs:
            for statement in pack.rules:
                self._take_rule(compile_rule(statement, names, house))

    def job(self, values: dict[str, Any], keys: dict[str, tuple[str, ...]]) -> Job:
        """A job with a spec's values over practice and tables."""
        return self.graph.job(values, keys)

    def in_force(self, stage: str) -> list[Rule]:
        """The rules that a stage asks, in the order of the library."""
        rung = STAGES.index(stage)
        return [rule for rule in self.rules.values() if STAGES.index(rule.stage) <= rung]

    def outcomes(self, job: Job, stage: str) -> Iterator[Outcome]:
        """Every rule in force held against a job."""
        for rule in self.in_force(stage):
            yield from job.cell(RULE + rule.id)

    def standing(self, rule: Rule) -> Standing:
        """The weakest standing in a rule's chain: its own and that of every figure, table and shop figure it reads."""
        return weakest([rule.source.standing, *(source.standing for source in self.sources(rule.reads))])

    def sources(self, names: Iterable[str]) -> Iterator[Source]:
        """The sources of all that these names rest on."""
        seen: set[str] = set()
        for name in names:
            for cell in self.graph.upstream(name):
                if cell not in seen:
                    seen.add(cell)
                    source = self.source_of(cell)
                    if source is not None:
                        yield source

    def source_of(self, name: str) -> Source | None:
        """Where one figure, table or shop figure comes from; ``None`` for what the spec itself says."""
        subject, _, key = name.partition(".")
        if subject == "practice" and key in self.practice:
            return self.practice[key].source
        if subject == "table":
            return Source(**self.table_notes[key.replace("_", "-")]["source"])
        node = self.graph.nodes.get(name)  # a rule may also read whether a whole part of the spec is given
        function = None if node is None else node.function
        return None if function is None else Source(*note_of(function).source)  # type: ignore[arg-type]

    def _take_practice(self, house: str, pack: files.Pack) -> None:
        for key, said in pack.practice.items():
            if house and key not in self.practice:
                raise BrokenRules(
                    f"house rules {house}: practice: {key} is no shop figure; see rules/tables/practice.yaml"
                )
            if house and said["dimension"] != self.practice[key].dimension:
                raise BrokenRules(f"house rules {house}: practice: {key} is a {self.practice[key].dimension}")
            source = {
                name: said[name] for name in ("standing", "document", "edition", "clause", "note") if name in said
            }
            self.practice[key] = Practice(said["title"], said["value"], said["dimension"], Source(**source))

    def _take_tables(self, pack: files.Pack) -> None:
        for said in pack.tables:
            self.tables[said["table"]] = Table(
                said["table"], tuple(said["columns"]), said["match"], tuple(map(tuple, said["rows"]))
            )
            self.table_notes[said["table"]] = said

    def _take_rule(self, rule: Rule) -> None:
        if rule.id in self.rules:
            raise BrokenRules(f"rule {rule.id} is there twice; give the second an id of its own")
        self.rules[rule.id] = rule
        self.graph.add(Node(RULE + rule.id, rule.apply, rule.reads, rule.needs))

    def _names(self) -> Names:
        cells = {node.name: Named(node.dimension, node.axis) for node in self.graph.nodes.values()}
        pointers = {term.name: (term.pointer, term.axis) for term in VOCABULARY.terms()}
        kinds: dict[str, str] = {term.name: term.kind for term in VOCABULARY.terms()}
        tables = {name: (table.columns, self.table_notes[name]["columns"]) for name, table in self.tables.items()}
        return Names(cells, pointers, kinds, tables)


@cache
def load(houses: tuple[Path, ...] = (), cache_folder: Path | None = None) -> Library:
    """The library with these house-rule folders, later ones over earlier ones.

    Raises :class:`BrokenRules` naming what is wrong and where.
    """
    packs = [("", files.load(folder("rules"), cache_folder))]
    packs += [(place.name, files.load(place, cache_folder, house=True)) for place in houses]
    return Library(packs)

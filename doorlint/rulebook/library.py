"""The rule library and house rules together: one graph, its rules, and where every figure comes from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache as remembered
from pathlib import Path
from typing import Any, NamedTuple

from doorlint import cache
from doorlint.errors import BrokenRules
from doorlint.figures import modules
from doorlint.figures.graph import Graph, Job, Node
from doorlint.figures.notes import note_of
from doorlint.figures.table import Table
from doorlint.resources import folder, stamp
from doorlint.rulebook import files
from doorlint.rulebook.checks import Spare
from doorlint.rulebook.compile import Names, plan_rule, rule_of
from doorlint.rulebook.formula import Named
from doorlint.rulebook.link import Linked
from doorlint.rulebook.plan import Plan, plan_of
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

    def __init__(self, packs: Sequence[tuple[str, files.Pack]], plans: Mapping[str, Plan] | None = None) -> None:
        """``packs``: the library's own first (named ""), then each house folder with its name. ``plans``: those of
        the same packs, where their rules have been checked before."""
        self.packs = packs
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
        self.plans = self._planned(packs) if plans is None else plans
        self.rules: dict[str, Rule] = {}
        for house, pack in packs:
            for statement in pack.rules:
                self._take_rule(rule_of(statement, self.plans[statement["id"]], house))
        self._asked: dict[str, list[tuple[str, Linked]]] = {
            stage: [(RULE + rule.id, rule.linked) for rule in self.in_force(stage)] for stage in STAGES
        }
        self._standings: dict[str, Standing] = {}

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

    def held(
        self, job: Job, stage: str, spares: Callable[[Library, Job, str], Mapping[str, Spare]]
    ) -> tuple[int, list[Outcome], list[Outcome]]:
        """How many checks of a stage are met, the outcomes of all others, and of those that are met the ones that may
        not have enough to spare: quicker than all outcomes. ``spares`` gives what is enough, by the cell of a rule."""
        known = self.graph.prepare(job, stage)
        enough = spares(self, job, stage)
        met, others, slim = 0, [], []
        for name, linked in self._asked[stage]:
            spare = enough.get(name)
            count = linked.met(job, spare)
            if count is not None:
                met += count
                continue
            for outcome in job.cell(name):
                if outcome.state != "met":
                    others.append(outcome)
                    continue
                met += 1
                if spare is not None:
                    slim.append(outcome)
        self.graph.learn(job, stage, known)
        return met, others, slim

    def standing(self, rule: Rule) -> Standing:
        """The weakest standing in a rule's chain: its own and that of every figure, table and shop figure it reads."""
        if rule.id not in self._standings:
            chain = [rule.source.standing, *(source.standing for source in self.sources(rule.reads))]
            self._standings[rule.id] = weakest(chain)
        return self._standings[rule.id]

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

    def _planned(self, packs: Sequence[tuple[str, files.Pack]]) -> dict[str, Plan]:
        names = self._names()
        plans: dict[str, Plan] = {}
        for _, pack in packs:
            for statement in pack.rules:
                if statement["id"] in plans:
                    raise BrokenRules(f"rule {statement['id']} is there twice; give the second an id of its own")
                plans[statement["id"]] = plan_rule(statement, names)
        return plans

    def _take_rule(self, rule: Rule) -> None:
        self.rules[rule.id] = rule
        self.graph.add(Node(RULE + rule.id, rule.linked.hold, rule.reads, rule.needs), rule.axis)

    def _names(self) -> Names:
        cells = {node.name: Named(node.dimension, node.axis) for node in self.graph.nodes.values()}
        pointers = {term.name: (term.pointer, term.axis) for term in VOCABULARY.terms()}
        kinds: dict[str, str] = {term.name: term.kind for term in VOCABULARY.terms()}
        tables = {name: (table.columns, self.table_notes[name]["columns"]) for name, table in self.tables.items()}
        return Names(cells, pointers, kinds, tables)


@remembered
def load(houses: tuple[Path, ...] = (), cache_folder: Path | None = None) -> Library:
    """The library with these house-rule folders, later ones over earlier ones.

    What came of reading and checking the rules is kept in ``cache_folder``, for as long as no rule file and nothing
    of this program changes. Raises :class:`BrokenRules` naming what is wrong and where.
    """
    places = [("", folder("rules")), *((place.name, place) for place in houses)]
    contents = [files.contents(place) for _, place in places]
    if cache_folder is None:
        return _read(places, contents)
    said = [(name, files.digest_of(content)) for (name, _), content in zip(places, contents, strict=True)]
    name = f"rulebook-{hashlib.sha256(repr((stamp(), said)).encode()).hexdigest()[:24]}"
    kept = cache.kept(cache_folder, name)
    if kept is not None:
        packs, plans = json.loads(kept)
        return Library(
            [(house, files.Pack(*pack)) for house, pack in packs], {rule: plan_of(plan) for rule, plan in plans.items()}
        )
    library = _read(places, contents)
    book = json.dumps([library.packs, library.plans], ensure_ascii=False, separators=(",", ":"))
    cache.keep(cache_folder, name, book.encode())
    return library


def _read(places: Sequence[tuple[str, Path]], contents: Sequence[Mapping[str, bytes]]) -> Library:
    return Library(
        [(house, files.pack_of(content, bool(house))) for (house, _), content in zip(places, contents, strict=True)]
    )

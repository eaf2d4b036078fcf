"""The rule library and house rules together: one graph, its rules, and where every figure comes from."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cache, cached_property, lru_cache, partial
from typing import TYPE_CHECKING, Any

from doorlint import cache_dir, quantities
from doorlint.errors import BrokenRules
from doorlint.figures import modules, signature
from doorlint.figures.graph import Graph, Job
from doorlint.figures.signature import Signature, signatures_of
from doorlint.figures.table import Table
from doorlint.file_input import PathName
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.on_demand import OnDemand
from doorlint.resources import folder, stamp
from doorlint.revisions import FolderAt
from doorlint.rulebook import files
from doorlint.rulebook.assembly import rule_of
from doorlint.rulebook.compiled_rule import (
    CompiledRule,
    Condition,
    Outline,
    compiled_rule_of,
    outline_from,
    outline_of,
)
from doorlint.rulebook.early import earliest_stages
from doorlint.rulebook.evaluator import Evaluator
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.part_files import catalog_of
from doorlint.rulebook.practice import Practice, Range, figure_rules, shop_word
from doorlint.rulebook.rule import STAGES, FindingKey, Outcome, Rule, Source, Standing, weakest
from doorlint.rulebook.shop_folder import ShopFolder, shop_folder
from doorlint.spec import Catalog
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import position

if TYPE_CHECKING:
    from doorlint.figures.cells import Cells
    from doorlint.rulebook.codegen import Program
    from doorlint.rulebook.kinds.kind import Outcomes
    from doorlint.rulebook.scope import Names

CODEGEN_FROM = 32
"""From this many jobs on, the generated program saves more time than it takes to write."""
RULE = "rule:"
"""Prefix of a rule's cell in the graph."""


class CheckedRules(NamedTuple):
    """Rules that have been checked before."""

    outlines: Mapping[str, Outline]
    """by id"""
    figures: Mapping[str, Signature]
    """all figures by name"""
    compiled_rules: Sequence[bytes]
    """the compiled form of each, a line of JSON"""
    statements: bytes
    """of each a line of JSON: the house it comes from, empty for the library's own, and the statement"""


class Library:
    """Every rule there is for a run, compiled, with the graph that works out what they read."""

    def __init__(self, packs: Sequence[tuple[str, files.Pack]], checked: CheckedRules | None = None) -> None:
        """``packs``: the library's own first (named ""), then each house folder with its name. ``checked``: what is
        left of their rules, where these have been checked before; the packs then hold none."""
        self.packs = packs
        self.practice: dict[str, Practice] = {}
        self.tables: dict[str, Table] = {}
        self.table_notes: dict[str, dict[str, Any]] = {}
        for house, pack in packs:
            self._take_practice(house, pack)
            self._take_tables(house, pack)
        self.practice_names = frozenset(f"practice.{key}" for key in self.practice)
        constants: dict[str, Any] = {f"practice.{key}": shop.value for key, shop in self.practice.items()}
        constants |= {f"table.{name.replace('-', '_')}": table for name, table in self.tables.items()}
        dimensions: dict[str, str | None] = {f"practice.{key}": shop.dimension for key, shop in self.practice.items()}
        dimensions |= {f"table.{name.replace('-', '_')}": None for name in self.tables}
        axes = {axis: place.pointer for axis, place in VOCABULARY.axes.items()}
        leaves = {name: term for name, term in VOCABULARY.leaves.items() if name not in dimensions}
        self.figures = signatures_of(modules()) if checked is None else checked.figures
        self.graph = Graph(leaves, axes, constants, dimensions, self.figures, checked=checked is not None)
        self.digest = hash_of(*(pack.digest for _, pack in packs))[:12]
        self._statements = None if checked is None else checked.statements
        self.compiled_rules: Mapping[str, CompiledRule] = self._compile() if checked is None else _on_demand(checked)
        self.outlines = (
            {rule: outline_of(compiled) for rule, compiled in self.compiled_rules.items()}
            if checked is None
            else checked.outlines
        )
        for rule, outline in self.outlines.items():
            self.graph.add(
                RULE + rule, outline.inputs, outline.axis, partial(_evaluation, rule, outline.when, self.compiled_rules)
            )
        self._jobs = 0
        self._places = {RULE + rule: place for place, rule in enumerate(self.compiled_rules)}
        self._standings: dict[str, Standing] = {}

    @cached_property
    def rules(self) -> Mapping[str, Rule]:
        """Every rule by its id, as it says what it asks and why."""
        lines = None if self._statements is None else dict(zip(self.compiled_rules, self._lines(), strict=True))
        statements = (
            {statement["id"]: (house, statement) for house, statement in self.statements()} if lines is None else {}
        )

        def rule(name: str) -> Rule:
            house, statement = statements[name] if lines is None else json.loads(lines[name])
            return rule_of(statement, self.compiled_rules[name], house)

        return OnDemand(self.compiled_rules, rule)

    @cached_property
    def all_rules(self) -> Mapping[str, Rule]:
        """The rules with those that hold each shop figure to the shop's value."""
        figures = figure_rules(self)
        return OnDemand(
            [*self.compiled_rules, *figures], lambda name: figures[name] if name in figures else self.rules[name]
        )

    def statements(self) -> Iterable[tuple[str, Mapping[str, Any]]]:
        """Every rule as written, with the house-rule folder it comes from; empty for the library's own."""
        if self._statements is not None:
            return map(json.loads, self._lines())
        return ((house, statement) for house, pack in self.packs for statement in pack.rules)

    def _lines(self) -> list[bytes]:
        return (self._statements or b"").split(b"\n")

    def readers(self, name: str) -> list[Rule]:
        """The rules that a value moves, at whatever stage.

        >>> [rule.id for rule in load().readers("practice.joint_gap")]
        ['track.joint-gap']
        """
        cells = self.graph.downstream((name,))
        return [rule for rule in self.rules.values() if RULE + rule.id in cells]

    @cached_property
    def catalog(self) -> Catalog:
        """The parts that a spec may name."""
        return catalog_of((house, part) for house, pack in self.packs for part in pack.parts)

    def job(self, values: dict[str, Any], keys: dict[str, tuple[str, ...]]) -> Job:
        """A job with a spec's values over practice and tables."""
        return self.graph.job(values, keys)

    def in_force(self, stage: str) -> list[Rule]:
        """The rules that a stage asks, in the order of the library."""
        return [self.rules[rule] for rule in self.asked(stage)]

    def asked(self, stage: str) -> list[str]:
        """The ids of the rules that check given values at a stage, in the order of the library."""
        stages = STAGES[: STAGES.index(stage) + 1]
        return [rule for rule, outline in self.outlines.items() if outline.earliest in stages]

    def due(self, stage: str) -> list[str]:
        """The ids of the rules that report missing values at a stage, in the order of the library."""
        stages = STAGES[: STAGES.index(stage) + 1]
        return [rule for rule, outline in self.outlines.items() if outline.stage in stages]

    def outcomes(self, job: Job, stage: str) -> Iterator[Outcome]:
        """The outcomes of every rule in force for a job."""
        for rule in self.asked(stage):
            yield from self.outcomes_of(job, RULE + rule, stage)

    def outcomes_of(self, job: Job, cell: str, stage: str) -> Sequence[Outcome]:
        """The outcomes of one rule for a job; what a later stage asks for is not missing yet."""
        found: Sequence[Outcome] = job.cell(cell)
        if STAGES.index(self.outlines[cell.removeprefix(RULE)].stage) <= STAGES.index(stage):
            return found
        return [outcome for outcome in found if outcome.state != "unknown"]

    def expect(self, jobs: int) -> None:
        """Say how many jobs will come, so that the first of them uses the generated program where that pays."""
        self._jobs = max(self._jobs, jobs)

    def program_if_it_pays(self) -> Program | None:
        """The generated program for one job more, where so many are expected or done that it saves time."""
        self._jobs += 1
        return self.program if self._jobs > CODEGEN_FROM else None

    def in_order(self, cells: Iterable[str]) -> list[str]:
        """Cells of rules in the order of the library."""
        return sorted(cells, key=self._places.__getitem__)

    @cached_property
    def program(self) -> Program:
        """What goes through all figures and rules at once."""
        from doorlint.rulebook.codegen import generate

        return generate(self.graph, [(RULE + rule, compiled) for rule, compiled in self.compiled_rules.items()])

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
        from doorlint.figures.notes import note_of

        node = self.graph.nodes.get(name)  # a rule may also read whether a whole part of the spec is given
        function = None if node is None else node.function
        return None if function is None else Source(*note_of(function).source)  # type: ignore[arg-type]

    def _take_practice(self, house: str, pack: files.Pack) -> None:
        for key, entry in pack.practice.items():
            cited: dict[str, Any] = {
                name: entry[name] for name in ("standing", "document", "edition", "clause", "note") if name in entry
            }
            source = Source(**(shop_word(house, cited) if house else cited))
            if not house:
                ranges = (Range(*entry["spec"]), Range(*entry["shop"]))
                self.practice[key] = Practice(
                    entry["title"], entry["value"], entry["dimension"], source, entry["safe"], *ranges, entry["reason"],
                    entry["value"],
                )  # fmt: skip
                continue
            shop = self.practice[key]
            if not shop.shop.holds(entry["value"]):
                fix = f"a shop may set {shop.shop.text(shop.dimension)}; write a value within that, or take it out"
                found = quantities.write_exact(entry["value"], shop.dimension, "us")
                raise BrokenRules(f"{entry['file']}:{entry['line']}:{entry['column']}: found {found} for {key}; {fix}")
            self.practice[key] = shop._replace(
                title=entry["title"], value=entry["value"], source=source, house=house, file=entry["file"],
                line=entry["line"],
            )  # fmt: skip

    def _take_tables(self, house: str, pack: files.Pack) -> None:
        for table in pack.tables:
            if house:
                table = {**table, "source": shop_word(house, table["source"])}
            self.tables[table["table"]] = Table(
                table["table"], tuple(table["columns"]), table["match"], tuple(map(tuple, table["rows"]))
            )
            self.table_notes[table["table"]] = table

    def _compile(self) -> dict[str, CompiledRule]:
        from doorlint.rulebook.compiler import compile_rule

        names = self._names()
        compiled_rules: dict[str, CompiledRule] = {}
        statements: Iterator[tuple[str, Any]] = (
            (pack.place, statement) for _, pack in self.packs for statement in pack.rules
        )
        for place, statement in statements:
            try:
                if statement["id"] in compiled_rules:
                    raise BrokenRules(f"rule {statement['id']} is there twice; give the second an id of its own")
                compiled_rules[statement["id"]] = compile_rule(statement, names)
            except BrokenRules as broken:
                line, column = position(statement, broken.path)
                subject = statement["id"].partition(".")[0]
                raise BrokenRules(f"{place}/{subject}.yaml:{line}:{column}: {broken}") from None
        late = {statement["id"] for _, pack in self.packs for statement in pack.rules if "early" in statement}
        asks = {rule for rule, compiled in compiled_rules.items() if not KINDS[compiled.kind].compares}
        earliest = earliest_stages(
            compiled_rules, lambda rule: rule not in late | asks, self.graph, lambda name: names.pointers[name][1]
        )
        return {rule: compiled._replace(earliest=earliest[rule]) for rule, compiled in compiled_rules.items()}

    def _names(self) -> Names:
        from doorlint.rulebook.formula import Named
        from doorlint.rulebook.scope import Names

        cells = {node.name: Named(node.dimension, node.axis) for node in self.graph.nodes.values()}
        pointers = {term.name: (term.pointer, term.axis) for term in VOCABULARY.terms()}
        kinds: dict[str, str] = {term.name: term.kind for term in VOCABULARY.terms()}
        tables = {name: (table.columns, self.table_notes[name]["columns"]) for name, table in self.tables.items()}
        choices = {term.name: term.choices for term in VOCABULARY.terms() if term.choices}
        return Names(cells=cells, pointers=pointers, kinds=kinds, tables=tables, choices=choices)


@cache
def own_catalog() -> Catalog:
    """The library's own catalog."""
    return catalog_of(("", part) for part in _own_pack().parts)


def outcome_at(job: Job, place: FindingKey) -> Outcome | None:
    """The same check of the same thing in another job; ``None`` where it is not made there."""
    outcomes: Sequence[Outcome] = job.cell(RULE + place[0])
    return next((outcome for outcome in outcomes if outcome.place == place), None)


def load(houses: tuple[PathName | FolderAt, ...] = (), cache_folder: PathName | None = None) -> Library:
    """The library with these house-rule folders, later ones over earlier ones.

    The folders are read at every call, so that a program that goes on for long follows its rules; what they say is
    worked out once. That is kept in ``cache_folder`` too, for as long as no rule file and nothing of this program
    changes. Raises :class:`BrokenRules` naming what is wrong and where.
    """
    return _loaded(tuple(map(shop_folder, houses)), cache_folder)


@lru_cache(maxsize=8)
def _loaded(houses: tuple[ShopFolder, ...], cache_folder: PathName | None) -> Library:
    shops = [(shop.name, shop.content) for shop in houses]
    name = ""
    if cache_folder is not None:
        made_of = [stamp(), *((shop.name, shop.content.place, shop.digest) for shop in houses)]
        name = f"rulebook-{hash_of(repr(made_of))[:24]}"
        book = cache_dir.load(cache_folder, name)
        if book is not None:
            with suppress(Exception):  # a stored file that is not ours counts as absent
                return _opened(book)
    checked = [(house, files.pack_of(content, True)) for house, content in shops]  # before the long library is read
    library = Library([("", _own_pack()), *checked])
    if cache_folder is not None:
        cache_dir.store(cache_folder, name, _written(library))
    return library


def _own_pack() -> files.Pack:
    return _pack_of(ShopFolder(files.contents(folder("rules"))))


@lru_cache(maxsize=1)
def _pack_of(own: ShopFolder) -> files.Pack:
    """The pack of the library's own rules, the same below whatever house rules."""
    return files.pack_of(own.content)


def _written(library: Library) -> bytes:
    """A library as it is kept: lines of JSON, the packs, the outlines of the rules, the figures, then each rule
    compiled and each as written; these are not read before somebody asks for them."""
    packs = [(house, pack._replace(rules=[])) for house, pack in library.packs]
    figures = signature.written(library.figures)
    parts: list[Any] = [packs, library.outlines, figures, *library.compiled_rules.values(), *library.statements()]
    lines = (json.dumps(part, ensure_ascii=False, separators=(",", ":")) for part in parts)
    return "\n".join(lines).encode("utf-8", "surrogatepass")  # the name of a folder need not be UTF-8


def _opened(book: bytes) -> Library:
    packs, outline_line, figures, rules = book.split(b"\n", 3)
    outlines = {rule: outline_from(outline) for rule, outline in json.loads(outline_line).items()}
    *compiled_rules, statements = rules.split(b"\n", len(outlines))
    if statements.count(b"\n") + 1 != len(compiled_rules):
        raise ValueError("not every compiled rule has its statement")
    checked = CheckedRules(outlines, signature.read(json.loads(figures)), compiled_rules, statements)
    return Library([(house, files.Pack(*pack)) for house, pack in json.loads(packs)], checked)


def _evaluation(
    rule: str, when: Sequence[Condition], compiled_rules: Mapping[str, CompiledRule]
) -> Callable[[Cells], Outcomes]:
    return Evaluator(rule, when, lambda: compiled_rules[rule]).evaluate


def _on_demand(checked: CheckedRules) -> Mapping[str, CompiledRule]:
    lines = dict(zip(checked.outlines, checked.compiled_rules, strict=True))

    def compiled(rule: str) -> CompiledRule:
        try:
            return compiled_rule_of(json.loads(lines[rule]))
        except (TypeError, ValueError):
            raise BrokenRules(
                f"rule {rule}: what is kept of it between runs is damaged; empty the cache folder"
            ) from None

    return OnDemand(lines, compiled)

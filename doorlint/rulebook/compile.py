"""From a rule as written to a rule that can be applied: names, dimensions and shape checked on the way."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from doorlint import quantities
from doorlint.errors import BrokenRules, OutsideTable
from doorlint.figures.graph import Job, Unknown, merged
from doorlint.rulebook import checks
from doorlint.rulebook.formula import PLACE, Formula, Named, compile_formula, spoken
from doorlint.rulebook.rule import Outcome, Rule, Source

Fetch = Callable[..., Any]
"""Of a job, the key of a thing and the rule's own `let` values: a value, Unknown, or None."""
TRUTH = {"true": True, "false": False}


class Names:
    """What rules may name: cells of the graph, pointers of spec values, containers, tables."""

    def __init__(
        self,
        cells: Mapping[str, Named],
        pointers: Mapping[str, tuple[str, str | None]],
        kinds: Mapping[str, str],
        tables: Mapping[str, tuple[tuple[str, ...], Mapping[str, str]]],
    ) -> None:
        """``pointers``: spec name to (pointer template, axis), containers included; ``kinds``: spec name
        to its kind (quantity, flag, choice, count, container, ...); ``tables``: name to its columns and
        their dimensions."""
        self.cells, self.pointers, self.kinds, self.tables = cells, pointers, kinds, tables

    def pointer(self, name: str, key: str | None) -> str:
        template, axis = self.pointers[name]
        return template.replace("{}", key) if axis is not None and key is not None else template.split("/{}")[0]


def compile_rule(statement: Mapping[str, Any], names: Names, house: str) -> Rule:
    """Compile one statement that has the shape of ``schemas/rule.schema.json``.

    Raises :class:`BrokenRules` with the rule's id for an unknown name or place in the message, for two
    sides of different dimensions and for an error without a safety note.
    """
    try:
        return _Maker(statement, names).rule(house)
    except BrokenRules as broken:
        raise BrokenRules(f"rule {statement['id']}: {broken}") from None


class _Maker:
    def __init__(self, statement: Mapping[str, Any], names: Names) -> None:
        self.statement, self.names = statement, names
        self.axis: str | None = statement.get("each")
        self.known = dict(names.cells)
        self.reads: dict[str, bool] = {}
        self.lets: dict[str, Fetch] = {}
        self.dimension: str | None = None
        self.exponents: tuple[int, ...] | None = None

    def rule(self, house: str) -> Rule:
        said = self.statement
        if self.axis is not None and self.axis not in {axis for _, axis in self.names.pointers.values()}:
            raise BrokenRules(f"each: {self.axis} is no axis of the spec")
        conditions = [self.condition(name, allowed) for name, allowed in said.get("when", {}).items()]
        for name, value in said.get("let", {}).items():
            self.let(name, value)
        check = dict(said["check"])
        kind, evaluate = self.check(check)
        at = said.get("at") or self.first_spec_name()
        if at not in self.names.pointers:
            raise BrokenRules(f"at: {at} is no spec value or part of the spec")
        if self.names.pointers[at][1] not in (None, self.axis) and kind not in {"rising", "present"}:
            raise BrokenRules(f"at: {at} is of each {self.names.pointers[at][1]}; add `each`")
        self.places(said["message"], kind)
        for name in said.get("try", ()):
            if name not in self.names.pointers:
                raise BrokenRules(f"try: {name} is no spec value")
        if said["severity"] == "error" and not said.get("safety"):
            raise BrokenRules("an error says in `safety` what to do first")
        if said["severity"] == "error" and said["source"]["standing"] == "memory":
            raise BrokenRules("no error rests on memory alone")
        return Rule(
            said["id"], said["title"], said["severity"], said["from"], kind, said["message"], said.get("why", ""),
            said.get("safety", ""), said.get("sign_off", "never"), Source(**said["source"]), at, self.axis,
            tuple(said.get("try", ())), self.dimension, tuple(self.reads),
            tuple(name for name, needed in self.reads.items() if needed), house, digest(said), said,
            self.applier(at, conditions, kind, evaluate),
        )  # fmt: skip

    # what the rule reads

    def read(self, name: str, needed: bool = True) -> None:
        self.reads[name] = self.reads.get(name, False) or needed

    def first_spec_name(self) -> str:
        for name in self.reads:
            if name in self.names.pointers:
                return name
        raise BrokenRules("at: say where the finding points")

    def value(self, text: str, dimension: str | None = None) -> tuple[Fetch, Formula]:
        formula = compile_formula(text, self.known, self.axis, dimension)
        for argument in formula.arguments:
            if argument.name not in self.lets:
                self.read(argument.name)
        return self.fetcher(formula), formula

    def fetcher(self, formula: Formula) -> Fetch:
        """A function of job and key that gives the formula's value, or Unknown, or None."""
        evaluate = formula.evaluate
        plan = [(self.getter(argument.name, argument.column), argument.column) for argument in formula.arguments]
        if not plan:
            constant = evaluate()

            def fixed(_job: Job, _key: str | None = None, _lets: Mapping[str, Any] | None = None) -> Any:
                return constant

            return fixed
        if len(plan) == 1 and formula.text == formula.arguments[0].name:
            return plan[0][0]

        def fetch(job: Job, key: str | None = None, lets: Mapping[str, Any] | None = None) -> Any:
            values: list[Any] = []
            unknown: list[Unknown] = []
            for get, column in plan:
                value = get(job, key, lets)
                if value is None:
                    return None
                if column and value.__class__ is dict:
                    unknown.extend(entry for entry in value.values() if entry.__class__ is Unknown)
                    value = [entry for entry in value.values() if entry is not None]
                    if not value and formula.dimension != "count":
                        return None
                if value.__class__ is Unknown:
                    unknown.append(value)
                values.append(value)
            return merged(unknown) if unknown else evaluate(*values)

        return fetch

    def getter(self, name: str, column: bool) -> Callable[..., Any]:
        if name in self.lets:
            return lambda job, key, lets: lets[name]
        if column or self.known[name].axis is None:
            return lambda job, key, lets: job.memo[name] if name in job.memo else job.cell(name)

        def one(job: Job, key: str | None, _lets: object) -> Any:
            cells = job.cell(name)
            return cells.get(key) if cells.__class__ is dict else cells

        return one

    # its parts

    def condition(self, name: str, allowed: Any) -> tuple[Callable[..., Any], Any]:
        if name not in self.names.pointers:
            raise BrokenRules(f"when: {name} is no spec value")
        axis = self.names.pointers[name][1]
        if axis not in (None, self.axis):
            raise BrokenRules(f"when: {name} is of each {axis}; add `each: {axis}`")
        if allowed in ("given", "absent"):
            wanted = allowed == "given"
            self.read(name, needed=False)

            def present(job: Job, key: str | None) -> bool:
                held = job.values.get(name)
                return (held is not None and (axis is None or key in held)) is wanted

            return present, None
        choices = frozenset(self.choice(name, item) for item in (allowed if isinstance(allowed, list) else [allowed]))
        self.read(name)
        get = self.getter(name, column=False)

        def holds(job: Job, key: str | None) -> Any:
            value = get(job, key, None)
            return value if value.__class__ is Unknown else value in choices

        return holds, choices

    def choice(self, name: str, text: str) -> Any:
        kind = self.names.kinds.get(name)
        if kind == "flag":
            if text not in TRUTH:
                raise BrokenRules(f"{name} is true or false, not {text}")
            return TRUTH[text]
        if kind in ("count", "number"):
            return float(text) if kind == "number" else int(text)
        return text

    def let(self, name: str, said: Any) -> None:
        if "." in name or name in self.known:
            raise BrokenRules(f"let: {name} is taken; use one new word")
        if isinstance(said, Mapping):
            self.lets[name], dimension = self.lookup(said)
        else:
            self.lets[name], formula = self.value(said)
            dimension = formula.dimension or _dimension_like(formula.exponents)
        self.known[name] = Named(dimension, None)

    def lookup(self, said: Mapping[str, str]) -> tuple[Fetch, str | None]:
        keys = {key: text for key, text in said.items() if key not in ("table", "column")}
        if said["table"] not in self.names.tables:
            raise BrokenRules(f"let: there is no table {said['table']}")
        columns, dimensions = self.names.tables[said["table"]]
        for column in [said["column"], *keys]:
            if column not in columns:
                raise BrokenRules(f"let: table {said['table']} has no column {column}")
        cell = "table." + said["table"].replace("-", "_")
        self.read(cell)
        fetches = {key: self.value(text)[0] for key, text in keys.items()}
        column = said["column"]

        def look(job: Job, key: str | None = None, lets: Mapping[str, Any] | None = None) -> Any:
            wanted = {name: fetch(job, key, lets) for name, fetch in fetches.items()}
            unknown = [value for value in wanted.values() if value.__class__ is Unknown]
            if unknown:
                return merged(unknown)
            if None in wanted.values():
                return None
            try:
                return job.cell(cell).look(column, **wanted)
            except OutsideTable as outside:
                return Unknown("outside table", (), str(outside))

        return look, dimensions.get(column)

    def side(self, text: str) -> Fetch:
        """One limit, of the value's dimension."""
        fetch, formula = self.value(text, self.dimension)
        if formula.exponents != self.exponents:
            raise BrokenRules(f"{text}: {spoken(formula.exponents)} held against {spoken(self.exponents or ())}")
        return fetch

    def check(self, said: dict[str, Any]) -> tuple[str, Callable[..., Any]]:
        if "present" in said:
            return "present", self.present(said["present"])
        if "rising" in said:
            fetch, formula = self.value_of_column(said["rising"])
            self.dimension = formula
            return "rising", fetch
        if "in_order" in said:
            fetches = []
            for text in said["in_order"]:
                fetch, formula_ = self.value(text, self.dimension)
                self.set_dimension(formula_, said)
                fetches.append(fetch)
            return "in_order", self.compared(fetches, lambda *values: checks.in_order(values))
        value, formula_ = self.value(said["value"])
        if "one_of" in said:
            name = said["value"]
            choices = [self.choice(name, item) for item in said["one_of"]]
            return "one_of", self.compared([value], lambda found: checks.one_of(found, choices))
        self.set_dimension(formula_, said)
        if "between" in said:
            return "between", self.compared([value, *map(self.side, said["between"])], checks.between)
        if "near" in said:
            return "near", self.compared([value, self.side(said["near"]), self.side(said["within"])], checks.near)
        kind = "at_least" if "at_least" in said else "at_most"
        return kind, self.compared([value, self.side(said[kind])], getattr(checks, kind))

    def set_dimension(self, formula: Formula, said: Mapping[str, str]) -> None:
        if self.exponents is not None and formula.exponents != self.exponents:
            raise BrokenRules(f"{formula.text}: {spoken(formula.exponents)} held against {spoken(self.exponents)}")
        self.exponents = formula.exponents
        self.dimension = said.get("as") or self.dimension or formula.dimension or _dimension_like(formula.exponents)
        if self.dimension is None or quantities.dimension_of(self.dimension) != self.exponents:
            raise BrokenRules(f"{formula.text} is {spoken(formula.exponents)}; say `as:` with a dimension it has")

    def value_of_column(self, name: str) -> tuple[Fetch, str | None]:
        known = self.known.get(name)
        if known is None or known.axis is None:
            raise BrokenRules(f"rising: {name} is no column")
        self.read(name)
        return self.getter(name, column=True), known.dimension

    def present(self, wanted: list[str]) -> Fetch:
        for name in wanted:
            if name not in self.names.pointers:
                raise BrokenRules(f"present: {name} is no spec value or part of the spec")
            self.read(name, needed=False)
        axes = {name: self.names.pointers[name][1] for name in wanted}

        def lacking(job: Job, key: str | None = None, _lets: object = None) -> list[str]:
            gone = []
            for name in wanted:
                held = job.values.get(name)
                if held is None or (axes[name] is not None and key not in held):
                    gone.append(name)
            return gone

        return lacking

    @staticmethod
    def compared(fetches: list[Fetch], compare: Callable[..., checks.Verdict]) -> Callable[..., Any]:
        def evaluate(job: Job, key: str | None, lets: Mapping[str, Any]) -> Any:
            values = [fetch(job, key, lets) for fetch in fetches]
            unknown = [value for value in values if value.__class__ is Unknown]
            if unknown:
                return merged(unknown)
            return None if None in values else compare(*values)

        return evaluate

    def places(self, message: str, kind: str) -> None:
        own = {"thing"} if self.axis or kind in {"rising"} else set()
        own |= {"missing"} if kind == "present" else {"value", "limit", "short"}
        for place in PLACE.findall(message):
            if place in own:
                continue
            known = self.known.get(place)
            if known is None or known.axis not in (None, self.axis):
                raise BrokenRules(f"message: {{{place}}} is no value that this rule has")
            if place not in self.lets:
                self.read(place, needed=False)
            else:
                raise BrokenRules(f"message: {{{place}}} is a `let`; show a figure or a spec value")

    # the whole

    def applier(
        self, at: str, conditions: list[tuple[Callable[..., Any], Any]], kind: str, evaluate: Callable[..., Any]
    ) -> Callable[[Job], tuple[Outcome, ...]]:
        rule, axis, lets, names = self.statement["id"], self.axis, self.lets, self.names

        def one(job: Job, key: str | None) -> list[Outcome]:
            unknown = []
            for condition, _ in conditions:
                holds = condition(job, key)
                if holds is False:
                    return []
                if holds is not True:
                    unknown.append(holds)
            if unknown:
                return [_unknown(rule, names.pointer(at, key), key, merged(unknown))]
            local: dict[str, Any] = {}
            for name, fetch in lets.items():
                local[name] = fetch(job, key, local)
            found = evaluate(job, key, local)
            if kind == "present":
                return [
                    Outcome(rule, names.pointer(name, key), key, "short", missing=(names.pointer(name, key),))
                    for name in found
                ] or [Outcome(rule, names.pointer(at, key), key, "met")]
            if found is None:
                return []
            if found.__class__ is Unknown:
                return [_unknown(rule, names.pointer(at, key), key, found)]
            if kind == "rising":
                lacking = [entry for entry in found.values() if entry.__class__ is Unknown]
                if lacking:
                    return [_unknown(rule, names.pointer(at, None), None, merged(lacking))]
                first, verdict = checks.rising(found)
                return [
                    Outcome(
                        rule,
                        names.pointer(at, first),
                        first,
                        "met" if verdict.met else "short",
                        verdict.value,
                        verdict.limit,
                        verdict.margin,
                    )
                ]
            return [
                Outcome(
                    rule,
                    names.pointer(at, key),
                    key,
                    "met" if found.met else "short",
                    found.value,
                    found.limit,
                    found.margin,
                )
            ]

        def guarded(job: Job, key: str | None) -> list[Outcome]:
            try:
                return one(job, key)
            except Exception as crash:  # one broken rule must not stop the others
                failed = Unknown("rule failed", (), f"{type(crash).__name__}: {crash}")
                return [_unknown(rule, names.pointer(at, key), key, failed)]

        if axis is None:
            return lambda job: tuple(guarded(job, None))
        return lambda job: tuple(outcome for key in job.keys.get(axis, ()) for outcome in guarded(job, key))


def _unknown(rule: str, pointer: str, key: str | None, unknown: Unknown) -> Outcome:
    return Outcome(rule, pointer, key, "unknown", reason=unknown.reason, missing=unknown.missing, note=unknown.note)


def _dimension_like(exponents: tuple[int, ...]) -> str | None:
    return next((name for name in quantities.DIMENSIONS if quantities.dimension_of(name) == exponents), None)


def digest(statement: Any) -> str:
    """Twelve hex digits that change when what the rule says changes.

    >>> digest({"id": "a.b"}) == digest({"id": "a.b"}) != digest({"id": "a.c"})
    True
    """
    said = json.dumps(statement, sort_keys=True, ensure_ascii=False).encode()
    return hashlib.sha256(said).hexdigest()[:12]

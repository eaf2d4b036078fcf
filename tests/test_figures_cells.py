"""How cells are worked out: what is taken, what is unknown, and what one thing's trouble leaves of the others."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from doorlint.errors import MissingInput, NotModelled, OutsideTable
from doorlint.figures.cells import (
    Cells,
    Gapped,
    Parameter,
    Unknown,
    along,
    as_column,
    at_once,
    by_key,
    entries_of,
    merged,
    once,
)
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library

MISSING = Unknown("input missing", ("/b",))


def job(**known: Any) -> Cells:
    """The cells of a job of two things, ``a`` and ``b``."""
    graph: Any = SimpleNamespace(place_of={"size": "/size"}.get, axes={"thing": "/things"})
    known = {name: as_column(cell) if isinstance(cell, dict) else cell for name, cell in known.items()}
    return Cells(known, graph, {}, {"thing": ("a", "b")})


def test_the_gravest_reason_stands_for_several_and_nothing_missing_is_left_out() -> None:
    failed = Unknown("rule failed", ("/c",), "crash")
    outside = [Unknown("outside table", (), note) for note in ("first", "second")]
    assert merged([MISSING, *outside]) == Unknown("outside table", ("/b",), "first")
    assert merged([Unknown("outside table", (), ""), *outside]) == Unknown("outside table", (), "first")
    assert merged([MISSING, failed, *outside]) == Unknown("rule failed", ("/b", "/c"), "crash")
    assert merged([MISSING, Unknown("not modelled", (), "n"), *outside]).reason == "not modelled"


@pytest.mark.parametrize(
    ("parameter", "cell", "taken"),
    [
        (Parameter("x"), 2.0, 2.0),
        (Parameter("x"), {"a": MISSING}, {"a": MISSING}),  # no column is asked for, so nobody looks inside
        (Parameter("x", optional=True), MISSING, None),
        (Parameter("x", column=True, gaps=True), {"a": 1.0, "b": MISSING}, {"a": 1.0, "b": None}),
        (Parameter("x", column=True, optional=True), {"a": 1.0, "b": MISSING}, None),
        (Parameter("x", column=True), {"a": 1.0, "b": None}, {"a": 1.0, "b": None}),
    ],
)
def test_a_value_is_taken_as_its_parameter_asks(parameter: Parameter, cell: Any, taken: Any) -> None:
    assert once("figure f", lambda value: [value], [parameter])(job(x=cell)) == [taken]


@pytest.mark.parametrize(
    ("parameter", "cell", "made"),
    [
        (Parameter("x"), MISSING, MISSING),
        (Parameter("x"), None, None),
        (Parameter("x", column=True), {"a": 1.0, "b": MISSING}, MISSING),
    ],
)
def test_without_what_it_needs_nothing_is_worked_out(parameter: Parameter, cell: Any, made: Any) -> None:
    assert once("figure f", lambda value: [value], [parameter])(job(x=cell)) == made


@pytest.mark.parametrize(
    ("error", "made"),
    [
        (NotModelled("no such track"), Unknown("not modelled", (), "no such track")),
        (OutsideTable("no such row"), Unknown("outside table", (), "no such row")),
        (ZeroDivisionError("by zero"), Unknown("rule failed", (), "figure f: ZeroDivisionError: by zero")),
        (MissingInput("size"), Unknown("input missing", ("/size",))),
        (MissingInput("x"), MISSING),
        (MissingInput("heights"), Unknown("input missing", ("/b",))),
    ],
)
def test_what_an_error_is_told_as(error: Exception, made: Unknown) -> None:
    def refuse(*_: object) -> None:
        raise error

    here = job(size=None, x=MISSING, heights={"a": 1.0, "b": MISSING})
    assert once("figure f", refuse, [])(here) == made
    assert along("figure f", refuse, [])(here, ("a", "b")) == ([made, made], False)


def test_what_one_thing_lacks_is_told_of_that_thing() -> None:
    def refuse(*_: object) -> None:
        raise MissingInput("size")

    lacking = {key: Unknown("input missing", (f"/things/{key}/size",)) for key in ("a", "b")}
    each = along("figure f", refuse, [])
    assert each(job(size=lacking), ("a", "b")) == ([lacking["a"], lacking["b"]], False)
    assert each(job(size={**lacking, "a": 1.0}), ("b",)) == ([lacking["b"]], False)
    assert once("figure f", refuse, [])(job(size=lacking)) == Unknown("input missing", ("/size",))


def test_what_is_of_other_things_is_taken_whole() -> None:
    others = {"a": MISSING, "c": 1.0}
    taken, sound = along("figure f", lambda value: [value], [Parameter("x")])(job(x=others), ("a", "b"))
    assert (taken, sound) == ([[others], [others]], True)


def test_what_ails_one_thing_stays_with_it() -> None:
    def half(size: float, whole: float) -> float:
        if size == 0.0:
            raise NotModelled("nothing there")
        return size / whole

    parameters = [Parameter("size", own=True), Parameter("whole")]
    each = along("figure f", half, parameters)
    assert each(job(size={"a": 1.0, "b": 3.0}, whole=2.0), ("a", "b")) == ([0.5, 1.5], True)
    nothing = Unknown("not modelled", (), "nothing there")
    assert each(job(size={"a": 0.0, "b": 3.0}, whole=2.0), ("a", "b")) == ([nothing, 1.5], False)
    assert each(job(size={"a": 1.0, "b": MISSING}, whole=2.0), ("a", "b")) == ([0.5, MISSING], False)
    assert each(job(size={"a": None, "b": 3.0}, whole=2.0), ("a", "b")) == ([None, 1.5], False)
    assert each(job(size={"a": 1.0, "b": 3.0}, whole=2.0), ("b",)) == ([1.5], True)
    assert each(job(size={"a": MISSING, "b": 3.0}, whole=2.0), ("b",)) == ([1.5], True)
    assert each(job(size={"a": 1.0, "b": 3.0}, whole=None), ("a", "b")) == ([None, None], False)


def half(size: float, whole: float) -> float | None:
    """None for nothing."""
    return size / whole if size else None


@pytest.mark.parametrize(
    ("size", "may_idle", "made", "kind"),
    [
        ({"a": 1.0, "b": 3.0}, False, {"a": 0.5, "b": 1.5}, dict),
        ({"a": 1.0, "b": 3.0}, True, {"a": 0.5, "b": 1.5}, dict),
        ({"a": 1.0, "b": 0.0}, True, {"a": 0.5, "b": None}, Gapped),
        ({"a": 1.0, "b": MISSING}, False, {"a": 0.5, "b": MISSING}, Gapped),
        (None, False, {"a": None, "b": None}, Gapped),
    ],
)
def test_a_column_says_whether_it_is_whole(size: Any, may_idle: bool, made: dict[str, Any], kind: type) -> None:
    parameters = [Parameter("size", own=True), Parameter("whole")]
    column = by_key("figure f", half, parameters, "thing", may_idle)(job(size=size, whole=2.0))
    assert (entries_of(column), column.__class__) == (made, kind)
    assert kind is dict or column.unknown is (MISSING in made.values())


def test_without_things_there_is_no_column() -> None:
    graph: Any = SimpleNamespace(axes={"thing": "/things"})
    compute = by_key("figure f", half, [Parameter("size", own=True), Parameter("whole")], "thing", False)
    assert compute(Cells({}, graph, {}, {})) == Unknown("input missing", ("/things",))


def test_a_column_has_an_entry_for_every_thing() -> None:
    def made(cell: Any) -> Any:
        return entries_of(at_once("figure f", lambda value: value, [Parameter("x")], "thing")(job(x=cell)))

    assert list(made({"b": 1.0}).items()) == [("a", None), ("b", 1.0)]
    assert list(made({"b": 1.0, "a": 2.0}).items()) == [("a", 2.0), ("b", 1.0)]
    assert made(3.0) == 3.0


def test_a_new_thing_may_come_with_a_change_to_another(library: Library) -> None:
    spec = base("tower-install")
    before = library.job(spec.values, spec.keys)
    after = before.with_changes({"hanger.station": {"left-1": 1.0, "left-10": 2.0}})
    assert after.keys["hanger"] == ("left-1", "left-2", "left-10", "right-1", "right-2")
    assert before.keys["hanger"] == ("left-1", "left-2", "right-1", "right-2")
    gone = dict.fromkeys(["left-2"])
    names = library.graph.members("hanger") & before.values.keys()
    assert before.with_changes(dict.fromkeys(names, gone)).keys["hanger"] == ("left-1", "right-1", "right-2")

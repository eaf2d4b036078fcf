"""The shape of a counterbalance: everything that reports, sheets and templates ask of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar

from doorlint.facts import Facts
from doorlint.named_tuple import NamedTuple

if TYPE_CHECKING:
    from doorlint.scene.picture import Picture
    from doorlint.scene.shapes import Scene
    from doorlint.scene.site import Site

__all__ = ["Column", "Counterbalance", "ForceMark", "ListTable", "Pose", "Reach", "Task"]


class Task(NamedTuple):
    """One step of the work."""

    title: str
    do: str
    numbers: Mapping[str, str] = {}
    """figures of the step by name, each with its label in this step"""
    lock_off: bool = False
    """whether moving parts must be locked before the step begins"""
    picture: str = ""
    """the small drawing beside the step; empty for none"""
    each: str = ""
    """the axis whose things each get this step; empty for a step done once"""
    redo: Mapping[str, str] = {}
    """what is done again when a figure or spec value moves: its name, with words for the work in which ``{after}`` is
    the new value and ``{thing}`` its things; the name of a group of the spec stands for all that is changed in it"""
    lifts: frozenset[str] = frozenset()
    """the lifts of the track that have this step; empty for every lift"""

    def is_for(self, lift: str | None) -> bool:
        """Whether a door with that lift has this step; where the lift is not known, as a standard one does.

        >>> Task("Hang the tracks", "", lifts=frozenset({"standard"})).is_for("vertical"), Task("Lock", "").is_for(None)
        (False, True)
        """
        return not self.lifts or (lift or "standard") in self.lifts


class Column(NamedTuple):
    """One column of a list: its head, the key of its values, and their dimension; empty for words."""

    head: str
    key: str
    dimension: str = ""
    by_unit: bool = False
    """its dimension is that of the row's ``unit``"""


class ListTable(NamedTuple):
    """How a list of the setting-out data is shown as a table."""

    name: str
    title: str
    columns: tuple[Column, ...]
    only: str = ""
    """a key: only the rows in which it is true are shown; empty for all"""


class ForceMark(NamedTuple):
    """A pick-up mark: who takes over there, the travel (m) and the forces at it (N)."""

    name: str
    travel: float
    door: float
    other: float | None
    residual: float | None
    target: float
    """wanted residual (N)"""
    band: float | None
    """tolerance on the target (N)"""
    pointer: str = ""
    """the part of the spec that findings about this mark point at; empty for none"""


class Pose(NamedTuple):
    """A counterbalance at one travel of the door."""

    pull: float
    """what it pulls on the door (N)"""
    moved: tuple[tuple[str, tuple[float, float, float, float]], ...] = ()
    """what moves: the picture that shows it, and its left, low, right and high edge there (m)"""
    words: tuple[tuple[str, float, str], ...] = ()
    """what else there is to read: its name, value and dimension"""


class Reach(NamedTuple):
    """Room that drawings need: beyond the left and the right jamb edge, and up from the floor (m)."""

    left: float
    right: float
    up: float


class Counterbalance:
    """One kind of counterbalance.

    By convention its figures are ``<name>.pull_closed``, ``<name>.pull_open``, ``<name>.residual_closed`` and
    ``<name>.residual_open``.
    """

    name: ClassVar[str]
    """its key in a spec"""
    pulling: ClassVar[str]
    """what pulls, in the plural"""
    curve_key: ClassVar[str]
    """the key of its pull in the curve of the setting-out data"""
    marks_text: ClassVar[str]
    """how a report explains the marks over the travel"""

    lock: ClassVar[str]
    """caution: how to make it safe"""
    hazard: ClassVar[str]
    """caution: what its stored energy does"""
    loaded_parts: ClassVar[tuple[str, ...]]
    """its parts under load, beside the bottom brackets and cables of every door"""
    single_points: ClassVar[tuple[str, ...]] = ()
    """its parts whose load nothing else takes when they break"""

    example_keys: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    """names for its things in a template, by axis"""
    tasks: ClassVar[tuple[Task, ...]]
    """its steps of the work, between locking the closed door and handing over"""
    read: ClassVar[frozenset[str]] = frozenset()
    """figures beside which a sheet leaves room to write what was read, moving up and moving down"""
    closed: ClassVar[Mapping[str, str]] = {}
    """figures of the marks, each with that of the closed door, which makes one more row on a sheet"""
    tables: ClassVar[tuple[ListTable, ...]] = ()
    """those of its lists that the text sheet shows"""

    @property
    def lists(self) -> Mapping[str, Callable[[Facts], list[dict[str, Any]]]]:
        """The lists it adds to the setting-out data, SI."""
        return {}

    @property
    def groups(self) -> Mapping[str, Callable[[Facts], dict[str, Any]]]:
        """The groups it adds to the setting-out data, SI."""
        return {}

    def reach(self, facts: Facts) -> Reach:
        """How much room the drawings need for it."""
        raise NotImplementedError(f"{type(self).__name__}.reach")

    def mount_place(self, part: str, facts: Facts) -> tuple[float, float] | None:  # noqa: ARG002
        """Where a mounting of its own parts is: beyond the jamb edge of its side, and up (m); ``None`` for others."""
        return None

    def add_to(self, scene: Scene, site: Site, facts: Facts) -> None:
        """Add it to the scene of a job, with its loads on the building."""
        raise NotImplementedError(f"{type(self).__name__}.add_to")

    def own_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:  # noqa: ARG002
        """Drawings of the mechanism alone, each with a scene of its own."""
        return []

    def step_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:  # noqa: ARG002
        """Small drawings beside its steps of the work."""
        return []

    def poses(self, facts: Facts, site: Site) -> Callable[[float], Pose] | None:  # noqa: ARG002
        """How it stands at a travel (m); ``None`` where that is not known."""
        return None

    def marks(self, facts: Facts) -> list[ForceMark]:
        """The marks at which it is balanced, in any order."""
        raise NotImplementedError(f"{type(self).__name__}.marks")

    def adjusting(self, facts: Facts, travels: Sequence[float]) -> dict[str, Any]:  # noqa: ARG002
        """By which coefficients readings at some places (m of travel) change it, SI; empty where they are not known."""
        return {}

"""Torsion springs on a shaft above the opening."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.counterbalance.kind import Column, Counterbalance, ForceMark, ListTable, Pose, Reach
from doorlint.counterbalance.torsion.tasks import TASKS
from doorlint.facts import Facts

if TYPE_CHECKING:
    from doorlint.scene.picture import Picture
    from doorlint.scene.shapes import Scene
    from doorlint.scene.site import Site

__all__ = ["KIND"]


class Torsion(Counterbalance):
    name = "torsion"
    pulling = "springs"
    curve_key = "springs"
    marks_text = "The name above it is that of the section below that roller"
    lock = (
        "Lock the door and hold the shaft against turning before you touch a cable, drum or spring. Never loosen a set "
        "screw without a bar in the winding cone."
    )
    hazard = (
        "A wound spring can kill. Only a trained person winds or unwinds it, with bars that fit the winding cone, and "
        "stands clear of their swing."
    )
    loaded_parts = ("drums", "shaft bearings", "springs")
    single_points = ("a spring", "the shaft", "a coupler", "an end bearing", "a spring pad")
    example_keys = {  # noqa: RUF012
        "spring": ("left", "right"),
        "bearing": ("left", "center", "right"),
        "coupler": ("middle",),
        "counted": ("left", "right"),
        "mount": ("track-left", "track-right", "spring-pad"),
        "fitting": ("roller", "hinge", "bottom-bracket", "bumper", "drum"),
    }
    tasks = TASKS
    read = frozenset({"section.mark_pull"})
    closed = {  # noqa: RUF012
        "section.mark_pull": "door.pull_closed",
        "section.mark_spring_residual": "door.residual_closed",
    }
    tables = (
        ListTable(
            "drifts",
            "WHERE THE RELEASED DOOR MOVES",
            (Column("from", "from", "length"), Column("to", "to", "length"), Column("way", "way"),
             Column("by up to", "pull", "weight")),
        ),
        ListTable(
            "load_path",
            "LOAD PATH  (worst case of each part)",
            (Column("part", "part"), Column("case", "case"), Column("carries", "force", by_unit=True),
             Column("capacity", "capacity", by_unit=True), Column("use", "use", "share")),
            only="governs",
        ),
        ListTable(
            "faults",
            "WHEN A PART BREAKS",
            (Column("part", "thing"), Column("door heavy by", "short", "weight"), Column("held by", "held_by"),
             Column("falls", "falls")),
        ),
        ListTable(
            "expected_readings",
            "READINGS TO EXPECT AT THE BOTTOM EDGE (a push down as minus)",
            (Column("travel", "travel", "length"), Column("moving up", "up", "pull"),
             Column("moving down", "down", "pull")),
        ),
        ListTable(
            "sizes",
            "SPRINGS THAT WOULD BALANCE THIS DOOR AND LAST BY THE TEXTBOOK",
            (Column("springs", "springs", "count"), Column("wire", "size"),
             Column("inside", "inside_diameter", "length"), Column("coils", "coils", "ratio"),
             Column("inner wire", "inner_size"), Column("leaves", "residual", "weight")),
        ),
        ListTable(
            "conversions",
            "THE SAME RATE IN ANOTHER WIRE",
            (Column("spring", "spring"), Column("wire", "size"), Column("coils", "coils", "ratio"),
             Column("wound", "length", "length"), Column("of strength", "stress_share", "share"),
             Column("openings", "cycles", "count")),
        ),
    )  # fmt: skip

    @property
    def lists(self) -> Mapping[str, Callable[[Facts], list[dict[str, Any]]]]:
        from doorlint.counterbalance.torsion.lists import LISTS  # a review needs none of them

        return LISTS

    @property
    def groups(self) -> Mapping[str, Callable[[Facts], dict[str, Any]]]:
        from doorlint.counterbalance.torsion.lists import GROUPS

        return GROUPS

    def reach(self, facts: Facts) -> Reach:
        return Reach(0.0, 0.0, max([0.0, *(height + 0.3 for height in facts.all_known("torsion.shaft.height"))]))

    def add_to(self, scene: Scene, site: Site, facts: Facts) -> None:
        from doorlint.counterbalance.torsion.scene import add_to

        add_to(scene, site, facts)

    def own_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:
        from doorlint.counterbalance.torsion.mechanism import MECHANISM, mechanism

        made = mechanism(facts)
        return [] if made is None else [(MECHANISM, made)]

    def step_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:
        from doorlint.counterbalance.torsion.mechanism import STEP, step

        made = step(facts)
        return [] if made is None else [(STEP, made)]

    def poses(self, facts: Facts, site: Site) -> Callable[[float], Pose] | None:  # noqa: ARG002
        from doorlint.counterbalance.torsion.mechanism import poses

        return poses(facts)

    def marks(self, facts: Facts) -> list[ForceMark]:
        pulls = facts.column("section.mark_pull")
        springs, residuals = facts.column("section.mark_spring_pull"), facts.column("section.mark_spring_residual")
        friction = facts.known("torsion.friction")
        return [
            ForceMark(key, travel, pulls[key], springs.get(key), residuals.get(key), 0.0, friction)
            for key, travel in facts.column("section.mark_travel").items()
            if key in pulls
        ]

    def adjusting(self, facts: Facts, travels: Sequence[float]) -> dict[str, Any]:
        from doorlint.counterbalance.torsion.lists import turns_by_readings

        return turns_by_readings(facts, travels)


KIND = Torsion()

"""The counterweight tower: boxes that hang from each other and take over the sections one after the other."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from doorlint.counterbalance.kind import Column, Counterbalance, ForceMark, ListTable, Pose, Reach
from doorlint.counterbalance.tower.tasks import TASKS
from doorlint.facts import Facts

if TYPE_CHECKING:
    from doorlint.scene.picture import Picture
    from doorlint.scene.shapes import Scene
    from doorlint.scene.site import Site

__all__ = ["KIND"]


class Tower(Counterbalance):
    name = "tower"
    pulling = "boxes"
    curve_key = "counterweight"
    marks_text = (
        "The box named above the line takes over there. A ring is the pull of the boxes that should hang by then; a "
        "bar is what friction holds"
    )
    lock = "Lock the door and clamp every box before you touch a chain, cable or box spring."
    hazard = (
        "A box that comes loose falls the whole height of the tower: keep the cover on and your hands out of the tower."
    )
    loaded_parts = ("pulleys", "chains", "boxes", "eye bolts")
    single_points = ("a chain", "box 1 with its pulleys", "the tower head", "the tower foot and its anchors")
    example_keys = {  # noqa: RUF012
        "box": ("b1", "b2"),
        "pulley": ("head-near", "head-far", "crossing", "box-near", "box-far"),
        "mount": ("track-left", "track-right", "head-left", "head-right", "tower-head", "tower-foot"),
        "fitting": (
            "roller",
            "hinge",
            "bottom-bracket",
            "bumper",
            "eye-bolt",
            "box-top",
            "box-bottom",
            "spring-stop",
            "base-stop",
        ),
    }
    tasks = TASKS
    read = frozenset({"box.mark_roller", "section.mark_pull"})
    closed = {"section.mark_pull": "door.pull_closed"}  # noqa: RUF012
    tables = (
        ListTable(
            "boxes",
            "BOXES  (imbalance: boxes less door at the mark; heights over the nested stack)",
            (
                Column("box", "box"),
                Column("sections", "sections"),
                Column("plates", "plates", "count"),
                Column("loaded", "loaded", "weight"),
                Column("imbalance", "residual", "pull"),
                Column("open", "height_open", "length"),
                Column("closed, empty", "height_closed_empty", "length"),
                Column("closed, loaded", "height_closed_loaded", "length"),
            ),
        ),
        ListTable(
            "chains",
            "CHAINS  (travel where the chain comes tight, and where its box leaves the stack)",
            (
                Column("from", "from"),
                Column("to", "to"),
                Column("links", "links", "count"),
                Column("tight at", "tight_at", "position"),
                Column("lifts at", "lifts_at", "position"),
                Column("spring rate", "rate", "spring-rate"),
                Column("stop wanted", "stretch", "length"),
                Column("carries", "load", "weight"),
            ),
        ),
        ListTable(
            "load_path",
            "LOAD PATH  (worst case of each part; V down, H toward the opening)",
            (
                Column("part", "part"),
                Column("case", "case"),
                Column("force", "force", "weight"),
                Column("capacity", "capacity", "weight"),
                Column("use", "use", "share"),
            ),
            only="governs",
        ),
        ListTable(
            "faults",
            "WHEN A PART BREAKS  (short: most that the door then lacks)",
            (
                Column("part", "part"),
                Column("falls", "falls"),
                Column("height", "height", "length"),
                Column("short", "short", "weight"),
            ),
        ),
    )

    @property
    def lists(self) -> Mapping[str, Callable[[Facts], list[dict[str, Any]]]]:
        from doorlint.counterbalance.tower.lists import LISTS  # a review needs none of them

        return LISTS

    def reach(self, facts: Facts) -> Reach:
        bay = max([0.0, *(bay + 0.1 for bay in facts.all_known("room.tower_bay"))])
        up = max([0.0, *facts.all_known("tower.height", "tower.eye_bolt_height", "tower.head_pulley_height")])
        return Reach(bay, 0.0, up) if facts.known("tower.side") == "left" else Reach(0.0, bay, up)

    def mount_place(self, part: str, facts: Facts) -> tuple[float, float] | None:
        gap, wide, tall = (facts.known(f"tower.{name}") for name in ("jamb_gap", "width", "height"))
        if part not in ("tower-head", "tower-foot") or gap is None or wide is None or tall is None:
            return None
        return gap + wide / 2, tall if part == "tower-head" else 0.0

    def add_to(self, scene: Scene, site: Site, facts: Facts) -> None:
        from doorlint.counterbalance.tower.scene import add_to

        add_to(scene, site, facts)

    def own_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:
        from doorlint.counterbalance.tower.mechanism import MECHANISM, mechanism

        made = mechanism(facts)
        return [] if made is None else [(MECHANISM, made)]

    def step_drawings(self, facts: Facts) -> list[tuple[Picture, Scene]]:
        from doorlint.counterbalance.tower.mechanism import steps

        return steps(facts)

    def poses(self, facts: Facts, site: Site) -> Callable[[float], Pose] | None:
        from doorlint.counterbalance.tower.mechanism import poses

        return poses(facts, site)

    def marks(self, facts: Facts) -> list[ForceMark]:
        pulls, hanging = facts.column("box.mark_pull"), facts.column("box.hanging")
        residuals, targets = facts.column("box.residual"), facts.column("box.bias")
        friction = facts.known("operation.friction")
        return [
            ForceMark(
                key, travel, pulls[key], hanging[key] / 2 if key in hanging else None, residuals.get(key),
                targets.get(key, 0.0), friction, f"/tower/boxes/{key}/plates",
            )
            for key, travel in facts.column("box.mark_travel").items()
            if key in pulls
        ]  # fmt: skip

    def adjusting(self, facts: Facts, travels: Sequence[float]) -> dict[str, Any]:  # noqa: ARG002
        from doorlint.counterbalance.tower.lists import plates_by_readings

        return plates_by_readings(facts)


KIND = Tower()

"""What an installer sets a job out by: figures and working, boxes, chains, hangers, cables, and the work in order."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Literal, NamedTuple

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.figures.working import lines, working
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["SET_OUT", "WORK", "Sheet", "Task", "set_out"]

System = Literal["us", "si"]


class Task(NamedTuple):
    """One step of the work."""

    title: str
    do: str
    numbers: tuple[str, ...] = ()
    lock_off: bool = False
    """what moves is locked off before it is begun"""
    each: str = ""
    """once for every thing of that axis"""
    only: str = ""
    """for a job with this counterbalance"""


WORK: tuple[Task, ...] = (
    Task(
        "Bar the opening",
        "Keep everybody out of the opening and from under door, track and counterweight while anything is raised.",
        lock_off=True,
    ),
    Task(
        "Check the opening",
        "Measure the opening again. Mark one level line on both jambs; all heights are from the finished floor.",
        ("opening.finished_width", "opening.finished_height", "opening.floor_fall"),
    ),
    Task(
        "Check what hangs above",
        "Measure the headroom again over the whole depth of the open door, and where the door comes highest.",
        ("room.headroom", "sweep.headroom_needed", "sweep.height", "sweep.height_section", "sweep.height_part",
         "sweep.height_distance", "sweep.height_travel"),
    ),
    Task(
        "Set the vertical tracks",
        "Plumb, parallel, both curves starting at one height; shims that take up the floor go under both track and "
        "bottom section.",
        ("track.tangent_height", "track.angle_length", "track.jamb_clearance.bottom", "track.jamb_clearance.top"),
    ),
    Task(
        "Stack the sections",
        "Level the bottom section first. Struts are on and rollers oiled before a section is lifted; no roller leaves "
        "its track.",
        ("hinges.rollers", "section.joint_height"),
    ),
    Task(
        "Hang the horizontal tracks",
        "Brace every hanger both ways. The building carries what is given here at each hanger.",
        ("track.radius", "track.rise", "track.back_end", "hanger.station", "hanger.from_wall",
         "hanger.track_height", "hanger.load", "hanger.uplift"),
    ),
    Task(
        "Take temporary supports off",
        "All of them, before the door is first moved.",
    ),
    Task(
        "Lock the door off",
        "Closed, with a clamp on the track above a roller on both sides.",
        lock_off=True,
    ),
    Task(
        "Raise the tower",
        "Upright, anchored at foot and head before anything hangs in it.",
        ("tower.jamb_gap", "tower.base_stop", "tower.height", "tower.height_needed", "tower.head_pulley_height",
         "tower.eye_bolt_height", "tower.head_load", "tower.head_side_load", "tower.far_head_load",
         "tower.far_side_load", "tower.stack_weight", "tower.slab_load"),
        only="tower",
    ),
    Task(
        "Stack the boxes empty",
        "Lowest box first, box 1 on top; box 1 carries the bottom section.",
        ("box.sections", "box.tare", "box.rest_top"),
        only="tower",
    ),
    Task(
        "Hang the chains",
        "Each from a box to the next below, with its spring and the stop of the spring. Links are links of slack, the "
        "boxes standing on each other.",
        ("box.slack", "box.links_wanted", "box.stretch_wanted", "box.rate_wanted", "box.chain_load"),
        lock_off=True,
        only="tower",
    ),
    Task(
        "Raise the empty boxes to the hook-up mark",
        "Door closed. Clamp every box in the guides before a hand goes to chain or cable.",
        ("tower.hook_up", "tower.hook_up_top"),
        lock_off=True,
        only="tower",
    ),
    Task(
        "Clip the cables",
        "Eye bolts at the middle of their thread, clips with the saddle on the live rope, keepers on every pulley.",
        ("cable.cut_length", "cable.clips_wanted", "cable.clip_pitch", "tower.cable_tension",
         "tower.cable_tension_alone"),
        lock_off=True,
        only="tower",
    ),
    Task(
        "Load and balance {thing}",
        "Raise the door by the tackle until the bottom roller stands at the mark; lock it off and clamp the boxes; "
        "load the plates; let it move and read the pull at the bottom edge up and down.",
        ("box.sections", "box.mark_roller", "box.mark_travel", "box.mark_height", "box.plates_wanted", "box.wanted",
         "box.bias", "box.band"),
        lock_off=True,
        each="box",
        only="tower",
    ),
    Task(
        "Tighten the clips again",
        "After the first load, with the door locked off and the boxes clamped.",
        lock_off=True,
        only="tower",
    ),
    Task(
        "Level the door by the eye bolts",
        "Under full ballast.",
        ("tower.eye_bolt_takeup",),
        only="tower",
    ),
    Task(
        "Set shaft, drums and cables",
        "Door closed. Safety turns stay on each drum; both cables alike tight.",
        ("torsion.shaft.height", "torsion.shaft.from_wall", "torsion.drum.wraps_closed", "torsion.travel_turns"),
        lock_off=True,
        only="torsion",
    ),
    Task(
        "Wind the springs",
        "Only a trained person, with bars that fit, standing clear of their swing; the shaft is held before a cone is "
        "let go.",
        ("torsion.wound", "torsion.turns_closed", "torsion.turns_open", "torsion.rate"),
        lock_off=True,
        only="torsion",
    ),
    Task(
        "Read the balance",
        "At every mark, moving up and moving down: the mean is the imbalance, half the difference the friction.",
        ("section.mark_travel", "section.mark_height", "section.mark_pull", "door.pull_closed", "door.pull_open",
         "door.residual_closed", "door.residual_open"),
    ),
    Task(
        "Put the boxes right",
        "Where a reading is out of its band: plates from the first box that is off, then read again. Door locked off, "
        "boxes clamped.",
        ("box.plates_correction", "box.links_correction"),
        lock_off=True,
        only="tower",
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. They stop the door before box 1 comes to rest.",
        ("door.open_travel", "door.bracket_open", "tower.rest_gap", "tower.open_top"),
        only="tower",
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment.",
        ("door.open_travel", "door.bracket_open"),
        only="torsion",
    ),
    Task(
        "Cover, mark and hand over",
        "Covers on, parts under load marked, limits and entrapment protection tried, the user shown how to lock the "
        "door off.",
    ),
)  # fmt: skip
"""The work in the order it is done."""

SET_OUT: tuple[str, ...] = tuple(dict.fromkeys(name for task in WORK for name in task.numbers))
"""The names an installer sets out by, in the order of the work."""


class Sheet(NamedTuple):
    """The setting-out of one reviewed spec."""

    review: SpecReview
    counterbalance: str
    """``tower``, ``torsion`` or nothing"""
    data: dict[str, Any]
    """as ``setout --as json`` gives it, SI"""


def set_out(review: SpecReview, library: Library, *, shown_working: bool = True) -> Sheet:
    """The setting-out of a spec that was reviewed by itself.

    ``shown_working`` spells out with every figure how it was come by, which takes longer than the rest.
    Raises :class:`ValueError` for a review that kept no job: one of many, or of a spec that cannot be read.
    """
    if review.job is None:
        raise ValueError(f"{review.file}: there are no figures to set out by")
    maker = _Maker(review.job, library, review.system, shown_working)
    kind = next((kind for kind in ("tower", "torsion") if kind in review.job.values), "")
    data = {
        "verdict": review.verdict,
        "figures": dict(maker.figures()),
        "curve": maker.curve("counterweight" if kind == "tower" else "springs"),
        "boxes": maker.boxes() if kind == "tower" else [],
        "chains": maker.chains() if kind == "tower" else [],
        "hangers": maker.hangers(),
        "cables": maker.cables() if kind == "tower" else [],
        "order_of_work": list(maker.order_of_work(kind)),
    }
    return Sheet(review, kind, data)


class _Maker:
    def __init__(self, job: Job, library: Library, system: System, shown_working: bool) -> None:
        self.job, self.library, self.system, self.shown_working = job, library, system, shown_working

    def label(self, name: str) -> str:
        """What a name stands for."""
        node = self.job.graph.nodes[name]
        if node.function is not None:
            return note_of(node.function).label
        subject, _, key = name.partition(".")
        if subject == "practice" and key in self.library.practice:
            return self.library.practice[key].title
        if subject == "table":
            title: str = self.library.table_notes[key.replace("_", "-")]["title"]
            return title
        said = VOCABULARY.term(name).description.partition(";")[0]
        *_, group, _ = name.split(".")
        if name.count(".") < 2:
            return said
        return f"{group.replace('_', ' ').capitalize()}: {said[:1].lower()}{said[1:]}"

    def text(self, value: Any, dimension: str | None) -> str:
        """A value in words: as a tape or a scale reads it."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int | float):
            return quantities.write(value, dimension, self.system) if dimension else str(value)
        if isinstance(value, str):
            return value
        if isinstance(value, tuple) and all(isinstance(part, str) for part in value):
            return ", ".join(value)
        if isinstance(value, dict):
            said = {key: self.text(part, dimension) for key, part in value.items()}
            return ", ".join(f"{key} {part}" for key, part in said.items() if part)
        return ""

    def figures(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """Every figure that has a value, by name; one of a column by name and key."""
        for name, node in self.job.graph.nodes.items():
            if node.function is None:
                continue
            cell = self.job.cell(name)
            if isinstance(cell, dict):
                for key, value in cell.items():
                    if _plain(value):
                        yield f"{name}.{key}", self.figure(name, key, value)
            elif _plain(cell):
                yield name, self.figure(name, None, cell)

    def figure(self, name: str, key: str | None, value: Any) -> dict[str, Any]:
        node = self.job.graph.nodes[name]
        assert node.function is not None
        standing, document, edition, clause, note = note_of(node.function).source
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return {
            "value": value,
            "unit": quantities.DIMENSIONS[node.dimension].si_unit if number and node.dimension else "",
            "text": self.text(value, node.dimension),
            "working": self.working(name, key) if self.shown_working else "",
            "source": {
                "standing": standing, "document": document, "edition": edition, "clause": clause, "note": note,
            },
        }  # fmt: skip

    def working(self, name: str, key: str | None) -> str:
        return "\n".join(lines(working(self.job, name, key), self.text, self.label))

    def curve(self, other: str) -> list[dict[str, Any]]:
        points = self.job.cell("door.curve")
        if not isinstance(points, list):
            return []
        return [dict(zip(("travel", "door", other, "residual"), point, strict=True)) for point in points]

    def column(self, name: str, key: str) -> Any:
        """A value of one thing; ``None`` where it does not apply or is not known."""
        value = self.job.at(name, key)
        return None if isinstance(value, Unknown) else value

    def boxes(self) -> list[dict[str, Any]]:
        return [
            {
                "box": key,
                "sections": list(self.column("box.sections", key) or ()),
                "wanted": self.column("box.wanted", key),
                "plates_wanted": self.column("box.plates_wanted", key),
                "plates": self.first(key, "box.plates", "box.plates_wanted"),
                "loaded": self.column("box.loaded", key),
                "residual": self.column("box.residual", key),
                "plates_correction": self.column("box.plates_correction", key),
            }
            for key in self.job.keys.get("box", ())
        ]

    def first(self, key: str, *names: str) -> Any:
        values = (self.column(name, key) for name in names)
        return next((value for value in values if value is not None), None)

    def chains(self) -> list[dict[str, Any]]:
        keys = self.job.keys.get("box", ())
        return [
            {
                "from": key,
                "to": below,
                "slack": self.column("box.slack", key),
                "links_wanted": self.column("box.links_wanted", key),
                "links": self.first(key, "box.chain.links", "box.links_wanted"),
                "links_correction": self.column("box.links_correction", key),
                "late": self.column("box.timing", key),
                "stretch": self.column("box.full_stretch", key),
                "stretch_wanted": self.column("box.stretch_wanted", key),
                "rate_wanted": self.column("box.rate_wanted", key),
                "load": self.column("box.chain_load", key),
            }
            for key, below in pairwise(keys)
        ]

    def hangers(self) -> list[dict[str, Any]]:
        names = ("station", "load", "uplift", "from_wall", "track_height")
        return [
            {"hanger": key, **{name: self.column(f"hanger.{name}", key) for name in names}}
            for key in self.job.keys.get("hanger", ())
        ]

    def cables(self) -> list[dict[str, Any]]:
        names = ("side", "cut_length", "tension")
        return [
            {"cable": key, **{name: self.column(f"cable.{name}", key) for name in names}}
            for key in self.job.keys.get("cable", ())
        ]

    def order_of_work(self, kind: str) -> Iterator[dict[str, Any]]:
        number = 0
        for task in WORK:
            if task.only not in ("", kind):
                continue
            for key in self.job.keys.get(task.each, ()) if task.each else (None,):
                number += 1
                yield {
                    "step": number,
                    "title": task.title.replace("{thing}", key or ""),
                    "do": task.do,
                    "lock_off": task.lock_off,
                    "numbers": [said for name in task.numbers for said in self.numbers(name, key)],
                }

    def numbers(self, name: str, key: str | None) -> Iterator[dict[str, Any]]:
        """The entries of one name in a step: one value, or one for every named thing."""
        node = self.job.graph.nodes[name]
        if node.axis is None or key is not None:
            keys: tuple[str | None, ...] = (key if node.axis else None,)
        else:
            keys = self.job.keys.get(node.axis, ())
        for one in keys:
            value = self.job.at(name, one)
            if value is None:
                continue
            known = not isinstance(value, Unknown)
            number = isinstance(value, int | float) and not isinstance(value, bool)
            yield {
                "name": name,
                "key": one,
                "label": self.label(name),
                "value": value if number else None,
                "unit": quantities.DIMENSIONS[node.dimension].si_unit if number and node.dimension else "",
                "text": self.text(value, node.dimension) if known else _gap(value),
                "missing": list(value.missing) if isinstance(value, Unknown) else [],
            }


def _plain(value: Any) -> bool:
    """Whether a value can be shown as one number, word or flag."""
    return isinstance(value, int | float | str) and not isinstance(value, Unknown)


def _gap(unknown: Unknown) -> str:
    """Why a number is not there.

    >>> _gap(Unknown("input missing", ("/tower/plate",)))
    'not known: give /tower/plate'
    """
    return f"not known: give {', '.join(unknown.missing)}" if unknown.missing else f"not known: {unknown.note}"

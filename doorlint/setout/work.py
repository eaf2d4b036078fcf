"""The work on a door in the order it is done, and the numbers that each step is set out by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

__all__ = ["SET_OUT", "WORK", "Task"]


class Task(NamedTuple):
    """One step of the work."""

    title: str
    do: str
    numbers: Mapping[str, str] = {}
    """its numbers, each with the few words it is called by in this step"""
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
        "Measure it again. Mark one level line on both jambs.",
        {
            "opening.finished_width": "clear width",
            "opening.finished_height": "header height",
            "opening.floor_fall": "floor falls",
        },
    ),
    Task(
        "Check what hangs above",
        "Measure the headroom again over the whole depth of the open door, above all where it sweeps highest.",
        {
            "room.headroom": "headroom",
            "sweep.headroom_needed": "needed",
            "sweep.height": "door sweeps",
            "sweep.height_section": "section",
            "sweep.height_distance": "from wall",
            "sweep.height_travel": "moved up by",
            "sweep.height_part": "its corner",
        },
    ),
    Task(
        "Set the vertical tracks",
        "Plumb, parallel, both curves starting at one height. Shims that take up the floor go under both track and "
        "bottom section.",
        {
            "track.tangent_height": "curve starts at",
            "track.angle_length": "wall angle",
            "track.jamb_clearance.bottom": "off jamb, floor",
            "track.jamb_clearance.top": "off jamb, top",
        },
    ),
    Task(
        "Stack the sections",
        "Level the bottom section, s1, first. Struts are on and rollers oiled before a section is lifted; no roller "
        "leaves its track. Tops with the door closed.",
        {"hinges.rollers": "rollers", "section.joint_height": "top of section"},
    ),
    Task(
        "Hang the horizontal tracks",
        "Brace every hanger both ways. The building carries the load given here at each.",
        {
            "track.radius": "curve radius",
            "track.rise": "rise to the back",
            "track.back_end": "wall to back end",
            "hanger.station": "from curve end",
            "hanger.from_wall": "from inside wall",
            "hanger.track_height": "roller line",
            "hanger.load": "load, door open",
            "hanger.uplift": "most push up",
        },
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
        {
            "tower.jamb_gap": "jamb to tower",
            "tower.base_stop": "lowest box at",
            "tower.height": "tower height",
            "tower.height_needed": "height needed",
            "tower.head_pulley_height": "head pulleys at",
            "tower.eye_bolt_height": "eye bolts at",
            "tower.head_load": "head, down",
            "tower.head_side_load": "head, sideways",
            "tower.far_head_load": "far head, down",
            "tower.far_side_load": "far head, inward",
            "tower.stack_weight": "stack on stop",
            "tower.slab_load": "most on slab",
        },
        only="tower",
    ),
    Task(
        "Stack the boxes empty",
        "Lowest box first, box 1 on top. Box 1 carries the bottom section.",
        {"box.tare": "empty box", "box.rest_top": "top at rest"},
        only="tower",
    ),
    Task(
        "Hang the chains",
        "Each from a box to the next below, with its spring and the spring's stop. Links of slack, the boxes standing "
        "on each other.",
        {
            "box.slack": "slack below",
            "box.links_wanted": "links",
            "box.stretch_wanted": "spring stretch",
            "box.rate_wanted": "spring rate",
            "box.chain_load": "hangs on it",
        },
        lock_off=True,
        only="tower",
    ),
    Task(
        "Raise the boxes to hook up",
        "Empty, the door closed. Clamp every box in the guides before a hand goes to chain or cable.",
        {"tower.hook_up": "raise box 1 by", "tower.hook_up_top": "top of box 1 at"},
        lock_off=True,
        only="tower",
    ),
    Task(
        "Clip the cables",
        "Eye bolts at the middle of their thread, clips with the saddle on the live rope, keepers on every pulley. "
        "Clips no closer than given.",
        {
            "cable.cut_length": "cut length",
            "cable.clips_wanted": "clips an end",
            "cable.clip_pitch": "clips apart",
            "tower.cable_tension": "both share pull",
            "tower.cable_tension_alone": "one alone pulls",
        },
        lock_off=True,
        only="tower",
    ),
    Task(
        "Load and balance {thing}",
        "Raise the door by the tackle until the bottom roller stands at the mark; lock it off and clamp the boxes; "
        "load the plates; let it move and read the pull at the bottom edge up and down, a push down as minus. Halfway "
        "between the two the door is light as given.",
        {
            "box.sections": "section",
            "box.mark_roller": "roller",
            "box.mark_travel": "travel",
            "box.mark_height": "bottom roller at",
            "box.plates_wanted": "plates",
            "box.wanted": "weight",
            "box.bias": "light by",
            "box.band": "give or take",
        },
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
        {"tower.eye_bolt_takeup": "thread in all"},
        only="tower",
    ),
    Task(
        "Set shaft, drums and cables",
        "Door closed. Safety turns stay on each drum; both cables alike tight.",
        {
            "torsion.shaft.height": "shaft height",
            "torsion.shaft.from_wall": "shaft from wall",
            "torsion.drum.wraps_closed": "safety turns",
            "torsion.travel_turns": "turns to open",
        },
        lock_off=True,
        only="torsion",
    ),
    Task(
        "Wind the springs",
        "Only a trained person, with bars that fit, standing clear of their swing; the shaft is held before a cone is "
        "let go.",
        {
            "torsion.turns_closed": "turns to wind",
            "torsion.turns_open": "left when open",
            "torsion.rate": "torque a turn",
        },
        lock_off=True,
        only="torsion",
    ),
    Task(
        "Read the balance",
        "At every mark, moving up and moving down, a push down as minus. Halfway between the two is the imbalance, "
        "half their difference the friction.",
        {
            "section.mark_travel": "travel",
            "section.mark_height": "bottom roller at",
            "section.mark_pull": "door pulls",
            "door.pull_closed": "closed, door pulls",
            "door.pull_open": "open, door pulls",
            "door.residual_closed": "closed, boxes pull more",
            "door.residual_open": "open, boxes pull more",
        },
        only="tower",
    ),
    Task(
        "Read the balance",
        "At every mark, moving up and moving down, a push down as minus. Halfway between the two is the imbalance, "
        "minus where the springs pull more; half their difference is the friction.",
        {
            "section.mark_travel": "travel",
            "section.mark_height": "bottom roller at",
            "section.mark_pull": "door pulls",
            "section.mark_spring_residual": "springs pull more",
            "door.pull_closed": "closed, door pulls",
            "door.pull_open": "open, door pulls",
            "door.residual_closed": "closed, springs pull more",
            "door.residual_open": "open, springs pull more",
        },
        only="torsion",
    ),
    Task(
        "Put the boxes right",
        "Where a reading is out of its band: plates at the first box that is off, then read again. A plate changes the "
        "pull by half its weight. Door locked off, boxes clamped. Minus: take out.",
        {"box.plates_correction": "plates to put in", "box.links_correction": "links to put in"},
        lock_off=True,
        only="tower",
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. They stop the open door before box 1 comes to rest.",
        {
            "door.open_travel": "travel to open",
            "door.bracket_open": "bottom roller at",
            "tower.rest_gap": "box 1 above rest",
            "tower.open_top": "top of box 1 at",
        },
        only="tower",
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. Heights with the door open.",
        {"door.open_travel": "travel to open", "door.bracket_open": "bottom roller at"},
        only="torsion",
    ),
    Task(
        "Cover, mark and hand over",
        "Covers on, parts under load marked, limits and entrapment protection tried, the user shown how to lock the "
        "door off.",
    ),
)
"""The work in the order it is done. Heights are from the finished floor."""

SET_OUT: tuple[str, ...] = tuple(dict.fromkeys(name for task in WORK for name in task.numbers))
"""The names an installer sets out by, in the order of the work."""

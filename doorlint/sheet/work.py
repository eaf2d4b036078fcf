"""The work on a door in the order it is done, and the figures of each step."""

from __future__ import annotations

from doorlint import counterbalance
from doorlint.counterbalance.kind import Counterbalance, Task

__all__ = ["SET_OUT", "work"]

BEFORE: tuple[Task, ...] = (
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
        picture="step-opening",
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
        picture="step-track",
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
            "hanger.along": "push along the track",
            "hanger.uplift": "most push up",
        },
        picture="step-hangers",
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
)
"""The steps before the counterbalance."""

AFTER: tuple[Task, ...] = (
    Task(
        "Cover, mark and hand over",
        "Covers on, parts under load marked, limits and entrapment protection tried, the user shown how to lock the "
        "door off.",
    ),
)
"""The steps after the counterbalance."""


def work(*kinds: Counterbalance) -> tuple[Task, ...]:
    """The steps in order for a door with these counterbalances.

    >>> [task.title for task in work()][-2:]
    ['Lock the door off', 'Cover, mark and hand over']
    """
    return (*BEFORE, *(task for kind in kinds for task in kind.tasks), *AFTER)


SET_OUT: tuple[str, ...] = tuple(dict.fromkeys(name for task in work(*counterbalance.every()) for name in task.numbers))
"""The figures that an installer marks out, in the order of the work."""

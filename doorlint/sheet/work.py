"""The work on a door in the order it is done, and the figures of each step."""

from __future__ import annotations

from doorlint import counterbalance
from doorlint.counterbalance.kind import Counterbalance, Task

__all__ = ["SET_OUT", "work", "work_again"]

TURNED, VERTICAL = frozenset({"standard", "high", "low-headroom", "follow-the-roof"}), frozenset({"vertical"})
"""The lifts whose track turns into the room, and the one whose track runs straight up."""
LOW = frozenset({"low-headroom"})
"""The lift whose top rollers have guides of their own."""
SHIMS = "Shims that take up the floor go under both track and bottom section."
TRACKS = {
    "track.angle_length": "wall angle",
    "track.jamb_clearance.bottom": "jamb clearance, bottom",
    "track.jamb_clearance.top": "jamb clearance, top",
}
TRACKS_AGAIN = {
    "track.angle_length": "wall angles: {after} long",
    "track.vertical_length": "vertical tracks: {after} long",
    "track.jamb_clearance.bottom": "adjust the jamb clearance, bottom, to {after}",
    "track.jamb_clearance.top": "adjust the jamb clearance, top, to {after}",
}

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
        redo={
            "opening.finished_width": "re-mark both jambs: clear width {after}",
            "opening.finished_height": "re-mark the level line: header {after} above the finished floor",
        },
    ),
    Task(
        "Check the overhead obstructions",
        "Measure the headroom again over the whole depth of the open door, and where the door sweeps highest.",
        {
            "room.headroom": "headroom",
            "sweep.headroom_needed": "needed",
            "guide.roof_headroom": "needed at the wall",
            "sweep.height": "door sweeps",
            "sweep.height_section": "section",
            "sweep.height_distance": "from wall",
            "sweep.height_travel": "moved up by",
            "sweep.height_part": "its corner",
        },
    ),
    Task(
        "Prepare the sections on sawhorses",
        "Each lying flat: struts on while it lies, end hinges by their numbers, rollers oiled. Weigh each; a weight "
        "that differs from the one here changes the counterbalance.",
        {
            "section.load": "weight",
            "section.hinge_number": "hinge at its top",
            "section.strut_shape": "strut",
            "hinges.rollers": "rollers in all",
        },
    ),
    Task(
        "Set the vertical tracks",
        f"Plumb, parallel, both curves starting at one height. {SHIMS}",
        {"track.tangent_height": "curve starts at", **TRACKS},
        picture="step-track",
        redo={"track.tangent_height": "re-mark the start of both curves: {after}", **TRACKS_AGAIN},
        lifts=TURNED,
    ),
    Task(
        "Set both tracks",
        f"Plumb, parallel, both ending at one height, with a stop at the top of each. {SHIMS}",
        {"track.tangent_height": "tracks end at", **TRACKS},
        redo={"track.tangent_height": "re-mark the top end of both tracks: {after}", **TRACKS_AGAIN},
        lifts=VERTICAL,
    ),
    Task(
        "Fasten the tracks above the header",
        "One bracket after the other, from the header up. The wall carries the load given here at each.",
        {
            "mount.bracket_height": "bracket at",
            "mount.bracket_off": "most pull off the wall",
            "mount.bracket_hold": "the wall holds",
        },
        redo={"mount.bracket_height": "re-mark {thing}: {after}", "track.lift": "track lift"},
        lifts=VERTICAL,
    ),
    Task(
        "Stack the sections",
        "Level the bottom section, s1, first; no roller leaves its track. Tops with the door closed.",
        {"section.joint_height": "top of section"},
        redo={
            "section": "replace or refit",
            "section.joint_height": "re-mark the top of {thing}: {after}",
        },
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
        redo={
            "track.radius": "replace both curves: radius {after}",
            "track.lift": "track lift",
            "track.rise": "adjust the rise to the back to {after}",
            "track.back_end": "re-mark the back end of the tracks: {after} from the wall",
            "track.horizontal_length": "horizontal tracks: {after} long",
            "hanger.station": "re-mark hanger {thing}: {after} from the end of the curve",
            "hanger.track_height": "re-mark the roller line at hanger {thing}: {after}",
        },
        lifts=TURNED,
    ),
    Task(
        "Set the upper guides",
        "Both alike, middle to middle of the tracks. With the door closed the top rollers stand in their curves.",
        {
            "track.upper.above": "over the main track",
            "track.upper.radius": "curve radius",
            "track.upper_arc": "curve turns",
            "track.upper_start": "curve starts at",
            "track.upper.offset": "start from roller line",
        },
        redo={
            "track.upper.above": "set both upper guides {after} over the main tracks",
            "track.upper.radius": "replace both upper curves: radius {after}",
            "track.upper_arc": "replace both upper curves: they turn {after}",
            "track.upper_start": "re-mark the start of both upper curves: {after}",
            "track.upper.offset": "set the start of both upper curves {after} from the roller line",
        },
        lifts=LOW,
    ),
    Task(
        "Fasten to the building",
        "The fasteners, in the pattern and into the backing that are given. Drill lead holes for lag screws, and turn "
        "them in; never drive them. Loads are those of the worst fastener, with everything that acts on it at once.",
        {
            "mount.onto": "into",
            "mount.fixing.kind": "fastener",
            "mount.fixing.count": "how many",
            "mount.lead_hole": "lead hole",
            "mount.bite": "least thread in the wood",
            "mount.spacing": "least spacing",
            "mount.edge_distance": "to edge or end",
            "mount.load_set": "factor for duration",
            "mount.worst_pull": "pull",
            "mount.worst_shear": "across",
            "mount.use": "of its strength",
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


DRIVE = Task(
    "Fit the drive and its controls",
    "Open and lock the disconnect, try the start button, and lock the door off before a hand goes to drive, chain "
    "or limit. Supply wiring is an electrician's work.",
    lock_off=True,
    redo={"operation": "fit or set"},
)
"""What is done of a change to the drive; a new door's sheet leaves it to the drive's own instructions."""


def work(*kinds: Counterbalance) -> tuple[Task, ...]:
    """The steps in order for a door with these counterbalances.

    >>> [task.title for task in work()][-2:]
    ['Lock the door off', 'Cover, mark and hand over']
    """
    return (*BEFORE, *(task for kind in kinds for task in kind.tasks), *AFTER)


def work_again(*kinds: Counterbalance) -> tuple[Task, ...]:
    """The steps in the order of the work that a change may ask for again.

    >>> [task.title for task in work_again()][-2:]
    ['Fit the drive and its controls', 'Cover, mark and hand over']
    """
    return (*BEFORE, *(task for kind in kinds for task in kind.tasks), DRIVE, *AFTER)


SET_OUT: tuple[str, ...] = tuple(dict.fromkeys(name for task in work(*counterbalance.every()) for name in task.numbers))
"""The figures that an installer marks out, in the order of the work."""

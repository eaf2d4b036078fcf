"""The steps of the work on a tower, in order, with the figures of each step."""

from __future__ import annotations

from doorlint.counterbalance.kind import Task

__all__ = ["TASKS"]

TASKS: tuple[Task, ...] = (
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
            "stack.resting_open": "stack on stop",
            "tower.slab_load": "most on slab",
        },
        redo={
            "tower.side": "move the tower to the {after} side",
            "tower.jamb_gap": "re-mark the tower: {after} from the jamb",
            "tower.height": "tower: {after} high",
            "tower.head_pulley_height": "re-mark the head pulleys: {after}",
            "tower.eye_bolt_height": "re-mark the eye bolts: {after}",
            "pulley": "move or replace",
        },
    ),
    Task(
        "Stack the boxes empty",
        "Lowest box first, box 1 on top. Box 1 carries the bottom section.",
        {"box.tare": "empty box", "box.rest_top": "top at rest"},
        picture="tower-rest",
    ),
    Task(
        "Hang the chains",
        "Each from a box to the next below, with its spring and the spring's stop. Links of slack, the boxes standing "
        "on each other.",
        {
            "box.slack": "slack below",
            "box.links_wanted": "links",
            "box.stretch_wanted": "spring stretch",
            "box.spring_rate": "spring rate",
            "box.rate_wanted": "rate wanted",
            "box.chain_load": "hangs on it",
        },
        redo={
            "box.links_wanted": "hang {after} links below {thing}",
            "box.rate_wanted": "spring below {thing}: {after} needed",
        },
        lock_off=True,
    ),
    Task(
        "Raise box 1 to the hook-up mark",
        "Door closed and locked. Raise box 1 empty by the tackle; the boxes below come up on their chains. Clamp every "
        "box in the guides before a hand goes to chain or cable.",
        {
            "tower.hook_up": "raise box 1 by",
            "tower.hook_up_top": "top of box 1 at",
            "stack.pull_empty": "tackle carries",
            "box.top_empty": "top, empty",
        },
        redo={"tower.hook_up_top": "raise the top of box 1, empty, to {after}"},
        lock_off=True,
        picture="tower-hooked",
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
        redo={
            "cable": "move or replace",
            "cable.cut_length": "{thing} cable: cut length {after}",
            "cable.clips_wanted": "{thing} cable: {after} clips at each end",
        },
        lock_off=True,
    ),
    Task(
        "Load the boxes",
        "Door closed and locked. Load the plates worked out into the hanging boxes. The springs stretch and the boxes "
        "sink: set catch blocks under every box below its loaded height, then take the clamps off.",
        {
            "box.sections": "section",
            "box.plates_wanted": "plates",
            "box.wanted": "weight",
            "box.top_closed": "top, loaded",
        },
        redo={"box.plates_wanted": "put {after} plates in {thing}"},
        lock_off=True,
    ),
    Task(
        "Restrain the door both ways",
        "Clamps on both tracks, above and below a roller, and the tackle on the door, before the lock is opened.",
        {
            "lifting.restraint_up": "holds up to, upward",
            "lifting.restraint_down": "holds up to, downward",
            "lifting.door_raise": "tackle carries",
        },
        lock_off=True,
    ),
    Task(
        "Balance {thing}",
        "Raise the door by the tackle to the mark and restrain it both ways. Let it move and read the pull at the "
        "bottom edge up and down, a push down as minus. Halfway between the two the door is light as given. Clamp the "
        "boxes before a plate goes in or out.",
        {
            "box.mark_roller": "roller",
            "box.mark_travel": "travel",
            "box.mark_height": "bottom roller at",
            "box.loaded": "loaded weight",
            "box.bias": "aim: light by",
            "box.expected_up": "reads up",
            "box.expected_down": "reads down",
            "tower.trim": "tolerance",
        },
        redo={"box.mark_height": "read the balance of {thing} with the bottom roller at {after}"},
        lock_off=True,
        each="box",
    ),
    Task(
        "Tighten the clips again",
        "After the first load, with the door locked off and the boxes clamped.",
        lock_off=True,
    ),
    Task(
        "Level the door by the eye bolts",
        "Under full ballast.",
        {"tower.eye_bolt_takeup": "total eye-bolt take-up"},
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
        redo={"door.pull_closed": "read the balance at every mark: the closed door pulls {after}"},
    ),
    Task(
        "Put the boxes right",
        "Where the door does not stay: plates at the first box that is off, then read again. A plate changes the pull "
        "by half its weight. Door locked, boxes clamped. Minus: take out.",
        {"box.plates_correction": "plates to put in", "box.links_correction": "links to put in"},
        lock_off=True,
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. They stop the open door before box 1 comes to rest.",
        {
            "door.open_travel": "travel to open",
            "door.bracket_open": "bottom roller at",
            "tower.rest_gap": "box 1 above rest",
            "stack.hanging_open": "boxes that hang",
            "tower.open_top": "top of box 1 at",
        },
        redo={"door.bracket_open": "set the bumpers: bottom roller at {after} with the door open"},
    ),
)
"""From the closed, locked door to the bumpers. Heights are from the finished floor."""

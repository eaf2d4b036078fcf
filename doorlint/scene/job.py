"""The scene of a job: room, door, track and counterbalance, each added by its own module."""

from __future__ import annotations

from doorlint import counterbalance
from doorlint.facts import Facts
from doorlint.scene import door, room, track
from doorlint.scene.shapes import Scene
from doorlint.scene.site import Site, site

__all__ = ["scene_of"]


def scene_of(facts: Facts) -> tuple[Scene, Site]:
    """The scene of a job and the site that it is placed by; what is missing for it is noted in the facts."""
    scene, here = Scene(), site(facts)
    if here.width is None or here.height is None:
        facts.needs("The wall seen from inside", "opening.least_width", "opening.least_height")
    for part, name in (("door", "The door"), ("track", "The track")):
        if not facts.given(part):
            facts.left_out.append(f"{name}: the spec gives none yet")
    kinds = counterbalance.described(facts.job.values)
    if not kinds:
        facts.left_out.append("The counterbalance: the spec gives none yet")
    room.add(scene, here, facts)
    door.add(scene, here, facts)
    track.add(scene, here, facts)
    for kind in kinds:
        kind.add_to(scene, here, facts)
    return scene, here

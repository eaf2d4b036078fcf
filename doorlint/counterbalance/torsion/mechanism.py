"""The torsion shaft's own drawing: drums, springs, cones and bearing plates along the shaft.

Lengths are to scale. Diameters are drawn ``THICKER``, or they could not be told apart.
"""

from __future__ import annotations

from doorlint.counterbalance.torsion.scene import CENTER_GAP, spring_places
from doorlint.facts import Facts
from doorlint.scene.picture import Picture
from doorlint.scene.shapes import WALL, Dimension, Label, Line, Scene, Solid

__all__ = ["MECHANISM", "STEP", "mechanism", "step"]

MECHANISM = Picture(
    "shaft", "The torsion shaft from inside (lengths to scale, diameters enlarged)", WALL, scaled=False,
    barred=False, air=0.3,
)  # fmt: skip
STEP = Picture("shaft-step", "The springs", WALL, scaled=False, barred=False)
THICKER = 2.5
COILS = 0.03
"""Distance of the coils as they are drawn (m)."""
CONE = 0.05
"""Length at which a cone is drawn (m)."""


def mechanism(facts: Facts) -> Scene | None:
    """The shaft; ``None`` (and the reason noted) where its length is not known."""
    if not facts.needs("The torsion shaft's own drawing", "torsion.shaft.length"):
        return None
    scene, write = Scene(), facts.write
    half = facts.known("torsion.shaft.length") / 2
    thick = (facts.known("torsion.shaft.diameter") or 0.025) / 2 * THICKER
    scene.shapes.append(Solid("shaft", "box", (-half, half), None, (-thick, thick), "/torsion/shaft"))
    for name, x in (("end bearing plate", -half), ("center bearing plate", 0.0), ("end bearing plate", half)):
        scene.shapes.append(Solid(f"plate at {x:.2f}", "plate-steel", (x - 0.01, x + 0.01), None, (-0.22, 0.22)))
        scene.labels.append(Label((name,), (x, None, -0.22), ("shaft",)))
    _drums(scene, facts, half)
    _springs(scene, facts)
    length = f"shaft {write(2 * half, 'length')}"
    scene.dimensions.append(Dimension(length, (-half, None, -0.22), (half, None, -0.22), "below", 1, ("shaft",)))
    turns = (("closed", facts.known("torsion.turns_closed")), ("open", facts.known("torsion.turns_open")))
    words = [f"door {pose} {write(turn, 'turns')}" for pose, turn in turns if turn is not None]
    if words:
        scene.labels.append(Label(("turns on the springs", *words), (0.0, None, 0.22), ("shaft",)))
        scene.say(f"Turns on the springs: {', '.join(words)}.", "shaft")
    scene.spot("/torsion", half * 0.8, None, thick)
    scene.spot("/torsion/shaft", -half * 0.3, None, thick)
    return scene


def step(facts: Facts) -> Scene | None:
    """The shaft beside the step that winds the springs: the hand of each spring, and the turns."""
    scene = mechanism(facts)
    if scene is None:
        return None
    scene.labels = [
        Label((f"{facts.known('spring.wind', key)}-wound",), ((start + end) / 2, None, outside * THICKER), (STEP.name,))
        for key, start, end, outside in spring_places(facts, 0.0)
        if facts.known("spring.wind", key) is not None
    ]
    turns = facts.known("torsion.turns_closed")
    if turns is not None:
        words = f"wind {facts.write(turns, 'turns')}"
        scene.labels.append(Label((words,), (0.0, None, -0.22), (STEP.name,)))
        scene.say(f"{words.capitalize()}.", STEP.name)
    return scene


def _drums(scene: Scene, facts: Facts, half: float) -> None:
    size, wide = facts.known("torsion.drum.diameter"), facts.known("torsion.drum.width")
    if size is None or wide is None:
        facts.needs("The drums", "torsion.drum.diameter", "torsion.drum.width")
        return
    across = (facts.known("door.width") or 2 * half) / 2
    radius = size / 2 * min(THICKER, 0.2 / (size / 2))
    for side, sense in (("left", -1.0), ("right", 1.0)):
        cable = sense * min(across, half - 0.03)
        start, end = sorted((cable, cable - sense * wide))
        scene.shapes += [
            Solid(f"drum {side}", "drum", (start, end), None, (-radius, radius), "/torsion/drum"),
            Line(f"cable {side}", "cable", ((cable, None, -radius), (cable, None, -0.3))),
        ]
        scene.labels.append(Label((f"{side} drum",), ((start + end) / 2, None, radius), ("shaft",)))
        scene.spot("/torsion/drum", (start + end) / 2, None, radius)


def _springs(scene: Scene, facts: Facts) -> None:
    for key, start, end, outside in spring_places(facts, 0.0):
        radius = outside * THICKER
        left = facts.known("spring.side", key) == "left"
        anchor, cone = (end, start) if left else (start, end)
        inward = 1.0 if left else -1.0
        count = max(int((end - start) / COILS), 4)
        step = (end - start) / count
        points = [(start + step * turn / 2, None, radius * (1 if turn % 2 else -1)) for turn in range(2 * count + 1)]
        winding = tuple(sorted((cone, cone - inward * CONE)))
        scene.shapes += [
            Line(f"spring {key}", "coil", tuple(points)),
            Solid(f"winding cone {key}", "box", (winding[0], winding[1]), None, (-radius * 0.8, radius * 0.8)),
            Line(f"anchor {key}", "box", ((anchor, None, 0.0), (anchor + inward * CENTER_GAP, None, 0.0))),
        ]
        wire, bore = facts.known("spring.wire", key), facts.known("spring.inside_diameter", key)
        words = [f"spring {key}"]
        if wire is not None and bore is not None:
            words.append(f"wire {facts.write(wire, 'length')}, inside {facts.write(bore, 'length')}")
        words.append(f"{facts.write(end - start, 'length')} long")
        hand = facts.known("spring.wind", key)
        if hand is not None:
            words.append(f"{hand}-wound")
        scene.labels += [
            Label(tuple(words), ((start + end) / 2, None, radius), ("shaft",)),
            Label(("winding cone",), ((winding[0] + winding[1]) / 2, None, -radius * 0.8), ("shaft",)),
        ]
        scene.spot(f"/torsion/springs/{key}", (start + end) / 2, None, radius)
        scene.say(f"{', '.join(words)}.".capitalize(), "shaft")

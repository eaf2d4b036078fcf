"""The torsion shaft's own drawing: drums, springs, cones and bearing plates along the shaft.

Lengths are to scale. Diameters are drawn ``THICKER``, or they could not be told apart.
"""

from __future__ import annotations

from collections.abc import Callable

from doorlint.counterbalance.kind import Pose
from doorlint.counterbalance.torsion.scene import spring_places
from doorlint.facts import Facts
from doorlint.mechanics import spring_balance
from doorlint.scene.picture import Picture
from doorlint.scene.shapes import WALL, Arrow, Dimension, Label, Line, Scene, Solid

__all__ = ["MECHANISM", "STEP", "mechanism", "poses", "step"]

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
    loads = facts.column("bearing.load")
    for key, station in facts.column("bearing.station").items():
        x = station - half
        scene.shapes.append(Solid(f"bearing {key}", "plate-steel", (x - 0.01, x + 0.01), None, (-0.22, 0.22)))
        if key in loads:
            words = f"{key} bearing {facts.write(loads[key], 'weight')}"
            scene.arrows.append(Arrow(words, (x, None, 0.22), (0.0, -1.0), ("shaft",)))
            scene.say(f"{words.capitalize()}, door closed.", "shaft")
        else:
            scene.labels.append(Label((f"{key} bearing",), (x, None, -0.22), ("shaft",)))
        scene.spot(f"/torsion/bearings/{key}", x, None, 0.22)
    _drums(scene, facts, half)
    _springs(scene, facts)
    length = f"shaft {write(2 * half, 'length')}"
    scene.dimensions.append(Dimension(length, (-half, None, -0.22), (half, None, -0.22), "below", 1, ("shaft",)))
    turns = (("closed", facts.known("torsion.turns_closed")), ("open", facts.known("torsion.turns_open")))
    poses = [f"door {pose} {write(turn, 'turns')}" for pose, turn in turns if turn is not None]
    if poses:
        scene.labels.append(Label(("turns on the springs", *poses), (0.0, None, 0.22), ("shaft",)))
        scene.say(f"Turns on the springs: {', '.join(poses)}.", "shaft")
    scene.spot("/torsion", half * 0.8, None, thick)
    scene.spot("/torsion/shaft", -half * 0.3, None, thick)
    return scene


def step(facts: Facts) -> Scene | None:
    """The shaft beside the step that winds the springs: the hand of each spring, and the turns."""
    scene = mechanism(facts)
    if scene is None:
        return None
    left_end = -facts.known("torsion.shaft.length") / 2
    hands = facts.column("spring.wind")
    scene.labels = [
        Label((f"{hands[key]}-wound",), ((anchor + cone) / 2, None, outside * THICKER), (STEP.name,))
        for key, anchor, cone, outside in spring_places(facts, left_end)
        if key in hands
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
        station = facts.known(f"torsion.drum.{side}")
        center = sense * (min(across, half - 0.03) - wide / 2) if station is None else station - half
        start, end = center - wide / 2, center + wide / 2
        cable = start if side == "left" else end
        scene.shapes += [
            Solid(f"drum {side}", "drum", (start, end), None, (-radius, radius), "/torsion/drum"),
            Line(f"cable {side}", "cable", ((cable, None, -radius), (cable, None, -0.3))),
        ]
        scene.labels.append(Label((f"{side} drum",), ((start + end) / 2, None, radius), ("shaft",)))
        pull = facts.known("torsion.pull_closed")
        if pull is not None:
            words = f"cable {facts.write(pull / 2, 'weight')}"
            scene.arrows.append(Arrow(words, (cable, None, -0.3), (0.0, -1.0), ("shaft",)))
        scene.spot("/torsion/drum", (start + end) / 2, None, radius)


def _springs(scene: Scene, facts: Facts) -> None:
    for key, anchor, cone, outside in spring_places(facts, -facts.known("torsion.shaft.length") / 2):
        radius, (start, end) = outside * THICKER, sorted((anchor, cone))
        count = max(int((end - start) / COILS), 4)
        step = (end - start) / count
        points = [(start + step * turn / 2, None, radius * (1 if turn % 2 else -1)) for turn in range(2 * count + 1)]
        winding = tuple(sorted((cone, cone + (CONE if cone > anchor else -CONE))))
        scene.shapes += [
            Line(f"spring {key}", "coil", tuple(points)),
            Solid(f"winding cone {key}", "box", (winding[0], winding[1]), None, (-radius * 0.8, radius * 0.8)),
        ]
        words = [f"spring {key}", *_sizes(facts, key)]
        inner = [other for other in facts.keys("spring") if facts.known("spring.inside", other) == key]
        words += [f"{other} inside it" for other in inner]
        scene.labels += [
            Label(tuple(words), ((start + end) / 2, None, radius), ("shaft",)),
            Label(("winding cone",), ((winding[0] + winding[1]) / 2, None, -radius * 0.8), ("shaft",)),
        ]
        for other in (key, *inner):
            scene.spot(f"/torsion/springs/{other}", (start + end) / 2, None, radius)
        scene.say(f"{', '.join(words).capitalize()}.", "shaft")


def _sizes(facts: Facts, key: str) -> list[str]:
    """What a fitter knows a spring by: wire, inside diameter, length and hand."""
    wire, bore, length = (facts.known(f"spring.{name}", key) for name in ("wire", "inside_diameter", "relaxed_length"))
    sizes = [] if wire is None else [f"wire {facts.write(wire, 'length', places=3)}"]
    sizes += [] if bore is None else [f"inside {facts.write(bore, 'length')}"]
    hand = facts.known("spring.wind", key)
    return [
        *([", ".join(sizes)] if sizes else []),
        *([] if length is None else [f"{facts.write(length, 'length')} long"]),
        *([] if hand is None else [f"{hand}-wound"]),
    ]


def poses(facts: Facts) -> Callable[[float], Pose] | None:
    """Turns left on every spring, and what they pull, at a travel of the door."""
    springs, drum = facts.known("torsion.wound_springs"), facts.known("drum.shape")
    if springs is None or drum is None:
        return None
    keys = facts.keys("spring")

    def pose(travel: float) -> Pose:
        turned = drum.turned(travel)
        wound = zip(keys, springs, strict=True)
        left = [(f"turns on {key}", max(spring.turns - turned, 0.0), "turns") for key, spring in wound]
        return Pose(spring_balance.pull(springs, drum, travel), (), (("turns of the shaft", turned, "turns"), *left))

    return pose

"""The tower's own drawing: the stack at rest, hooked up and at a mark, with chains, springs, pulleys and cables.

Heights are to scale. Widths are not: a tower is far higher than wide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, pairwise

from doorlint.counterbalance.kind import Pose
from doorlint.facts import Facts
from doorlint.mechanics import stack
from doorlint.scene.picture import Picture
from doorlint.scene.shapes import WALL, Arrow, Dimension, Label, Line, Scene, Solid, circle
from doorlint.scene.site import Site

__all__ = ["MECHANISM", "mechanism", "poses", "steps"]

MECHANISM = Picture(
    "tower", "The tower at rest, hooked up and at a mark (heights to scale, widths not)", WALL, scaled=False,
    barred=False, air=0.3,
)  # fmt: skip
REST = Picture("tower-rest", "The stack at rest", WALL, scaled=False, barred=False, beside=40.0)
HOOKED = Picture("tower-hooked", "The stack hooked up", WALL, scaled=False, barred=False, beside=40.0)
NEEDED = ("box.height", "tower.base_stop", "tower.hook_up", "tower.height")
WIDE = 0.16
"""Width at which a tower is drawn, as a share of its height."""
APART = 2.6
"""From one tower to the next, in widths."""
INSET = 0.12
"""From the edge of the tower to its boxes, in widths."""


def mechanism(facts: Facts) -> Scene | None:
    """The poses side by side; ``None`` (and the reason noted) where the stack is not known."""
    if not facts.needs("The tower's own drawing", *NEEDED):
        return None
    scene, wide = Scene(), facts.known("tower.height") * WIDE
    for number, (title, rises, loaded) in enumerate(_poses(facts)):
        _pose(scene, facts, number * wide * APART, wide, title, rises, loaded=loaded)
    return scene


def _inside(facts: Facts, number: int) -> tuple[float, float]:
    """Left and right edge of the boxes of a pose in the tower's own drawing (m)."""
    wide = (facts.known("tower.height") or 0.0) * WIDE
    left = number * wide * APART
    return left + wide * INSET, left + wide * (1 - INSET)


def steps(facts: Facts) -> list[tuple[Picture, Scene]]:
    """The stack at rest and hooked up, small and with the one height that the step is about."""
    if not facts.needs("The stack beside its steps", *NEEDED):
        return []
    rest, hook_up = facts.known("tower.rest_height"), facts.known("tower.hook_up")
    below = (0.0,) * (len(facts.column("box.height")) - 1)
    wide, made = facts.known("tower.height") * WIDE * 2, []
    for picture, rise, words, low in (
        (REST, 0.0, f"top of stack {facts.write(rest, 'length')}", 0.0),
        (HOOKED, hook_up, f"raise box 1 {facts.write(hook_up, 'length')}", rest),
    ):
        scene = Scene()
        _pose(scene, facts, 0.0, wide, picture.name, (rise, *below), loaded=False)
        scene.labels.clear()
        ends = ((0.0, None, low), (0.0, None, rest + rise))
        level = facts.write(rest + rise - low, "length")
        scene.dimensions.append(Dimension(level, *ends, "left", 1, (picture.name,)))
        scene.say(f"{words.capitalize()}.", picture.name)
        made.append((picture, scene))
    return made


def poses(facts: Facts, site: Site) -> Callable[[float], Pose] | None:
    """Boxes, chains and pull at a travel of the door."""
    chains, law, hook_up = facts.known("stack.chains"), facts.known("stack.law"), facts.known("tower.hook_up")
    if chains is None or law is None or hook_up is None or not facts.all_known("tower.base_stop"):
        return None
    weights, heights = tuple(facts.column("box.loaded").values()), facts.column("box.height")
    if len(weights) != len(heights):
        return None
    rests = [facts.known("tower.base_stop") + above for above in accumulate(reversed(heights.values()), initial=0.0)]

    columns = [("tower", _inside(facts, 1))]
    gap, across, side = (facts.known(f"tower.{name}") for name in ("jamb_gap", "width", "side"))
    if None not in (gap, across, side, site.width):
        start = -gap - across if side == "left" else site.width + gap
        columns.append(("wall", (start, start + across)))

    def pose(travel: float) -> Pose:
        rise = hook_up - travel / 2
        pull = stack.pull(law, rise)
        rises = stack.heights(weights, chains, rise, pull)
        places = zip(reversed(rests[:-1]), rises, heights.values(), strict=True)
        boxes = [(rest + up, rest + up + height) for rest, up, height in places]
        tensions = zip(heights, stack.tensions(weights, pull), strict=False)
        chains_below = [(f"chain below {key}", force, "weight") for key, force in tensions]
        words = [(f"top of {key}", top, "length") for key, (_, top) in zip(heights, boxes, strict=True)]
        moved = [(name, (left, low, right, high)) for name, (left, right) in columns for low, high in boxes]
        return Pose(pull / 2, tuple(moved), (*words, *chains_below))

    return pose


def _poses(facts: Facts) -> Iterator[tuple[str, Sequence[float], bool]]:
    """Title, rise of every box over its place at rest (m), and whether the plates are in it."""
    below = (0.0,) * (len(facts.column("box.height")) - 1)
    yield "at rest, empty", (0.0, *below), False
    closed = tuple(facts.column("box.rise_closed").values())
    if len(closed) == 1 + len(below):
        yield "hooked up, door closed", closed, True
    else:
        yield "hooked up", (facts.known("tower.hook_up"), *below), False
    chains, law, marks = facts.known("stack.chains"), facts.known("stack.law"), facts.column("box.mark_travel")
    if chains is not None and law is not None and marks:
        key = list(marks)[len(marks) // 2]
        height = facts.known("tower.hook_up") - marks[key] / 2
        weights = tuple(facts.column("box.loaded").values())
        yield f"at the mark of {key}", stack.heights(weights, chains, height, stack.pull(law, height)), True


def _pose(
    scene: Scene, facts: Facts, left: float, wide: float, title: str, rises: Sequence[float], *, loaded: bool
) -> None:
    tall, base = facts.known("tower.height"), facts.known("tower.base_stop")
    right, middle = left + wide, left + wide / 2
    inside = (left + wide * INSET, right - wide * INSET)
    scene.shapes += [
        Solid(f"tower {title}", "tower", (left, right), None, (0.0, tall)),
        Line(f"floor {title}", "floor", ((left - wide * 0.2, None, 0.0), (right + wide * 0.9, None, 0.0))),
        Line(f"stop {title}", "tower", ((left, None, base), (right, None, base))),
    ]
    scene.labels.append(Label((title,), (middle, None, -tall * 0.03), ("tower",), centered=True))
    heights = facts.column("box.height")
    places: dict[str, tuple[float, float]] = {}
    low = base
    for (key, height), rise in zip(reversed(heights.items()), reversed(rises), strict=True):
        places[key] = (low + rise, low + rise + height)
        low += height
    plates = {key: facts.known("box.plates", key) or facts.known("box.plates_wanted", key) for key in heights}
    for key, (bottom, top) in places.items():
        scene.shapes.append(Solid(f"box {key} {title}", "box", inside, None, (bottom, top)))
        count = plates[key] if loaded else 0
        for number in range(1, (count or 0) + 1):
            level = bottom + (top - bottom) * 0.85 * number / (count + 1)
            ends = ((inside[0] + wide * 0.06, None, level), (inside[1] - wide * 0.06, None, level))
            scene.shapes.append(Line(f"plate {number} of {key} {title}", "plate", ends))
        words = (key, f"{count} plates") if count else (key,)
        scene.labels.append(Label(words, (right, None, (bottom + top) / 2), ("tower",)))
    for above, below in pairwise(heights):
        _chain(scene, facts, above, title, middle, places[above][0], places[below][1], wide * 0.05)
    _runs(scene, facts, title, (left, middle, right), max(top for _, top in places.values()))


def _chain(scene: Scene, facts: Facts, key: str, title: str, x: float, upper: float, lower: float, half: float) -> None:
    """The chain below a box as its links, with the spring in the middle; nothing where the boxes touch."""
    gap = upper - lower
    if gap < 0.01:
        return
    links = facts.known("box.chain.links", key) or facts.known("box.links_wanted", key) or 3
    sprung = facts.known("box.chain.spring.rate", key) is not None
    coil = gap * 0.35 if sprung else 0.0
    straight = (gap - coil) / 2 if sprung else gap
    parts = [(lower, lower + straight), (upper - straight, upper)] if sprung else [(lower, upper)]
    shown = max(links // len(parts), 1)
    for number, (start, end) in enumerate(parts):
        step = (end - start) / shown
        for link in range(shown):
            center, tall = start + step * (link + 0.5), step * 0.55
            profile = tuple((x + across * half, center + up * tall) for across, up in circle(0.0, 0.0, 1.0))
            name = f"link {number}-{link} of {key} {title}"
            scene.shapes.append(Solid(name, "link", (x - half, x + half), None, (start, end), along=1, profile=profile))
    if sprung:
        foot = lower + straight
        turns = [(x + (half if turn % 2 else -half) * 1.6, None, foot + coil * turn / 9) for turn in range(1, 9)]
        points = ((x, None, foot), *turns, (x, None, foot + coil))
        scene.shapes.append(Line(f"spring of {key} {title}", "coil", points))


def _runs(scene: Scene, facts: Facts, title: str, across: tuple[float, float, float], top: float) -> None:
    """The moving pulley on box 1, the cable to the eye bolt, and the cable over the head pulley to the door."""
    left, middle, right = across
    wide, tall = right - left, facts.known("tower.height")
    rise, high = facts.known("tower.box_pulley_rise"), facts.known("tower.head_pulley_height")
    eye = facts.known("tower.eye_bolt_height") or tall
    if rise is None or high is None:
        facts.needs("Pulleys and cables of the tower", "tower.box_pulley_rise", "tower.head_pulley_height")
        return
    center, radius = top + rise, wide * 0.12
    to_door = left - wide * 0.35
    runs = (
        ("eye bolt", ((middle + radius, None, center), (middle + radius, None, eye))),
        ("lift", ((middle - radius, None, center), (middle - radius, None, high), (to_door, None, high))),
    )
    for name, points in runs:
        scene.shapes.append(Line(f"{name} cable {title}", "cable", points))
    for name, x, z, size in (
        ("box pulley", middle, center, radius), ("head pulley", middle - 2 * radius, high, radius),
        ("eye bolt", middle + radius, eye, wide * 0.05),
    ):  # fmt: skip
        scene.shapes.append(
            Solid(
                f"{name} {title}", "pulley", (x - size, x + size), None, (z - size, z + size), along=1,
                profile=circle(x, z, size), round=True,
            )
        )  # fmt: skip
    if title.startswith("hooked up"):
        _forces(scene, facts, (left, middle, right), top, (middle - 2 * radius, high), (middle + radius, eye))
    if title.startswith("at rest"):
        scene.labels += [
            Label(("eye bolt",), (middle + radius, None, eye), ("tower",)),
            Label(("head pulley",), (middle - 2 * radius, None, high), ("tower",)),
            Label(("box pulley",), (middle, None, center), ("tower",)),
        ]
    scene.labels.append(Label((f"top {facts.write(top, 'length')}",), (right, None, top), ("tower",)))
    scene.say(f"{title.capitalize()}: top of box 1 at {facts.write(top, 'length')}.", "tower")


def _forces(
    scene: Scene,
    facts: Facts,
    across: tuple[float, float, float],
    top: float,
    head: tuple[float, float],
    eye: tuple[float, float],
) -> None:
    """What the load path says of the door closed, as arrows: one cable at its eye bolt and head pulley, box 1, slab."""
    tension, slab = facts.known("tower.cable_tension"), facts.known("tower.slab_load")
    _, middle, _ = across
    acting: list[tuple[str, float | None, tuple[float, float], float]] = [
        ("eye bolt", tension, eye, -1.0),
        ("near head pulley", None if tension is None else 2.0 * tension, head, -1.0),
        ("top of box 1", None if tension is None else 4.0 * tension, (middle, top), 1.0),
        ("slab", slab, (middle, 0.0), -1.0),
    ]
    for name, force, (x, z), up in acting:
        if force is not None:
            words = f"{name} {facts.write(force, 'weight')}"
            scene.arrows.append(Arrow(words, (x, None, z), (0.0, up), ("tower",)))
            scene.say(f"{words.capitalize()}, door closed.", "tower")

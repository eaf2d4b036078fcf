"""A spec as plain data, made into the things that are lived: door, guides, stack or shaft."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from life.door import Door, Forces, Guide, Point
from life.shaft import Drum, Spring, rate_of
from life.sizes import given, natural, need, of, size, true
from life.stack import Chain, Stack

Tree = dict[str, Any]
PLACES, BETWEEN = 41, 4
"""Places where the door is let go, and steps between two of them."""

SHOP = {
    "bottom_roller": "3 in", "top_roller": "3 in", "tangent_drop": "6 in", "stand_off": "0 in", "friction_share": "5 %",
    "hand_pull": "260 N", "drift_speed": "12 in/s", "drift_from": "12 in", "drift_most": "150 N", "balance_bias": "1 %",
    "hook_up_extra": "1 in", "spring_divisor": "10.8", "dead_coils": "5", "bind_least": "5 deg",
}  # fmt: skip
"""Figures of the shop where neither the trade nor the spec says; a spec's ``practice`` block replaces each."""


def shop(tree: Tree, key: str) -> float:
    return size(str(given(tree, f"practice.{key}") or SHOP[key]))


@dataclass(frozen=True)
class Job:
    """What a spec describes. Every part is made when it is asked for; ``KeyError`` names a value that nobody gave."""

    tree: Tree

    @cached_property
    def to_come(self) -> float:
        return (of(self.tree, "opening.floor_to_come") or 0.0) if not true(self.tree, "opening.floor_finished") else 0.0

    @cached_property
    def opening(self) -> float:
        heights = [of(self.tree, f"opening.height.{at}") for at in ("left", "middle", "right")]
        known = [height for height in heights if height is not None]
        if not known:
            raise KeyError("opening.height")
        return min(known) - self.to_come

    @cached_property
    def width(self) -> float:
        widths = [of(self.tree, f"opening.width.{at}") for at in ("top", "middle", "bottom")]
        return min(width for width in widths if width is not None) - 2 * self.jambs_to_come

    @cached_property
    def jambs_to_come(self) -> float:
        finished = true(self.tree, "opening.jambs_finished")
        return 0.0 if finished else of(self.tree, "opening.jambs_to_come") or 0.0

    @cached_property
    def lift(self) -> str:
        return str(given(self.tree, "track.lift") or "standard")

    @cached_property
    def off_wall(self) -> float:
        return need(self.tree, "track.wall_offset")

    @cached_property
    def sections(self) -> list[tuple[str, Tree]]:
        found = given(self.tree, "door.sections") or {}
        return [(name, found[name] or {}) for name in natural(found)]

    @cached_property
    def offsets(self) -> list[tuple[float, float]]:
        """Inner face of each section off the roller line, at its lower and its upper end."""
        tree = self.tree
        door = of(tree, "door.stand_off", shop(tree, "stand_off")) or 0.0
        first, step = of(tree, "door.hinges.first"), of(tree, "door.hinges.step")
        found, below = [], door
        for number, (_, section) in enumerate(self.sections):
            below = of(section, "stand_off", below) or 0.0
            above = below
            hinge = given(section, "hinge")
            if number == len(self.sections) - 1:
                above = of(tree, "door.top_stand_off", below) or 0.0
            elif (set_off := of(section, "joint_stand_off")) is not None:
                above = set_off
            elif hinge is not None and first is not None and step is not None:
                above = first + step * (float(hinge) - 1)
            found.append((below, above))
            below = above
        return found

    @cached_property
    def rise(self) -> float:
        return math.atan(of(self.tree, "track.rise", 0.0) or 0.0)

    @cached_property
    def tangent(self) -> float:
        """Height at which the curve starts."""
        stated = of(self.tree, "track.vertical_length")
        if self.lift == "vertical":
            return 1000.0
        if stated is not None:
            return stated
        if self.lift == "low-headroom":
            raise KeyError("track.vertical_length")
        drop = self.opening - shop(self.tree, "tangent_drop")
        return drop + (need(self.tree, "track.high_lift") if self.lift == "high" else 0.0)

    @cached_property
    def door(self) -> Door:
        tree = self.tree
        back = math.pi / 2 - self.rise
        radius = 1.0 if self.lift == "vertical" else need(tree, "track.radius")
        guide = Guide((0.0, self.tangent), radius, 0.0, back)
        upper = guide
        if self.lift == "low-headroom":
            above, second = need(tree, "track.upper.above"), need(tree, "track.upper.radius")
            offset = need(tree, "track.upper.offset")
            front = back - (of(tree, "track.upper.turn", back) or back)
            run = offset + second * (math.cos(front) - math.cos(back))
            line = (guide.end[0] - above * math.cos(back), guide.end[1] + above * math.sin(back))
            ends = line[1] + (run - line[0]) / math.tan(back)
            upper = Guide((offset, ends - second * (math.sin(back) - math.sin(front))), second, front, back)
        thick = need(tree, "door.thickness")
        heights = tuple(need(section, "height") for _, section in self.sections)
        weights = tuple(need(section, "weight") for _, section in self.sections)
        if not heights:
            raise KeyError("door.sections")
        return Door(
            heights,
            weights,
            of(tree, "door.bottom_roller", shop(tree, "bottom_roller")) or 0.0,
            of(tree, "door.top_roller", shop(tree, "top_roller")) or 0.0,
            of(tree, "door.top_inward", 0.0) or 0.0,
            tuple((low + thick, high + thick) for low, high in self.offsets),
            guide,
            upper,
            self.opening,
        )

    @cached_property
    def travels(self) -> list[float]:
        """All travels looked at: the 41 places, and three between each two."""
        steps = (PLACES - 1) * BETWEEN
        return [self.door.open_at * number / steps for number in range(steps + 1)]

    @cached_property
    def forces(self) -> list[Forces]:
        """Of the door at each travel."""
        return [self.door.forces(x) for x in self.travels]

    @cached_property
    def pulls(self) -> list[float]:
        """Of the counterbalance on the door at each travel."""
        return [self.pull(x) for x in self.travels]

    @cached_property
    def net(self) -> list[float]:
        """What lifts the door at each travel; negative where it sinks."""
        return [pull - forces.pull for pull, forces in zip(self.pulls, self.forces, strict=True)]

    @cached_property
    def poses(self) -> list[tuple[float, list[tuple[Point, Point, Point, Point]]]]:
        """Each second travel with the outlines of the sections there."""
        return [(x, self.door.outlines(x)) for x in self.travels[:: BETWEEN // 2]]

    @cached_property
    def friction(self) -> float:
        return shop(self.tree, "friction_share") * self.door.weight

    @cached_property
    def boxes(self) -> list[tuple[str, Tree]]:
        found = given(self.tree, "tower.boxes") or {}
        return [(name, found[name] or {}) for name in natural(found)]

    @cached_property
    def hook_up(self) -> float:
        usual = sum(self.door.heights) / 2 + shop(self.tree, "hook_up_extra")
        return of(self.tree, "tower.hook_up_height", usual) or usual

    @cached_property
    def marks(self) -> list[tuple[float, float]]:
        """For each box the travel at which it is trimmed, and what boxes down to it shall pull on the door there."""
        names = [name for name, _ in self.sections]
        bias = of(self.tree, "tower.bias")
        found: list[tuple[float, float] | None] = []
        for _, box in self.boxes:
            serves = given(box, "sections") or []
            last = max(names.index(name) for name in serves) + 1
            at = self.door.mark(last)
            if at is None:
                found.append(None)
                continue
            pull = self.door.forces(at).pull
            found.append((at, pull + (shop(self.tree, "balance_bias") * pull if bias is None else bias)))
        if all(mark is None for mark in found):
            pull = self.door.forces(0.0).pull
            closed = (0.0, pull + (shop(self.tree, "balance_bias") * pull if bias is None else bias))
            return [closed] * len(found)
        following = next(mark for mark in found if mark is not None)
        return [mark or following for mark in found]

    @cached_property
    def stack(self) -> Stack:
        """The boxes as loaded; plates and links that nobody gave are those that the sums ask for."""
        plate = need(self.tree, "tower.plate")
        weights: list[float] = []
        first = self.marks[0]
        group = sum(1 for mark in self.marks if mark == first)
        share = [
            sum(need(self.tree, f"door.sections.{name}.weight") for name in box["sections"]) for _, box in self.boxes
        ]
        for number, (_, box) in enumerate(self.boxes):
            tare = need(box, "tare")
            plates = given(box, "plates")
            if plates is None:
                wanted = 2 * self.marks[number][1]
                if group > 1 and number < group - 1:
                    wanted *= sum(share[: number + 1]) / sum(share[:group])
                plates = max(0, round((wanted - sum(weights) - tare) / plate))
            weights.append(tare + float(plates) * plate)
        chains: list[Chain] = []
        for number, (_, box) in enumerate(self.boxes[:-1]):
            pitch, links = need(box, "chain.pitch"), given(box, "chain.links")
            rate = need(box, "chain.spring.rate") if given(box, "chain.spring") else None
            stop = need(box, "chain.spring.stretch_at_stop") if true(box, "chain.spring.stop") else None
            if links is None:
                drawn = sum(chain.length(sum(weights[i + 1 : number + 1])) for i, chain in enumerate(chains))
                links = max(0, round((self.hook_up - self.marks[number][0] / 2 - drawn) / pitch))
            chains.append(Chain(float(links) * pitch, rate, stop))
        return Stack(tuple(weights), tuple(chains))

    @cached_property
    def nested(self) -> float:
        """Height of the whole stack of boxes at rest."""
        return sum(need(box, "height") for _, box in self.boxes)

    @cached_property
    def drum(self) -> Drum:
        drum = given(self.tree, "torsion.drum") or {}
        profile = given(drum, "profile")
        if profile is None:
            raise KeyError("torsion.drum.profile")
        if profile == "table":
            radii = [size(str(radius)) for radius in drum["radii"]]
            return Drum(tuple(float(turn) for turn in range(len(radii))), tuple(radii), True)
        radius = need(drum, "radius")
        if profile == "standard":
            return Drum((0.0, 1.0), (radius, radius), False)
        turns = need(drum, "taper_turns")
        return Drum((0.0, turns), (radius, need(drum, "small_radius")), profile == "vertical-lift")

    @cached_property
    def phi_open(self) -> float:
        return self.drum.turn_at(self.door.open_at)

    @cached_property
    def springs(self) -> list[Spring]:
        found = given(self.tree, "torsion.springs") or {}
        wound, left = of(self.tree, "torsion.wound"), of(self.tree, "torsion.pre_wind")
        made = []
        for name in natural(found):
            spring = found[name] or {}
            outer = found.get(given(spring, "inside")) or {}
            turns = of(spring, "turns", of(outer, "turns", wound))
            if turns is None:
                if left is None:
                    raise KeyError("torsion.wound")
                turns = left + self.phi_open
            wire, bore = need(spring, "wire"), need(spring, "inside_diameter")
            material = str(given(spring, "material"))
            coils = need(spring, "coils")
            rate = of(spring, "rate")
            if rate is None:
                rate = rate_of(wire, bore, coils, material, shop(self.tree, "spring_divisor"))
            stands = outer or spring
            dead = float(given(spring, "dead_coils") or SHOP["dead_coils"])
            made.append(
                Spring(
                    name, rate, turns, wire, bore, coils, dead, material, of(stands, "anchor", 0.0) or 0.0,
                    given(stands, "side") == "left", {"left": False, "right": True}.get(str(given(spring, "wind"))),
                    given(spring, "inside"), of(spring, "length"), of(stands, "cone"),
                )
            )  # fmt: skip
        if not made:
            raise KeyError("torsion.springs")
        return made

    @cached_property
    def tower(self) -> bool:
        return bool(given(self.tree, "tower.boxes"))

    @cached_property
    def torsion(self) -> bool:
        return bool(given(self.tree, "torsion.springs"))

    def pull(self, x: float, without: str | None = None) -> float:
        """What the counterbalance pulls on the door along its track at a travel, both cables together."""
        if self.tower:
            return self.stack.hang(self.hook_up - x / 2).pull / 2
        phi = self.drum.turn_at(x)
        return sum(spring.torque(phi) for spring in self.springs if spring.name != without) / self.drum.radius(phi)

    def moving_mass(self, x: float) -> float:
        """Mass that moves with the door, at the speed of the door."""
        door = self.door.weight / 9.80665
        return door + (self.stack.hang(self.hook_up - x / 2).pull / 9.80665 / 4 if self.tower else 0.0)

    @cached_property
    def jamb(self) -> tuple[float, float, float]:
        """Jamb face to roller line at the floor and at the top of the vertical track, and that height."""
        low = need(self.tree, "track.jamb_clearance.bottom")
        high = of(self.tree, "track.jamb_clearance.top", low) or low
        top = (
            min(self.tangent, sum(self.door.heights))
            if self.lift != "vertical"
            else need(self.tree, "track.angle_length")
        )
        return (low, high, top)

    def jamb_at(self, z: float) -> float:
        low, high, top = self.jamb
        return low + (high - low) * max(0.0, min(1.0, z / top)) if top > 0 else low

"""Random rooms, as surveyors find them, and what a proposal for one has to keep."""

from __future__ import annotations

import math
import random
from typing import NamedTuple

from proposing import amiss, filled
from shared import DAY

from doorlint import api
from doorlint.proposals.search import Proposals
from doorlint.spec.edit import edited

ROOM = """doorlint: 1
stage: survey
job: {{number: J-{number}, site: hall, opening: D-1}}
opening:
  width: {{top: {width}, middle: {width}, bottom: {width}}}
  height: {{left: {height}, middle: {height}, right: {height}}}
  diagonal: {{rising: {diagonal}, falling: {diagonal}}}
  floor_fall: {little}
  floor_finished: true
  jambs_finished: true
  jamb_material: {jamb}
  jamb_plumb: {{left: {little}, right: {little}}}
  jamb_face: {{left: {face_left}, right: {face_right}}}
  header_face: {header}
  measured: {{by: MK, on: "2026-03-11", tool: {tool}}}
  handing: inside
room:
  headroom: {head}
  side_left: {left}
  side_right: {right}
  back: {back}
  ceiling: {ceiling}
"""
INCH = 25.4


class Kept(NamedTuple):
    """What came of one room: the design that was offered, or the rule or reason that stops the nearest one; and where
    the design law is broken, how."""

    design: str
    stopped: str
    broken: str


def room(number: int) -> str:
    """The survey of one room; every fourth is in millimeters, every seventh has a roof that rises."""
    dice = random.Random(number)
    width, height = dice.randrange(84, 217, 4), dice.randrange(84, 181, 3)
    head = dice.choice([12, 15, 18, 20, 24, 30, 36, 48, 60, 84])
    left, right = (dice.choice([7, 8, 10, 14, 18, 24, 30, 36]) for _ in "lr")
    metric = number % 4 == 3

    def write(inches: float) -> str:
        return f"{round(inches * INCH)} mm" if metric else f"{round(inches * 8) / 8:g} in"

    text = ROOM.format(
        number=number, width=write(width), height=write(height), diagonal=write(math.hypot(width, height)),
        little=write(1 / 8), jamb=dice.choice(["steel", "wood", "masonry"]), face_left=write(left - 1),
        face_right=write(right - 1), header=write(head - dice.choice([0, 0, 2])), tool=dice.choice(["tape", "laser"]),
        head=write(head), left=write(left), right=write(right), back=write(height + dice.choice([30, 36, 60])),
        ceiling=write(height + head + dice.choice([0, 6, 18])),
    )  # fmt: skip
    return text + ("  roof_slope: 2 in/ft\n" if number % 7 == 5 else "")


def kept(number: int) -> Kept:
    """Whether the best proposal for a room keeps the law: clear once its open values are typed, once what follows from
    the weights is worked out, and once the sheet's own spring rates are taken."""
    found = api.propose(room(number), on=DAY, variants=1)
    if not found.variants:
        return Kept("", stopped_by(found), "")
    variant = found.variants[0]
    order = filled(variant)
    broken = amiss(api.review(order, on=DAY))
    if broken:
        return Kept(variant.name, "", f"filled in: {broken}")
    again = api.propose(order, on=DAY, stage="order", pick=variant.name)
    if not again.variants:
        return Kept(variant.name, "", f"proposed again: {stopped_by(again)}")
    complete = again.variants[0].text
    broken = amiss(api.review(complete, on=DAY))
    if broken:
        return Kept(variant.name, "", f"complete: {broken}")
    broken = amiss(api.review(with_rates_of_the_sheet(complete), on=DAY))
    return Kept(variant.name, "", f"as set out: {broken}" if broken else "")


def stopped_by(found: Proposals) -> str:
    """What stops the design that is nearest to a fit."""
    return found.binding[0].rule or found.binding[0].message.partition(":")[0]


def with_rates_of_the_sheet(order: str) -> str:
    """An order with plates, links and spring rates as the sheet prints them."""
    figures = api.setout(order, on=DAY).data["figures"]
    boxes: dict[str, dict[str, object]] = {}
    for name, figure in figures.items():
        subject, _, key = name.rpartition(".")
        if subject == "box.rate_wanted":
            boxes.setdefault(key, {}).setdefault("chain", {})["spring"] = {"rate": figure["text"]}  # type: ignore[index]
        elif subject == "box.links_wanted":
            boxes.setdefault(key, {}).setdefault("chain", {})["links"] = figure["text"]  # type: ignore[index]
        elif subject == "box.plates_wanted":
            boxes.setdefault(key, {})["plates"] = figure["text"]
    return edited(order, {"tower": {"boxes": boxes}}) if boxes else order  # type: ignore[dict-item]

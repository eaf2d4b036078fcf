"""The door moved and let go: at 41 places, with friction both ways, by hand and by its drive."""

from __future__ import annotations

import math

from life.job import BETWEEN, Job, shop
from life.looks import Look
from life.sizes import INCH, given, need, of, true


def let_go(job: Job) -> list[Look]:
    """Speed that the door comes to from rest at each place; friction as the shop counts it, nobody at the door.

    The last foot may close twice as fast, and the last foot before open may press on the bumpers.
    """
    xs, net = job.travels, job.net
    masses = [job.moving_mass(x) for x in xs]
    held = job.friction
    limit = shop(job.tree, "drift_speed")
    soft, near = shop(job.tree, "drift_most"), shop(job.tree, "drift_from")
    worst = {"falls": (0.0, 0.0), "runs up": (0.0, 0.0)}
    for start in range(0, len(xs), BETWEEN):
        way = 1 if net[start] > 0 else -1
        if abs(net[start]) <= held:
            continue
        energy, at, speed = 0.0, start, 0.0
        while 0 <= at + way < len(xs):
            step = abs(xs[at + way] - xs[at])
            energy += (way * (net[at] + net[at + way]) / 2 - held) * step
            at += way
            if energy <= 0:
                break
            speed = max(speed, math.sqrt(2 * energy / masses[at]))
        kind = "runs up" if way > 0 else "falls"
        if way < 0 and xs[start] < near:
            speed /= 2
        if speed > worst[kind][0]:
            worst[kind] = (speed, xs[start])
    looks = [
        Look(kind, "door", 1 - speed / limit, f"{kind} from {x / INCH:.0f} in, {speed / INCH:.1f} in/s")
        for kind, (speed, x) in worst.items()
    ]
    down = max(((-value - held, x) for value, x in zip(net, xs, strict=True) if x >= near), default=(0.0, 0.0))
    up = max((value - held, x) for value, x in zip(net, xs, strict=True) if x <= max(0.0, xs[-1] - near))
    looks.append(
        Look("pulls down", "door", 1 - down[0] / soft, f"{down[0]:.0f} N past friction at {down[1] / INCH:.0f} in")
    )
    looks.append(Look("pulls up", "door", 1 - up[0] / soft, f"{up[0]:.0f} N past friction at {up[1] / INCH:.0f} in"))
    return looks


def worked(job: Job) -> list[Look]:
    """Somebody holds the door wherever it stops over its last foot, or a drive moves it, friction against it."""
    most = max(map(abs, job.net))
    by = given(job.tree, "operation.by")
    pull = of(job.tree, "operation.pull")
    if by == "hand":
        person, near = shop(job.tree, "hand_pull"), shop(job.tree, "drift_from")
        most = max((abs(net) for x, net in zip(job.travels, job.net, strict=True) if x >= near), default=0.0)
        words = f"{most:.0f} N to hold, a person has {person:.0f} N"
        return [Look("too heavy by hand", "door", 1 - most / person, words)]
    if by is not None and pull is not None:
        needed = most + job.friction
        words = f"{needed:.0f} N to move, the drive has {pull:.0f} N"
        return [Look("does not move", "door", 1 - needed / pull if pull else -1e9, words)]
    return []


def slack(job: Job) -> list[Look]:
    """Cables go slack where nothing pulls on them, and box 1 lands."""
    if job.tower:
        rise = job.hook_up - job.door.open_at / 2
        looks = [
            Look("cable slack", "box 1", rise / INCH, f"box 1 hangs {rise / INCH:.2f} in over its rest, door open")
        ]
        closed = job.stack.hang(job.hook_up)
        for number, (name, _) in enumerate(job.boxes):
            high = closed.rises[number]
            looks.append(
                Look("box never hangs", name, high / INCH if high > 0 else -1.0, f"{name} rises {high / INCH:.2f} in")
            )
        return looks
    least = min(zip(job.pulls, job.travels, strict=True))
    return [
        Look(
            "cable slack", "cables", least[0] / 10 - 0.06, f"cables carry {least[0]:.0f} N at {least[1] / INCH:.0f} in"
        )
    ]


def binds(job: Job) -> list[Look]:
    """Rollers that cannot roll because a section stands square to its guide."""
    least = min(forces.bind for forces in job.forces)
    limit = shop(job.tree, "bind_least")
    return [Look("jams", "door", least / limit - 1, f"a section stands {math.degrees(least):.1f} deg off the square")]


def leaves(job: Job) -> list[Look]:
    """The top roller at the end of its guide, door open."""
    top = job.door.points(job.door.open_at)[-1]
    if job.lift == "vertical":
        length = of(job.tree, "track.vertical_length")
        if length is None:
            return []
        left = length - top[1]
    else:
        if of(job.tree, "track.horizontal_length") is None or job.lift == "low-headroom":
            return []
        past = job.door.ways(job.door.open_at)[-1] - job.door.upper.arc
        left = need(job.tree, "track.horizontal_length") - past
    return [
        Look(
            "leaves its guide",
            "top roller",
            left / INCH,
            f"the guide goes on {left / INCH:.1f} in past the open top roller",
        )
    ]


def broken_spring(job: Job) -> list[Look]:
    """Each spring taken away in turn; what falls then must be caught on a European job, and is said on any other."""
    looks = []
    caught = true(job.tree, "torsion.devices.spring_break")
    holding = (of(job.tree, "operation.holding") or 0.0) + job.friction
    for spring in job.springs:
        short = max(
            forces.pull - job.pull(x, spring.name)
            for x, forces in zip(job.travels[::BETWEEN], job.forces[::BETWEEN], strict=True)
        )
        if not caught:
            looks.append(
                Look(
                    "falls when a spring breaks",
                    spring.name,
                    1 - short / holding,
                    f"{short:.0f} N short, {holding:.0f} N hold",
                )
            )
    return looks

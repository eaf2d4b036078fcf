"""Load path and faults of two towers and two spring doors, each force a second time from the text of the sample.

Door, joints and rollers by the equilibrium of every section as one set of equations, the stack by adding up what hangs,
cables by free bodies, wind by moments about each roller, tracks on their hangers by beam elements. What drive, clamps
and tackle hold is looked for in many small steps, with the stack solved for its pull by halving. The shaft's bearings
are worked out again in ``test_torsion_samples_again``.
"""

from __future__ import annotations

import math

import needs
import pytest
from link_by_link import equilibrium, mark, open_travel, pull_by_difference
from sample_again import INCH, Sample, Springs, boxes, let_go, residuals, stack_pull
from test_load_path_by_free_bodies import BODIES, tensions

from doorlint.rulebook.library import Library

np = needs.module("numpy")
pytestmark = pytest.mark.slow

CASES = (("closed at rest", True, True), ("near cable gone", False, True), ("far cable gone", True, False))


TOWERS = ["tower-install", "tower-commissioned", "tower-high-lift"]
SPRINGS = ["torsion-install", "torsion-tube", "torsion-high-lift"]


@pytest.mark.parametrize("name", TOWERS)
def test_a_tower(name: str, library: Library) -> None:
    sample = Sample(name, library)
    tree, loaded, door = sample.tree, boxes(sample), sample.door
    pull = math.fsum(loaded.values())  # closed, every box hangs
    gone = {case: tensions(pull, near, far) for case, near, far in CASES}
    wanted: dict[tuple[str, str, str], float] = {}
    steel = sample.of(tree["tower"]["weight"], "weight")
    near_side = tree["tower"]["side"]
    for case, (near, far) in gone.items():
        force = {
            name: sum((near * line for line in lines), np.zeros(2)) + sum((far * line for line in across), np.zeros(2))
            for name, (lines, across) in BODIES.items()
        }
        head = force["near head pulley"] + force["crossing pulley"] + force["eye bolts"]
        for key, cable in tree["cables"].items():
            own = near if cable["side"] == near_side else far
            wanted["cable" if case == CASES[0][0] else "cable end", f"/cables/{key}", case] = own
        for key, pulley in tree["pulleys"].items():
            beside = pulley["side"] == near_side
            if pulley["at"] == "box":
                other = max(near, far)  # whichever cable is left
                wanted["box pulley", f"/pulleys/{key}", case] = 2 * other
            else:
                body = "crossing pulley" if pulley["at"] == "crossing" else f"{'near' if beside else 'far'} head pulley"
                wanted[f"{pulley['at']} pulley", f"/pulleys/{key}", case] = math.hypot(*force[body])
        wanted["tower head V", "/tower/head_capacity", case] = -head[1]
        mounts = {(one["part"], one["side"] == near_side): key for key, one in tree.get("mounts", {}).items()}
        near_head = "/".join(["/mounts", *filter(None, [mounts.get(("tower-head", True))])])
        far_head = "/".join(["/mounts", *filter(None, [mounts.get(("head-plate", False))])])
        wanted["tower head H", near_head, case] = head[0]
        wanted["far head plate V", far_head, case] = -force["far head pulley"][1]
        wanted["far head plate H", far_head, case] = -force["far head pulley"][0]
        wanted["slab under the tower", "/tower/slab_capacity", case] = -head[1] + steel
        wanted["eye-bolt", "/fittings/eye-bolt", case] = max(near, far)
        wanted["bottom-bracket", "/fittings/bottom-bracket", case] = max(near, far)
        wanted["box-top", "/fittings/box-top", case] = pull
    for key in tree["cables"]:
        wanted["cable end", f"/cables/{key}", "other cable gone, peak"] = 3 * pull / 4
    below = pull
    for number, (key, weight) in enumerate(loaded.items()):
        ballast = weight - sample.of(tree["tower"]["boxes"][key]["tare"], "weight")
        wanted["box", f"/tower/boxes/{key}", "closed at rest"] = ballast
        below -= weight
        if number < len(loaded) - 1:
            for part in ("chain", "chain fitting"):
                wanted[part, f"/tower/boxes/{key}/chain", "closed at rest"] = below
    first = next(iter(loaded.values()))
    for part in ("box-bottom", "spring-stop"):
        wanted[part, f"/fittings/{part}", "closed at rest"] = pull - first
    weights, opened = list(loaded.values()), open_travel(door)
    hook_up = sample.of(tree["tower"]["hook_up_height"])
    hanging = stack_pull(sample, weights, hook_up - opened / 2)
    wanted["base-stop", "/fittings/base-stop", "open on the bumpers"] = pull - hanging
    for (part, case), force in sample.fittings().items():
        wanted[part, f"/fittings/{part}", case] = force
    drive = sample.of(tree["operation"]["pull"], "weight")
    up = max(hanging / 2 - pull_by_difference(door, opened), 0.0)
    wanted["bumper", "/fittings/bumper", "open on the bumpers"] = up / 2
    wanted["bumper", "/fittings/bumper", "drive stalled"] = (up + drive) / 2
    left = residuals(door, lambda at: stack_pull(sample, weights, hook_up - at / 2) / 2)
    wanted["drive", "/operation/holding", "anywhere in travel"] = let_go(door, left)
    if "lifting" in tree:
        wanted["clamps", "/lifting/clamp_capacity", "boxes being trimmed"] = max(abs(over) for _, over in left)
        tares = [sample.of(box["tare"], "weight") for box in tree["tower"]["boxes"].values()]
        heavy = -min(over for at, over in left if at <= mark(door, 1)) + 0.1 * pull_by_difference(door, 1e-6)
        stated = sample.of(tree["lifting"]["tackle"]["load"], "weight")
        empty = stack_pull(sample, tares, hook_up)
        wanted |= sample.tackle(max(stated, 1.01 * max(door.weights), empty, heavy)) | sample.hangers()
    sample.check(wanted, {"drive", "clamps", "hanger"})


@pytest.mark.parametrize("name", TOWERS)
def test_what_falls_in_a_tower(name: str, library: Library) -> None:
    """Without a chain the boxes below fall to the stack, and what they pulled is missing from a foot of travel up."""
    sample = Sample(name, library)
    loaded, door, tower = boxes(sample), sample.door, sample.tree["tower"]
    chains = {fault["thing"].split("/")[3]: fault for fault in sample.faults if fault["part"] == "chain"}
    weights = list(loaded.values())
    law, hook_up = sample.job.cell("stack.law"), sample.of(tower["hook_up_height"])
    rise = hook_up
    for number, (key, box) in enumerate(list(tower["boxes"].items())[:-1]):
        chain, under = box["chain"], math.fsum(weights[number + 1 :])
        stretch, spring = 0.0, chain.get("spring")
        if spring is not None:
            stretch = under / sample.of(spring["rate"], "spring-rate")
            if spring["stop"] == "true":
                stretch = min(stretch, sample.of(spring["stretch_at_stop"]))
        rise -= float(chain["links"]) * sample.of(chain["pitch"]) + stretch
        assert chains[key]["height"] == pytest.approx(rise, abs=1e-6)
        assert chains[key]["single"]
        left = math.fsum(weights[: number + 1]) / 2
        travels = [x for x in np.linspace(0.0, open_travel(door), 61) if x >= 12 * INCH]
        pulls = {x: np.interp(hook_up - x / 2, [at.height for at in law], [at.pull / 2 for at in law]) for x in travels}
        short = max(pull_by_difference(door, x) - min(pulls[x], left) for x in travels)
        assert chains[key]["short"] == pytest.approx(short, rel=0.02, abs=5.0)


@pytest.mark.parametrize("name", SPRINGS)
def test_a_spring_door(name: str, library: Library) -> None:
    sample = Sample(name, library)
    tree, torsion, door = sample.tree, sample.tree["torsion"], sample.door
    springs, opened = Springs(sample), open_travel(door)
    torques = {key: rate * springs.turns for key, rate in springs.rates.items()}
    closed, most = springs.pull(0.0), max(springs.pull(x) for x in springs.cable if x <= opened)
    wanted: dict[tuple[str, str, str], float] = {}
    for key in tree["cables"]:
        wanted["cable", f"/cables/{key}", "closed at rest"] = closed / 2
        wanted["cable", f"/cables/{key}", "anywhere in travel"] = most / 2
        wanted["cable end", f"/cables/{key}", "other cable gone"] = most
        wanted["cable end", f"/cables/{key}", "other cable gone, peak"] = 3 * most / 2
    for thing in ("/torsion/drum", "/fittings/bottom-bracket", "/fittings/drum"):
        part = thing.rpartition("/")[2]
        wanted[part, thing, "closed at rest"] = closed / 2
        wanted[part, thing, "anywhere in travel"] = most / 2
        if thing != "/torsion/drum":
            wanted[part, thing, "other cable gone"] = most
    for key, torque in torques.items():
        wanted["spring", f"/torsion/springs/{key}", "closed at rest"] = torque
    hub = max(sum(torques.values()) / 2, *torques.values())
    diameter = sample.of(torsion["shaft"]["diameter"])
    if "key_capacity" in torsion["hubs"] and torsion["shaft"].get("keyed") != "false":
        wanted["hub key", "/torsion/hubs", "closed at rest"] = hub / (diameter / 2)
        wanted["hub key", "/torsion/hubs", "other cable gone"] = math.fsum(torques.values()) / (diameter / 2)
    else:
        wanted["hub set screws", "/torsion/hubs", "closed at rest"] = hub
        wanted["hub set screws", "/torsion/hubs", "other cable gone"] = math.fsum(torques.values())
    for (part, case), force in sample.fittings().items():
        wanted[part, f"/fittings/{part}", case] = force
    up = max(springs.pull(opened) - pull_by_difference(door, opened), 0.0)
    shut = max(closed - equilibrium(door, 0.0)[2], 0.0)
    driven = tree["operation"]["by"] != "hand"
    drive = sample.of(tree["operation"]["pull"], "weight")
    held = [("bumper", "open on the bumpers", up, 2)]
    if tree["operation"]["lock"]["fitted"] == "true":
        held.append(("lock", "closed at rest", shut, 1))
    for part, case, force, shared in held:
        wanted[part, f"/fittings/{part}", case] = force / shared
        pulled = "drive stalled" if driven else "pulled on by hand"
        wanted[part, f"/fittings/{part}", pulled] = (force + drive) / shared
    if driven:
        wanted["drive", "/operation/holding", "anywhere in travel"] = let_go(door, residuals(door, springs.pull))
    if "lifting" in tree:
        stated = sample.of(tree["lifting"]["tackle"]["load"], "weight")
        wanted |= sample.tackle(max(stated, 1.01 * max(door.weights))) | sample.hangers()
    for key in torsion.get("bearings", {}):  # by beam elements in test_torsion_samples_again
        for case in sample.job.at("bearing.cases", key):
            wanted["bearing", f"/torsion/bearings/{key}", case.case] = case.force
    for key in torsion.get("couplers", {}):
        wanted["coupler", f"/torsion/couplers/{key}", "closed at rest"] = sample.job.at("coupler.carried", key)
    for case, worst in (("closed at rest", "shaft.worst"), ("other cable gone", "shaft.worst_alone")):
        wanted["shaft", "/torsion/shaft", case] = sample.job.cell(worst).equivalent
    for key, one in tree.get("mounts", {}).items():
        if one["part"] == "spring-pad":
            wanted["spring pad", f"/mounts/{key}", "closed at rest"] = sum(torques.values()) / (3 * INCH)
    sample.check(wanted, {"drive", "hanger"}, rel=1e-5)


@pytest.mark.parametrize("name", SPRINGS)
def test_what_a_broken_spring_leaves(name: str, library: Library) -> None:
    sample = Sample(name, library)
    springs, door = Springs(sample), sample.door
    friction = sample.job.cell("torsion.friction")
    for fault in sample.faults:
        if fault["part"] != "spring":
            continue
        gone = fault["thing"].rpartition("/")[2]
        travels = np.linspace(1e-6, open_travel(door), 201)
        shorts = [pull_by_difference(door, float(x)) - springs.pull(float(x), gone) for x in travels]
        assert fault["short"] == pytest.approx(max(*shorts, friction) - friction, rel=3e-3, abs=2.0)

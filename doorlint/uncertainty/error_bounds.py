"""Error bounds: how much of an error in a reading can reach the margin of a rule, so that few verdicts need a trial.

For a margin that is a length the bound is worked out along the graph: a figure makes at most so much of an error in
what it reads (as much again where nothing else is said here), a formula adds its terms. It holds for one reading that
is off at a time. Counts are no lengths: what a tape could do to them is left out, here and in the trial.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import accumulate
from math import ceil, inf, isinf, pi, sin

from doorlint.figures.error_gain import Curve
from doorlint.figures.graph import Job
from doorlint.figures.parameter_names import spoken
from doorlint.mechanics import rolling
from doorlint.mechanics.drum import Drum
from doorlint.named_tuple import NamedTuple
from doorlint.on_demand import OnDemand
from doorlint.rulebook.expression import Expression
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.library import RULE, Library
from doorlint.rulebook.margin import SLACK, ErrorBound
from doorlint.rulebook.per_library import per_library
from doorlint.spec.vocabulary import VOCABULARY

LENGTHS = ("length", "position")
TAPED = tuple(t.name for t in VOCABULARY.leaves.values() if t.known == "measured" and t.dimension in LENGTHS)
"""What is read off a tape."""
RECORD = "as_built."
"""Begins the name of what is measured on the finished door, by tape whatever the opening was measured with."""
TO_COME = ("opening.jambs_to_come", "opening.floor_to_come")
"""Measured only where the building is not finished."""
ALIKE = ("opening.height", "opening.width", "opening.diagonal", "opening.jamb_plumb", "opening.jamb_face")
"""Groups of readings that count in the same figures."""

STEEPEST = 2.0
"""how much further than it rises the bottom corner of the open door may travel where a bound is worked out"""
SAFE = 2.0
"""for what the bounds of pulls and turns leave out: chords between rollers, and terms of higher order"""
ON_TRACK = 0.3
"""per metre: by which share of the door the load of a hanger changes as the open door stands further back"""
AREA = 1.0
"""per metre: by which share of itself the pull of the wind changes; no opening is lower than a metre"""
SHARE = 5.0
"""per metre: by which share of itself any other figure may change for a length"""
MOST_MADE = 4.0
"""times the error at the most that such a figure sees of it"""
BAND = 12.0
"""how many times over a weight may count in a margin: a chain is asked five times what hangs on it"""
BANDED = "section.load_band"
"""What counts how far the weights may be off reads it; all sections at once are not tried on that."""


class _Reach(NamedTuple):
    """What a rule makes of an error."""

    survey: float
    """the most that a margin that is a length moves for an error of the survey's"""
    record: float
    """the same for an error in the record of the finished door"""
    dimension: str | None
    weighed: bool
    """whether it reads the weight of a section"""
    anywhere: bool
    """whether it looks at door and counterbalance over the whole travel"""


class Bounds(NamedTuple):
    """What the margins of rules must be for their verdicts to be beyond doubt, by the cell of the rule."""

    alone: Mapping[str, ErrorBound]
    """for one reading that is off, or one weight that nobody took off a scale"""
    together: Mapping[str, ErrorBound]
    """for the weights of all sections off the same way"""
    either: Mapping[str, ErrorBound]


def bounds(library: Library, job: Job, rules: tuple[str, ...], band: float, together: float) -> Bounds:
    """What the margins of some rules must be for their verdicts to be beyond doubt, by the cell of the rule.

    ``band``: how far the weight of one section may be off that nobody weighed, ``together``: of all sections (N). Rules
    that nothing reaches are left out.
    """
    alone, every = _of_one(library, job, rules, band), _of_all(library, job, rules, together, band)
    either = dict(alone)
    for cell, bound in every.items():
        other = either.get(cell)
        either[cell] = bound if other is None else ErrorBound(*map(max, bound, other))
    return Bounds(alone, every, either)


def _of_all(library: Library, job: Job, rules: tuple[str, ...], off: float, band: float) -> dict[str, ErrorBound]:
    """The bounds for sections that are ``off`` together (N), all the same way; no speeds where all were weighed."""
    load = job.cell("door.load")
    if not off or not isinstance(load, float):
        return {}
    force, other = ErrorBound(SAFE * off, 0.0), ErrorBound(0.0, SAFE * off / load)
    of = {"weight": force, "pull": force, "count": other._replace(fixed=1.0)}
    of["speed"] = ErrorBound(0.0 if not band or _stands(job, SAFE * off) else inf, 0.0)
    return {cell: of.get(dimension, other) for cell, dimension in _weighed(library, rules)}


def _stands(job: Job, off: float) -> bool:
    """Whether friction holds the door wherever it is let go, even where its pull is ``off`` by so much (N)."""
    left, friction = job.cell("door.left_over"), job.cell("balance.friction")
    lowest = job.cell("practice.drift_from") if "tower" in job.values else 0.0
    if type(left) is not tuple or type(friction) is not tuple or not isinstance(lowest, float):
        return False  # what is not known is a tuple of its own kind
    most = max(over if travel < lowest else abs(over) for travel, over in left)
    return bool(most + off < min(held for _, held in friction))


@per_library
def _weighed(library: Library, rules: tuple[str, ...]) -> list[tuple[str, str]]:
    """Those of some rules, by their cells, that the weights of all sections reach, with what they compare."""
    graph = library.graph
    reached = graph.downstream(["section.load"]) - graph.downstream([BANDED])
    compiled_rules = [(RULE + rule, library.compiled_rules[rule]) for rule in rules if RULE + rule in reached]
    return [(cell, compiled.dimension or "") for cell, compiled in compiled_rules if KINDS[compiled.kind].has_margin]


def _of_one(library: Library, job: Job, rules: tuple[str, ...], band: float) -> dict[str, ErrorBound]:
    """The bounds for one reading, or the weight of one section, that is off."""
    survey, record = job.cell("opening.read_to"), job.cell("practice.tape")
    curve = curve_of(job, survey)
    try:
        pull, turns = pull_for(job, survey, curve), turns_for(job, survey)
        anywhere = pull + pull_anywhere(job, survey)
    except ZeroDivisionError:  # the radius is zero: no margin is beyond doubt
        pull = anywhere = turns = inf
    growing = any(name in job.values for name in TO_COME)
    plain, pulling, turning, speeds = _by_dimension(library, rules, curve, growing, survey, record, band)
    if _stands(job, anywhere + BAND * band):
        plain = {cell: bound for cell, bound in plain.items() if cell not in speeds}
    return plain | {
        **{cell: ErrorBound((anywhere if whole else pull) + weight, share) for cell, weight, share, whole in pulling},
        **dict.fromkeys(turning, ErrorBound(turns, 0.0)),
    }


@per_library
def _by_dimension(
    library: Library, rules: tuple[str, ...], curve: Curve, growing: bool, survey: float, record: float, band: float
) -> tuple[dict[str, ErrorBound], list[tuple[str, float, float, bool]], list[str], frozenset[str]]:
    """What is alike for many jobs: all bounds but those of pulls (less the pull itself) and of turns; and the rules on
    speeds."""
    plain, pulling, turning, speeds = {}, [], [], set()
    reaches = _reaches(library, curve, growing)
    for rule in rules:
        reach, cell = reaches[rule], RULE + rule
        if reach is None:
            continue
        length = max(reach.survey * survey, reach.record * record)
        weight = band if reach.weighed else 0.0
        share = SHARE * min(length, MOST_MADE * survey)
        if reach.dimension == "speed":
            speeds.add(cell)
        if isinf(length) or (weight and reach.dimension == "count"):
            plain[cell] = ErrorBound(inf, 0.0)
        elif reach.dimension in LENGTHS:
            plain[cell] = ErrorBound(length * (1 - SLACK), 1.0 if weight else 0.0)
        elif reach.dimension in ("weight", "pull") and length:
            pulling.append((cell, BAND * weight, AREA * survey, reach.anywhere))
        elif reach.dimension in ("weight", "pull"):
            plain[cell] = ErrorBound(BAND * weight, 0.0)
        elif reach.dimension == "turns":
            turning.append(cell)
        elif reach.dimension != "count":
            plain[cell] = ErrorBound(0.0, share + (1.0 if weight else 0.0))
    plain = {cell: spare for cell, spare in plain.items() if spare != (0.0, 0.0)}
    return plain, pulling, turning, frozenset(speeds)


def curve_of(job: Job, survey: float) -> Curve:
    """What an error in the header's height does in a job."""
    if job.values.get("track.lift") not in ("standard", "high"):
        return "free"
    marks, travel, opened = (job.cell(name) for name in ("section.mark_travel", "door.open_travel", "door.opened"))
    if not isinstance(marks, dict) or not isinstance(travel, float) or not isinstance(opened, rolling.Trace):
        return "moves"  # then nothing that depends on it is known either
    near = 2 * STEEPEST * survey
    if not all(isinstance(mark, float) and near < mark < travel - near for mark in marks.values()):
        return "free"
    if "track.vertical_length" not in job.values:
        return "moves"
    return "stays" if opened.climb[0] * STEEPEST > 1.1 else "free"


def pull_for(job: Job, survey: float, curve: Curve) -> float:
    """The most that the pull of door or springs changes for an error in the header's height (N).

    The pull of a roller changes as it goes round the curve: at most by its load over the radius, per length.
    """
    path, shape, opened = (job.cell(name) for name in ("track.path", "door.shape", "door.opened"))
    if not isinstance(path, rolling.Path) or not isinstance(shape, rolling.Door) or isinf(path.tangent):
        return 0.0
    if curve == "stays":
        near = STEEPEST * survey
        places = opened.s if isinstance(opened, rolling.Trace) else ()
        turning = sum(
            load for load, s in zip(shape.loads, places, strict=False) if path.tangent - near < s < path.arc_end + near
        )
        pull = near * (turning / path.radius + ON_TRACK * sum(shape.loads))
    else:
        heights = accumulate(shape.spacings, initial=shape.bottom_roller)
        angles = (min(max(z - path.tangent + survey, 0.0) / path.radius, pi / 2) for z in heights)
        pull = survey * sum(load * sin(angle) for load, angle in zip(shape.loads, angles, strict=True)) / path.radius
    rate, drum = job.cell("torsion.rate"), job.cell("drum.shape")
    if isinstance(rate, float) and isinstance(drum, Drum):
        pull += STEEPEST * survey * rate / (2 * pi * min(drum.radii) ** 2)
    return SAFE * pull


def pull_anywhere(job: Job, survey: float) -> float:
    """The most that the pull of the door changes anywhere in the travel, for such an error (N).

    As many rollers turn as the curve has room for. What the counterbalance pulls at a travel stays as it is.
    """
    path, shape = job.cell("track.path"), job.cell("door.shape")
    if not isinstance(path, rolling.Path) or not isinstance(shape, rolling.Door) or isinf(path.tangent):
        return 0.0
    many = ceil(path.radius * path.arc / min(shape.spacings)) + 1
    turning = max(sum(shape.loads[first : first + many]) for first in range(len(shape.loads)))
    return survey * turning / path.radius


def turns_for(job: Job, survey: float) -> float:
    """The most that turns of the shaft change for an error in the header's height."""
    drum = job.cell("drum.shape")
    return SAFE * STEEPEST * survey / (2 * pi * min(drum.radii)) if isinstance(drum, Drum) else 0.0


Gains = Mapping[str, float]
"""By reading, or group of readings that count alike: how much of an error in it shows."""


@per_library
def _reaches(library: Library, curve: Curve, growing: bool) -> Mapping[str, _Reach | None]:
    """What each rule makes of an error; ``None`` where nothing reaches it."""
    graph, compiled_rules, gains = library.graph, library.compiled_rules, dict[str, Gains]()

    def gain(name: str) -> Gains:
        if name not in gains:
            node = graph.nodes[name]
            if name in TAPED:
                group = name.rpartition(".")[0]
                gains[name] = {} if name in TO_COME and not growing else {group if group in ALIKE else name: 1.0}
            elif node.signature is None or node.dimension == "count":
                gains[name] = {}
            else:
                declared = node.signature.gain
                seen = [(read, found) for read in node.reads if (found := gain(read))]
                gains[name] = _most(_scaled(of, declared.of(curve, spoken(read))) for read, of in seen)
        return gains[name]

    weighed, everywhere = graph.downstream(["section.load"]), graph.downstream(["door.left_over"])

    def reach(rule: str) -> _Reach | None:
        compiled, cell = compiled_rules[rule], RULE + rule
        kind = KINDS[compiled.kind]
        if not kind.has_margin:
            return None
        names = [argument.name for argument in compiled.arguments]
        sides = [_of_tree(side, names, gain) for side in compiled.sides]
        seen = dict.fromkeys(name for side in sides for name in side)
        total = {name: kind.margin_error([side.get(name, 0.0) for side in sides]) for name in seen}
        survey = max((most for name, most in total.items() if not name.startswith(RECORD)), default=0.0)
        record = max((most for name, most in total.items() if name.startswith(RECORD)), default=0.0)
        if not survey and not record and cell not in weighed:
            return None
        return _Reach(survey, record, compiled.dimension, cell in weighed, cell in everywhere)

    return OnDemand(compiled_rules, reach)


def _scaled(gains: Gains, factor: float) -> Gains:
    if factor == 1.0:
        return gains
    return {name: factor * gain for name, gain in gains.items()} if factor else {}


def _most(several: Iterable[Gains]) -> Gains:
    every = list(several)
    if len(every) == 1:
        return every[0]
    most: dict[str, float] = {}
    for gains in every:
        for name, gain in gains.items():
            most[name] = max(gain, most.get(name, 0.0))
    return most


def _summed(several: Iterable[Gains]) -> Gains:
    total: dict[str, float] = {}
    for gains in several:
        for name, gain in gains.items():
            total[name] = gain + total.get(name, 0.0)
    return total


def _of_tree(tree: Expression, names: list[str], gain: Callable[[str], Gains]) -> Gains:
    """The gains of a formula: a sum adds them, the larger of two has the larger, a factor scales them."""
    if isinstance(tree, float):
        return {}
    if isinstance(tree, int):
        return gain(names[tree])
    word, *parts = tree
    if word == "look":
        return _summed(_of_tree(part, names, gain) for part in parts[2].values())
    inner = [_of_tree(part, names, gain) for part in parts]
    if word in ("max", "min", "most", "least", "abs"):
        return _most(inner)
    if word == "*":
        factors = [abs(part) for part in parts if isinstance(part, float)]
        return _scaled(_summed(inner), factors[0] if factors else SAFE)
    if word == "/":
        return _scaled(_summed(inner), 1 / abs(parts[1]) if isinstance(parts[1], float) else SAFE)
    return _summed(inner)

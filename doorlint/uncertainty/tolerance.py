"""Measuring uncertainty: which verdicts a reading within its accuracy, or an estimated weight, could reverse.

One cause at a time: each measured length up and down by what its tool reads to, each estimated weight up and down by
its band, and all sections heavy or light at once, those off a scale by what a scale reads to. A verdict is in doubt
when the same check, made again at the same thing, then says the other. Only verdicts that lie within the bounds of
:mod:`doorlint.uncertainty.error_bounds` are tried. A tape has no part in a count. Rules that count the band of the
weights themselves are judged at its end already: all sections at once are not tried on them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from doorlint.figures.graph import Job
from doorlint.named_tuple import NamedTuple
from doorlint.rulebook.library import RULE, Library, outcome_at
from doorlint.rulebook.margin import SLACK, ErrorBound
from doorlint.rulebook.per_library import per_library
from doorlint.rulebook.rule import Outcome
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.uncertainty import error_bounds
from doorlint.uncertainty.error_bounds import RECORD, TAPED, Bounds

WEIGHTS = frozenset({"estimate", "maker"})
"""where a weight comes from that nobody took off a scale"""
SECTIONS, SCALE = "sections", "scale"
"""all sections off the same way, each by its own band: some of them not weighed, or all"""
TOGETHER = frozenset({SECTIONS, SCALE})
GATE = "opening.finished_height"
"""the one figure through which all but a few rules see the height of the opening"""


class Cause(NamedTuple):
    """One value that may be off."""

    name: str
    key: str | None
    by: float
    """how far, up or down (SI)"""
    tool: str
    """tape, laser or drawing; or estimate or maker, of a weight; sections or scale, of all weights at once"""

    @property
    def pointer(self) -> str:
        """Its place in the spec."""
        return VOCABULARY.pointer_of(self.name, self.key)


class Doubt(NamedTuple):
    """Why a verdict is in doubt."""

    cause: Cause
    closely: float
    """how precisely the value must be known for the verdict to be certain (SI)"""


def bounds(library: Library, job: Job, rules: tuple[str, ...]) -> Bounds:
    """What the margins of some rules must be for their verdicts to be beyond doubt, by the cell of the rule."""
    alone, every = (max((cause.by for cause in causes(job)), default=0.0) for causes in (estimated, together))
    return error_bounds.bounds(library, job, rules, alone, every)


def estimated(job: Job) -> Iterator[Cause]:
    """The sections whose weight nobody took off a scale, each with its band."""
    said = job.values.get("section.weight_from", {})
    given = job.values.get("section.weight", {})
    if all(key in given and said.get(key) == "weighed" for key in job.keys.get("section", ())):
        return
    bands = job.cell("section.load_band")
    for key in job.keys.get("section", ()):
        band = bands.get(key) if isinstance(bands, dict) else None
        source = "estimate" if key not in given or said.get(key) == "estimated" else said.get(key)
        if source in WEIGHTS and isinstance(band, float) and band > 0.0:
            yield Cause("section.weight", key, band, source)


def together(job: Job) -> Iterator[Cause]:
    """All sections off the same way, a scale's error included."""
    band = job.cell("door.load_band")
    if isinstance(band, float) and band > 0.0:
        yield Cause("section.weight", None, band, SECTIONS if any(estimated(job)) else SCALE)


def taped(job: Job) -> Iterator[Cause]:
    """The lengths that were read off, each with what its tool reads to."""
    survey = job.cell("opening.read_to"), str(job.values.get("opening.measured.tool", "tape"))
    record = job.cell("practice.tape"), "tape"
    for name in TAPED:
        held = job.values.get(name)
        by, tool = record if name.startswith(RECORD) else survey
        if isinstance(held, dict):
            yield from (Cause(name, key, by, tool) for key in held)
        elif held is not None:
            yield Cause(name, None, by, tool)


def doubts(library: Library, job: Job, outcomes: Iterable[Outcome], enough: Bounds) -> dict[Outcome, tuple[Doubt, ...]]:
    """Which of these verdicts an error could turn, and which error. Those that none could turn are left out."""
    numbered = [outcome for outcome in outcomes if outcome.margin is not None]
    alone = [outcome for outcome in numbered if _is_close(outcome, enough.alone.get(RULE + outcome.rule))]
    every = [outcome for outcome in numbered if _is_close(outcome, enough.together.get(RULE + outcome.rule))]
    found: dict[Outcome, tuple[Doubt, ...]] = {}
    for causes, close in ((each_alone, alone), (together, every)):
        for outcome, said in tried(library, job, close, causes(job)).items() if close else ():
            found[outcome] = (*found.get(outcome, ()), *said)
    return found


def each_alone(job: Job) -> Iterator[Cause]:
    """Every reading, and every weight that nobody took off a scale."""
    yield from taped(job)
    yield from estimated(job)


def _is_close(outcome: Outcome, enough: ErrorBound | None) -> bool:
    """Whether a verdict may be reversed; a value exactly at its limit is met."""
    if enough is None:
        return False
    reach, margin = enough.fixed + enough.share * abs(outcome.value), abs(outcome.margin or 0.0)
    if outcome.state == "met":
        return bool(margin < reach)
    return bool(margin <= reach * (1 + 2 * SLACK) + SLACK * max(abs(outcome.value), abs(outcome.limit)))


def tried(
    library: Library, job: Job, outcomes: Iterable[Outcome], causes: Iterable[Cause]
) -> dict[Outcome, tuple[Doubt, ...]]:
    """What trying every cause on every one of these verdicts comes to."""
    found: dict[Outcome, dict[Cause, Doubt]] = {}
    seen: dict[float, Job] = {job.cell(GATE): job} if isinstance(job.cell(GATE), float) else {}
    every = list(outcomes)
    for cause in causes:
        below = _without_band(library) if cause.tool in TOGETHER else library.graph.downstream([cause.name])
        mine = [o for o in every if RULE + o.rule in below and _may_turn(library, o, cause)]
        for off in (cause.by, -cause.by):
            if not mine:
                break
            changed = _off(job, cause, off)
            gated = _gated(library, cause.name)
            same = seen.setdefault(changed.cell(GATE), changed) if gated else changed
            left = []
            for outcome in mine:
                again = same if RULE + outcome.rule in gated else changed
                other = outcome_at(again, outcome.place)
                if other is not None and {outcome.state, other.state} == {"met", "short"}:
                    doubt = Doubt(cause, _closely(cause.by, outcome, other))
                    doubts_here = found.setdefault(outcome, {})
                    doubts_here[cause] = min(doubt, doubts_here.get(cause, doubt), key=lambda one: one.closely)
                if cause.tool not in TOGETHER or _may_turn_back(library, outcome, other):
                    left.append(outcome)
            mine = left
    return {outcome: tuple(said.values()) for outcome, said in found.items()}


@per_library
def _without_band(library: Library) -> frozenset[str]:
    """What sees the weights of sections, and not by how much they may be off."""
    graph = library.graph
    return graph.downstream(["section.weight"]) - graph.downstream([error_bounds.BANDED])


@per_library
def _gated(library: Library, name: str) -> frozenset[str]:
    """The rules that see a value through the gate alone: where that comes out the same, so do they."""
    below = library.graph.downstream([name])
    if GATE not in below or name == GATE:
        return frozenset()
    return frozenset(cell for cell in below - library.graph.around(name, GATE) if cell.startswith(RULE))


def _may_turn(library: Library, outcome: Outcome, cause: Cause) -> bool:
    """A tape does not miscount; and of named things' own values only those of the thing itself come into question.

    What a scale may be off is tried on pulls and not on speeds: where friction just holds the door, a pound more sets
    it moving, and the rules on what moves it say so.
    """
    rule = library.compiled_rules[outcome.rule]
    if cause.tool == SCALE and rule.dimension == "speed":
        return False
    weight = cause.tool in WEIGHTS or cause.tool in TOGETHER
    if rule.dimension == "count" and not weight:
        return False
    own = rule.axis is not None and rule.axis == VOCABULARY.leaves[cause.name].axis
    return not own or weight or cause.key == outcome.key


def _may_turn_back(library: Library, outcome: Outcome, heavier: Outcome | None) -> bool:
    """Whether a lighter door may turn what a heavier one has not: its margin has grown by half of it or more.

    Counts and speeds stay as they are over a while, and move then.
    """
    if (
        heavier is None
        or heavier.margin is None
        or library.compiled_rules[outcome.rule].dimension in ("count", "speed")
    ):
        return True
    if heavier.state != outcome.state:
        return False
    before = abs(outcome.margin or 0.0)
    return 2.0 * (abs(heavier.margin) - before) >= before


def _off(job: Job, cause: Cause, off: float) -> Job:
    """The job with a value off by so much; a length is no less than nothing."""
    loads = job.cell("section.load")
    if cause.tool in TOGETHER:
        bands, way = job.cell("section.load_band"), off / cause.by
        return job.with_changes({cause.name: {key: load + way * bands[key] for key, load in loads.items()}})
    if cause.tool in WEIGHTS:
        return job.with_changes({cause.name: {cause.key: loads[cause.key] + off}})
    held = job.values[cause.name]
    value = (held if cause.key is None else held[cause.key]) + off
    if VOCABULARY.leaves[cause.name].dimension == "length":
        value = max(value, 0.0)
    return job.with_changes({cause.name: value if cause.key is None else {cause.key: value}})


def _closely(by: float, outcome: Outcome, other: Outcome) -> float:
    """Where between the two the verdict turns, the margin taken as a straight line."""
    here, there = abs(outcome.margin or 0.0), abs(other.margin or 0.0)
    return by * here / (here + there) if here + there else 0.0

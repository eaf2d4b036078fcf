"""What an installer sets a job out by: figures and working, boxes, chains, hangers, cables, and the work in order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import isfinite
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.counterbalance import described, every
from doorlint.counterbalance.kind import Counterbalance, Task
from doorlint.derivation import Derivation
from doorlint.facts import Facts
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library
from doorlint.sheet.work import SET_OUT, work

__all__ = ["SET_OUT", "Sheet", "set_out"]


class Sheet(NamedTuple):
    """The setting-out of one reviewed spec."""

    review: SpecReview
    counterbalance: Counterbalance | None
    data: dict[str, Any]
    """as ``setout --as json`` gives it, SI"""


def set_out(review: SpecReview, library: Library, *, shown_working: bool = True) -> Sheet:
    """The setting-out of a spec that was reviewed alone.

    ``shown_working`` adds to every figure how it was worked out, which takes longer than the rest.
    Raises :class:`ValueError` for a review that kept no job: one of many, or of a spec that cannot be read.
    """
    if review.job is None:
        raise ValueError(f"{review.file}: there are no figures to set out by")
    maker = _Maker(review.job, Derivation(review.job, library, review.system), shown_working)
    kind = next(iter(described(review.job.values)), None)
    facts = Facts(review.job, review.system)
    lists: dict[str, list[dict[str, Any]]] = {name: [] for one in every() for name in one.lists}
    groups: dict[str, dict[str, Any]] = {name: {} for one in every() for name in one.groups}
    if kind is not None:
        lists |= {name: made(facts) for name, made in kind.lists.items()}
        groups |= {name: made(facts) for name, made in kind.groups.items()}
    data = {
        "verdict": review.verdict,
        "figures": dict(maker.figures()),
        "curve": maker.curve("springs" if kind is None else kind.curve_key),
        **lists,
        **groups,
        "drifts": drifts(facts),
        "hangers": hangers(facts),
        "mounts": mounts(facts),
        "order_of_work": list(maker.order_of_work(work() if kind is None else work(kind))),
    }
    return Sheet(review, kind, data)


def hangers(facts: Facts) -> list[dict[str, Any]]:
    """Each hanger with its station, loads, heights and worst fastener, SI; ``None`` for what is not known."""
    names = ("station", "load", "uplift", "along", "from_wall", "track_height")
    worst = {
        "load_set": "hanger.load_set",
        "pull": "hanger.worst_pull",
        "shear": "hanger.worst_shear",
        "use": "hanger.use",
    }
    return [
        {
            "hanger": key,
            **{name: facts.known(f"hanger.{name}", key) for name in names},
            **{name: facts.known(figure, key) for name, figure in worst.items()},
        }
        for key in facts.keys("hanger")
    ]


def mounts(facts: Facts) -> list[dict[str, Any]]:
    """Each mounting: its fasteners, and what the worst of them carries of what it can, SI; ``None`` for the unknown."""
    names = {
        "part": "mount.part",
        "onto": "mount.onto",
        "kind": "mount.fixing.kind",
        "count": "mount.fixing.count",
        "lead_hole": "mount.lead_hole",
        "bite": "mount.bite",
        "spacing": "mount.spacing",
        "edge": "mount.edge_distance",
        "load_set": "mount.load_set",
        "pull": "mount.worst_pull",
        "shear": "mount.worst_shear",
        "use": "mount.use",
    }
    return [
        {
            "mount": key,
            **{said: facts.known(name, key) for said, name in names.items()},
            "pattern": [list(place) for place in facts.known("mount.points", key) or ()],
        }
        for key in facts.keys("mount")
    ]


def drifts(facts: Facts) -> list[dict[str, Any]]:
    """Each stretch of the travel where the door moves by itself when it is let go, SI."""
    found = facts.known("balance.drifts") or []
    return [dict(zip(("from", "to", "way", "pull"), stretch, strict=True)) for stretch in found]


class _Maker:
    def __init__(self, job: Job, working: Derivation, shown_working: bool) -> None:
        self.job, self.working, self.shown_working = job, working, shown_working

    def figures(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """Every figure that has a value, by name; one of a column by name and key."""
        for name, node in self.job.graph.nodes.items():
            if node.function is None:
                continue
            cell = self.job.cell(name)
            if isinstance(cell, dict):
                for key, value in cell.items():
                    if _plain(value):
                        yield f"{name}.{key}", self.figure(name, key, value)
            elif _plain(cell):
                yield name, self.figure(name, None, cell)

    def figure(self, name: str, key: str | None, value: Any) -> dict[str, Any]:
        node = self.job.graph.nodes[name]
        assert node.function is not None
        standing, document, edition, clause, note = note_of(node.function).source
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return {
            "value": value,
            "unit": quantities.DIMENSIONS[node.dimension].si_unit if number and node.dimension else "",
            "text": self.working.text(value, node.dimension),
            "working": "\n".join(self.working.lines(name, key)) if self.shown_working else "",
            "source": {
                "standing": standing, "document": document, "edition": edition, "clause": clause, "note": note,
            },
        }  # fmt: skip

    def curve(self, other: str) -> list[dict[str, Any]]:
        points = self.job.cell("door.curve")
        if not isinstance(points, list):
            return []
        return [dict(zip(("travel", "door", other, "residual"), point, strict=True)) for point in points]

    def order_of_work(self, tasks: Iterable[Task]) -> Iterator[dict[str, Any]]:
        number, lift = 0, self.job.values.get("track.lift")
        for task in (task for task in tasks if task.is_for(lift)):
            for key in self.job.keys.get(task.each, ()) if task.each else (None,):
                number += 1
                yield {
                    "step": number,
                    "title": task.title.replace("{thing}", key or ""),
                    "do": task.do,
                    "lock_off": task.lock_off,
                    "numbers": [
                        number for name, label in task.numbers.items() for number in self.numbers(name, label, key)
                    ],
                }

    def numbers(self, name: str, label: str, key: str | None) -> Iterator[dict[str, Any]]:
        """The entries of one name in a step: one value, or one for every named thing."""
        node = self.job.graph.nodes[name]
        if node.axis is None or key is not None:
            keys: tuple[str | None, ...] = (key if node.axis else None,)
        else:
            keys = self.job.keys.get(node.axis, ())
        for one in keys:
            value = self.job.at(name, one)
            if value is None:
                continue
            known = not isinstance(value, Unknown)
            number = isinstance(value, int | float) and not isinstance(value, bool)
            yield {
                "name": name,
                "key": one,
                "label": label,
                "value": value if number else None,
                "unit": quantities.DIMENSIONS[node.dimension].si_unit if number and node.dimension else "",
                "text": self.working.text(value, node.dimension) if known else _gap(value),
                "missing": list(value.missing) if isinstance(value, Unknown) else [],
            }


def _plain(value: Any) -> bool:
    """Whether a value can be shown as one number, word or flag; a measure without bounds cannot."""
    if isinstance(value, float) and not isfinite(value):
        return False
    return isinstance(value, int | float | str) and not isinstance(value, Unknown)


def _gap(unknown: Unknown) -> str:
    """Why a number is not there.

    >>> _gap(Unknown("input missing", ("/tower/plate",)))
    'not known: give /tower/plate'
    """
    return f"not known: give {', '.join(unknown.missing)}" if unknown.missing else f"not known: {unknown.note}"

"""What a drawing or a sheet may use of a job: what is known, and in words what is not and why."""

from __future__ import annotations

from typing import Any, Literal

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.findings import REASONS

__all__ = ["Facts", "Unsized"]


class Facts:
    """A job's values, with a list of what was left out because a value is missing."""

    def __init__(self, job: Job, system: Literal["us", "si"]) -> None:
        self.job = job
        self.system: Literal["us", "si"] = system
        self.left_out: list[str] = []
        """what was not drawn, and why, one sentence each"""

    def given(self, name: str) -> bool:
        """Whether the spec has this group or value at all."""
        return name in self.job.values

    def known(self, name: str, key: str | None = None) -> Any:
        """The value of a name, or ``None`` where it is not known or does not apply."""
        value = self.job.at(name, key)
        return None if isinstance(value, Unknown) else value

    def keys(self, axis: str) -> tuple[str, ...]:
        """The names of the things of an axis, in their order."""
        return tuple(self.job.keys.get(axis, ()))

    def first(self, *names: str) -> Any:
        """The first of some values that is known, or ``None``."""
        return next(iter(self.all_known(*names)), None)

    def all_known(self, *names: str) -> list[Any]:
        """Those of some values that are known."""
        return [value for value in map(self.known, names) if value is not None]

    def column(self, name: str) -> dict[str, Any]:
        """The known values of a column by key."""
        cells = self.job.cell(name)
        if not isinstance(cells, dict):
            return {}
        return {key: value for key, value in cells.items() if value is not None and not isinstance(value, Unknown)}

    def needs(self, what: str, *names: str, key: str | None = None) -> bool:
        """Whether all these are known; where not, ``what`` is noted as left out, with the reason."""
        reasons: list[str] = []
        complete = True
        for name in names:
            value = self.job.at(name, key)
            cells = list(value.values()) if isinstance(value, dict) else [value]
            for cell in cells:
                if isinstance(cell, Unknown):
                    reasons.append(_why(cell))
                complete = complete and cell is not None and not isinstance(cell, Unknown)
        if reasons:
            self.left_out.append(f"{what}: {'; '.join(dict.fromkeys(reasons))}")
        return complete

    def write(self, value: float, dimension: str, *, places: int | None = None) -> str:
        """A value in the report's units; ``places`` asks for so many decimals instead of a fraction."""
        return quantities.write(value, dimension, self.system, places=places)


class Unsized(Facts):
    """The facts of an example: what a drawing says of them has no sizes in it."""

    def write(self, value: float, dimension: str, *, places: int | None = None) -> str:  # noqa: ARG002
        """Nothing: a size of the example is not that of the job."""
        return ""


def _why(unknown: Unknown) -> str:
    said = ", ".join(unknown.missing) or unknown.note
    return f"{REASONS[unknown.reason]}: {said}" if said else REASONS[unknown.reason]

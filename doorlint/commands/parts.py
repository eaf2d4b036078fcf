"""``parts``: the parts list of a spec."""

from __future__ import annotations

from doorlint.batch import Call, reviews
from doorlint.errors import WrongCall
from doorlint.parts_list import PartsList, list_parts
from doorlint.sources import Source

__all__ = ["parts"]


def parts(source: Source, call: Call) -> PartsList:
    """Every part of a spec with its count, size and cut length, and what is not decided.

    Raises :class:`doorlint.errors.WrongCall` for a spec that cannot be read.
    """
    spec = next(reviews([source], call))
    if spec.job is None:
        first, *more = spec.findings
        rest = f"\ndoorlint review {spec.file} lists all {len(more) + 1} problems" if more else ""
        raise WrongCall(f"{spec.file}:{first.line}:{first.column}: {first.message}{rest}")
    return list_parts(spec)

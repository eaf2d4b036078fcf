"""``setout``: the installer's sheet of a spec."""

from __future__ import annotations

from doorlint.batch import Call, reviews
from doorlint.errors import WrongCall
from doorlint.sheet import Sheet, set_out
from doorlint.sources import Source

__all__ = ["setout"]


def setout(source: Source, call: Call, *, shown_working: bool = True) -> Sheet:
    """Each figure of a spec in the order of the work.

    ``shown_working`` derives every figure in words, which takes longer than the rest. Raises
    :class:`doorlint.errors.WrongCall` for a spec that cannot be read.
    """
    spec = next(reviews([source], call))
    if spec.job is None:
        first, *more = spec.findings
        rest = f"\ndoorlint review {spec.file} lists all {len(more) + 1} problems" if more else ""
        raise WrongCall(f"{spec.file}:{first.line}:{first.column}: {first.message}{rest}")
    return set_out(spec, call.library(), shown_working=shown_working)

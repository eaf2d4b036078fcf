"""``propose``: from a spec to the next stage: what follows is worked out, what only a person knows is asked."""

from __future__ import annotations

from doorlint.batch import Call
from doorlint.errors import WrongCall
from doorlint.proposals.search import Proposals
from doorlint.proposals.search import propose as search
from doorlint.rulebook.rule import STAGES
from doorlint.sources import Source, given_data_of
from doorlint.spec import read

__all__ = ["MOST", "propose"]

MOST = 3
"""Designs that are looked for."""


def propose(source: Source, call: Call, variants: int = MOST, pick: str | None = None) -> Proposals:
    """Up to ``variants`` designs for a spec, for the stage asked for, else for the one after its own.

    Raises :class:`WrongCall` for a spec that cannot be read, a stage that nothing is proposed for, and a ``pick`` that
    names no design.
    """
    data = given_data_of(source)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise WrongCall(f"{source.name}: is not UTF-8 text") from None
    library = call.library()
    own = read(data, library.catalog).stage or "survey"
    stage = call.stage or STAGES[min(STAGES.index(own) + 1, len(STAGES) - 1)]
    if stage not in ("order", "install"):
        raise WrongCall(f"nothing is proposed for the stage of {stage}; expected order or install")
    return search(text, stage, library, call.policy, source.name, variants, pick)

"""``blank``: a spec to fill in, and the schema that an editor completes it by."""

from __future__ import annotations

import json

from doorlint.batch import Call
from doorlint.blank_page import BlankPage, page_of
from doorlint.editor_schema import editor_schema
from doorlint.errors import WrongCall
from doorlint.resources import content
from doorlint.sources import Source, given_data_of
from doorlint.spec import Spec, read
from doorlint.template import SCHEMA, Blank, blank_of

__all__ = ["blank", "blank_page", "schema"]


def blank(call: Call, counterbalance: str | None = None, known: Source | None = None) -> Blank:
    """A spec to fill in for the stage and counterbalance asked for, else those of ``known``, else survey and tower.

    The values of ``known`` are put in as they are written there. Raises :class:`WrongCall` where it cannot be read.
    """
    return blank_of(call.library(), call.stage, counterbalance, _read(call, known))


def blank_page(call: Call, counterbalance: str | None = None, known: Source | None = None) -> BlankPage:
    """The same with what its page shows beside; in the units of the call, else those of ``known``, else US."""
    spec = _read(call, known)
    system = call.policy.units
    if system == "as-written":
        system = "us" if spec is None else spec.system
    return page_of(call.library(), call.stage, counterbalance, spec, system)


def _read(call: Call, known: Source | None) -> Spec | None:
    if known is None:
        return None
    spec = read(given_data_of(known), call.library().catalog)
    if spec.problems:
        first = spec.problems[0]
        raise WrongCall(f"{known.name}:{first.line}:{first.column}: {first.message}")
    return spec


def schema(call: Call) -> str:
    """The JSON Schema of a spec for an editor: it lets a line without a value pass, and offers the parts of every
    catalog in use."""
    made = editor_schema(json.loads(content("schemas", SCHEMA)), call.library().catalog)
    return json.dumps(made, indent=2, ensure_ascii=False) + "\n"

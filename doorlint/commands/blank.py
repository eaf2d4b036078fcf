"""``blank``: a spec to fill in, and the schema that an editor completes it by."""

from __future__ import annotations

import json

from doorlint.batch import Call
from doorlint.errors import WrongCall
from doorlint.resources import content
from doorlint.sources import Source, given_data_of
from doorlint.spec import read
from doorlint.template import SCHEMA, editor_schema, fill_in_template

__all__ = ["blank", "schema"]


def blank(call: Call, counterbalance: str | None = None, known: Source | None = None) -> str:
    """A spec to fill in for the stage and counterbalance asked for, else those of ``known``, else survey and tower.

    The values of ``known`` are put in as they are written there. Raises :class:`WrongCall` where it cannot be read.
    """
    library = call.library()
    spec = None if known is None else read(given_data_of(known), library.catalog)
    if known is not None and spec is not None and spec.problems:
        first = spec.problems[0]
        raise WrongCall(f"{known.name}:{first.line}:{first.column}: {first.message}")
    return fill_in_template(library, call.stage, counterbalance, spec)


def schema(call: Call) -> str:
    """The JSON Schema of a spec for an editor: it lets a line without a value pass, and offers the parts of every
    catalog in use."""
    made = editor_schema(json.loads(content("schemas", SCHEMA)), call.library().catalog)
    return json.dumps(made, indent=2, ensure_ascii=False) + "\n"

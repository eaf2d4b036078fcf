"""What a figure's docstring says of it: label, formula, unit, source."""

import re
from functools import cache
from types import FunctionType
from typing import NamedTuple


class Note(NamedTuple):
    label: str
    formula: str
    unit: str
    source: tuple[str, ...]
    """standing, document, edition, clause, note: as many as the standing has"""


FIELD = re.compile(r"^\s*(Formula|Unit|Source):\s*(.+?)\s*$", re.MULTILINE)


@cache
def note_of(function: FunctionType) -> Note:
    """Read the docstring of a figure; raises :class:`ValueError` where a part is missing.

    >>> def reach(door_height: float) -> float:
    ...     '''How far the open door reaches
    ...
    ...     Formula: door height
    ...     Unit: m
    ...     Source: derived; rigid sections
    ...     '''
    >>> note_of(reach).label, note_of(reach).source
    ('How far the open door reaches', ('derived', '', '', '', 'rigid sections'))
    """
    text = function.__doc__ or ""
    fields = dict(FIELD.findall(text))
    label = text.strip().partition("\n")[0].rstrip(".")
    if not label or "Source" not in fields or "Unit" not in fields:
        raise ValueError(f"{function.__module__}.{function.__name__}: its docstring lacks a label, Unit: or Source:")
    standing, *rest = (part.strip() for part in fields["Source"].split(";"))
    if standing in {"published", "second-hand"}:
        source = (standing, *(*rest, "", "", "")[:3], "; ".join(rest[3:]))
    else:
        source = (standing, "", "", "", "; ".join(rest))
    return Note(label, fields.get("Formula", ""), fields["Unit"], source)

"""The scripts that a page carries, and the tables of units that they read quantities by."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final, Literal

from markupsafe import Markup

from doorlint.quantities import DIMENSIONS, UNITS, read
from doorlint.quantities.parser import FRACTIONS
from doorlint.quantities.units import SPELLINGS
from doorlint.spec.typed_reader import PART_NAME
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import HIDDEN

__all__ = ["FORM", "SHEET", "as_data", "quantity_tables", "script"]

PLACE: Final = Path(__file__).parent / "scripts"
FORM: Final = ("quantity.js", "entry.js", "yaml.js", "balance.js", "plausible.js", "fields.js", "form.js")
"""The scripts of a page to fill in."""
SHEET: Final = ("quantity.js", "entry.js", "balance.js", "adjust.js", "sheet.js")
"""The scripts of a setting-out sheet."""


def script(*names: str) -> Markup:
    """Some scripts as one text for a page."""
    text = "\n".join((PLACE / name).read_text("utf-8") for name in names)
    if "</" in text:
        raise ValueError("a script with </ would end its element")
    return Markup(text)


def as_data(value: Any) -> Markup:
    r"""A value as JSON that may stand in a script element.

    >>> str(as_data({"site": "</script>"}))
    '{"site": "\\u003c/script>"}'
    """
    return Markup(json.dumps(value, ensure_ascii=False).replace("<", "\\u003c"))


def quantity_tables(system: Literal["us", "si"]) -> dict[str, Any]:
    """All that the page's reader of quantities goes by, with examples in the units of the shop first.

    Ratios are texts: a number of a script holds no more than 53 bits.

    >>> quantity_tables("si")["dimensions"]["length"]["example"], quantity_tables("us")["units"][0][:3]
    (['3660 mm', '12\\'-2 1/2"'], ['in', '127', '5000'])
    """
    quantity_terms = [term for term in VOCABULARY.leaves.values() if term.kind == "quantity"]
    unit = "lb" if system == "us" else "kg"
    return {
        "units": [[name, str(unit.numerator), str(unit.denominator), list(unit.kind)] for name, unit in UNITS.items()],
        "spellings": SPELLINGS,
        "fractions": list(FRACTIONS.items()),
        "dimensions": {
            name: {
                "label": dimension.label,
                "kind": ",".join(map(str, dimension.kind)),
                "most": dimension.most,
                "signed": dimension.signed,
                "example": list(dimension.example if system == "us" else dimension.example[::-1]),
                "units": list(dict.fromkeys(style.unit for style in dimension.styles(system))),
            }
            for name, dimension in DIMENSIONS.items()
        },
        "most": {name: read(dimension.most, name) for name, dimension in DIMENSIONS.items()},
        "patterns": {term.dimension: term.schema["pattern"] for term in quantity_terms},
        "part_name": PART_NAME,
        "hidden": "".join(c if c in "[-]" else f"\\u{ord(c):04x}" for c in HIDDEN),
        "force": {"unit": unit, "newtons": UNITS[unit].numerator / UNITS[unit].denominator},
    }

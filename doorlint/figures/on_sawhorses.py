"""What a section gets before it is lifted: end hinges and a strut."""

from __future__ import annotations

from doorlint.figures.kinds import Count, Text

SUBJECT = "section"


def hinge_number(section_hinge: Count | None) -> Count | None:
    """Number of the end hinge at the top of this section

    Does not apply where no number is given, as at the top section.

    Formula: what is stamped on the hinge
    Unit: 1
    Source: derived; from the spec

    >>> hinge_number(3), hinge_number(None)
    (3, None)
    """
    return section_hinge


def strut_shape(section_strut_kind: Text | None) -> Text | None:
    """Shape of the strut on this section

    Does not apply to a section without one.

    Formula: as given
    Unit: -
    Source: derived; from the spec

    >>> strut_shape("hat"), strut_shape("none"), strut_shape(None)
    ('hat', None, None)
    """
    return None if section_strut_kind == "none" else section_strut_kind

"""What a change of the opening does to measures that start at its header."""

from __future__ import annotations

from collections.abc import Mapping

from doorlint import quantities
from doorlint.spec import Patch, Spec

__all__ = ["HEADROOM", "with_header"]

HEADROOM = "/room/headroom"
"""What follows the header."""
_NAME = "room.headroom"


def with_header(approved: Spec, proposed: Spec, patch: Patch) -> Spec:
    """The proposed spec; headroom follows a header that the patch moves, unless the patch gives it.

    Headroom is measured up from the header: a header 3 in lower has 3 in more above it, one 3 in higher has 3 in less;
    where nothing would be left it is not given any more.
    Source: derived; both are read from one edge to the same ceiling.

    >>> from doorlint.spec import read
    >>> text = "{doorlint: 1, stage: survey, job: {}, opening: {height: {left: 10 ft}}, room: {headroom: 15 in}}"
    >>> patch = {"opening": {"height": {"left": "9.75 ft"}}}
    >>> approved = read(text)
    >>> with_header(approved, approved.patched(patch), patch).text("/room/headroom")
    '18 in'
    """
    headers = (_header(approved), _header(proposed))
    before = approved.values.get(_NAME)
    room = patch.get("room") if isinstance(patch, Mapping) else None
    measured = isinstance(room, Mapping) and "headroom" in room
    if measured or before is None or None in headers or _NAME not in proposed.values:
        return proposed
    old, new = headers
    assert old is not None
    assert new is not None
    follows = before + old - new
    if abs(old - new) < 1e-9:
        return proposed
    text = quantities.write(follows, "length", proposed.system, denominator=64) if follows > 0 else None
    return proposed.patched({"room": {"headroom": text}})


def _header(spec: Spec) -> float | None:
    """The lowest point of the header above the floor (m), of the heights that were read."""
    heights = [value for name, value in spec.values.items() if name.startswith("opening.height.")]
    return min(heights, default=None)

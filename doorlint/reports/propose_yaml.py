"""A proposal as a spec: the text of the first design."""

from __future__ import annotations

from doorlint.proposals.search import Proposals


def render(found: Proposals, _version: str, _on: str) -> str:
    """The first design's text; nothing where none fits."""
    return found.variants[0].text if found.variants else ""

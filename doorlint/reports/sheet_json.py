"""The setting-out sheet as JSON, in SI."""

from __future__ import annotations

from doorlint.reports.data import dump
from doorlint.sheet import Sheet


def render(sheet: Sheet, version: str, on: str) -> str:
    """The whole sheet, keys always present."""
    head = {
        "tool": {"name": "doorlint", "version": version},
        "reviewed_on": on,
        "file": sheet.review.file,
        "stage": sheet.review.stage,
        "digest": sheet.review.spec_digest,
        "rules": sheet.review.rules_digest,
        "settings": sheet.review.settings,
        "relaxed": [one._asdict() for one in sheet.review.relaxed],
    }
    return dump({**head, **sheet.data})

"""The change of a folder as JSON: the change of each spec as ``schemas/change.schema.json`` has it."""

from __future__ import annotations

from doorlint.changes.folder import FolderChange, decision_on_added
from doorlint.reports.change_json import document
from doorlint.reports.data import dump


def render(change: FolderChange, version: str, on: str) -> str:
    """The whole report, keys always present."""
    return dump(
        {
            "tool": {"name": "doorlint", "version": version},
            "reviewed_on": on,
            "approved": change.approved,
            "proposed": change.proposed,
            "decision": change.decision,
            "changes": [document(one, version, on) for one in change.changes],
            "added": [
                {"file": one.file, "verdict": one.verdict, "decision": decision_on_added(one)} for one in change.added
            ],
            "removed": list(change.removed),
            "unreadable": [{"file": file, "message": why} for file, why in change.unreadable],
            "unchanged": change.unchanged,
        }
    )

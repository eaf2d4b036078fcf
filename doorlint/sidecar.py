"""The file beside a spec that may hold its sign-offs: those of ``d.yaml`` in ``d.approvals.yaml``."""

from __future__ import annotations

import os

__all__ = ["is_sidecar", "sidecar_path", "spec_path"]

MARK = ".approvals"


def sidecar_path(path: str) -> str:
    """The path of the file that may hold the sign-offs of a spec.

    >>> sidecar_path("jobs/d.yaml"), sidecar_path("jobs/d.yml"), sidecar_path("main:d.yaml")
    ('jobs/d.approvals.yaml', 'jobs/d.approvals.yml', 'main:d.approvals.yaml')
    """
    stem, ending = os.path.splitext(path)
    return f"{stem}{MARK}{ending}"


def is_sidecar(path: str) -> bool:
    """Whether a file is named as one that holds sign-offs.

    >>> is_sidecar("jobs/d.approvals.yaml"), is_sidecar("jobs/approvals.yaml")
    (True, False)
    """
    return os.path.splitext(os.path.basename(path))[0].lower().endswith(MARK)


def spec_path(path: str) -> str:
    """The spec that a file of sign-offs belongs to.

    >>> spec_path("jobs/d.approvals.yaml")
    'jobs/d.yaml'
    """
    stem, ending = os.path.splitext(path)
    return stem[: -len(MARK)] + ending

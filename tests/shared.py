"""What the test rooms name alike."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent
SAMPLES = sorted((ROOT / "sample_specs").glob("*.yaml"))
DAY = "2026-03-17"

Run = Callable[..., "subprocess.CompletedProcess[str]"]


def steady(report: str) -> str:
    """A text or JSON report without what moves with every rule or value that is added: the number of checks that were
    met, the digests, and the cautions, which every report ends with and which a test of their own holds.
    """
    for pattern, word in (
        (r"\b\d+ checks met", "N checks met"),
        (r'"met": \d+', '"met": N'),
        (r"\b[0-9a-f]{12}\b", "DIGEST"),
        (r"(?<=\nCAUTIONS\n).*?\n(?=\n|$)", ""),
    ):
        report = re.sub(pattern, word, report, flags=re.DOTALL)
    return report

"""What the test rooms name alike."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent
SAMPLES = sorted((ROOT / "sample_specs").glob("*.yaml"))
DAY = "2026-03-17"

Run = Callable[..., "subprocess.CompletedProcess[str]"]

"""Without the extra, and in every other command, nothing of the protocol is loaded."""

from __future__ import annotations

import subprocess
import sys

import pytest
from shared import ROOT


def ran(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)


def test_without_the_extra_one_line_says_what_to_install() -> None:
    code = (
        "import sys\nsys.modules.update({'pygls': None, 'lsprotocol': None})\n"
        "from doorlint import cli\ncli.main(['language-server'])\n"
    )
    done = ran(code)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "doorlint: the language server needs an extra; install it: pip install 'doorlint[editor]'\n"


@pytest.mark.parametrize(
    "words", [["--help"], ["language-server", "--help"], ["review", "sample_specs/tower-order.yaml"]]
)
def test_no_other_command_loads_the_protocol(words: list[str]) -> None:
    code = (
        f"import sys\nfrom doorlint import cli\ntry:\n    cli.main({words})\nexcept SystemExit:\n"
        "    sys.exit(int(any(name.startswith(('pygls', 'lsprotocol')) for name in sys.modules)))\n"
    )
    assert ran(code).returncode == 0

"""How well single mistakes are named: the right place at the right severity, how much noise beside it, what is to be
done first, and which slip is suspected. ``python tests/mistakes/measure.py`` prints the figures; ``--held-out`` those
of the third that nothing is tuned to; ``--each`` a line a mistake.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import yaml

sys.path.insert(0, str(Path(__file__).parent.parent))
from shared import DAY, in_process

HERE = Path(__file__).parent
HELD_OUT = 3
"""Every so-many-th mistake is kept for the last measurement."""


class Mistake(NamedTuple):
    name: str
    job: str
    patch: dict[str, Any]
    at: list[str]
    severity: str
    slip: bool


class Found(NamedTuple):
    """What a report says of one mistake."""

    mistake: Mistake
    named: bool
    """a finding stands at its place, at its severity"""
    noise: int
    """findings elsewhere that are not marked as following from another"""
    first: bool
    """the first line of DO FIRST is about it"""
    slip_first: bool
    slip_among_three: bool
    held: bool
    findings: list[dict[str, Any]]


def mistakes() -> list[Mistake]:
    """Every mistake, in the order of the file."""
    said = yaml.load((HERE / "mistakes.yaml").read_text("utf-8"), yaml.CBaseLoader)
    return [Mistake(**{**one, "slip": one["slip"] == "true"}) for one in said]


def split(all_of_them: Sequence[Mistake], held_out: bool) -> list[Mistake]:
    """Those for tuning, or those that are held out."""
    return [one for number, one in enumerate(all_of_them) if (number % HELD_OUT == HELD_OUT - 1) is held_out]


def job(name: str) -> dict[str, Any]:
    tree: dict[str, Any] = yaml.load((HERE / "jobs" / f"{name}.yaml").read_text("utf-8"), yaml.CBaseLoader)
    return tree


def joined(tree: dict[str, Any], patch: dict[str, Any]) -> dict[str, Any]:
    """A tree with a merge patch in it; what is ``null`` is taken out."""
    made = dict(tree)
    for key, value in patch.items():
        if value == "null":
            made.pop(key, None)
        elif isinstance(value, dict):
            made[key] = joined(made.get(key, {}), value)
        else:
            made[key] = value
    return made


def reviewed(tree: dict[str, Any], folder: Path) -> tuple[dict[str, Any], str]:
    """The report of a spec as JSON and as text."""
    path, data = folder / "door.yaml", folder / "report.json"
    path.write_text(yaml.safe_dump(tree, sort_keys=False), "utf-8")
    words = ["review", str(path), "--as", f"json={data}", "--as", "text", "--on", DAY, "--cache", "none"]
    done = in_process(words, b"", folder, {"HOME": str(folder), "NO_COLOR": "1", "PATH": ""})
    assert done.returncode in (0, 1), done.stdout + done.stderr
    return json.loads(data.read_text("utf-8"))["specs"][0], done.stdout


def measured(mistake: Mistake, folder: Path) -> Found:
    spec, text = reviewed(joined(job(mistake.job), mistake.patch), folder)
    own = [finding for finding in spec["findings"] if finding["pointer"] in mistake.at]
    other = [finding for finding in spec["findings"] if finding not in own and not finding.get("follows_from")]
    numbers = {finding.get("number", place) for place, finding in enumerate(spec["findings"], 1) if finding in own}
    slips = [slip["pointer"] in mistake.at for slip in spec.get("likely_slips", ())]
    return Found(
        mistake,
        any(finding["severity"] == mistake.severity for finding in own),
        len(other),
        bool(numbers.intersection(_first_numbers(text)[:1])),
        slips[:1] == [True],
        any(slips[:3]),
        spec["verdict"] == "hold",
        spec["findings"],
    )


def _first_numbers(text: str) -> list[int]:
    """The findings that the first line of DO FIRST is about."""
    _, _, rest = text.partition("\nDO FIRST\n")
    first = re.match(r"\s*1\. (.*?)(?=\n\s*2\. |\n\n|\n  and |$)", rest, re.DOTALL)
    return [int(number) for number in re.findall(r"\[(\d+)\]", first[1])] if first else []


def table(found: Iterable[Found]) -> str:
    """The figures of some mistakes, a line each."""
    found = list(found)
    errors = [one for one in found if one.mistake.severity == "error"]
    slips = [one for one in found if one.mistake.slip]

    def share(of: Sequence[Found], what: str) -> str:
        return f"{sum(getattr(one, what) for one in of)} of {len(of)}"

    return "\n".join(
        (
            f"named at the right severity    {share(found, 'named')}",
            f"noise, findings a mistake      {sum(one.noise for one in found) / len(found):.2f}",
            f"first line of DO FIRST right   {share(errors, 'first')} (errors)",
            f"slip named first               {share(slips, 'slip_first')}",
            f"slip among the first three     {share(slips, 'slip_among_three')}",
        )
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--held-out", action="store_true")
    parser.add_argument("--each", action="store_true")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = [measured(mistake, Path(folder)) for mistake in split(mistakes(), asked.held_out)]
        noise: Counter[str] = Counter()
        for one in found:
            others = [f for f in one.findings if f["pointer"] not in one.mistake.at and not f.get("follows_from")]
            noise.update(f["rule"] for f in others)
            if asked.each:
                so = (one.named, one.first, one.slip_first, one.held)
                marks = "".join(mark if is_so else "-" for mark, is_so in zip("ndsh", so, strict=True))
                print(f"{marks} {one.noise:>2} {one.mistake.job}: {one.mistake.name}")
                for f in [f for f in one.findings if f["pointer"] in one.mistake.at]:
                    print(f"          = {f['severity']} {f['rule']} {f['pointer']}: {f['message']}")
                for f in others:
                    print(f"          + {f['severity']} {f['rule']} {f['pointer']}: {f['message']}")
        print(table(found))
        if asked.each:
            print("noisiest:", ", ".join(f"{rule} {number}" for rule, number in noise.most_common(12)))


if __name__ == "__main__":
    main()

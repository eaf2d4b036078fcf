"""The Python API as another program uses it."""

from __future__ import annotations

import importlib
import json
import pkgutil
from pathlib import Path
from typing import Any

import pytest
from shared import DAY, ROOT, Run

import doorlint
from doorlint.api import review_paths
from doorlint.cli import COMMANDS
from doorlint.errors import DoorlintError, WrongCall
from doorlint.resources import folder
from doorlint.verdict import Regrade

CLEAN = "sample_specs/tower-order.yaml"
HELD = "sample_specs/floor-still-to-come.yaml"


def test_the_api_is_there_whatever_was_imported_before() -> None:
    for module in pkgutil.walk_packages(doorlint.__path__, "doorlint."):
        if module.name not in ("doorlint.__main__", "doorlint.editor.server"):  # the latter needs an extra
            importlib.import_module(module.name)
    assert all(callable(getattr(doorlint, name)) for name in doorlint.__all__ if not name.startswith("__"))
    assert doorlint.review("doorlint: 1\nstage: survey\njob: {}\n", on="2026-03-17").verdict == "hold"


def test_a_text_that_cannot_be_read_is_a_result() -> None:
    found = doorlint.review("doorlint: 1\nroom: {headroom: 24}\n", name="phone", on="2026-03-17")
    assert found.verdict == "unreadable"
    assert {finding.rule for finding in found.findings} == {"spec.shape", "spec.quantity"}


def test_house_rules_that_change_while_a_program_runs_are_followed(tmp_path: Path) -> None:
    text = (folder("sample_specs") / "tower-order.yaml").read_text("utf-8")
    practice = tmp_path / "tables" / "practice.yaml"
    practice.parent.mkdir()
    verdicts = []
    for clearance in ("1/2 in", "60 in"):
        shop = f"{{title: Free height kept, value: {clearance}, dimension: length, standing: practice}}"
        practice.write_text(f"practice:\n  running_clearance: {shop}\n", "utf-8")
        verdicts.append(doorlint.review(text, on="2026-01-01", house_rules=[tmp_path]).verdict)
    assert verdicts == ["clear", "hold"]


def test_trouble_has_one_name() -> None:
    own = [error for error in vars(doorlint.errors).values() if getattr(error, "__module__", "") == "doorlint.errors"]
    assert own
    assert all(issubclass(error, DoorlintError) for error in own)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"hold_at": "warnings"}, "hold_at is 'warnings'; expected error, warning, advisory"),
        ({"units": "metric"}, "units is 'metric'; expected us, si, as-written"),
        ({"stage": "ordering"}, "stage is 'ordering'; expected survey, order, install, commissioned"),
        ({"on": "tomorrow"}, "on is 'tomorrow'; write a day as 2026-03-17"),
        ({"house_rules": "shop"}, r"house_rules is one text; write \['shop'\]"),
    ],
)
def test_a_call_that_means_nothing_is_refused(asked: dict[str, Any], said: str) -> None:
    with pytest.raises(WrongCall, match=said):
        doorlint.review("doorlint: 1", **asked)


def test_one_text_is_no_list_of_paths() -> None:
    with pytest.raises(WrongCall, match=r"paths is one text; write \['doors'\]"):
        review_paths("doors")


def test_a_caller_lowers_nothing_that_nobody_may_sign_off() -> None:
    held = folder("sample_specs") / "rise-too-steep.yaml"
    with pytest.raises(DoorlintError, match=r"headroom\.swept"):
        list(review_paths([held], severities={"headroom.swept": Regrade("advisory", "we know")}))


def test_every_command_has_its_twin() -> None:
    """``doorlint.rulebook`` is a package, so the twin of that command has a name of its own; a server has none."""
    commands = [name for name in COMMANDS if name != "language-server"]
    twins = {name: getattr(doorlint, {"rulebook": "rules"}.get(name, name)) for name in commands}
    assert {name for name, twin in twins.items() if twin.__module__ != "doorlint.api"} == set()


def test_the_twins_say_what_the_command_line_says(run: Run) -> None:
    clean, held = ((ROOT / path).read_text("utf-8") for path in (CLEAN, HELD))
    decision = json.loads(run("change", CLEAN, HELD, "--as", "json", "--on", DAY).stdout)["decision"]
    assert doorlint.change(clean, held, on=DAY).decision == decision
    sheet = json.loads(run("setout", CLEAN, "--as", "json", "--on", DAY).stdout)
    assert doorlint.setout(clean, name=CLEAN, on=DAY).data["figures"] == sheet["figures"]
    assert doorlint.blank(stage="order") == run("blank", "--stage", "order").stdout
    listed = json.loads(run("rulebook", "--subject", "headroom", "--stage", "order", "--as", "json").stdout)["rules"]
    assert [rule.id for rule in doorlint.rules(subject="headroom", stage="order").rules] == [
        one["rule"] for one in listed
    ]

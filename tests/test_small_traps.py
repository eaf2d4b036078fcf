"""Traps of one line each: links, names with a line end, columns nobody can look up by, and many obstructions."""

from __future__ import annotations

import os
import re
import time
from pathlib import Path

import pytest
from shared import ROOT, Run

from doorlint.errors import BrokenRules
from doorlint.rulebook.files import Contents, pack_of

SPEC = (ROOT / "sample_specs" / "survey-clean.yaml").read_text("utf-8")


def test_a_report_through_a_link_goes_to_what_it_leads_to(run: Run, tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(SPEC, "utf-8")
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real/report.txt")
    for _ in range(2):  # first the target is not there yet
        assert run("review", "d.yaml", "--out", "link", cwd=tmp_path).returncode == 0
        assert (tmp_path / "link").is_symlink()
        assert "Clear" in (tmp_path / "real" / "report.txt").read_text("utf-8")
    (tmp_path / "to-spec").symlink_to("d.yaml")
    assert run("review", "d.yaml", "--out", "to-spec", cwd=tmp_path).returncode == 2
    assert (tmp_path / "d.yaml").read_text("utf-8") == SPEC


def test_the_id_of_a_rule_ends_where_it_ends() -> None:
    rule = '- {id: "shop.own\\n", title: t}\n'
    with pytest.raises(BrokenRules):
        pack_of(Contents("shop", [("shop.yaml", rule.encode())]), house=True)


@pytest.mark.parametrize("column", ["log cycles", "class", "a-b", "1st", "a=0,b"])
def test_a_column_that_nobody_can_look_up_by_is_refused(column: str) -> None:
    table = (
        "table: own\ntitle: t\nsource: {standing: practice, note: n}\noutside: o\n"
        f'columns: {{"{column}": ratio, b: ratio}}\nmatch: {{"{column}": exact}}\nrows: [["1", "2"]]\n'
    )
    with pytest.raises(BrokenRules):
        pack_of(Contents("shop", [("tables/own.yaml", table.encode())]), house=True)


@pytest.mark.slow
def test_remedies_of_a_room_full_of_ducts_keep_their_time(run: Run, tmp_path: Path) -> None:
    text = (ROOT / "sample_specs" / "duct-behind-header.yaml").read_text("utf-8")
    (line,) = re.findall(r"^    duct: \{.*\n", text, re.MULTILINE)
    ducts = "".join(
        line.replace("duct:", f"d{number}:", 1).replace("36 in", f"{20 + number} in") for number in range(200)
    )
    (tmp_path / "d.yaml").write_text(text.replace(line, ducts), "utf-8")
    start = time.process_time()
    done = run("remedy", "d.yaml", "--seconds", "1", cwd=tmp_path)
    assert done.returncode == 1
    assert "search was ended before everything was tried" in " ".join(done.stdout.split())
    assert time.process_time() - start < 6


def test_a_folder_that_is_no_longer_there_is_no_crash(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "gone"
    folder.mkdir()
    assert run("review", ".", "--settings-from", "HEAD", cwd=folder, PATH=os.environ["PATH"]).returncode == 2

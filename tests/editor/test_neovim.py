"""A real editor: neovim without a screen, set up by the lines that the README gives."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import needs
import pytest
from opened import margin
from shared import ROOT

needs.module("pygls", "editor")
NEOVIM = needs.command("nvim")

SPEC = (ROOT / "sample_specs" / "duct-behind-header.yaml").read_text("utf-8")
WAIT = """
local function wait(what, done)
  if not vim.wait(60000, done, 20) then error(what .. ' did not come') end
end
local function seen()
  local found = {}
  for _, one in ipairs(vim.diagnostic.get(0)) do
    table.insert(found, {line = one.lnum, column = one.col, severity = one.severity, code = one.user_data.lsp.code})
  end
  return found
end
local function ask(method, line, character)
  local document = vim.lsp.util.make_text_document_params()
  local params = {textDocument = document, position = {line = line, character = character}}
  local answers = vim.lsp.buf_request_sync(0, method, params, 60000)
  local _, answer = next(answers)
  return answer.result
end
"""
PROBE = """
local told = {}
vim.cmd('edit door.yaml')
wait('a diagnostic', function() return #vim.diagnostic.get(0) > 0 end)
told.opened = seen()
local number = vim.fn.search("underside: 13'-0", 'nw')
local line = vim.api.nvim_buf_get_lines(0, number - 1, number, true)[1]
vim.api.nvim_buf_set_lines(0, number - 1, number, true, {(line:gsub("underside: 13'", "underside: 15'"))})
wait('a clear spec', function() return #vim.diagnostic.get(0) == 0 end)
told.hover = ask('textDocument/hover', vim.fn.search('headroom:', 'nw') - 1, 4).contents.value
vim.api.nvim_buf_set_lines(0, -1, -1, true, {'install:', '  '})
told.offered = {}
for _, item in ipairs(ask('textDocument/completion', vim.api.nvim_buf_line_count(0) - 1, 2).items) do
  table.insert(told.offered, item.label)
end
local file = io.open('told.json', 'w')
file:write(vim.json.encode(told))
file:close()
vim.cmd('qall!')
"""


@pytest.mark.slow
def test_neovim_shows_findings_and_asks_for_more(tmp_path: Path) -> None:
    lines = re.search(r"```lua\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    assert lines is not None
    assert lines[1].count("\n") == 4
    (tmp_path / "door.yaml").write_text(SPEC, "utf-8")
    quitting = (
        "local ok, error = pcall(function()" + PROBE + "end)\nif not ok then print(error) vim.cmd('cquit!') end\n"
    )
    (tmp_path / "probe.lua").write_text(lines[1] + WAIT + quitting, "utf-8")
    command = tmp_path / "bin" / "doorlint"
    command.parent.mkdir()
    command.write_text(f"#!/bin/sh\nexec '{sys.executable}' -m doorlint \"$@\"\n", "ascii")
    command.chmod(0o755)
    environment = {
        **os.environ,
        "PATH": f"{command.parent}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "HOME": str(tmp_path),
    }
    done = subprocess.run(
        [NEOVIM, "--headless", "-u", "NONE", "-i", "NONE", "-n", "-c", "filetype on", "-c", "luafile probe.lua"],
        cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=200, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    told = json.loads((tmp_path / "told.json").read_text("utf-8"))
    assert {(one["code"], one["line"], one["column"]) for one in told["opened"]} == margin(SPEC)
    assert "`26 in` = 660 mm" in told["hover"]
    assert "May move down 3 in" in told["hover"]
    assert {"by", "on"} <= set(told["offered"])

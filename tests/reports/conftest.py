"""A real browser for the pages, and the pages to look at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import needs
import pytest
from every_page import PAGES, SHEETS

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    program = needs.command("chromium")
    playwright = needs.module("playwright.sync_api")
    with playwright.sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=program, args=list(QUIET))
        yield chromium
        chromium.close()


@pytest.fixture(scope="session")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The file of a page by its name, made once."""
    place = tmp_path_factory.mktemp("pages")

    def file(name: str) -> Path:
        path = place / f"{name}.html"
        if not path.exists():
            path.write_text({**PAGES, **SHEETS}[name](), "utf-8")
        return path

    return file


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker's script."""
    return (needs.node_package("axe-core") / "axe.min.js").read_text("utf-8")

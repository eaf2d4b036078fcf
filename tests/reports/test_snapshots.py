"""What the forms say of sample specs, kept word for word: a change of wording or layout shows in its review."""

from __future__ import annotations

import re
from html import unescape

import pytest
from reviews import TORSION, of, reviewed
from syrupy.assertion import SnapshotAssertion

from doorlint.reports import renderer, sheet_html
from doorlint.reports.elevation import elevation
from doorlint.reports.facts import Facts
from doorlint.reports.view import marked
from doorlint.rulebook.library import load
from doorlint.setout import set_out

SAMPLES = {
    "tower-order-low": ("tower-order", (("headroom: 26 in", "headroom: 12 in"),)),
    "torsion-install-slack": ("torsion-install", TORSION),
    "survey-clean": ("survey-clean", ()),
}


def steady(report: str) -> str:
    """Without the digest of the rules, which changes with every rule."""
    return report.replace(load().digest, "RULES-DIGEST")


def words(page: str) -> str:
    """A page's words, a line for every block."""
    body = page[page.index("<body>") :]
    body = re.sub(r"<(svg|desc|title)\b.*?</\1>", "", body, flags=re.DOTALL)
    body = re.sub(r"</?(p|li|h\d|dt|dd|td|th|tr|summary|caption|figcaption|article)\b[^>]*>", "\n", body)
    lines = (" ".join(line.split()) for line in unescape(re.sub("<[^>]*>", "", body)).splitlines())
    return "\n".join(line for line in lines if line)


@pytest.mark.parametrize("form", ["sarif", "junit", "markdown"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_form(snapshot: SnapshotAssertion, sample: str, form: str) -> None:
    name, changes = SAMPLES[sample]
    assert steady(renderer(form)(of(reviewed(name, *changes)))) == snapshot


@pytest.mark.parametrize("sample", SAMPLES)
def test_words_of_the_page(snapshot: SnapshotAssertion, sample: str) -> None:
    name, changes = SAMPLES[sample]
    assert steady(words(renderer("html")(of(reviewed(name, *changes))))) == snapshot


@pytest.mark.parametrize("name", ["tower-install", "torsion-install"])
def test_words_of_the_sheet(snapshot: SnapshotAssertion, name: str) -> None:
    sheet = set_out(reviewed(name), load())
    assert steady(words(sheet_html.render(sheet, "0.1.0", "2026-05-20"))) == snapshot


@pytest.mark.parametrize("name", ["tower-order", "torsion-install"])
def test_elevation(snapshot: SnapshotAssertion, name: str) -> None:
    review = reviewed(name)
    assert review.job is not None
    view = elevation(Facts(review.job, review.system))
    assert view is not None
    (drawn,) = marked([view], review.findings)
    assert drawn.svg.replace("><", ">\n<") == snapshot

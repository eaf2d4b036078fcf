"""A review as one HTML file that needs nothing else: readable without script, in print and on a phone.

One spec gets its drawings, curves and working; several get a summary with the findings of each.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from doorlint.derivation import Compared, Derivation
from doorlint.facts import Facts
from doorlint.findings import Finding, Numbered, Review, SpecReview
from doorlint.proposals.what_fits import what_fits
from doorlint.reports import pages, summary
from doorlint.reports.cautions import cautions
from doorlint.reports.curves import balance, curves
from doorlint.reports.load_path import breaks, load_rows
from doorlint.reports.motion import moving
from doorlint.reports.pictures import NARROW, WIDE, Drawn, Marked, marked, pictured, views
from doorlint.reports.words import counterbalance, counts, first_steps, headline, relaxed_texts, titled

CHARTS = ("pulls", "residual")
"""The names of the charts among the drawings."""


def render(review: Review) -> str:
    """The whole review as one page."""
    return _report(review, review.specs[0]) if len(review.specs) == 1 else summary.render(review)


def _report(review: Review, spec: SpecReview) -> str:
    facts = None if spec.job is None else Facts(spec.job, spec.system)
    drawn = [] if facts is None else drawings(facts, spec.numbered)
    charts = [one for one in drawn if one.name in CHARTS]
    fits = what_fits(spec, review.library, review.reviewed_on)
    rows = [] if facts is None else load_rows(facts)
    working = None if spec.job is None else Derivation(spec.job, review.library, spec.system)
    items = [
        pages.Item(number, finding, _places(number, drawn), _compared(review, working, finding))
        for number, finding in spec.numbered
    ]
    named = [step.name for item in items if item.working is not None for _, step in item.working.steps]
    table = [] if working is None else working.under(named)
    kind = counterbalance(spec)
    sections = (
        ("looks-like", "Looks like", spec.likely_slips),
        ("first", "Do first", True),
        ("fits", "What fits", fits),
        ("drawings", "Drawings", facts is not None),
        ("forces", "Forces", charts),
        ("findings", f"Findings ({len(spec.numbered)})", True),
        ("load-path", "Load path", rows),
        ("working", "Working", table),
        ("not-checked", f"Not checked ({len(spec.gaps)})", True),
        ("signed-off", f"Signed off ({len(spec.signed_off)})", spec.signed_off),
        ("relaxed", "Not as in the library", spec.relaxed),
        ("cautions", "Cautions", True),
        ("provenance", "Made from", True),
    )
    return pages.fill(
        "report.html.j2",
        review=review,
        spec=spec,
        title=titled(spec),
        verdict=(headline(spec).partition(": ")[2].capitalize() or headline(spec)) + ".",
        counts=counts(spec),
        cells=_cells(review, spec),
        contents=[(anchor, head) for anchor, head, there in sections if there],
        steps=list(first_steps(spec)),
        fits=[fit.text for fit in fits],
        **_drawing_values(spec, facts, drawn),
        charts=charts,
        marks_text=kind.marks_text if kind else "",
        load_path=rows,
        breaks=breaks(facts) if facts is not None and rows else [],
        balance=balance(facts) if facts is not None and charts else [],
        blocks=pages.blocks(spec, items),
        figures=table,
        labels={step.name: step.label for step in table},
        needs=pages.needs(spec.gaps),
        cautions=cautions(kind),
        relaxed=relaxed_texts(spec.relaxed),
    )


def _drawing_values(spec: SpecReview, facts: Facts | None, drawn: list[Drawn]) -> dict[str, Any]:
    """What the template shows of the drawings, and what it says they leave out."""
    in_drawings = {number for one in drawn for number in one.marked}
    return {
        "drawings": [one for one in drawn if one.name not in CHARTS],
        "moving": None if facts is None else moving(facts, drawn),
        "not_drawn": [] if facts is None else list(dict.fromkeys(facts.left_out)),
        "unplaced": [number for number, _ in spec.numbered if number not in in_drawings] if drawn else [],
    }


def drawings(facts: Facts, findings: Sequence[Numbered]) -> list[Drawn]:
    """The drawings and charts of a job with its findings marked; what is not drawn is noted in the facts."""
    pictures = pictured(facts)
    wide: list[Marked] = [*views(pictures, facts.system, WIDE), *curves(facts, WIDE.width)]
    narrow: list[Marked] = [*views(pictures, facts.system, NARROW), *curves(facts, NARROW.width)]
    return marked(wide, narrow, findings)


def _cells(review: Review, spec: SpecReview) -> list[tuple[str, str]]:
    facts = [(label, spec.facts[key]) for key, label in (("site", "Site"), ("opening", "Opening")) if key in spec.facts]
    return [*facts, ("Stage", spec.stage or "not known"), ("Day", review.reviewed_on), ("File", spec.file)]


def _compared(review: Review, working: Derivation | None, finding: Finding) -> Compared | None:
    rule = review.library.all_rules.get(finding.rule)
    if rule is None or working is None or not rule.kind.has_figure:
        return None
    return working.compared(rule, finding.thing)


def _places(number: int, drawn: list[Drawn]) -> str:
    return ", ".join(one.name for one in drawn if number in one.marked)

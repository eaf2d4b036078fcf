"""Reviews for the tests of the forms: of sample specs, of changed ones, and one made of hostile texts."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from typing import Any

from doorlint.api import review
from doorlint.findings import Approved, Finding, Measure, NotChecked, Review, SpecReview
from doorlint.resources import folder
from doorlint.rulebook.library import load
from doorlint.rulebook.rule import Source

DAY = "2026-05-20"

TOWER = (
    ("headroom: 26 in", "headroom: 12 in"),
    ("side_left: 14 in", "side_left: 2 in"),
    ("gage: 14", "gage: 20"),
    ("weight: 190 lb", "weight: 260 lb"),
)
"""Changes that make a finished tower job one with errors, warnings and advisories all over."""

TORSION = (("headroom: 20 in", "headroom: 13 in"), ("wound: 7 3/4 turns", "wound: 6 turns"))

HOSTILE = (
    "<script>alert(1)</script>",
    "</title></style>",
    "a|b `c` *d* _e_ ~f~",
    "[north](http://site.example/x) ![x](http://site.example/y)",
    "@crew #12 www.site.example https://site.example",
    "\x1b[31mred\x07\x00",
    "\u202eright to left\u2066",
    "]]> &amp; &#60; \" '",
    "one\ntwo\r\nthree",
    "{{ 7 * 7 }} {% raw %}",
    "# heading",
    "- item",
    "1. item",
)


def text_of(name: str, *changes: tuple[str, str]) -> str:
    """A sample spec with some of its text changed."""
    text = (folder("sample_specs") / f"{name}.yaml").read_text("utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    return text


@cache
def reviewed(name: str, *changes: tuple[str, str], file: str | None = None, slips: bool = True) -> SpecReview:
    """A sample spec reviewed once, changed or as it is, with its likely slips or without."""
    return review(text_of(name, *changes), name=file or f"jobs/{name}.yaml", on=DAY, slips=slips)


def of(*specs: SpecReview) -> Review:
    """A run over some reviewed specs."""
    return Review("0.1.0", DAY, specs, load())


def finding(**changes: Any) -> Finding:
    """A finding of a rule that there is, with some of it changed."""
    made = Finding(
        rule="headroom.swept", title="The door sweeps clear", severity="error", line=12, column=3,
        pointer="/room/headroom", message="headroom is 14 in; this door needs 16 5/16 in",
        measured=Measure(0.3556, "m", "14 in"), limit=Measure(0.4143, "m", "16 5/16 in"), margin=-0.0587,
        marginal=False, source=Source("derived", note="rigid sections"), why="The top corner rises above the header.",
        safety="A door that strikes a beam can leave its track and fall.", sign_off="never",
        remedy="try another radius", short_by="2 5/16 in",
    )  # fmt: skip
    return made._replace(**changes)


def gap(**changes: Any) -> NotChecked:
    """A rule that was not checked, with some of it changed."""
    made = NotChecked(
        rule="hangers.load", title="The hanger carries its load", severity="error", pointer="/hangers/left-1",
        reason="input missing", missing=("/track/weight",), note="", line=40, column=3,
    )  # fmt: skip
    return made._replace(**changes)


def spec(**changes: Any) -> SpecReview:
    """A held spec with one finding, with some of it changed."""
    made = SpecReview(
        file="jobs/door.yaml", stage="install", verdict="hold", findings=(finding(),), not_checked=(), approved=(),
        checked=7, system="us", spec_digest="0123456789ab", rules_digest="ba9876543210", facts={"number": "J-1"},
    )  # fmt: skip
    return made._replace(**changes)


APPROVAL: dict[str, object] = {
    "rule": "sweep.kick", "value": "30 in", "limit": "24 in", "reason": "checked on site", "by": "supervisor RT",
    "on": "2026-03-17", "until": "2026-06-01", "days_left": 76, "file": "",
}  # fmt: skip


def hostile(text: str) -> Review:
    """A run in which every text that a spec, a house rule or a file name can bring is this one."""
    source = Source("practice", document=text, edition=text, clause=text, note=text)
    bad = finding(
        title=text, message=text, why=text, safety=text, remedy=text, short_by=text, source=source,
        measured=Measure(1.0, "m", text), limit=Measure(2.0, "m", text),
    )  # fmt: skip
    outside = gap(title=text, note=text, missing=(), reason="outside table")
    failed = gap(title=text, note=text, missing=(text,), reason="rule failed")
    return of(
        spec(
            file=f"jobs/{text}.yaml".replace("\0", ""), findings=(bad,), not_checked=(outside, failed), failed=True,
            approved=(Approved(bad, {**dict.fromkeys(APPROVAL, text), "days_left": 76}),),
            facts={"number": text, "site": text, "opening": text},
        )
    )  # fmt: skip


def everything() -> Review:
    """A run with all there can be: held, clear and unreadable specs, gaps of every reason, a sign-off."""
    gaps = tuple(
        gap(reason=reason, missing=missing, note=note, severity=severity)
        for reason, missing, note, severity in (
            ("input missing", ("/track/weight", "/tower/plate"), "", "error"),
            ("outside table", (), "no row for 9/16 in", "warning"),
            ("not modelled", (), "double track", "advisory"),
            ("rule failed", (), "ZeroDivisionError", "error"),
        )
    )
    signed = Approved(finding(rule="sweep.kick", severity="warning"), dict(APPROVAL))
    mild = (finding(severity="warning"), finding(severity="advisory"))
    return of(
        spec(not_checked=gaps, approved=(signed,), failed=True),
        spec(file="jobs/clear.yaml", verdict="clear", findings=()),
        spec(file="jobs/warned.yaml", verdict="clear", findings=mild),
        spec(file="jobs/gap only.yaml", findings=(), not_checked=gaps[:1]),
        reviewed("tower-order", ("headroom: 26 in", "headroom: 26"), file="jobs/unreadable.yaml"),
        reviewed("torsion-install", *TORSION),
    )


MAKERS: tuple[Callable[[], Review], ...] = (everything, of, *(partial(hostile, text) for text in HOSTILE))
"""What makes a run with all there can be, an empty one, and one for each hostile text."""

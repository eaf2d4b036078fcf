"""One cause, one step: what follows from what, and what an impossible value stops; nothing is lost, nothing let go."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from shared import DAY, ROOT, Run, patch_at

from doorlint.evaluation import evaluate_spec
from doorlint.findings import SpecReview
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library, load
from doorlint.spec import Spec, read
from doorlint.spec.edit import edited
from doorlint.verdict import Policy, present

POLICY = Policy(DAY)
MISTAKES = yaml.load((ROOT / "tests" / "slips" / "mistakes.yaml").read_text("utf-8"), yaml.CSafeLoader)
IMPOSSIBLE = {
    "/opening/width/middle": "11 in", "/opening/height/left": "200 ft", "/room/ceiling": "9 ft",
    "/door/sections/s2/weight": "9 lb",
}  # fmt: skip
"""What no job has; the weight alone is not enough of it"""


def changed(name: str, values: dict[str, str]) -> Spec:
    spec = base(name).patched(patch_at(values))
    assert not spec.problems, spec.problems
    return spec


def reviewed(spec: Spec, library: Library | None = None) -> SpecReview:
    library = library or load()
    record, spec, job = evaluate_spec(spec, "", library)
    return present(record, library, POLICY, "door.yaml", spec, job)


CASES = [(one["base"], one["set"]) for one in MISTAKES] + [
    ("tower-order", {pointer: text}) for pointer, text in IMPOSSIBLE.items()
]
CASES.append(("torsion-order", {"/stage": "survey", "/opening/width/top": "12'"}))  # stops a rule of a later stage


@pytest.mark.parametrize(("name", "values"), CASES)
def test_no_finding_is_lost_and_no_job_let_go(name: str, values: dict[str, str], library: Library) -> None:
    """Against the plain outcomes of all rules."""
    spec = changed(name, values)
    job = library.job(spec.values, spec.keys)
    plain = [one for one in library.outcomes(job, spec.values["stage"]) if one.state != "met"]
    review = reviewed(spec)
    told = {finding.place for finding in review.findings} | {gap.place for gap in review.not_checked}
    assert {one.place for one in plain} <= told
    errors = [one for one in plain if library.rules[one.rule].severity == "error"]
    assert (review.verdict == "hold") == bool(errors)


def test_what_hangs_on_an_impossible_value_is_not_checked() -> None:
    review = reviewed(changed("tower-order", {"/opening/width/middle": "11 in"}))
    assert {finding.rule for finding in review.findings} == {"opening.width-middle"}
    stopped = [gap for gap in review.not_checked if gap.reason == "input impossible"]
    assert {"room.side-left", "opening.diagonals-agree", "fit.lap"} <= {gap.rule for gap in stopped}
    assert len(stopped) == len(review.not_checked)
    roots = {finding.place for finding in review.findings}
    assert all(gap.causes and roots.issuperset(gap.causes) for gap in stopped)
    assert not any(gap.rule.startswith("tower.plates") for gap in stopped)


def test_the_job_stays_on_hold_when_the_impossible_value_is_signed_off(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text(
        """
- id: shop.radius
  title: The curve is one that we know
  severity: warning
  from: order
  check: {value: track.radius, at_most: 25 in}
  impossible: [track.radius]
  message: "a curve of {value}; ours end at {limit}"
  why: Our rollers are made for no other.
  sign_off: supervisor
  source: {standing: practice, note: ours}
  examples:
    base: tower-order
    inside: {track: {radius: 25 in}}
    outside: {track: {radius: 25.1 in}}
""",
        "utf-8",
    )
    library = load((tmp_path,))
    signed = {
        "rule": "shop.radius", "pointer": "/track/radius", "value": "30 in", "limit": "25 in", "by": "A. Chief",
        "on": DAY, "until": "2026-03-20", "reason": "measured twice",
    }  # fmt: skip
    spec = base("tower-order").patched({"track": {"radius": "30 in"}, "approvals": {"a1": signed}})
    assert not spec.problems, spec.problems
    review = reviewed(spec, library)
    assert [approved.finding.rule for approved in review.approved] == ["shop.radius"]
    assert review.verdict == "hold"
    stopped = [gap for gap in review.not_checked if gap.reason == "input impossible"]
    assert {"headroom.swept", "tower.falls"} <= {gap.rule for gap in stopped}
    assert review.numbers(stopped[0].causes) == ()


@pytest.mark.parametrize(
    ("values", "root"),
    [
        ({"/tower/boxes/b4/plates": "0"}, ("tower.plates", "/tower/boxes/b4/plates")),
        ({"/tower/hook_up_height": "77 in"}, ("tower.hook-up-usual", "/tower/hook_up_height")),
        ({"/track/rise": "2.5 in/ft"}, ("track.rise-most", "/track/rise")),
        ({"/torsion/drum/radius": "5 1/2 in"}, ("drums.radius", "/torsion/drum/radius")),
    ],
)
def test_what_follows_is_gone_once_its_cause_is_put_right(values: dict[str, str], root: tuple[str, str]) -> None:
    """Put right a second way: the value of the sample written into the text, read and reviewed."""
    name = "torsion-order" if "torsion" in root[1] else "tower-order"
    text = edited((ROOT / "sample_specs" / f"{name}.yaml").read_text("utf-8"), patch_at(values))
    review = reviewed(read(text))
    (cause,) = [finding for finding in review.findings if (finding.rule, finding.pointer) == root]
    following = {finding.place for finding in review.findings if finding.causes == (cause.place,)}
    assert following
    again = reviewed(read(edited(text, patch_at({root[1]: str(base(name).text(root[1]))}))))
    assert following.isdisjoint(finding.place for finding in again.findings)


def test_text_lists_causes_with_what_follows_from_them(tmp_path: Path, run: Run) -> None:
    door = tmp_path / "door.yaml"
    text = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
    door.write_text(edited(text, patch_at({"/tower/boxes/b4/plates": "0"})), "utf-8")
    said = run("review", door, "--on", DAY).stdout
    first = said.partition("DO FIRST")[2].partition("ERRORS")[0]
    assert "  2." not in first
    assert "box of tower.boxes.b4.plates and count its plates; 31 instead of 0 would clear it." in " ".join(
        first.split()
    )
    assert "follow from it" in first
    assert "safety: " in first
    number = first.partition("[")[2].partition("]")[0]
    assert f"follows from [{number}]" in said


def test_a_page_folds_what_follows(tmp_path: Path, run: Run) -> None:
    door, page = tmp_path / "door.yaml", tmp_path / "door.html"
    text = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
    door.write_text(edited(text, patch_at({"/tower/boxes/b4/plates": "0"})), "utf-8")
    run("review", door, "--on", DAY, "--as", f"html={page}")
    html = page.read_text("utf-8")
    folded = html.partition("findings follow from no.")
    assert folded[1]
    assert 'id="f1"' in folded[2].partition("<h2")[0]

"""Likely slips: single mistakes are named, what is shown holds once it is written in, a clear spec costs nothing."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from shared import DAY, ROOT, SAMPLES, Run, patch_at

from doorlint import api
from doorlint.errors import BrokenRules, DoorlintError
from doorlint.evaluation import evaluate_spec
from doorlint.findings import LikelySlip, SpecReview
from doorlint.quantities import parse
from doorlint.remedies import slip_search
from doorlint.remedies.slip_search import likely_slips, slips_of
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import Library, load
from doorlint.rulebook.slips import slips
from doorlint.spec.edit import edited
from doorlint.spec.pointer import steps
from doorlint.spec.yaml_positions import node_at
from doorlint.verdict import Policy, present

POLICY = Policy(DAY)
MISTAKES = yaml.load((Path(__file__).parent / "mistakes.yaml").read_text("utf-8"), yaml.CSafeLoader)
SOON = (
    "middle width read a foot short", "inch and foot mark mixed up in the headroom", "box left empty",
    "tower on the other side", "cables exchanged", "spring changed over",
)  # fmt: skip
FIRST, AMONG = 56, 58
"""of 62 mistakes that an error or a warning shows: how many are named first, and among what is shown"""


def reviewed(name: str, values: Mapping[str, str]) -> SpecReview:
    spec = base(name).patched(patch_at(values))
    assert not spec.problems
    record, spec, job = evaluate_spec(spec, "", load())
    return present(record, load(), POLICY, "door.yaml", spec, job)


def undoes(slip: LikelySlip, mistake: Mapping[str, Any]) -> bool:
    """Whether a slip points at what was written wrong and gives back the sample's value."""
    if slip.pointer not in mistake["set"]:
        return False
    node = node_at(base(mistake["base"]).tree, steps(slip.pointer))
    right = node if isinstance(node, str) else f"[{', '.join(map(str, node or ()))}]"
    if slip.would_be == right:
        return True
    try:
        one, other = parse(slip.would_be).value, parse(right).value
    except DoorlintError:
        return False
    return abs(one - other) <= 0.004 * other


def named(mistake: Mapping[str, Any]) -> list[bool] | None:
    """For each slip shown, whether it undoes a mistake; ``None`` where neither error nor warning shows it."""
    review = reviewed(mistake["base"], mistake["set"])
    found = likely_slips(review, load(), POLICY)
    loud = [finding for finding in review.findings if finding.severity != "advisory"]
    stuck = [gap for gap in review.not_checked if gap.severity == "error"]
    return [undoes(slip, mistake) for slip in found] if loud or stuck else None


@pytest.mark.parametrize("name", SOON)
def test_a_mistake_is_named_first(name: str) -> None:
    (mistake,) = [one for one in MISTAKES if one["name"] == name]
    found = named(mistake)
    assert found
    assert found[0]


@pytest.mark.slow
def test_most_mistakes_are_named() -> None:
    found = [shown for shown in map(named, MISTAKES) if shown is not None]
    assert len(found) == 62
    assert sum(bool(shown) and shown[0] for shown in found) >= FIRST
    assert sum(any(shown) for shown in found) >= AMONG


def test_what_a_slip_clears_is_gone_once_the_text_has_it() -> None:
    wrong = edited((ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8"), patch_at({"/tower/side": "left"}))
    before = api.review(wrong, on=DAY)
    slip = before.likely_slips[0]
    assert (slip.slip, slip.pointer, slip.given, slip.would_be) == ("other-side", "/tower/side", "left", "right")
    after = api.review(edited(wrong, patch_at({slip.pointer: slip.would_be})), on=DAY)
    assert {finding.place for finding in before.findings} - {finding.place for finding in after.findings} == set(
        slip.clears
    )
    assert not slip.brings
    assert after.verdict == "clear"


def test_a_clear_spec_is_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: Any) -> Any:
        raise AssertionError("searched")

    monkeypatch.setattr(slip_search, "with_slips", never)
    assert api.review((ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8"), on=DAY).likely_slips == ()


def test_a_fixed_number_of_trials_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = 0
    changed = slip_search.Trials.changed

    def counted(self: slip_search.Trials, *args: Any) -> Any:
        nonlocal tried
        tried += 1
        return changed(self, *args)

    monkeypatch.setattr(slip_search.Trials, "changed", counted)
    monkeypatch.setattr(slip_search, "MOST_TRIALS", 30)
    likely_slips(reviewed("tower-order", {"/tower/hook_up_height": "69 in"}), load(), POLICY)
    assert tried == 30


def test_the_same_spec_has_the_same_slips() -> None:
    review = reviewed("tower-order", {"/tower/boxes/b4/plates": "27"})
    assert likely_slips(review, load(), POLICY) == likely_slips(review, load(), POLICY) != ()


def test_text_and_json_name_the_slip(tmp_path: Path, run: Run) -> None:
    text = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
    door = tmp_path / "door.yaml"
    door.write_text(edited(text, patch_at({"/opening/width/middle": "11'-0\""})), "utf-8")
    done = run("review", door, "--on", DAY)
    said = " ".join(done.stdout.split())
    assert "LOOKS LIKE opening.width.middle read a foot short: 12'-0\" instead of 11'-0\"" in said
    assert done.stdout.index("LOOKS LIKE") < done.stdout.index("DO FIRST")
    (spec,) = json.loads(run("review", door, "--on", DAY, "--as", "json").stdout)["specs"]
    slip = spec["likely_slips"][0]
    numbers = [finding["number"] for finding in spec["findings"]]
    assert slip.items() >= {
        "slip": "foot", "pointer": "/opening/width/middle", "line": 12, "given": "11'-0\"", "would_be": "12'-0\"",
        "clears": numbers, "brings": [],
        "measure": "measure opening.width.middle again, and read the foot as well as the inch",
    }.items()  # fmt: skip


def test_several_specs_are_searched_only_when_asked(tmp_path: Path, run: Run) -> None:
    for number in (1, 2):
        (tmp_path / f"d-{number}.yaml").write_bytes((ROOT / "sample_specs" / "handing-from-outside.yaml").read_bytes())
    plain, asked = (
        json.loads(run("review", tmp_path, "--as", "json", "--on", DAY, *more).stdout)["specs"]
        for more in ((), ("--slips",))
    )
    assert [spec["likely_slips"] for spec in plain] == [[], []]
    assert [spec["likely_slips"][0]["slip"] for spec in asked] == ["seen-from-outside"] * 2
    short = run("review", tmp_path, "--slips", "--on", DAY).stdout
    assert "d-1.yaml:23: opening.handing: the sides were noted from outside: inside instead of outside" in short


# the data


def test_there_are_many_ways_to_get_a_number_wrong(library: Library) -> None:
    assert len({slip.name for slip in slips_of(library)}) >= 25


def test_every_slip_is_tried_at_values_that_there_are(library: Library) -> None:
    for slip in slips_of(library):
        assert 1 <= slip.common <= 5
        assert slip.why.endswith(".")
        assert not slip.measure.endswith(".")


HOUSE = """
    slips:
    - slip: door-beside
      say: "{name} taken from the door beside"
      set: [tower.hook_up_height]
      add: [7 in]
      common: "5"
      why: We build them in pairs.
      measure: "measure {name} again"
    - slip: from-the-base-stop
      say: "{name} off by one rung"
      set: [tower.hook_up_height]
      add: [4 in]
      common: "5"
      why: Our towers have rungs.
      measure: "count the rungs of {name}"
"""


@pytest.fixture
def house(tmp_path: Path) -> Callable[[str], Library]:
    def made(text: str) -> Library:
        (tmp_path / "slips.yaml").write_text(textwrap.dedent(text), "utf-8")
        return load((tmp_path,))

    return made


def test_a_house_folder_adds_slips_and_takes_the_place_of_some(house: Callable[[str], Library]) -> None:
    library = house(HOUSE)
    review = reviewed("tower-order", {"/tower/hook_up_height": "66 in"})
    assert likely_slips(review, library, POLICY)[0].slip == "door-beside"
    rung = likely_slips(reviewed("tower-order", {"/tower/hook_up_height": "69 in"}), library, POLICY)[0]
    assert rung.says == "tower.hook_up_height off by one rung"
    assert len({slip.name for slip in slips_of(library)}) == len({slip.name for slip in slips_of(load())}) + 1


GOOD: dict[str, Any] = {
    "slip": "it", "say": "{name}", "set": ["room.headroom"], "add": ["1 in"], "common": "3", "why": "So.",
    "measure": "{name}",
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"set": ["room.luck"]}, "room.luck is no spec value"),
        ({"set": ["stage"]}, "stage is nothing that a slip may set"),
        ({"set": ["practice.joint_gap"]}, "practice.joint_gap is nothing that a slip may set"),
        ({"say": "{luck}"}, r"\{luck\} is not filled in"),
        ({"add": ["1 lb"]}, "1 lb, a weight"),
        ({"add": None, "work_out": "door.weight"}, "door.weight is no length"),
        ({"set": [["room.headroom", "door.weight"]]}, "are not of one kind"),
        ({"add": None, "exchange": ["room.luck"]}, "room.luck is no spec value"),
    ],
)
def test_a_slip_that_cannot_be_used_is_refused(change: dict[str, Any], message: str, library: Library) -> None:
    said = {key: value for key, value in {**GOOD, **change}.items() if value is not None}
    with pytest.raises(BrokenRules, match=f"shop/slips.yaml: slip it: .*{message}"):
        slips([("shop", [said])], library.graph)


def test_a_broken_slip_is_said_with_its_place(tmp_path: Path, run: Run) -> None:
    (tmp_path / "slips.yaml").write_text("slips:\n- {slip: it, say: it}\n", "utf-8")
    done = run("review", SAMPLES[0], "--house-rules", tmp_path, "--on", DAY)
    assert done.returncode == 2
    assert "slips.yaml:2:3" in done.stderr


def test_formulas_of_a_house_are_refused_where_a_spec_is_held(tmp_path: Path, run: Run) -> None:
    (tmp_path / "slips.yaml").write_text(
        'slips:\n- {slip: it, say: it, set: [room.back], work_out: door.weight, common: "1", why: so, measure: it}\n',
        "utf-8",
    )
    done = run("review", ROOT / "sample_specs" / "handing-from-outside.yaml", "--house-rules", tmp_path)
    assert done.returncode == 2
    assert "slip it: door.weight is no length" in done.stderr

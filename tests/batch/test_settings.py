"""The settings of a repository: where they are found, what goes before what, and what is wrong with them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from shared import DAY, ROOT, Run

from doorlint.fast_schema import compile_schema
from doorlint.resources import folder
from doorlint.settings import NAME, BrokenSettings, find, load, severities

SCHEMA = json.loads((folder("schemas") / "settings.schema.json").read_bytes())
SPEC = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A repository with one spec in a folder, and a house-rule folder at its root."""
    place = tmp_path / "shop"
    (place / "jobs").mkdir(parents=True)
    (place / ".git").mkdir()
    (place / "jobs" / "door.yaml").write_text(SPEC, "utf-8")
    shutil.copytree(ROOT / "tests" / "house" / "stricter", place / "shop-rules")
    return place


def set_to(place: Path, text: str) -> str:
    (place / NAME).write_text(text, "utf-8")
    return str(place / NAME)


def reviewed(run: Run, place: Path, *words: str) -> dict[str, Any]:
    done = run("review", "door.yaml", "--as", "json", "--on", DAY, *words, cwd=place / "jobs")
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)  # type: ignore[no-any-return]


def test_they_are_found_upward_to_the_root_of_the_repository(shop: Path) -> None:
    set_to(shop.parent, "")
    assert find(str(shop / "jobs")) is None
    assert find(str(shop.parent)) == str(shop.parent / NAME)
    settings = set_to(shop, "")
    assert find(str(shop / "jobs")) == find(str(shop)) == settings
    nearer = set_to(shop / "jobs", "")
    assert find(str(shop / "jobs")) == nearer


def test_a_worktree_has_a_file_for_a_git_folder(tmp_path: Path) -> None:
    set_to(tmp_path, "")
    (tmp_path / "tree").mkdir()
    (tmp_path / "tree" / ".git").write_text("gitdir: elsewhere\n", "ascii")
    assert find(str(tmp_path / "tree")) is None


def test_the_command_line_goes_before_the_settings_and_these_before_the_default(run: Run, shop: Path) -> None:
    def units(*words: str) -> str:
        finding = next(f for f in reviewed(run, shop, *words)["specs"][0]["findings"] if f["measured"])
        return str(finding["measured"]["text"].rpartition(" ")[2])

    (shop / "jobs" / "door.yaml").write_text(SPEC.replace("headroom: 26 in", "headroom: 12 in"), "utf-8")
    assert units() == "in"
    set_to(shop, "units: si\n")
    assert units() == "mm"
    assert units("--units", "us") == "in"


def test_the_level_of_a_hold_is_set_for_the_shop(run: Run, shop: Path) -> None:
    spec = SPEC.replace("bracket_spacing: 24 in", "bracket_spacing: 30 in")
    (shop / "jobs" / "door.yaml").write_text(spec, "utf-8")
    found = reviewed(run, shop)["specs"][0]
    assert (found["verdict"], {f["severity"] for f in found["findings"]}) == ("clear", {"warning"})
    set_to(shop, "hold_at: warning\n")
    assert reviewed(run, shop)["specs"][0]["verdict"] == "hold"
    assert reviewed(run, shop, "--hold-at", "error")["specs"][0]["verdict"] == "clear"


def test_house_rules_lie_beside_the_settings_and_others_take_their_place(run: Run, shop: Path) -> None:
    usual = reviewed(run, shop)["rules"]
    set_to(shop, "house_rules: [shop-rules]\n")
    stricter = reviewed(run, shop)["rules"]
    assert reviewed(run, shop, "--house-rules", str(shop / "shop-rules"))["rules"] == stricter != usual
    metric = str(ROOT / "tests" / "house" / "metric")
    shutil.rmtree(shop / "shop-rules")
    assert reviewed(run, shop, "--house-rules", metric)["rules"] not in (usual, stricter)
    done = run("review", "door.yaml", cwd=shop / "jobs")
    assert (done.returncode, done.stdout) == (2, "")
    assert "shop-rules: cannot be read" in done.stderr


def test_every_command_goes_by_the_settings(run: Run, shop: Path) -> None:
    set_to(shop, "house_rules: [shop-rules]\n")
    assert run("rulebook", "shop.site-named", cwd=shop).returncode == 0
    set_to(shop, "hold_at: never\n")
    for words in (["review", "jobs"], ["rulebook"], ["blank"], ["setout", "jobs/door.yaml"]):
        done = run(*words, cwd=shop)
        assert (done.returncode, done.stdout) == (2, ""), words
        assert f"{NAME}:1:1: found never" in done.stderr, words
    assert run("--help", cwd=shop).returncode == 0


@pytest.mark.parametrize("named", ["shop/jobs", "shop/jobs/door.yaml", "shop"])
def test_settings_that_lie_beside_the_specs_and_do_not_hold_are_named(run: Run, shop: Path, named: str) -> None:
    settings = set_to(shop, "hold_at: warning\n")
    done = run("review", named, "--on", DAY, cwd=shop.parent)
    assert done.stderr == f"doorlint: {settings} is not used here; run doorlint in {shop}\n"
    assert "clear" in done.stdout


def test_nothing_is_said_of_settings_that_hold(run: Run, shop: Path) -> None:
    set_to(shop, "hold_at: warning\n")
    for word, place in (("jobs", shop), (shop / "jobs" / "door.yaml", shop), ("door.yaml", shop / "jobs")):
        assert run("review", word, "--on", DAY, cwd=place).stderr == "", word


def test_settings_nearer_to_the_specs_than_those_that_hold_are_named(run: Run, shop: Path) -> None:
    set_to(shop, "")
    nearer = set_to(shop / "jobs", "")
    told = run("review", shop / "jobs", "--on", DAY, cwd=shop).stderr
    assert told == f"doorlint: {nearer} is not used here; run doorlint in {shop / 'jobs'}\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hold-at: error", "1:1: found the key hold-at; expected house_rules, "),
        ("hold-at: error", ", severity; write hold_at"),
        ("units: si\ncolour: blue", "2:1: found the key colour; expected house_rules"),
        ("units: si\ncolour: blue", ", severity; take it out"),
        ("hold_at: serious", "1:1: found serious; expected error, warning, advisory; write one of them"),
        ("hold_at: [error]", "1:1: found a list of 1; expected text; write text after the colon"),
        ("hold_at:", "1:1: found nothing; expected text; write text after the colon"),
        ("house_rules: shop", "1:1: found shop; expected a list; write `[shop-rules]`"),
        ("house_rules: []", "1:1: found nothing; expected at least 1; fill it in"),
        ("severity: {cables.claim: error}", "found error; expected the keys to, reason; write `{to: warning}`"),
        ("severity:\n  cables.claim: {to: error, why: x}", "2:29: found the key why; expected to, reason; take it out"),
        ("severity:\n  cables.claim: {reason: x}", "2:3: found no to; expected The severity in this shop; add"),
        ("severity:\n  Cables: {to: error}", "2:3: found Cables; expected the id of a rule, as `doorlint rulebook`"),
        ("- hold_at: error", "1:1: found a list of 1; expected the keys house_rules"),
        ("hold_at error", "1:1: found hold_at error; expected the keys house_rules, hold_at, units"),
        ("severity: error", "1:1: found error; expected keys with their values below them; write `track."),
        ("units: si\nunits: us", "2:1: found the key units again, first written in line 1"),
        ("units: {", "1:9: found a bracket, brace or comma where a value should stand"),
        ("units: \"s", "found no end of the quotes"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_them_is_said_with_its_place_and_a_fix(text: str, said: str, tmp_path: Path) -> None:
    path = set_to(tmp_path, text + "\n")
    with pytest.raises(BrokenSettings) as broken:
        load(path)
    assert str(broken.value).startswith(f"{path}:")
    assert said in str(broken.value)


@pytest.mark.parametrize(
    ("rule", "graded", "said"),
    [
        ("cables.clam", "to: error", "found the rule cables.clam; expected a rule that there is; write cables.claim"),
        ("no.such", "to: error", "found the rule no.such; expected a rule that there is; `doorlint rulebook` lists"),
        ("track.leans", "to: advisory", "found advisory for track.leans, less than its warning; expected a reason"),
        ("track.leans", "to: advisory, reason: ' '", "expected a reason; add `reason:` with why this shop may"),
        ("cables.claim", "to: advisory, reason: we know", "expected warning, since nobody may sign it off"),
        ("headroom.swept", "to: warning, reason: we know", "expected error, since nobody may sign it off; take the"),
        ("spec.shape", "to: warning, reason: we know", "expected error, since nobody may sign it off"),
    ],
)  # fmt: skip
def test_a_grade_that_may_not_be_is_refused(rule: str, graded: str, said: str, tmp_path: Path, library: Any) -> None:
    if rule == "headroom.swept":
        rule = next(r.id for r in library.rules.values() if r.severity == "error" and r.sign_off == "never")
    path = set_to(tmp_path, f"severity:\n  {rule}: {{{graded}}}\n")
    with pytest.raises(BrokenSettings, match=":2:"):
        severities(load(path), library)
    with pytest.raises(BrokenSettings) as broken:
        severities(load(path), library)
    assert said in str(broken.value)


def test_a_severity_is_raised_freely_and_lowered_for_a_reason_that_is_shown(run: Run, shop: Path) -> None:
    rule = "track.bracket-spacing"
    (shop / "jobs" / "door.yaml").write_text(SPEC.replace("bracket_spacing: 24 in", "bracket_spacing: 30 in"), "utf-8")

    def graded(text: str) -> tuple[str, set[tuple[str, bool]]]:
        set_to(shop, text)
        spec = reviewed(run, shop)["specs"][0]
        mine = [f for f in spec["findings"] if f["rule"] == rule]
        return spec["verdict"], {(f["severity"], "braced as built" in f["message"]) for f in mine}

    assert graded("") == ("clear", {("warning", False)})
    assert graded(f"severity:\n  {rule}: {{to: error}}\n") == ("hold", {("error", False)})
    lowered = f"severity:\n  {rule}: {{to: advisory, reason: braced as built}}\n"
    assert graded(lowered) == ("clear", {("advisory", True)})


words = st.sampled_from(["error", "warning", "advisory", "us", "si", "as-written", "", "x" * 600, "shop\n", "a.b", "A"])
scraps = st.recursive(
    st.none() | words,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["house_rules", "hold_at", "units", "severity", "to", "reason", "a.b"]), inner
        )
    ),
    max_leaves=12,
)


@given(scraps)
def test_the_quick_check_says_what_the_schema_says(data: Any) -> None:
    assert compile_schema(SCHEMA)(data) is Draft202012Validator(SCHEMA).is_valid(data)


def test_the_example_in_the_readme_can_be_used(tmp_path: Path, library: Any) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert NAME in text
    block = text.partition(NAME)[2].partition("```yaml\n")[2].partition("```")[0]
    assert Draft202012Validator(SCHEMA).is_valid(yaml.safe_load(block))
    severities(load(set_to(tmp_path, block)), library)

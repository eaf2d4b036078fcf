"""Nothing that a file says or is called gives an order to the build server whose log the report goes into."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from shared import DAY, ROOT, Run

SPEC = (ROOT / "sample_specs" / "tower-install.yaml").read_text("utf-8")
ORDER = re.compile(r"^\s*::|##\w*\[", re.MULTILINE)
"""What GitHub reads at the start of a line, and what it, Azure Pipelines and TeamCity read anywhere."""
OWN = re.compile(r"^::(error|warning|notice) (file|title)=[^\n]*?::", re.MULTILINE)
"""The commands of the github form itself, up to the message."""
PAYLOADS = (
    "::stop-commands::x", "::error title=x::hi", "  ::warning::x", "x ::notice::y", "::set-output name=a::b",
    ": ::a::b", "##vso[task.complete result=Succeeded;]x", "##[command]x", "x##vso[task.setvariable variable=a]b",
    "##VSO[x y]", "##teamcity[buildStatus status='SUCCESS']", "::add-mask::e", ":::error::x", "::::x",
)  # fmt: skip
HELD = SPEC.replace("leg_thickness: 1/8 in", "leg_thickness: 1/64 in")
FORMS = {
    "review": ("text", "short", "github"), "change": ("text",), "setout": ("text",), "remedy": ("text",),
    "parts": ("text",),
}  # fmt: skip
SOME = PAYLOADS[::7]
REST = tuple(payload for payload in PAYLOADS if payload not in SOME)
SOME_OR_REST = pytest.mark.parametrize(
    "payloads", [pytest.param(SOME, id="some"), pytest.param(REST, id="rest", marks=pytest.mark.slow)]
)
EVERY = [(command, form) for command, forms in FORMS.items() for form in forms]


def shared_out(payloads: tuple[str, ...], command: str, form: str) -> tuple[str, ...]:
    """Of few payloads every other one, of many a third, and the next ones for the next form."""
    shares = 2 if payloads == SOME else 3
    return payloads[EVERY.index((command, form)) % shares :: shares]


def orders(text: str) -> list[str]:
    return ORDER.findall(OWN.sub("", text))


def named(spec: str, said: str) -> str:
    """A spec whose job and opening have that as their names."""
    return re.sub("^  (number|opening): (J|D)-.*$", lambda found: f"  {found[1]}: {said}", spec, flags=re.MULTILINE)


def quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


@SOME_OR_REST
@pytest.mark.parametrize(("command", "form"), EVERY)
def test_no_text_of_a_spec_is_an_order(
    run: Run, tmp_path: Path, payloads: tuple[str, ...], command: str, form: str
) -> None:
    for number, payload in enumerate(shared_out(payloads, command, form)):
        said = quoted(payload)
        signed = f"{{rule: {said}, pointer: {said}, value: {said}, limit: {said}, reason: {said}, by: {said}}}"
        text = named(HELD, said)
        assert text.count(said) == 2
        (tmp_path / f"{number}.yaml").write_text(f"{text}approvals: {{a: {signed}}}\n", "utf-8")
        names = [f"{number}.yaml"] * (2 if command == "change" else 1)
        done = run(command, *names, "--as", form, "--on", DAY, cwd=tmp_path)
        assert orders(done.stdout) == []
        assert orders(done.stderr) == []


@SOME_OR_REST
@pytest.mark.parametrize(("command", "form"), EVERY)
def test_no_refusal_is_an_order(run: Run, tmp_path: Path, payloads: tuple[str, ...], command: str, form: str) -> None:
    for payload in shared_out(payloads, command, form):
        said = quoted(payload)
        texts = (
            SPEC.replace("headroom:", f"{said}:"), SPEC.replace("stage: install", f"stage: {said}"),
            SPEC + f"practice: {{{said}: 1 in}}\n", SPEC + f"practice: {{hanger_stress: {said}}}\n", payload,
            SPEC + said,
        )  # fmt: skip
        for text in texts:
            (tmp_path / "d.yaml").write_text(text, "utf-8")
            done = run(command, *["d.yaml"] * (2 if command == "change" else 1), "--as", form, cwd=tmp_path)
            assert orders(done.stdout) == []
            assert orders(done.stderr) == []


@pytest.mark.parametrize(("command", "form"), EVERY)
@SOME_OR_REST
@pytest.mark.parametrize("text", [HELD, "doorlint: 1\n", "a: 1\n"], ids=["held", "short", "no spec"])
def test_no_name_of_a_file_is_an_order(
    run: Run, tmp_path: Path, payloads: tuple[str, ...], command: str, form: str, text: str
) -> None:
    for payload in shared_out(payloads, command, form):
        name = f"{payload.replace('/', '')}.yaml"
        (tmp_path / name).write_text(text, "utf-8")
        done = run(command, *[f"./{name}"] * (2 if command == "change" else 1), "--as", form, "--on", DAY, cwd=tmp_path)
        assert orders(done.stdout) == []
        assert orders(done.stderr) == []
        if command == "review":
            done = run(command, ".", "--as", form, "--on", DAY, cwd=tmp_path)
            assert orders(done.stdout + done.stderr) == []


@SOME_OR_REST
@pytest.mark.parametrize("form", FORMS["review"])
def test_nothing_that_a_shop_says_is_an_order(run: Run, tmp_path: Path, payloads: tuple[str, ...], form: str) -> None:
    for number, payload in enumerate(payloads):
        folder = tmp_path / str(number)
        house = folder / payload.replace("/", "").strip() / "tables"
        house.mkdir(parents=True)
        said = quoted(payload)
        (folder / "d.yaml").write_text(HELD, "utf-8")
        (house / "practice.yaml").write_text(
            f"practice:\n  hanger_stress: {{title: {said}, value: 19 ksi, dimension: stress, standing: published, "
            f"document: {said}, edition: {said}, clause: {said}}}\n", "utf-8",
        )  # fmt: skip
        (folder / ".doorlint.yaml").write_text(
            f"house_rules: [{quoted(payload.strip())}]\napprovers: [{said}]\n"
            f"severity: {{track.bracket-spacing: {{to: advisory, reason: {said}}}}}\n", "utf-8",
        )  # fmt: skip
        done = run("review", ".", "--as", form, "--on", DAY, cwd=folder)
        assert done.returncode == 1
        assert orders(done.stdout + done.stderr) == []
        assert orders(run("review", str(folder), "--as", form, cwd=tmp_path).stderr) == []

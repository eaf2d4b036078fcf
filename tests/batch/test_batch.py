"""A folder of specs: the same report however many share the work, whatever was kept, whatever ails one file."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import needs
import pytest
from shared import DAY, FORMS, ROOT, Run, thinned
from varied import spec_text

from doorlint import batch
from doorlint.api import review, review_paths
from doorlint.batch import BATCH, Call, reviews
from doorlint.errors import WrongCall
from doorlint.findings import SpecReview
from doorlint.sources import Source, gather
from doorlint.verdict import Policy

COUNT = 2 * BATCH + 7
"""Files enough for three batches, the last of them not full."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Varied specs, one that is not YAML, one that is no spec, one that cannot be opened for reading."""
    place = tmp_path_factory.mktemp("fleet")
    for seed in range(COUNT - 3):
        inner = place / f"site-{seed % 5}"
        inner.mkdir(exist_ok=True)
        (inner / f"door-{seed}.yaml").write_text(spec_text(seed), "utf-8")
    (place / "broken.yml").write_text("doorlint: 1\njob: {number", "utf-8")
    (place / "loop.yaml").symlink_to("loop.yaml")
    os.mkfifo(place / "pipe.yaml")
    (place / "notes.yaml").write_text("title: no spec\n", "utf-8")
    return place


def reviewed(folder: Path, **more: Any) -> list[SpecReview]:
    return list(review_paths([folder], on=DAY, **more))


@pytest.fixture(scope="module")
def expected(folder: Path) -> list[SpecReview]:
    return reviewed(folder, workers=1)


def test_every_spec_is_there_in_the_order_of_the_names(expected: list[SpecReview]) -> None:
    files = [spec.file for spec in expected]
    assert len(files) == COUNT
    assert files == sorted(files)
    assert {spec.file.rpartition("/")[2]: spec.findings[0].rule for spec in expected if spec.stage is None} == {
        "broken.yml": "spec.yaml", "loop.yaml": "spec.file", "pipe.yaml": "spec.file",
    }  # fmt: skip


@pytest.mark.parametrize("workers", thinned([2, 3, None, 50], 2))
def test_the_number_of_workers_changes_nothing(folder: Path, expected: list[SpecReview], workers: int | None) -> None:
    assert reviewed(folder, workers=workers) == expected


@pytest.mark.parametrize("make", [ThreadPoolExecutor, ProcessPoolExecutor])
def test_any_executor_will_do(folder: Path, expected: list[SpecReview], make: type[Executor]) -> None:
    with make(2) as executor:  # type: ignore[call-arg]
        assert reviewed(folder, executor=executor) == expected


@pytest.mark.slow
def test_workers_may_be_on_a_cluster(folder: Path, expected: list[SpecReview]) -> None:
    distributed = needs.module("distributed")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as executor,
    ):
        assert reviewed(folder, executor=executor) == expected


def test_more_workers_join_by_themselves_where_they_pay(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1, 2}, raising=False)
    assert [batch._paying(files) for files in (1, batch.WORKERS_FROM - 1, batch.WORKERS_FROM, 10_000)] == [1, 1, 3, 3]


def test_a_worker_that_dies_is_no_verdict(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch, "_end", lambda *_: os._exit(9))
    with pytest.raises(WrongCall, match="a worker died before it was done"):
        reviewed(folder, workers=2)


class Batches:
    """What a run asks for, and how many batches were asked for beyond those that came back."""

    def __init__(self, executor: Executor) -> None:
        self.executor, self.under_way, self.most = executor, 0, 0

    def submit(self, *words: Any) -> Any:
        self.under_way += 1
        self.most = max(self.most, self.under_way)
        future = self.executor.submit(*words)
        future.add_done_callback(lambda _: None)
        result = future.result

        def taken() -> Any:
            self.under_way -= 1
            return result()

        future.result = taken  # type: ignore[method-assign, assignment]
        return future


def test_only_so_much_is_under_way_at_a_time(folder: Path) -> None:
    sources = gather([str(folder)]).sources
    call = Call((), None, Policy(DAY))
    with ThreadPoolExecutor(2) as executor:
        asked = Batches(executor)
        batches = (sources[i : i + 4] for i in range(0, len(sources), 4))
        found = batch._ahead(asked, batches, call, 5, deque())  # type: ignore[arg-type]
        assert sum(1 for _ in found) == len(sources)
    assert (asked.under_way, asked.most) == (0, 5)


def test_one_spec_alone_keeps_its_job_and_many_do_not(folder: Path, expected: list[SpecReview]) -> None:
    (alone,) = reviewed(folder / "site-0" / "door-0.yaml")
    assert alone.job is not None
    assert alone._replace(spec=None, job=None, likely_slips=()) == next(
        spec for spec in expected if spec.file == alone.file
    )
    assert all(spec.spec is None and spec.job is None for spec in expected)


def test_a_spec_comes_before_the_next_is_read(folder: Path) -> None:
    sources = gather([str(folder)]).sources
    with pytest.MonkeyPatch.context() as patch:
        read: list[str] = []
        data_of = batch.data_of

        def told(source: Source) -> bytes:
            read.append(source.name)
            return data_of(source)

        patch.setattr(batch, "data_of", told)
        next(reviews(sources, Call((), None, Policy(DAY)), workers=1))
    assert len(read) == BATCH


def test_text_and_api_say_the_same(expected: list[SpecReview]) -> None:
    text = Path(expected[-1].file).read_bytes()
    assert review(text, name=expected[-1].file, on=DAY, slips=False)._replace(spec=None, job=None) == expected[-1]


@pytest.mark.parametrize("form", thinned(FORMS["review"], 8))
def test_bytes_are_the_same_whatever_the_workers_the_cache_and_the_hash_seed(
    form: str, folder: Path, launch: Run
) -> None:
    words = ["review", folder, "--as", form, "--on", DAY]
    ways = [
        launch(*words, "--workers", "1", "--cache", "none", PYTHONHASHSEED="1"),
        launch(*words, "--workers", "2", PYTHONHASHSEED="2"),
        launch(*words, "--workers", "3", PYTHONHASHSEED="3", TZ="Pacific/Apia", LC_ALL="C"),
    ]
    assert {(done.returncode, done.stdout, done.stderr) for done in ways} == {(2, ways[0].stdout, "")}
    if form == "json":
        specs = json.loads(ways[0].stdout)["specs"]
        assert len(specs) == COUNT


def _on_a_terminal(*words: str, out: Path) -> str:
    """What a run writes to stderr when that is a terminal and stdout is not."""
    ours, theirs = pty.openpty()
    with out.open("wb") as stdout:
        run = subprocess.Popen([sys.executable, "-m", "doorlint", *words], cwd=ROOT, stdout=stdout, stderr=theirs)
    os.close(theirs)
    said = b"".join(_read(ours))
    os.close(ours)
    run.wait()
    return said.decode()


def _read(terminal: int) -> Iterator[bytes]:
    try:
        while data := os.read(terminal, 4096):
            yield data
    except OSError:  # Linux says so when the other side is closed
        return


def test_a_terminal_is_told_how_far_it_is_and_then_left_clean(tmp_path: Path) -> None:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for seed in range(120):
        (jobs / f"{seed}.yaml").write_text(spec_text(seed, "survey-clean"), "utf-8")
    out = tmp_path / "report"
    said = _on_a_terminal("review", str(jobs), "--cache", "none", "--on", DAY, out=out)
    assert said.startswith("\r0 of 120 specs\r")
    assert said.endswith("\r                \r")
    assert "120 specs: 120 clear" in out.read_text("utf-8")
    assert _on_a_terminal("review", str(jobs / "0.yaml"), "--cache", "none", "--on", DAY, out=out) == ""


@pytest.mark.parametrize("name", ["door.yaml", "door.yml", "DOOR.YAML", "door.YML", "door.Yaml"])
def test_a_spec_in_a_folder_is_met_however_its_ending_is_written(name: str, tmp_path: Path) -> None:
    for file in (name, "door.yaml.orig"):
        (tmp_path / file).write_text(spec_text(0), "utf-8")
    assert [Path(spec.file).name for spec in reviewed(tmp_path)] == [name]


def test_a_file_named_twice_is_one_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for seed in range(2):
        Path(f"{seed}.yaml").write_text(spec_text(seed), "utf-8")
    whole = str(tmp_path / "0.yaml")
    for paths in (["0.yaml", whole], [whole, "./0.yaml"], ["0.yaml", f"../{tmp_path.name}/0.yaml"]):
        assert len(list(review_paths(paths, on=DAY))) == 1, paths
    both = list(review_paths([".", tmp_path, "0.yaml"], on=DAY))
    assert [Path(spec.file).name for spec in both] == ["0.yaml", "1.yaml"]
    assert not [finding for spec in both for finding in spec.findings if finding.rule == "fleet.job-number-twice"]


def test_standard_input_named_twice_is_read_once(folder: Path, run: Run) -> None:
    spec = folder / "site-0" / "door-0.yaml"
    for words, files in (
        (["-", "-"], ["standard input"]),
        (["-", spec, "-"], ["standard input", str(spec)]),
    ):
        done = run("review", *words, "--as", "json", "--on", DAY, stdin=spec_text(1))
        assert [one["file"] for one in json.loads(done.stdout)["specs"]] == files, done.stderr


def test_named_files_that_are_no_specs_may_be_passed_over(folder: Path, run: Run) -> None:
    spec, notes = folder / "site-0" / "door-0.yaml", folder / "notes.yaml"
    assert run("review", spec, notes).returncode == 2
    passed = run("review", spec, notes, "--pass-over", "--as", "json")
    assert [Path(one["file"]).name for one in json.loads(passed.stdout)["specs"]] == ["door-0.yaml"]
    none = run("review", notes, "--pass-over", "--as", "json")
    for form in ("text", "markdown"):
        assert "Nothing was reviewed" in run("review", notes, "--pass-over", "--as", form).stdout
    assert (none.returncode, json.loads(none.stdout)["specs"]) == (0, [])
    gone = run("review", folder / "gone.yaml", "--pass-over")
    assert gone.returncode == 2
    assert "No such file" in gone.stdout

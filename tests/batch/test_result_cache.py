"""What is kept between runs is never wrong, never trusted across users, and safe to delete."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shared import DAY, ROOT, SOME_OR_ALL, thinned
from varied import spec_text

from doorlint import batch, cache_dir, result_cache
from doorlint.api import review_paths
from doorlint.evaluation import Record, evaluate
from doorlint.findings import SpecReview
from doorlint.hashing import hash_of
from doorlint.result_cache import ResultCache, key_of, record_of
from doorlint.rulebook.library import Library, _loaded, load
from doorlint.verdict import Regrade

SEEDS = range(6)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "jobs"
    place.mkdir()
    for seed in SEEDS:
        (place / f"{seed}.yaml").write_text(spec_text(seed), "utf-8")
    return place


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    return tmp_path / "kept"


@pytest.fixture(autouse=True)
def forgetful() -> Iterator[None]:
    """Every test, and every run in it that asks for it, opens the kept records anew."""
    forget()
    yield
    forget()


def forget() -> None:
    batch._records.cache_clear()


def reviewed(folder: Path, kept: Path | None, **more: Any) -> list[SpecReview]:
    return list(review_paths([folder], cache=kept, workers=1, **{"on": DAY, **more}))


def file_of(kept: Path) -> Path:
    (path,) = kept.glob("records-*")
    return path


class CheckedAgainError(BaseException):
    """No fault of one file, which would not stop the others."""


def never(*_: object) -> None:
    raise CheckedAgainError("a spec was checked again")


@pytest.mark.parametrize("seed", thinned(range(60), 4))
def test_a_record_is_the_same_when_it_comes_back(seed: int, library: Library) -> None:
    record = evaluate(spec_text(seed), library).record
    assert record_of(json.loads(json.dumps(record))) == record
    assert types(record_of(json.loads(json.dumps(record)))) == types(record)


def types(value: Any) -> Any:
    """The sort of everything in a record: a tuple equals a named one, and True equals 1."""
    if isinstance(value, dict):
        return {key: types(entry) for key, entry in value.items()}
    if isinstance(value, tuple):
        return type(value), [types(entry) for entry in value]
    return type(value)


def test_records_with_everything_in_them_come_back(library: Library) -> None:
    broken = evaluate(b"doorlint: 1\nstage: soon\njob: {number: J-1}\n", library).record
    samples = [evaluate(path.read_bytes(), library).record for path in sorted((ROOT / "sample_specs").glob("*.yaml"))]
    order = (ROOT / "sample_specs" / "tower-order.yaml").read_text("utf-8")
    close = order.replace("side_right: 32 in", "side_right: 20 7/8 in").replace("plates: 31", "plates: 0")
    samples.append(evaluate(close, library).record)
    for record in (broken, *samples):
        assert record_of(json.loads(json.dumps(record))) == record
    said = [noted for record in samples for noted in (*record.open, *record.close)]
    assert any(isinstance(noted.outcome.limit, tuple) for noted in said)
    assert any(noted.doubts for noted in said)
    assert any(noted.causes for noted in said)
    assert any(noted.shown for noted in said)


def test_what_did_not_change_is_not_checked_again(folder: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = reviewed(folder, kept)
    forget()
    monkeypatch.setattr(batch, "evaluate_spec", never)
    assert reviewed(folder, kept) == first
    (folder / "3.yaml").write_text(spec_text(3) + "# again\n", "utf-8")
    with pytest.raises(CheckedAgainError, match="checked again"):
        reviewed(folder, kept)


stricter = st.sampled_from([(), (ROOT / "tests" / "house" / "stricter",), (ROOT / "tests" / "house" / "metric",)])
grades = st.dictionaries(
    st.sampled_from(["track.bracket-spacing", "tower.plates", "track.usual-angle"]),
    st.sampled_from([Regrade("error"), Regrade("advisory", "we know")]),
)


@SOME_OR_ALL
def test_whatever_changes_the_kept_records_change_nothing(shared: tuple[Path, Path], every: int) -> None:
    folder, kept = shared

    @settings(max_examples=30 // every, deadline=None)
    @given(
        edits=st.dictionaries(st.sampled_from(SEEDS), st.integers(0, 40), max_size=4),
        stage=st.sampled_from([None, "survey", "order", "install", "commissioned"]),
        on=st.sampled_from(["2026-03-17", "2027-01-01"]),
        hold_at=st.sampled_from(["error", "warning", "advisory"]),
        units=st.sampled_from(["as-written", "us", "si"]),
        house_rules=stricter,
        severities=grades,
    )
    def holds(edits: dict[int, int], **more: Any) -> None:
        for place, seed in edits.items():
            (folder / f"{place}.yaml").write_text(spec_text(seed), "utf-8")
        expected = reviewed(folder, None, **more)
        assert reviewed(folder, kept, **more) == expected
        forget()
        assert reviewed(folder, kept, **more) == expected

    holds()


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """One folder and one cache for all examples, so that each one finds what the others have kept."""
    place = tmp_path_factory.mktemp("kept")
    (place / "jobs").mkdir()
    for seed in SEEDS:
        (place / "jobs" / f"{seed}.yaml").write_text(spec_text(seed), "utf-8")
    return place / "jobs", place / "cache"


@pytest.mark.parametrize("what", ["rules", "practice", "table", "program"])
def test_other_rules_or_another_program_have_records_of_their_own(
    what: str, kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", rules)
    usual = load()
    before = ResultCache(kept, usual)._handle
    changes = {
        "rules": ("cables.yaml", "harm: drop", "harm: wear"),
        "practice": ("tables/practice.yaml", "value: 1/8 in", "value: 3/16 in"),
        "table": ("tables/screw-threads.yaml", "0.0318 sq in", "0.0317 sq in"),
    }
    if what == "program":
        monkeypatch.setattr(result_cache, "stamp", lambda: "another")
        other = usual
    else:
        name, old, new = changes[what]
        path = rules / name
        assert old in path.read_text("utf-8")
        path.write_text(path.read_text("utf-8").replace(old, new, 1), "utf-8")
        monkeypatch.setattr("doorlint.rulebook.library.folder", lambda name: rules if name == "rules" else ROOT / name)
        _loaded.cache_clear()
        try:
            other = load()
        finally:
            _loaded.cache_clear()
    after = ResultCache(kept, other)._handle
    assert before is not None
    assert after is not None
    assert os.fstat(before).st_ino != os.fstat(after).st_ino


SPOILED = {
    "gone": lambda path: path.unlink(),
    "empty": lambda path: path.write_bytes(b""),
    "cut": lambda path: path.write_bytes(path.read_bytes()[: path.stat().st_size // 2]),
    "digit": lambda path: path.write_bytes(path.read_bytes().replace(b"0.", b"1.")),
    "other-order": lambda path: path.write_bytes(b"\n".join(reversed(path.read_bytes().split(b"\n")))),
    "noise": lambda path: path.write_bytes(bytes(range(256)) * 99),
    "twice": lambda path: path.write_bytes(path.read_bytes() * 2),
    "torn-end": lambda path: path.write_bytes(path.read_bytes() + b"abc:order 00000000 [1,2"),
}


@pytest.mark.parametrize("name", thinned(SPOILED, 3))
def test_spoiled_records_count_as_not_there(name: str, folder: Path, kept: Path) -> None:
    expected = reviewed(folder, kept)
    SPOILED[name](file_of(kept))
    forget()
    assert reviewed(folder, kept) == expected
    forget()
    assert reviewed(folder, kept) == expected


def _open_to_all(kept: Path) -> None:
    kept.chmod(0o777)


def _file_open_to_all(kept: Path) -> None:
    file_of(kept).chmod(0o666)


def _link(kept: Path) -> None:
    path = file_of(kept)
    path.rename(path.with_name("elsewhere"))
    path.symlink_to("elsewhere")


def _of_somebody_else(kept: Path) -> None:
    os.chown(file_of(kept), 12345, 12345)


def _folder_of_somebody_else(kept: Path) -> None:
    os.chown(kept, 12345, 12345)


@pytest.mark.parametrize(
    "change", [_open_to_all, _file_open_to_all, _link, _of_somebody_else, _folder_of_somebody_else]
)
def test_what_another_could_have_written_is_not_believed(
    change: Any, folder: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if "somebody" in change.__name__ and os.geteuid() != 0:
        pytest.skip("only root can give a file away")
    expected = reviewed(folder, kept)
    change(kept)
    forget()
    monkeypatch.setattr(batch, "evaluate_spec", never)
    with pytest.raises(CheckedAgainError, match="checked again"):
        reviewed(folder, kept)
    monkeypatch.undo()
    forget()
    assert reviewed(folder, kept) == expected


def test_nobody_else_may_look_at_what_is_kept(folder: Path, kept: Path) -> None:
    mask = os.umask(0)
    try:
        reviewed(folder, kept)
    finally:
        os.umask(mask)
    assert kept.stat().st_mode & 0o777 == 0o700
    assert {path.stat().st_mode & 0o777 for path in kept.iterdir()} == {0o600}


def test_nothing_is_said_where_nothing_can_be_kept(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "ascii")
    expected = reviewed(folder, None)
    assert reviewed(folder, tmp_path / "file") == expected
    assert reviewed(folder, tmp_path / "file" / "below") == expected
    assert not list(tmp_path.glob("**/records-*"))


def test_a_file_that_has_grown_too_large_is_begun_anew(
    folder: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = reviewed(folder, kept)
    size = file_of(kept).stat().st_size
    monkeypatch.setattr(result_cache, "LARGEST", size - 1)
    forget()
    assert reviewed(folder, kept) == expected
    assert file_of(kept).stat().st_size == size


def test_only_the_newest_of_a_kind_are_left(tmp_path: Path) -> None:
    for number in range(cache_dir.MOST + 5):
        cache_dir.store(tmp_path, f"book-{number:03}", b"said")
        os.utime(tmp_path / f"book-{number:03}", (number, number))
    cache_dir.store(tmp_path, "other-1", b"said")
    cache_dir.tidy(tmp_path, "book")
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        *(f"book-{number:03}" for number in range(5, cache_dir.MOST + 5)), "other-1"
    ]  # fmt: skip


def test_two_runs_may_keep_at_one_time(kept: Path, library: Library) -> None:
    def record(seed: int) -> tuple[str, Record]:
        data = spec_text(seed).encode()
        return key_of(hash_of(data), None), evaluate(data, library).record

    one, other = ResultCache(kept, library), ResultCache(kept, library)
    for seed in range(6):
        (one if seed % 2 else other).put(*record(seed))
        (one if seed % 3 else other).write()
    one.write()
    other.write()
    both = ResultCache(kept, library)
    assert all(both.get(key) == said for key, said in map(record, range(6)))

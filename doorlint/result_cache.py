"""Records of specs stored between runs, each under the digest of its inputs.

One file holds the records of one set of rules, a line each: key, check sum, JSON. New ones are put at its end, many at
a time, so that several runs may share it; what is not whole, or not ours, counts as not there.
"""

from __future__ import annotations

import json
import os
import sys
import zlib
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

from doorlint import cache_dir
from doorlint.catalog_findings import PartNote
from doorlint.cross_spec import SharedValue
from doorlint.evaluation import OpenOutcome, Record, SignOff
from doorlint.file_input import PathName
from doorlint.hashing import hash_of
from doorlint.resources import stamp
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import Outcome
from doorlint.spec.problems import Problem
from doorlint.uncertainty.tolerance import Cause, Doubt

__all__ = ["LARGEST", "ResultCache", "key_of", "record_of"]

LARGEST = 2**28
"""Bytes; a file larger than this is started again."""


def key_of(digest: str, stage: str | None) -> str:
    """The key of a record: all that it depends on besides the rules and this program.

    ``digest`` is the whole one of the spec's bytes.
    """
    return f"{digest}:{stage or ''}"


class ResultCache:
    """The stored records of one set of rules.

    Where nothing can be kept, or ``folder`` is ``None``, it has none and keeps none.
    """

    def __init__(self, folder: PathName | None, library: Library) -> None:
        made_by = f"{stamp()}\n{sys.implementation.cache_tag}\n{[pack.digest for _, pack in library.packs]}"
        name = f"records-{hash_of(made_by)[:24]}"
        self._handle = None if folder is None or not cache_dir.private(folder) else _opened(folder, name)
        self._places: dict[str, tuple[int, int]] = {}
        self._new: list[bytes] = []
        self._index()

    def get(self, key: str) -> Record | None:
        """The record that was stored under a key; ``None`` where there is none."""
        if self._handle is None or key not in self._places:
            return None
        start, length = self._places[key]
        check, _, data = os.pread(self._handle, length, start).partition(b" ")
        if check != b"%08x" % zlib.crc32(data):
            return None
        return record_of(json.loads(data))

    def put(self, key: str, record: Record) -> None:
        """Keep a record; it is written by :meth:`write`."""
        if self._handle is not None:
            data = json.dumps(record, separators=(",", ":")).encode()
            self._new.append(b"%s %08x %s\n" % (key.encode(), zlib.crc32(data), data))

    def write(self) -> None:
        """Write what is new; a failure to write is ignored."""
        new, self._new = self._new, []
        if self._handle is not None and new:
            with suppress(OSError):
                os.write(self._handle, b"".join(new))

    def _index(self) -> None:
        if self._handle is None:
            return
        start = 0
        with open(self._handle, "rb", closefd=False) as file:
            for line in file:
                key, _, rest = line.partition(b" ")
                if rest.endswith(b"\n"):
                    self._places[key.decode("ascii", "replace")] = (start + len(key) + 1, len(rest) - 1)
                start += len(line)


def _opened(folder: PathName, name: str) -> int | None:
    path = os.path.join(folder, name)
    fresh = not os.path.exists(path)
    handle = cache_dir.opened(path, os.O_RDWR | os.O_CREAT | os.O_APPEND)
    if handle is not None and os.fstat(handle).st_size > LARGEST:
        os.ftruncate(handle, 0)
    if fresh:
        cache_dir.tidy(folder, "records")
    return handle


def record_of(fields: Sequence[Any]) -> Record:
    """A record from its JSON lists; raises :class:`TypeError` for anything else."""
    record = Record(*fields)
    return record._replace(
        problems=tuple(_problem(*problem) for problem in record.problems),
        open=tuple(_open_outcome(*one) for one in record.open),
        close=tuple(_open_outcome(*one) for one in record.close),
        approvals={name: _sign_off(*signed) for name, signed in record.approvals.items()},
        shared_values=tuple(_shared_value(*shared) for shared in record.shared_values),
        parts=tuple(_part_note(*note) for note in record.parts),
        figures={key: (value, line) for key, (value, line) in record.figures.items()},
    )


def _problem(rule: str, pointer: str, line: int, column: int, message: str, end: Any) -> Problem:
    return Problem(rule, pointer, line, column, message, None if end is None else tuple(end))


def _sign_off(line: int, column: int, end: Any, fields: Any, file: str) -> SignOff:
    return SignOff(line, column, tuple(end), fields, file)


def _shared_value(name: str, value: Any, line: int, column: int, end: Any) -> SharedValue:
    return SharedValue(name, value, line, column, tuple(end))


def _part_note(line: int, column: int, end: Any, *rest: Any) -> PartNote:
    note = PartNote(line, column, tuple(end), *rest)
    return note._replace(value=_tuples(note.value), catalog_value=_tuples(note.catalog_value))


def _open_outcome(
    outcome: Any, line: int, column: int, end: Any, shown: Any, now: Any, doubts: Any, documents: Any, causes: Any,
    written: Any,
) -> OpenOutcome:  # fmt: skip
    made = Outcome(*outcome)
    made = made._replace(value=_tuples(made.value), limit=_tuples(made.limit), missing=tuple(made.missing))
    now = {name: _tuples(value) for name, value in now.items()}
    return OpenOutcome(
        made, line, column, tuple(end), shown, now, tuple(Doubt(Cause(*cause), closely) for cause, closely in doubts),
        tuple(documents), tuple(map(tuple, causes)), written,
    )  # fmt: skip


def _tuples(value: Any) -> Any:
    return tuple(map(_tuples, value)) if isinstance(value, list) else value

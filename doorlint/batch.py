"""Many specs, reviewed in one fixed order by as many workers as save time."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache as remembered
from typing import TYPE_CHECKING, TypeAlias

from doorlint.cross_spec import CrossSpec, SharedValue
from doorlint.errors import BrokenRules, WrongCall
from doorlint.evaluation import Record, evaluate, evaluate_spec, shortened
from doorlint.file_input import PathName
from doorlint.findings import SpecReview
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.result_cache import ResultCache, key_of
from doorlint.revisions import FolderAt
from doorlint.rulebook.library import Library, load
from doorlint.sign_off_files import with_sign_offs
from doorlint.sources import Source, data_of
from doorlint.spec import Spec, read
from doorlint.spec.problems import Problem
from doorlint.verdict import Policy, present, with_more

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

__all__ = ["Call", "reviews"]

BATCH = 32
"""Files that a worker is given at a time."""
WORKERS_FROM = 300
"""Files from which on more than one worker pays."""
AHEAD = 4
"""Batches for each worker that may be under way at a time; it bounds what is held in memory."""
ELSEWHERE = 64
"""Batches under way at a time where somebody else's executor does not say how many workers it has."""


Reviewed: TypeAlias = tuple[SpecReview, tuple[SharedValue, ...]]
"""A spec reviewed alone, and the values that are compared with other specs."""
Pending: TypeAlias = "deque[Future[list[Reviewed]]]"
"""Batches under way, in their order."""


class Call(NamedTuple):
    """All that a worker has to know beside its files; small, so that it can be sent."""

    houses: tuple[PathName | FolderAt, ...]
    cache: PathName | None
    policy: Policy
    stage: str | None = None
    slips: bool | None = None
    """whether likely slips are searched; ``None``: in one spec that is named, not in a folder or several"""

    def library(self) -> Library:
        """The rules of the run; raises :class:`doorlint.errors.BrokenRules`."""
        return load(self.houses, self.cache)


def reviews(
    sources: Sequence[Source], call: Call, workers: int | None = None, executor: Executor | None = None
) -> Iterator[SpecReview]:
    """Each file reviewed, in the order of ``sources`` whatever the number of workers.

    A file that cannot be read is a result, not an error. ``workers`` is how many processes share the work, by default
    as many as save time; an ``executor`` of the caller replaces them. One spec alone keeps its job, for the
    reports that show how figures were worked out.
    """
    library = call.library()
    if len(sources) == 1:
        yield _alone(sources[0], library, call)
        return
    library.expect(len(sources))
    across = CrossSpec(2 * library.practice["tape"].value)
    for spec, shared_values in _spread(sources, call, workers, executor):
        more = tuple(across.findings(spec, shared_values))
        yield with_more(spec, more, call.policy) if more else spec


def _spread(
    sources: Sequence[Source], call: Call, workers: int | None, executor: Executor | None
) -> Iterator[Reviewed]:
    batches = (sources[start : start + BATCH] for start in range(0, len(sources), BATCH))
    if executor is not None:
        pending: Pending = deque()
        try:
            yield from _ahead(executor, batches, call, ELSEWHERE, pending)
        finally:
            for future in pending:
                future.cancel()
        return
    count = min(workers or _paying(len(sources)), -(-len(sources) // BATCH))
    if count <= 1:
        for batch in batches:
            yield from _batch(batch, call)
        return
    yield from _in_processes(count, batches, call)


def _paying(files: int) -> int:
    """How many workers save time for this number of files on this machine."""
    if files < WORKERS_FROM:
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _in_processes(count: int, batches: Iterable[Sequence[Source]], call: Call) -> Iterator[Reviewed]:
    from concurrent.futures.process import BrokenProcessPool, ProcessPoolExecutor

    pool = ProcessPoolExecutor(count, initializer=_begin_worker)
    try:
        with _signals_held():
            pool.submit(int)  # starts all workers; one half started would be left behind by a signal
        # Nothing is canceled here: the pool's own thread fails on a canceled future that it meets when a worker ends.
        yield from _ahead(pool, batches, call, AHEAD * count, deque())
        pool.shutdown()
    except BrokenProcessPool:
        raise WrongCall("a worker died before it was done; run again, with --workers 1 if it happens again") from None
    finally:
        for worker in list((pool._processes or {}).values()):
            worker.terminate()
        pool.shutdown(wait=False, cancel_futures=True)


@contextmanager
def _signals_held() -> Iterator[None]:
    """Keep signals that ask the process to end until the block is left."""
    import signal

    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGTERM, signal.SIGHUP))
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin_worker() -> None:
    """A worker leaves it to its parent to stop it, and ends when its parent is gone.

    An interrupt from the keyboard reaches them all; what ends a worker alone ends it at once.
    """
    import signal
    import threading

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, (signal.SIGTERM, signal.SIGHUP))
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    from multiprocessing import connection, parent_process

    parent = parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(2)


def _ahead(
    executor: Executor, batches: Iterable[Sequence[Source]], call: Call, most: int, pending: Pending
) -> Iterator[Reviewed]:
    """Batches in their order, with at most ``most`` under way: those are in ``pending``."""
    for batch in batches:
        pending.append(executor.submit(_batch, batch, call))
        if len(pending) >= most:
            yield from pending.popleft().result()
    while pending:
        yield from pending.popleft().result()


def _batch(sources: Sequence[Source], call: Call) -> list[Reviewed]:
    """Some files reviewed: what a worker does.

    First all are read, then all are checked: a processor that does one thing at a time has it at hand, and
    does both a tenth faster.
    """
    library = call.library()
    records = _records(call.cache, library)
    begun = [_begin(source, records, library, call) for source in sources]
    found = [_end(one, library, records, call) for one in begun]
    records.write()
    return found


@remembered
def _records(folder: PathName | None, library: Library) -> ResultCache:
    return ResultCache(folder, library)


class _Begun(NamedTuple):
    """A file that has been read, or whose record was in the cache."""

    source: Source
    record: Record | None
    spec: Spec | None = None
    digest: str = ""
    key: str = ""


def _begin(source: Source, records: ResultCache, library: Library, call: Call) -> _Begun:
    try:
        data = data_of(source)
        whole = hash_of(data)
        key = key_of(whole, call.stage)
        record = records.get(key)
        if record is not None:
            return _Begun(source, record)
        return _Begun(source, None, read(data, library.catalog), shortened(whole), key)
    except Exception as error:  # what one file brings about must not stop the others
        return _Begun(source, _unread(error))


def _end(begun: _Begun, library: Library, records: ResultCache, call: Call) -> Reviewed:
    source, record, spec, short, key = begun
    try:
        if record is None:
            assert spec is not None
            record = evaluate_spec(spec, short, library, call.stage).record
            records.put(key, record)
        record = with_sign_offs(record, source)
        review = present(record, library, call.policy, source.name)
        return _searched(review, source, library, call) if call.slips else review, record.shared_values
    except BrokenRules:
        raise
    except Exception as error:  # likewise
        return present(_unread(error), library, call.policy, source.name), ()


def _searched(review: SpecReview, source: Source, library: Library, call: Call) -> SpecReview:
    """One of many reviews with its likely slips, for which the spec is read again; nothing of it is kept."""
    if review.verdict == "unreadable":
        return review
    _, spec, job = evaluate(data_of(source), library, call.stage)
    return _with_slips(review._replace(spec=spec, job=job), library, call)._replace(spec=None, job=None)


def _alone(source: Source, library: Library, call: Call) -> SpecReview:
    try:
        record, spec, job = evaluate(data_of(source), library, call.stage)
        record = with_sign_offs(record, source)
        review = present(record, library, call.policy, source.name, spec, job)
        wanted = source.named if call.slips is None else call.slips
        return _with_slips(review, library, call) if wanted else review
    except BrokenRules:
        raise
    except Exception as error:
        return present(_unread(error), library, call.policy, source.name)


def _with_slips(review: SpecReview, library: Library, call: Call) -> SpecReview:
    """A review with its likely slips; nothing is searched or loaded where nothing is wrong."""
    if not any(finding.severity != "advisory" for finding in review.findings) and not review.not_checked:
        return review
    from doorlint.remedies.slip_search import with_slips

    return with_slips(review, library, call.policy)


def _unread(error: Exception) -> Record:
    if isinstance(error, OSError):
        problem = Problem("spec.file", "", 1, 1, f"cannot be read: {error.strerror or error}")
    else:
        said = f"{type(error).__name__}: {error}"
        problem = Problem("spec.fault", "", 1, 1, f"doorlint itself failed on it: {said} ({_place(error)})")
    return Record("", None, "us", (problem,), (), (), 0, {}, {})


def _place(error: Exception) -> str:
    """Module and line where an error was raised."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return "" if trace is None else f"{trace.tb_frame.f_globals['__name__']}, line {trace.tb_lineno}"

"""Marking many records, on several processes if there are enough of them; a result comes as soon as it is ready."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import active_children, get_context, parent_process

from grading.report.marked import Marked, Marker, Opened
from scenarios.language import _, choose, chosen

FEWEST = 5
"""Records of one job and seed for which a second process pays: each works out the reference's course anew."""

PATIENCE = 5.0
"""Longest wait for a process that was told to end [s]."""


def mark_all(marker: Marker, records: Sequence[Opened], processes: int) -> Generator[tuple[int, Marked]]:
    """Mark records; yields the index of a record and what came of it, in whatever order they are ready.

    processes: most processes at a time, from 1. What is marked does not depend on it.
    """
    shares = shared_out(records, processes)
    if len(shares) == 1:
        for index in shares[0]:
            yield index, marker.mark(records[index])
    elif shares:
        yield from _on_processes(marker, records, shares)


def shared_out(records: Sequence[Opened], processes: int) -> list[list[int]]:
    """Indices of records for each process: those of one job and seed together, larger groups cut where it pays."""
    groups: dict[tuple[str, int], list[int]] = {}
    for index, record in enumerate(records):
        groups.setdefault((record.job, record.seed), []).append(index)
    most = max(-(-len(records) // processes), FEWEST)
    pieces = [group[k : k + most] for group in groups.values() for k in range(0, len(group), most)]
    shares: list[list[int]] = [[] for _number in range(min(processes, len(pieces)))]
    for piece in sorted(pieces, key=len, reverse=True):
        min(shares, key=len).extend(piece)
    return shares


def _on_processes(marker: Marker, records: Sequence[Opened], shares: list[list[int]]) -> Iterator[tuple[int, Marked]]:
    """A process for each share, which keeps its judge from one record to the next. All end if the caller stops."""
    others = set(active_children())
    pools: list[ProcessPoolExecutor] = []
    futures: dict[Future[Marked], int] = {}
    try:
        for _share in shares:  # before signals are blocked: the first starts Python's resource tracker, which unblocks
            pools.append(ProcessPoolExecutor(1, get_context("spawn"), _begin, (marker, chosen())))
        with _starting():
            for pool, share in zip(pools, shares, strict=True):
                futures |= {pool.submit(_mark, records[index]): index for index in share}
        for future in as_completed(futures):
            index = futures[future]
            try:
                yield index, future.result()
            except BrokenProcessPool:
                yield index, marker.unverified(records[index], _("the process that marked it ended unexpectedly"))
    except BaseException:  # Ctrl+C, or nobody wants the rest
        for pool in pools:
            pool.shutdown(wait=False, cancel_futures=True)
        ours = set(active_children()) - others
        for child in ours:
            child.terminate()
        for child in ours:
            child.join(PATIENCE)
        raise
    finally:
        for pool in pools:
            pool.shutdown()


@contextmanager
def _starting() -> Iterator[None]:
    """Processes started within import nothing from the current folder, and do not hear Ctrl+C."""
    before = os.environ.get("PYTHONSAFEPATH")
    os.environ["PYTHONSAFEPATH"] = "1"  # as -P does for ``tui.presentation.process.child_process``
    try:
        with _unheard():
            yield
    finally:
        if before is None:
            del os.environ["PYTHONSAFEPATH"]
        else:
            os.environ["PYTHONSAFEPATH"] = before


@contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl+C within comes after it here, and never to the processes started within: they inherit what is blocked.

    Ignoring it instead would lose it here as well. Windows cannot block it; there a process that is only starting may
    complain before it ends.
    """
    if sys.platform == "win32":
        yield
        return
    blocked = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, blocked)


class _Child:
    """What a process marks with."""

    marker: Marker


def _begin(marker: Marker, language: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, name="parent", daemon=True).start()
    choose(language)
    _Child.marker = marker


def _end_with_parent() -> None:
    """End as soon as the process that wants the marks is gone: a worker alone would wait for work for ever."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _mark(record: Opened) -> Marked:
    return _Child.marker.mark(record)

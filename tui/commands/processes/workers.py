"""Work spread over processes of its own; a result comes as soon as it is ready, and all end when the caller stops."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import active_children, get_context, parent_process
from typing import Any, TypeVar

from scenarios.language import choose, chosen

Item = TypeVar("Item")
Result = TypeVar("Result")

PATIENCE = 5.0
"""Longest wait for a process that was told to end [s]."""


def on_processes(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    shares: Sequence[Sequence[int]],
    broken: Callable[[Item], Result],
) -> Iterator[tuple[int, Result]]:
    """A process for each share of the items (indices); yields the index of an item and its result.

    work: sent to each process once, so that what it holds is kept there from one item to the next; broken: the result
    of an item whose process ended unexpectedly.
    """
    others = set(active_children())
    pools: list[ProcessPoolExecutor] = []
    futures: dict[Future[Result], int] = {}
    try:
        for _share in shares:  # before signals are blocked: the first starts Python's resource tracker, which unblocks
            pools.append(ProcessPoolExecutor(1, get_context("spawn"), _begin, (work, chosen())))
        with _starting():
            for pool, share in zip(pools, shares, strict=True):
                futures |= {pool.submit(_do, items[index]): index for index in share}
        for future in as_completed(futures):
            index = futures[future]
            try:
                yield index, future.result()
            except BrokenProcessPool:
                yield index, broken(items[index])
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
    """What a process does with its items."""

    work: Callable[[Any], Any]


def _begin(work: Callable[[Any], Any], language: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, name="parent", daemon=True).start()
    choose(language)
    _Child.work = work


def _end_with_parent() -> None:
    """End as soon as the process that wants the results is gone: a worker alone would wait for work for ever."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _do(item: Any) -> Any:
    return _Child.work(item)

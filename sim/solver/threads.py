"""Stepping a large fleet on all processors: blocks of vehicles, each stepped by one of several threads.

Compiled laws release Python's lock, and no vehicle sees another's steps, so the results are the same to the last bit.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from multiprocessing import parent_process

from sim.compile import compiled

BLOCK = 32
"""Vehicles of a block: many enough that handing one out costs nothing beside stepping it, few enough that threads end
at about the same time."""


class _Chosen:
    threads: int | None = None


def use_threads(number: int | None) -> None:
    """Step fleets of this process on a number of threads, from 1; None: as many as there are processors, or one where
    the process is a worker of a pool, whose other workers have the other processors.
    """
    _Chosen.threads = number


def threads_used() -> int:
    """How many threads step a large fleet."""
    if not compiled():  # the laws would hold Python's lock
        return 1
    return _Chosen.threads or _by_default()


@cache
def _by_default() -> int:
    return 1 if parent_process() is not None else os.cpu_count() or 1


@cache
def _pool(threads: int) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(threads, thread_name_prefix="vehicles")


def in_blocks(count: int, step: Callable[[slice], None]) -> None:
    """Call step with slices that together cover count vehicles, on several threads where there are enough of them."""
    others = min(threads_used(), count // BLOCK) - 1
    if others < 1:
        step(slice(0, count))
        return
    blocks = iter([slice(start, min(start + BLOCK, count)) for start in range(0, count, BLOCK)])
    pool = _pool(threads_used() - 1)
    helping = [pool.submit(_take, blocks, step) for _ in range(others)]
    _take(blocks, step)
    for future in helping:
        if not future.cancel():  # one that has not begun finds nothing left to do
            future.result()


def _take(blocks: Iterator[slice], step: Callable[[slice], None]) -> None:
    """Step blocks until none is left: a list's iterator hands each one out once, whichever thread asks."""
    for block in blocks:
        step(block)

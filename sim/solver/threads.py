"""Stepping a large fleet on all processors, in blocks of vehicles.

Compiled laws release the GIL and vehicles are independent, so results are bit-identical to a single thread's.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from multiprocessing import parent_process

from sim.compile import compiled

BLOCK = 32
"""Vehicles per block: large enough that scheduling costs little, small enough that threads finish together."""


class _Chosen:
    threads: int | None = None


def use_threads(number: int | None) -> None:
    """Set the number of threads for fleets of this process, from 1; None: one per processor, or a single one in a
    worker process of a pool, whose siblings use the other processors.
    """
    _Chosen.threads = number


def threads_used() -> int:
    """Number of threads for a large fleet."""
    if not compiled():  # uncompiled laws hold the GIL
        return 1
    return _Chosen.threads or _by_default()


@cache
def _by_default() -> int:
    return 1 if parent_process() is not None else os.cpu_count() or 1


@cache
def _pool(threads: int) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(threads, thread_name_prefix="vehicles")


def in_blocks(count: int, step: Callable[[slice], None]) -> None:
    """Call step with slices that together cover count vehicles, on several threads where the fleet is large enough."""
    others = min(threads_used(), count // BLOCK) - 1
    if others < 1:
        step(slice(0, count))
        return
    blocks = iter([slice(start, min(start + BLOCK, count)) for start in range(0, count, BLOCK)])
    pool = _pool(threads_used() - 1)
    helping = [pool.submit(_take, blocks, step) for _ in range(others)]
    _take(blocks, step)
    for future in helping:
        if not future.cancel():  # a helper that has not started would find no block left
            future.result()


def _take(blocks: Iterator[slice], step: Callable[[slice], None]) -> None:
    """Step blocks until none is left; a list iterator yields each one once across threads."""
    for block in blocks:
        step(block)

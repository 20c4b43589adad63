"""Blocks of vehicles on several threads: all are stepped once, whoever steps them, and an error is not lost."""

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from threading import Event

import pytest

from sim.compile import compiled
from sim.solver.threads import BLOCK, _pool, in_blocks, threads_used, use_threads

pytestmark = pytest.mark.skipif(not compiled(), reason="laws in plain Python are stepped by one thread")


@pytest.fixture(autouse=True)
def two_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.solver.threads._Chosen.threads", 2)


@pytest.mark.parametrize("count", [0, 1, BLOCK, 2 * BLOCK - 1, 2 * BLOCK, 7 * BLOCK + 3])
def test_every_vehicle_is_stepped_once(count: int) -> None:
    stepped: list[int] = []
    in_blocks(count, lambda block: stepped.extend(range(block.start, block.stop)))
    assert sorted(stepped) == list(range(count))


def test_a_small_fleet_stays_whole() -> None:
    blocks: list[slice] = []
    in_blocks(2 * BLOCK - 1, blocks.append)
    assert blocks == [slice(0, 2 * BLOCK - 1)]


def test_an_error_in_any_block_is_raised() -> None:
    def fails(block: slice) -> None:
        if block.start == 3 * BLOCK:
            raise ZeroDivisionError

    for _ in range(20):
        with pytest.raises(ZeroDivisionError):
            in_blocks(4 * BLOCK, fails)


def test_threads_that_are_busy_elsewhere_are_not_waited_for() -> None:
    """As in a child process that was forked: it has the pool, but not its threads."""
    pool, held = _pool(1), Event()
    busy = pool.submit(held.wait)
    stepped: list[int] = []
    in_blocks(2 * BLOCK, lambda block: stepped.append(block.start))
    assert stepped == [0, BLOCK]
    held.set()
    busy.result()


def _in_a_worker() -> int:
    use_threads(None)
    return threads_used()


def test_a_worker_of_a_pool_steps_on_one_thread() -> None:
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        assert pool.submit(_in_a_worker).result() == 1

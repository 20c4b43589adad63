"""Work spread over the machines of a Dask cluster, or over any other executor of ``concurrent.futures``."""

from __future__ import annotations

import argparse
import hashlib
import pickle
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from typing import Any, TypeVar

from scenarios.language import N_, _, choose, chosen, say
from scenarios.wrong_use import WrongUse

Item = TypeVar("Item")
Result = TypeVar("Result")

PATIENCE = 10.0
"""Longest wait for a scheduler to answer [s]."""
OTHER_VERSION = N_("a machine of the cluster has another version of the program, expected this one on all of them")


def add_cluster(parser: argparse.ArgumentParser) -> None:
    """The option that takes the work to a cluster."""
    parser.add_argument(
        "--cluster",
        metavar=_("ADDRESS"),
        help=_("let the machines of a Dask cluster do the work, by its scheduler's address, such as tcp://desk:8786"),
    )


class OtherVersion(Exception):
    """The code that does the work is not the code that asked for it."""


def on_cluster(
    address: str, work: Callable[[Item], Result], items: Sequence[Item], broken: Callable[[Item], Result]
) -> Iterator[tuple[int, Result]]:
    """As ``on_executor``, on the cluster of a scheduler. Raises WrongUse."""
    try:
        from distributed import Client
    except ImportError as error:
        raise WrongUse(_("--cluster needs Dask, expected: pip install 'lukewarm[cluster]'")) from error
    try:
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        told = {"address": address, "reason": error}
        raise WrongUse(say("there is no Dask scheduler at '{address}' ({reason})", **told)) from error
    with client:
        yield from on_executor(client.get_executor(pure=False), work, items, broken)


def on_executor(
    executor: Executor, work: Callable[[Item], Result], items: Sequence[Item], broken: Callable[[Item], Result]
) -> Iterator[tuple[int, Result]]:
    """A task for each item; yields the index of an item and its result, in whatever order they are ready.

    What has not begun is cancelled when the caller stops. work: pickled, and kept by whoever does it from one item to
    the next; broken: the result of an item whose machine was lost. Raises WrongUse where another version would do it.
    """
    from grading.sessions.versions import engine_hash

    whole = pickle.dumps(work)
    key = hashlib.blake2b(whole, digest_size=16).hexdigest()
    futures: dict[Future[Result], int] = {}
    try:
        for index, item in enumerate(items):
            futures[executor.submit(_do, key, whole, item, chosen(), engine_hash())] = index
        for future in as_completed(futures):
            index = futures[future]
            try:
                result = future.result()
            except OtherVersion as error:
                raise WrongUse(_(OTHER_VERSION)) from error
            except Exception:  # whatever a cluster says of a machine that is gone
                result = broken(items[index])
            yield index, result
    finally:
        for future in futures:
            future.cancel()
        executor.shutdown(wait=False)


_mine = threading.local()
"""Work of each thread: it keeps what it computed, which two threads must not share."""


def _do(key: str, whole: bytes, item: Any, language: str, engine: str) -> Any:
    from grading.sessions.versions import engine_hash
    from sim.solver.threads import use_threads

    if engine_hash() != engine:
        raise OtherVersion
    if getattr(_mine, "key", None) != key:
        _mine.work, _mine.key = pickle.loads(whole), key
    choose(language)
    use_threads(1)  # every processor has a task of its own
    return _mine.work(item)

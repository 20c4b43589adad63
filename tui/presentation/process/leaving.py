"""Ending the process at once, except that writing in progress is finished.

A normal exit of the interpreter joins all threads, even if their results are no longer needed, and unloads compiled
code. That took one to three seconds.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import NoReturn

PATIENCE = 20.0
"""Longest wait for unfinished writing [s]; the longest drive takes a fraction of it."""

_change = threading.Condition()
_active: set[object] = set()


@contextmanager
def unbroken() -> Iterator[None]:
    """Context, in any thread, that ``leave`` waits for."""
    token = object()
    with _change:
        _active.add(token)
    try:
        yield
    finally:
        with _change:
            _active.discard(token)
            _change.notify_all()


def leave(status: int) -> NoReturn:
    """End the process as soon as no ``unbroken`` context is active."""
    with _change:
        _change.wait_for(lambda: not _active, PATIENCE)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):  # the terminal is gone
            stream.flush()
    os._exit(status)

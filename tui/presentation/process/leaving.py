"""Leaving the program: at once, with everything written down that was begun.

An interpreter that ends as usual waits for every thread, however long it has still to work out what nobody will read,
and takes compiled laws apart one by one. That kept a person waiting for one to three seconds.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import NoReturn

PATIENCE = 20.0
"""Longest wait for what is being written [s]: the longest drive takes a fraction of it."""

_change = threading.Condition()
_at_work: set[object] = set()


@contextmanager
def unbroken() -> Iterator[None]:
    """What is done within is finished before the program is left, in whichever thread."""
    mine = object()
    with _change:
        _at_work.add(mine)
    try:
        yield
    finally:
        with _change:
            _at_work.discard(mine)
            _change.notify_all()


def leave(status: int) -> NoReturn:
    """End the process as soon as nothing unbroken is at work."""
    with _change:
        _change.wait_for(lambda: not _at_work, PATIENCE)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):  # the terminal is gone
            stream.flush()
    os._exit(status)

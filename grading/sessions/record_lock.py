"""One process at a time on a record: a lock of the operating system on a file beside it.

A process that dies leaves no lock. Who holds it is written beside, for whoever comes second to read; and whoever comes
second may leave a request there, which the holder looks for (``watch_for_requests``).
"""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from scenarios.language import say
from scenarios.wrong_use import WrongUse

if TYPE_CHECKING:
    from filelock import BaseFileLock

LOOKS_EVERY = 0.5
"""Time between two looks for a request [s]."""
PATIENCE = 15.0
"""Longest wait for the holder to let go [s]: it does so between two actions, and the longest takes a few seconds."""


class Holder(NamedTuple):
    """process: its number; since: local time, as "2026-11-30 14:05"; both empty where they cannot be read."""

    process: str
    since: str


class HeldElsewhere(WrongUse):
    """The record is open in another process."""

    def __init__(self, path: Path, holder: Holder) -> None:
        self.path, self.holder = path, holder
        values = {"path": path, "process": holder.process or "?", "since": holder.since or "?"}
        super().__init__(say("the record '{path}' is open elsewhere (process {process}, since {since})", **values))


def _beside(path: Path, what: str) -> Path:
    return path.with_name(f".{path.name}.{what}")


class RecordLock:
    """The lock of one record, held from ``take`` to ``release``."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._lock: BaseFileLock | None = None

    @property
    def held(self) -> bool:
        """Whether this process holds it."""
        return self._lock is not None

    def take(self, ask: bool = False) -> None:
        """Take the lock. ask: where another process holds it, ask that one to let go, and wait for it.

        Raises HeldElsewhere, or WrongUse where files cannot be locked.
        """
        from filelock import FileLock, Timeout  # late: the board does not wait for it

        lock = FileLock(_beside(self.path, "lock"))
        request = _beside(self.path, "request")
        try:
            if ask:
                request.write_text(str(os.getpid()), encoding="utf-8")
            lock.acquire(timeout=PATIENCE if ask else 0.0, poll_interval=0.05)
        except Timeout as error:
            raise HeldElsewhere(self.path, self._holder()) from error
        except (NotImplementedError, OSError) as error:
            values = {"folder": self.path.parent, "reason": error}
            wrong = say("files in '{folder}' cannot be locked ({reason}), expected a folder on a local disk", **values)
            raise WrongUse(wrong) from error
        finally:
            request.unlink(missing_ok=True)
        self._lock = lock
        values = {"process": os.getpid(), "since": f"{datetime.now():%Y-%m-%d %H:%M}"}
        with suppress(OSError):
            _beside(self.path, "holder").write_text(json.dumps(values), encoding="utf-8", newline="\n")

    def _holder(self) -> Holder:
        try:
            values = json.loads(_beside(self.path, "holder").read_text(encoding="utf-8"))
            return Holder(str(int(values["process"])), str(values["since"])[:16])
        except (OSError, ValueError, TypeError, KeyError):
            return Holder("", "")

    @property
    def requested(self) -> bool:
        """Whether another process asks for the record."""
        return _beside(self.path, "request").exists()

    def release(self) -> None:
        """Let go."""
        if self._lock is not None:
            with suppress(OSError):
                _beside(self.path, "holder").unlink(missing_ok=True)
            self._lock.release()
            self._lock = None


def watch_for_requests(lock: RecordLock, let_go: Callable[[], None]) -> None:
    """Call let_go, in a thread of its own, once another process asks for a record that this one holds."""

    def look() -> None:
        while lock.held:
            if lock.requested:
                let_go()
                return
            time.sleep(LOOKS_EVERY)

    threading.Thread(target=look, name="requests for the record", daemon=True).start()

"""``python -m tui.presentation.process.mark_ahead FILE`` follows a record and marks it when asked.

The other side is ``tui.presentation.marking.marks_ahead``: it writes one line with a language when the keys are handed
back, and reads pickles from standard output until one is the ``GradedRecord`` or a text that says what is wrong;
numbers before it are the share done.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
import time
from pathlib import Path
from typing import NoReturn

from grading.marks.rubric import load_rubric
from grading.sessions.made_with import catalogue_of, with_drawn
from grading.sessions.record import parse_record, read_bytes
from grading.sessions.verification import CannotReplay
from scenarios.files.data_error import DataError
from scenarios.files.own_folders import catalogue_in_use
from scenarios.language import choose
from scenarios.physics_failure import PhysicsFailed
from scenarios.wrong_use import WrongUse
from sim.solver.threads import use_threads
from tui.presentation.marking.graded_record import graded_record
from tui.presentation.marking.prepared_marks import PreparedMarks

BEHIND = 15
"""Niceness, where systems know it."""
WAITS = 0.5
"""Time between two looks at the record [s]."""


class _Asked(Exception):
    """The marks are wanted now."""


class MarkAhead:
    """Follows one record."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.catalogue = catalogue_in_use()
        self.prepared: PreparedMarks | None = None
        self.language = "en"
        self.asked = threading.Event()
        self._seen = b""
        self._sent = 0.0

    def listen(self) -> None:
        """Wait for the request; end the process with the program that started it."""
        line = sys.stdin.readline()
        if not line:
            os._exit(0)
        self.language = line.strip()
        self.asked.set()
        sys.stdin.read()
        os._exit(0)

    def follow(self) -> None:
        """Go through the record as it grows until the marks are asked for."""
        while not self.asked.is_set():
            try:
                self._look()
            except _Asked:
                return
            except (DataError, CannotReplay, PhysicsFailed, OSError):
                pass  # a line half written, or what is found and told when it is marked
            self.asked.wait(WAITS)

    def _look(self) -> None:
        whole = read_bytes(self.path)
        if whole == self._seen:
            return
        entries = parse_record(whole, self.path)
        if self.prepared is None:
            known = catalogue_of(with_drawn(self.catalogue, str(entries[0].data["job"])), entries)
            self.prepared = PreparedMarks(known, entries[0], load_rubric())
        self.prepared.follow(entries, self._unless_asked)
        self._seen = whole

    def _unless_asked(self, share: float) -> None:
        if self.asked.is_set():
            raise _Asked

    def mark(self) -> None:
        """Mark the record and send the marks."""
        choose(self.language)
        try:
            whole = read_bytes(self.path)
            self._send(graded_record(self.catalogue, whole, self.path, self._tell, prepared=self.prepared).complete())
        except (DataError, WrongUse) as error:
            self._send(str(error))

    def _tell(self, share: float) -> None:
        if time.monotonic() > self._sent + 0.1:
            self._send(share)

    def _send(self, what: object) -> None:
        pickle.dump(what, sys.stdout.buffer, protocol=pickle.HIGHEST_PROTOCOL)
        sys.stdout.buffer.flush()
        self._sent = time.monotonic()


def main() -> NoReturn:
    """Follow the record of the command line."""
    if hasattr(os, "nice"):
        os.nice(BEHIND)
    use_threads(1)  # the other processors are the person's
    ahead = MarkAhead(Path(sys.argv[1]))
    threading.Thread(target=ahead.listen, daemon=True).start()
    ahead.follow()
    use_threads(None)
    ahead.mark()
    os._exit(0)


if __name__ == "__main__":
    main()

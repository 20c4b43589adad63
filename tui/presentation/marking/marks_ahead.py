"""The marks of an open job, worked out in a process of their own at low priority while the job goes on."""

from __future__ import annotations

import pickle
import subprocess
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, cast

from scenarios.language import chosen
from scenarios.wrong_use import WrongUse
from tui.presentation.process.child_process import module_command

if TYPE_CHECKING:
    from tui.presentation.marking.graded_record import GradedRecord


class NotFollowed(Exception):
    """The process ended without marks: the record has to be marked here."""


class CannotMark(WrongUse):
    """The record cannot be marked; the text says why, in the language chosen."""


class MarksAhead:
    """The process that follows one record."""

    def __init__(self, path: Path) -> None:
        """Start it; path: of the record."""
        self.path = path
        behind = getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0)  # Windows alone
        self._process = subprocess.Popen(
            [*module_command("tui.presentation.process.mark_ahead"), str(path.absolute())],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            creationflags=behind,
        )

    def graded(self, progress: Callable[[float], None]) -> GradedRecord:
        """Have the record marked, which must be handed back.

        progress: called with 0..1, may raise to abort. Raises CannotMark, and NotFollowed where the process ended.
        """
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        try:
            self._process.stdin.write(f"{chosen()}\n".encode())
            self._process.stdin.flush()
            while True:
                told = pickle.load(self._process.stdout)
                if isinstance(told, str):
                    raise CannotMark(told)
                if not isinstance(told, float):
                    return cast("GradedRecord", told)
                progress(told)
        except (OSError, EOFError, ValueError, pickle.UnpicklingError) as error:
            raise NotFollowed from error
        finally:
            self.close()

    def close(self) -> None:
        """End the process, wherever it is."""
        self._process.kill()
        for stream in (self._process.stdin, self._process.stdout):
            with suppress(OSError):
                if stream is not None:
                    stream.close()
        self._process.wait()


def graded_ahead(ahead: MarksAhead | None, path: Path | None, progress: Callable[[float], None]) -> GradedRecord | None:
    """The marks of a record by the process that followed it, None where there is none or it ended.

    path: of the record; progress: as ``MarksAhead.graded``. Raises CannotMark.
    """
    if ahead is None or ahead.path != path:
        return None
    try:
        return ahead.graded(progress)
    except NotFollowed:
        return None

"""Marking a record: in a thread, with how far it is, and a way out."""

from __future__ import annotations

import threading
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Center, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import ProgressBar

from grading.sessions.record import RecordEntry, as_bytes, read_bytes
from scenarios.files.data_error import DataError
from scenarios.language import N_, _
from scenarios.wrong_use import WrongUse
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.show import words
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.paper import Paper
from tui.presentation.clean import clean
from tui.presentation.marking.marks_ahead import graded_ahead

if TYPE_CHECKING:
    from scenarios.model import Catalogue
    from tui.presentation.marking.graded_record import GradedRecord


WAITS = 0.5
"""Time between two looks at how far the compiler is [s]."""


class _Stopped(Exception):
    """The person would rather not wait."""


class Marking(Spoken, Screen[None]):
    """Marks a record and goes on to its debrief."""

    HELP = N_("""The job is done again by the same physics on thousands of possible vehicles, to see what your readings
could tell. Escape stops that; the record is kept, and can be marked later from the board.""")

    DEFAULT_CSS = """
    Marking { align: center middle; }
    Marking Vertical { width: 60; height: auto; }
    Marking Paper { margin-bottom: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "stop", "Stop, mark it later", key_display="Esc")]

    def __init__(self, entries: list[RecordEntry], path: Path | None) -> None:
        """entries: of a record that is kept in memory; path: of one that is kept in a file, which is read."""
        super().__init__()
        self.entries, self.path = list(entries), path
        self.failed = ""
        self._stop = threading.Event()

    def compose(self) -> ComposeResult:
        """What goes on."""
        with Vertical():
            yield Paper(id="back")
            yield Paper(id="state")
            with Center():
                yield ProgressBar(total=1.0, show_eta=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Begin."""
        if not self.ending:
            self.redraw()
            self.mark()

    def redraw(self) -> None:
        """Say what goes on."""
        self.query_one("#back", Paper).write(Content.styled(_("The keys are handed back."), "bold $primary"))
        state = self.failed or _("Replaying the job on every vehicle that it could have been …")
        if not program(self).physics.compiled.is_set():
            state = program(self).physics.compiling + " " + _("Marking begins after that.")
        self.query_one("#state", Paper).write(words(state))

    def _tell(self, share: float) -> None:
        if self._stop.is_set():
            raise _Stopped
        self.app.call_from_thread(self.query_one(ProgressBar).update, progress=share)

    @work(thread=True, exclusive=True)
    def mark(self) -> None:
        """Mark it beside the screen."""
        catalogue, physics = program(self).catalogue, program(self).physics
        while not physics.compiled.wait(WAITS):
            if self._stop.is_set():
                return
            self.app.call_from_thread(self.redraw)
        self.app.call_from_thread(self.redraw)
        try:
            graded = graded_ahead(program(self).marks_ahead, self.path, self._tell) or self._marked(catalogue)
        except _Stopped:
            return
        except (DataError, WrongUse) as error:
            self.app.call_from_thread(self._fail, str(error))
            return
        if not self._stop.is_set():
            self.app.call_from_thread(self._show, graded)

    def _marked(self, catalogue: Catalogue) -> GradedRecord:
        from tui.presentation.marking.graded_record import graded_record

        if self._stop.is_set():
            raise _Stopped
        whole = as_bytes(self.entries) if self.path is None else read_bytes(self.path)
        return graded_record(catalogue, whole, self.path or Path("record"), self._tell).complete()

    def _fail(self, text: str) -> None:
        self.failed = text
        self.redraw()

    def _show(self, graded: GradedRecord) -> None:
        from tui.app.screens.debrief import Debrief

        if self.app.screen is not self:  # help is read, or the terminal is too small: it comes after that
            self.set_timer(0.2, partial(self._show, graded))
            return
        for remark in graded.remarks():
            self.notify(clean(remark), severity="warning", markup=False)
        self.app.switch_screen(
            Debrief(graded.entries, graded.grade, graded.sections, graded.course, graded.ways, graded.sound)
        )

    def action_stop(self) -> None:
        """Back to the board."""
        self._stop.set()
        program(self).mark_ahead(None)
        self.notify(_("Not marked. The record is kept."))
        self.dismiss(None)

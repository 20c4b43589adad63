"""The job board: vehicles that wait, with their keys."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer

from grading.sessions.modes import MODES
from scenarios.files.data_error import DataError
from scenarios.language import N_, _, say, speak_of
from scenarios.wrong_use import WrongUse
from tui.app.board_contents import NEXT, OF_DAY, BoardContents, is_drawn
from tui.app.notices import Notice, notices_of
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.mode_line import ModeLine
from tui.app.widgets.paper import Paper
from tui.app.widgets.rows import Rows
from tui.presentation.clean import clean

if TYPE_CHECKING:  # else only once the board is seen: a program is waited for
    from grading.sessions.records import Kept
    from scenarios.model import Job
    from tui.presentation.between_jobs.offered import Offered
    from tui.presentation.between_jobs.progress import Progress

_LETTERS = (*(("$secondary", letter) for letter in "luke"), *(("$accent", letter) for letter in "warm"))


class Jobs(Rows):
    """The jobs."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Take the key", key_display="Enter")]


class Board(Spoken, Screen[None]):
    """Jobs to the left, what is known of the one at the cursor to the right."""

    HELP = N_("""Choose a vehicle and take its key. For you, at the top, are the job to do next, what you took for
something else and is due again, and the vehicle of the day. V draws another one, new each time. A job that was begun
goes on where it was left; N starts it afresh, with another vehicle of the same kind and the same complaint; A puts it
away, given up for good. M chooses how the next job is sat: guided gives hints when you ask for them, free leaves you
alone, an exam does so against the clock.""")

    DEFAULT_CSS = """
    Board { layout: grid; grid-size: 2; grid-columns: 43% 1fr; grid-rows: 3 1fr auto; }
    Board #masthead { column-span: 2; padding: 1 2 0 2; background: $panel; }
    Board #jobs { row-span: 2; padding: 1 0 0 2; }
    Board #job { border-left: vkey $panel; padding: 1 2 0 2; }
    Board ModeLine { border-left: vkey $panel; padding: 1 2 0 2; }
    Board #physics { dock: bottom; margin-bottom: 1; height: auto; max-height: 3; padding: 0 2; color: $secondary; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "afresh", "Start afresh", show=False),
        Binding("a", "put_away", "Put away a job that was begun", show=False),
        Binding("m", "next_mode", "Mode: guided, free, exam", show=False),
        Binding("v", "another_vehicle", "Draw another"),
        Binding("p", "progress", "Progress"),
        Binding("q", "app.quit", "Quit"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.contents: BoardContents | None = None
        self.progress: Progress | None = None
        self.waiting: Timer | None = None
        self.seen = False

    @property
    def board(self) -> BoardContents:
        """What is shown."""
        self.contents = self.contents or BoardContents(program(self).shelf.notices)
        return self.contents

    def compose(self) -> ComposeResult:
        """Masthead, jobs, the job, how far the physics is: all there is to show, so that it is laid out once."""
        jobs, modes = Jobs(id="jobs"), ModeLine()
        jobs.show_rows(self.board.rows())
        modes.chosen = program(self).mode
        yield Paper(_masthead(), id="masthead")
        yield jobs
        with VerticalScroll(id="job", can_focus=False):
            yield Paper(self.board.card(jobs.current, program(self).units), id="card")
        yield modes
        yield Paper(program(self).physics.state, id="physics")
        yield KeyLine()

    def on_mount(self) -> None:
        """Look at the physics until it is ready."""
        self.query_one(Rows).focus()
        self.waiting = self.set_interval(0.5, self._look_at_physics)

    def on_screen_resume(self, event: events.ScreenResume) -> None:
        """What was done meanwhile shows, in nobody's own words."""
        speak_of({})
        if self.seen:
            self.call_after_refresh(self.read_records)
        else:
            event.refresh_styles = False  # they have just been found

    @work(thread=True, exclusive=True, group="records")
    def read_records(self) -> None:
        """Read the records beside the screen."""
        from grading.sessions.records import kept_records
        from tui.presentation.between_jobs.numbers import today
        from tui.presentation.between_jobs.offered import offered
        from tui.presentation.between_jobs.progress import progress_of

        catalogue, kept = program(self).catalogue, kept_records()
        progress = progress_of(catalogue, kept)
        self.app.call_from_thread(self._know, kept, progress, offered(catalogue, progress, kept, today()))

    def _know(self, kept: list[Kept], progress: Progress, given: Offered) -> None:
        if self.ending:
            return
        first, rows, board = self.progress is None, self.query_one(Rows), self.board
        changed, self.progress = (kept, given) != (board.kept, board.offered), progress
        board.kept, board.offered = kept, given
        for job in given.drawn.values():
            self._add_notice(job)
        before, untouched = rows.current or "", rows.at_the_top
        if changed:  # to draw it all again takes as long as to draw it
            self.redraw()
        begun = next((record.job for record in kept if record.open), None)
        if first and begun is not None and untouched:
            rows.move_to(begun)  # who opens the program goes on where it was left
        elif rows.current != before and not first:
            rows.move_to(before.removeprefix(NEXT))  # what was offered is not any more, the job stands below

    def _add_notice(self, job: Job) -> None:
        catalogue = program(self).catalogue
        board = self.board
        board.notices[job.id] = notices_of(replace(catalogue, jobs={job.id: job}))[job.id]

    def _look_at_physics(self) -> None:
        self.query_one("#physics", Paper).write(Content(program(self).physics.state))
        if program(self).physics.compiled.is_set() and self.waiting is not None:
            self.waiting.stop()  # what does not change need not be looked at
            self.waiting = None

    def redraw(self) -> None:
        """Draw the masthead, the rows and the card."""
        self.query_one("#masthead", Paper).write(_masthead())
        self.query_one(Rows).show_rows(self.board.rows())
        self._show_job()
        self.query_one(ModeLine).chosen = program(self).mode
        self._look_at_physics()

    @property
    def job(self) -> Notice | None:
        """The job at the cursor."""
        return self.board.notice_of(self.query_one(Rows).current)

    @on(Rows.OptionHighlighted)
    def _row_chosen(self) -> None:
        self._show_job()
        if not self.seen:
            self.seen = True
            self.call_after_refresh(program(self).once_seen)
            self.call_after_refresh(self.read_records)

    def _show_job(self) -> None:
        card = self.board.card(self.query_one(Rows).current, program(self).units)
        self.query_one("#card", Paper).write(card)

    @on(Rows.OptionSelected)
    def action_open(self) -> None:
        """Go on with a job that was begun, or begin it; draw its vehicle first where it is not there yet."""
        row, job = self.query_one(Rows).current, self.job
        due = self.board.due_of(row)
        if job is not None:
            program(self).open_job(job.id, self.board.open_record(job.id), self._seed(job))
        elif row == OF_DAY and self.board.offered is not None:
            self._draw(self.board.offered.of_day)
        elif due is not None:
            from tui.presentation.between_jobs.another_vehicle import next_number

            self._draw(next_number(program(self).catalogue, due.word, self._opened()))

    def action_afresh(self) -> None:
        """Begin a job, whatever was begun before."""
        job = self.job
        if job and any(kept.sealed for kept in self.board.records(job.id)):
            self.notify(_("An exam of this job is not handed in: Enter goes on with it."), severity="warning")
        elif job:
            program(self).open_job(job.id, None, self._seed(job))

    def _opened(self) -> set[str]:
        """Ids of jobs that have records."""
        return {kept.job for kept in self.board.kept}

    def action_another_vehicle(self) -> None:
        """Choose what a vehicle is drawn for, draw it and take its key."""
        from tui.app.screens.another_vehicle import AnotherVehicle
        from tui.presentation.between_jobs.another_vehicle import choices

        given = choices(program(self).catalogue, self.board.kept)
        self.app.push_screen(AnotherVehicle(given, self._opened()), self.take_drawn)

    def _draw(self, number: str) -> None:
        """Draw the vehicle of a number and take its key."""
        from tui.app.screens.draw_vehicle import by_number, draw_and_open

        draw_and_open(program(self), by_number(number))

    def take_drawn(self, name: str | None) -> None:
        """Take the key of a job that was drawn, by its id, None for none."""
        if name is None:
            return
        try:
            job = program(self).catalogue_with(name).jobs[name]
        except DataError as error:  # drawn by a version with other faults, or changed since
            self.notify(clean(str(error)), severity="error", timeout=15.0, markup=False)
            return
        self._add_notice(job)
        self.redraw()
        self.query_one(Rows).move_to(name)
        program(self).open_job(name, self.board.open_record(name), 1)

    def action_put_away(self) -> None:
        """Ask, then give up the job that was begun."""
        job = self.job
        begun = self.board.open_record(job.id) if job else None
        if job is None or begun is None:
            return
        if begun.mode.exam:
            self.notify(_("An exam is handed in, not put away."), severity="warning", markup=False)
            return

        def put_away(sure: bool | None) -> None:
            from grading.sessions.openings import give_up

            if not sure:
                return
            try:
                give_up(begun.path)
            except (DataError, WrongUse) as error:
                self.notify(clean(str(error)), severity="error", timeout=15.0, markup=False)
            self.read_records()

        from tui.app.screens.confirm import Confirm

        asks = say("Give up: {job}?", job=_(job.title))
        why = _("The record is put away: it cannot be gone on with, and counts neither for nor against you.")
        self.app.push_screen(Confirm(asks, why, N_("put it away"), N_("keep it")), put_away)

    def _seed(self, job: Notice) -> int:
        """Which vehicle of its kind; a number stands for one vehicle alone."""
        return 1 if is_drawn(job.id) else len(self.board.records(job.id)) + 1

    def action_next_mode(self) -> None:
        """The next way to sit a job."""
        names = list(MODES)
        self._use_mode(names[(names.index(program(self).mode) + 1) % len(names)])

    @on(ModeLine.Chosen)
    def _mode_chosen(self, event: ModeLine.Chosen) -> None:
        self._use_mode(event.mode)

    def _use_mode(self, name: str) -> None:
        program(self).use_mode(name)
        self.query_one(ModeLine).chosen = name

    def action_progress(self) -> None:
        """How one gets on so far."""
        from tui.app.screens.progress import ProgressScreen

        def take(job: str | None) -> None:
            if job is not None:
                self.query_one(Rows).move_to(NEXT + job)
                self.action_open()

        if self.progress is not None:
            self.app.push_screen(ProgressScreen(self.progress, self.board.kept), take)


def _masthead() -> Content:
    letters = [(f"{letter} ", f"bold {colour}") for colour, letter in _LETTERS]
    told = ("   " + _("vehicles whose cabin will not get warm") + "   ", "$secondary")
    return Content.assemble(*letters, told, ("/", "bold $primary"), (" " + _("find"), "$secondary"))

"""The job board: vehicles that wait, with their keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer

from grading.sessions.modes import MODES, now
from scenarios.files.data_error import DataError
from scenarios.language import N_, _, say, speak_of
from scenarios.wrong_use import WrongUse
from tui.app.notices import Notice, notices_of
from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.show import lines, words
from tui.app.widgets.key_line import KeyLine
from tui.app.widgets.mode_line import ModeLine
from tui.app.widgets.paper import Paper
from tui.app.widgets.rows import Row, Rows
from tui.presentation.clean import clean
from tui.presentation.units import temperature

if TYPE_CHECKING:  # else only once the board is seen: a program is waited for
    from grading.sessions.records import Kept
    from tui.presentation.progress import Progress

_LETTERS = (*(("$secondary", letter) for letter in "luke"), *(("$accent", letter) for letter in "warm"))


class Jobs(Rows):
    """The jobs."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Take the key", key_display="Enter")]


class Board(Spoken, Screen[None]):
    """Jobs to the left, what is known of the one at the cursor to the right."""

    HELP = N_("""Choose a vehicle and take its key. V draws another one, new each time. A job that was begun goes on
where it was left; N starts it afresh, with another vehicle of the same kind and the same complaint; A puts it away,
given up for good. M chooses how the next job is sat: guided gives hints when you ask for them, free leaves you alone,
an exam does so against the clock.""")

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
        self.kept: list[Kept] = []
        self.progress: Progress | None = None
        self.waiting: Timer | None = None
        self.seen = False

    def compose(self) -> ComposeResult:
        """Masthead, jobs, the job, how far the physics is: all there is to show, so that it is laid out once."""
        jobs, modes = Jobs(id="jobs"), ModeLine()
        jobs.show_rows(self._rows())
        modes.chosen = program(self).mode
        yield Paper(_masthead(), id="masthead")
        yield jobs
        with VerticalScroll(id="job", can_focus=False):
            yield Paper(self._card(program(self).shelf.notices.get(jobs.current or "")), id="card")
        yield modes
        yield Paper(self._physics(), id="physics")
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
        from tui.presentation.progress import progress_of

        kept = kept_records()
        self.app.call_from_thread(self._know, kept, progress_of(program(self).catalogue, kept))

    def _know(self, kept: list[Kept], progress: Progress) -> None:
        first, rows = self.progress is None, self.query_one(Rows)
        changed, self.kept, self.progress = kept != self.kept, kept, progress
        if changed:  # to draw it all again takes as long as to draw it
            self.redraw()
        begun = next((record.job for record in kept if record.open), None)
        if first and begun is not None and rows.highlighted == 0:  # who opens the program goes on where it was left
            rows.move_to(begun)

    def _physics(self) -> Content:
        state = [Content(program(self).physics.state)]
        if self.progress and self.progress.next_job and self.progress.handed_back:
            from tui.presentation.progress import next_in_words

            state.insert(0, words(next_in_words(program(self).catalogue, self.progress)))
        return lines(*state)

    def _look_at_physics(self) -> None:
        self.query_one("#physics", Paper).write(self._physics())
        if program(self).physics.compiled.is_set() and self.waiting is not None:
            self.waiting.stop()  # what does not change need not be looked at
            self.waiting = None

    def redraw(self) -> None:
        """Draw the masthead, the rows and the card."""
        self.query_one("#masthead", Paper).write(_masthead())
        self.query_one(Rows).show_rows(self._rows())
        self._show_job()
        self.query_one(ModeLine).chosen = program(self).mode
        self._look_at_physics()

    def _records(self, job: Notice) -> list[Kept]:
        return [kept for kept in self.kept if kept.job == job.id]

    def _open_record(self, job: Notice) -> Kept | None:
        return next((kept for kept in self._records(job) if kept.open), None)

    def _best(self, job: Notice) -> Kept | None:
        marked = [kept for kept in self._records(job) if kept.grade]
        return max(marked, key=lambda kept: (kept.passed, kept.total), default=None)

    def _rows(self) -> list[Row]:
        return [self._row(job) for job in program(self).shelf.notices.values()]

    def _row(self, job: Notice) -> Row:
        best = self._best(job)
        if self._open_record(job):
            sign, state = "◐", _("begun")
        elif best:
            sign, state = ("●" if best.passed else "◌"), f"{best.total:.0f}"
        else:
            sign, state = "○", _("new")
        hard = "▪" * job.difficulty + "▫" * (5 - job.difficulty)
        return Row(
            job.id,
            Content.assemble((f"{sign} ", "$primary"), words(_(job.title))),
            Content.assemble(state, " ", (hard, "$secondary")),
            also=clean(f"{_(job.vehicle)} {_(job.customer)} {_(job.complaint)}"),
        )

    @property
    def job(self) -> Notice | None:
        """The job at the cursor."""
        return program(self).shelf.notices.get(self.query_one(Rows).current or "")

    @on(Rows.OptionHighlighted)
    def _row_chosen(self) -> None:
        self._show_job()
        if not self.seen:
            self.seen = True
            self.call_after_refresh(program(self).once_seen)
            self.call_after_refresh(self.read_records)

    def _show_job(self) -> None:
        self.query_one("#card", Paper).write(self._card(self.job))

    def _card(self, job: Notice | None) -> Content:
        """What is known of a job."""
        if job is None:
            return Content()
        units = program(self).units
        best, begun = self._best(job), self._open_record(job)
        told = [
            words(_(job.title), units, "bold $primary"),
            words(
                say(
                    "{customer}, {km:,.0f} km, {temperature} outside",
                    customer=_(job.customer),
                    km=job.mileage_km,
                    temperature=temperature(job.ambient_C, units),
                ),
                units,
            ),
            Content(),
            words(say("“{words}”", words=_(job.complaint)), units, "italic"),
            Content(),
            words(f"{_(job.vehicle)}. {_(job.about)}", units),
        ]
        told += [Content(), words(_(job.history), units)] if job.history else []
        told += [Content(), words(say("Difficulty {difficulty} of 5", difficulty=job.difficulty), units, "$secondary")]
        if best:
            from tui.presentation.progress import result

            told.append(words(say("Your best: {result}", result=result(best)), units, "$secondary"))
        if begun:
            told.append(Content.styled(_begun(begun), "bold"))
        return lines(*told)

    @on(Rows.OptionSelected)
    def action_open(self) -> None:
        """Go on with a job that was begun, or begin it."""
        job = self.job
        if job:
            program(self).open_job(job.id, self._open_record(job), self._seed(job))

    def action_afresh(self) -> None:
        """Begin a job, whatever was begun before."""
        job = self.job
        if job and any(kept.sealed for kept in self._records(job)):
            self.notify(_("An exam of this job is not handed in: Enter goes on with it."), severity="warning")
        elif job:
            program(self).open_job(job.id, None, self._seed(job))

    def action_another_vehicle(self) -> None:
        """Draw a vehicle and take its key."""
        from dataclasses import replace

        from tui.app.screens.another_vehicle import AnotherVehicle

        def take(name: str | None) -> None:
            if name is None:
                return
            catalogue = program(self).catalogue_with(name)
            program(self).shelf.notices[name] = notices_of(replace(catalogue, jobs={name: catalogue.jobs[name]}))[name]
            self.redraw()
            self.query_one(Rows).move_to(name)
            self.action_open()

        self.app.push_screen(AnotherVehicle({kept.job for kept in self.kept}), take)

    def action_put_away(self) -> None:
        """Ask, then give up the job that was begun."""
        job = self.job
        begun = self._open_record(job) if job else None
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
        return len(self._records(job)) + 1

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
                self.query_one(Rows).move_to(job)
                self.action_open()

        if self.progress is not None:
            self.app.push_screen(ProgressScreen(self.progress, self.kept), take)


def _masthead() -> Content:
    letters = [(f"{letter} ", f"bold {colour}") for colour, letter in _LETTERS]
    told = ("   " + _("vehicles whose cabin will not get warm") + "   ", "$secondary")
    return Content.assemble(*letters, told, ("/", "bold $primary"), (" " + _("find"), "$secondary"))


def _begun(kept: Kept) -> str:
    mode = kept.mode
    if not mode.exam:
        return say("Begun, {mode}: Enter goes on, N starts afresh, A puts it away", mode=_(mode.name))
    left = max(mode.left(now()), 0.0) / 60.0
    if left:
        return say("Begun as an exam, {left:.0f} min left: Enter goes on", left=left)
    return _("An exam whose time is up: Enter hands it in")

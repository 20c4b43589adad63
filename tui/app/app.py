"""The terminal program: one application, its settings, and the way from screen to screen."""

from __future__ import annotations

import asyncio
import gc
import os
import sys
import time
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.geometry import Size
from textual.screen import Screen

from grading.sessions.modes import EXAM
from scenarios.files.data_error import DataError
from scenarios.language import LANGUAGES, _, chosen, preferred, say
from scenarios.wrong_use import WrongUse
from tui.app.notices import Shelf
from tui.app.redrawn import Redrawn
from tui.app.screens.board import Board
from tui.app.screens.spoken import Spoken
from tui.app.screens.too_small import HEIGHT, WIDTH, TooSmall
from tui.app.theme import NO_COLOUR, OFFERED, OWN
from tui.app.warm_up import Physics
from tui.presentation.clean import clean
from tui.presentation.process.console import speak
from tui.presentation.process.leaving import leave
from tui.presentation.settings import Settings, load_settings, save_settings
from tui.presentation.units import Units

if TYPE_CHECKING:
    from textual.command import Provider

    from grading.sessions.records import Kept
    from scenarios.model import Catalogue
    from tui.presentation.marking.marks_ahead import MarksAhead

PATIENCE = 0.001
"""Time that a thread waits for another to let it on [s], Python's own being 0.005: the one that writes to the terminal
waits for the one that already works out what is to be drawn next."""


def _everything() -> type[Provider]:
    """What the palette offers, loaded when it is first asked for."""
    from tui.app.palette import Everything

    return Everything


class Lukewarm(App[Any]):
    """Job board, workshop, debrief. ``pace``: how much faster than its own speed a film is played; 0 not at all."""

    TITLE = "lukewarm"
    COMMANDS: ClassVar[set[Any]] = {_everything}
    CSS = """
    App:ansi .option-list--option-highlighted { background: ansi_default; color: ansi_default; text-style: bold; }
    App:ansi Slip { background: transparent; }
    .heading { text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark", "help", "Help", key_display="?"),
        Binding("ctrl+p", "command_palette", "Commands", key_display="^p", priority=True),
        Binding("ctrl+t", "next_theme", "Theme", show=False),
        Binding("ctrl+l", "next_language", "Language", show=False),
        Binding("f", "units", "°C or °F", show=False),
        Binding("ctrl+q", "quit", "Quit", show=False, priority=True),
    ]

    def __init__(
        self,
        shelf: Shelf,
        physics: Physics | None = None,
        settings: Settings | None = None,
        candidate: str | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """candidate: who works here, for the records of jobs that are begun; None where nobody asked; clock: gives
        the time [s] by which a question that comes up ignores keys at first.
        """
        no_colour = "NO_COLOR" in os.environ
        super().__init__(ansi_color=True if no_colour else None)
        self.shelf, self.candidate, self.clock = shelf, candidate, clock
        self.physics = physics or Physics()
        self.marks_ahead: MarksAhead | None = None
        """What prepares the marks of the open job."""
        kept = settings or load_settings()
        self.units: Units = kept.units
        self.mode = kept.mode
        self.language = kept.language
        for theme in OWN:
            self.register_theme(theme)
        self.theme = NO_COLOUR if no_colour else (kept.theme if kept.theme in OFFERED else OFFERED[0])
        self._opening = True
        self.may_move = self.animation_level != "none"
        self.animation = kept.animation
        self._move()

    def get_default_screen(self) -> Screen[None]:
        """The job board, below everything."""
        return Board()

    def refresh_css(self, animate: bool = True) -> None:
        """Textual's own; before anything is styled only the colours of the theme are taken over."""
        if self.screen_stack:
            super().refresh_css(animate)
        else:
            self.stylesheet.set_variables(self.get_css_variables())

    def on_mount(self) -> None:
        """The physics gets ready once the board is seen."""
        self._mind_the_room(self.size)

    def once_seen(self) -> None:
        """Begin what the first picture did not wait for."""
        gc.enable()
        self.physics.begin()
        if self.physics.plain:
            switching = self.set_interval(0.2, lambda: self.physics.switch_if_loaded() and switching.stop())

    async def on_event(self, event: events.Event) -> None:
        """Textual's own; a key that a question on the screen ignores goes nowhere."""
        if isinstance(event, events.Key) and not event.is_forwarded and self.screen_stack:
            ignores = getattr(self.screen, "ignores", None)
            if ignores is not None and ignores(event):
                return
        await super().on_event(event)

    async def action_quit(self) -> None:
        """Leave; what is being typed is kept."""
        self.keep_typed()
        await super().action_quit()

    def keep_typed(self) -> None:
        """Keep what is typed into a question that is open."""
        for screen in self.screen_stack:
            keep = getattr(screen, "keep_typed", None)
            if keep is not None:
                keep()

    def on_app_blur(self, event: events.AppBlur) -> None:
        """Take a tab that opens for the one looked at.

        Textual's driver says first that it is not, and may be heard only after the page has said that it is.
        """
        if self.is_web and self._opening:
            event.prevent_default()
        self._opening = False

    def on_resize(self, event: events.Resize) -> None:
        """Say so while there is no room to work."""
        self._mind_the_room(event.size)

    def _mind_the_room(self, size: Size) -> None:
        small = size.width < WIDTH or size.height < HEIGHT
        if not self.screen_stack:  # the board is not there yet, or no longer
            return
        if small and not isinstance(self.screen, TooSmall):
            self.push_screen(TooSmall())
        elif not small and isinstance(self.screen, TooSmall):
            self.pop_screen()

    # -- jobs -------------------------------------------------------------------------------------------------------

    @property
    def catalogue(self) -> Catalogue:
        """All that is known."""
        return self.shelf.catalogue

    def open_job(self, name: str, kept: Kept | None, seed: int) -> None:
        """Go to the vehicle of a job, by its id: on with a record, or afresh in the mode that is chosen."""
        catalogue = self.catalogue_with(name)
        if kept is None and self.mode == EXAM:

            def begin_exam(minutes: float | None) -> None:
                if minutes is not None:
                    self._enter_job(catalogue, name, None, seed, minutes)

            from tui.app.screens.ask_minutes import AskMinutes

            self.push_screen(AskMinutes(), begin_exam)
        else:
            self._enter_job(catalogue, name, kept, seed, None)

    def mark_ahead(self, path: Path | None) -> None:
        """Have the marks of an open job prepared beside it, in place of those of the job before; path: of its record,
        None where it is kept in memory only.
        """
        from tui.presentation.marking.marks_ahead import MarksAhead

        if self.marks_ahead is not None:
            self.marks_ahead.close()
        self.marks_ahead = MarksAhead(path) if path is not None else None

    def catalogue_with(self, name: str) -> Catalogue:
        """All that is known, with a job that was drawn where this is one."""
        from grading.sessions.made_with import with_drawn

        return with_drawn(self.catalogue, name)

    def _enter_job(self, catalogue: Catalogue, id_: str, kept: Kept | None, seed: int, minutes: float | None) -> None:
        """Enter a job, by its id, once the physics is ready; minutes: of an exam that begins."""
        name, job = self.mode, catalogue.jobs[id_]

        def enter(ready: bool | None, take_over: bool = False) -> None:
            if not ready:
                return
            from grading.marks.rubric import load_rubric
            from grading.sessions.openings import begin, mode_of, resume
            from grading.sessions.record_lock import HeldElsewhere
            from tui.app.screens.workshop import WorkshopScreen
            from tui.presentation.process.draw_ahead import draw_ahead

            path: Path | None = kept.path if kept else None

            def warn(text: str) -> None:
                self.notify(clean(text), severity="warning", markup=False)

            try:
                session = (
                    resume(catalogue, job, path, warn, take_over)
                    if path
                    else begin(
                        catalogue,
                        job,
                        seed,
                        mode=mode_of(name, minutes),
                        candidate=self.candidate,
                        rubric=load_rubric().hash,
                    )
                )
            except HeldElsewhere as error:
                from tui.app.screens.take_over import TakeOver

                self.push_screen(TakeOver(error.holder), lambda sure: enter(sure, take_over=True))
            except (DataError, WrongUse) as error:
                self.notify(
                    clean(say("{error}. N starts the job afresh.", error=error)),
                    severity="error",
                    timeout=15.0,
                    markup=False,
                )
            else:
                self.push_screen(WorkshopScreen(session))
                if self.physics.compiled.is_set() and not self.is_headless:
                    self.mark_ahead(session.recorder.path)
                    draw_ahead()

        # days of use before the job and a replay take minutes as plain Python
        needed = self.physics.compiled if kept is not None or job.days is not None else self.physics.ready
        if needed.is_set() and not self.physics.failed:
            enter(True)
        else:
            from tui.app.screens.getting_ready import GettingReady

            self.push_screen(GettingReady(self.physics, needed), enter)

    # -- habits -----------------------------------------------------------------------------------------------------

    def action_help(self) -> None:
        """Help for the place where the cursor is."""
        from tui.app.screens.help import HelpSlip, keys_of

        screen = self.screen
        if isinstance(screen, HelpSlip | TooSmall):
            return
        about = [" ".join(_(part.HELP).split()) for part in (self.focused, screen) if part is not None and part.HELP]
        about += [normal] if (normal := getattr(screen, "normal", "")) else []
        self.push_screen(HelpSlip("\n".join(about), keys_of(screen)))

    def action_command_palette(self) -> None:
        """Everything that can be done here, by name."""
        if not any(isinstance(screen, CommandPalette | TooSmall) for screen in self.screen_stack):
            from tui.app.palette import Palette

            self.push_screen(Palette(placeholder=_("Search for commands…"), id="--command-palette"))

    def action_next_theme(self) -> None:
        """The next theme."""
        self.use_theme(OFFERED[(OFFERED.index(self.theme) + 1) % len(OFFERED)] if self.theme in OFFERED else OFFERED[0])

    def use_theme(self, name: str) -> None:
        """Choose a theme and keep it."""
        self.theme = name
        self._keep_settings()

    def use_mode(self, name: str) -> None:
        """Choose how the next job is sat and keep it."""
        self.mode = name
        self._keep_settings()

    @property
    def can_reword(self) -> bool:
        """Whether all that is open can be said in another language: a question that is being answered cannot."""
        from tui.app.screens.slip import Slip

        asked = any(isinstance(screen, Slip | TooSmall) for screen in self.screen_stack)
        return not asked and not any(getattr(screen, "busy", False) for screen in self.screen_stack)

    def use_language(self, code: str) -> None:
        """Speak another language and keep it."""
        from tui.app.screens.help import HelpSlip

        helping = isinstance(self.screen, HelpSlip)
        if helping:
            self.pop_screen()
        if self.can_reword:
            self.language = code
            self._keep_settings()
            speak(code)
            for screen in self.screen_stack:
                if isinstance(screen, Spoken) and screen.is_mounted:
                    screen.reword()
        if helping:
            self.action_help()

    def action_next_language(self) -> None:
        """The next language."""
        codes = list(LANGUAGES)
        self.use_language(codes[(codes.index(chosen()) + 1) % len(codes)])

    def _keep_settings(self) -> None:
        save_settings(Settings(self.theme, self.units, self.mode, self.language, self.animation))

    def _move(self) -> None:
        """Play time and move screens, or neither; never where the environment forbids it (TEXTUAL_ANIMATIONS=none)."""
        moves = self.animation and self.may_move
        self.animation_level = "full" if moves else "none"
        self.pace = 1.0 if moves else 0.0

    def action_animation(self) -> None:
        """Play time as a film, or show at once what came of it."""
        self.animation = not self.animation
        self._move()
        self._keep_settings()
        self.notify(_("Time is shown passing from now on.") if self.pace else _("Time is skipped from now on."))

    def action_units(self) -> None:
        """Degrees Celsius or Fahrenheit."""
        self.units = "si" if self.units == "us" else "us"
        self._keep_settings()
        for screen in self.screen_stack:
            if isinstance(screen, Redrawn) and screen.is_mounted:
                screen.redraw()

    @property
    def in_exam(self) -> bool:
        """Whether an exam is on the screen, under whatever is pushed over it."""
        return any(getattr(screen, "is_exam", False) for screen in self.screen_stack)

    def action_screenshot(self, filename: str | None = None, path: str | None = None) -> None:
        """Keep a picture of the screen, but not of an exam."""
        if not self.in_exam:
            super().action_screenshot(filename, path)

    def get_system_commands(self, screen: Screen) -> Iterable[SystemCommand]:
        """Themes by name, units, languages, animation, quit."""
        for name in OFFERED:
            yield SystemCommand(
                say("Theme: {name}", name=name), _("Colours of the program"), lambda name=name: self.use_theme(name)
            )
        yield SystemCommand(_("°C or °F"), _("Units on display"), self.action_units)
        for code, name in LANGUAGES.items() if self.can_reword else ():
            does = partial(self.use_language, code)
            yield SystemCommand(say("Language: {name}", name=name), _("Language from now on"), does)
        yield SystemCommand(_("Animation on or off"), _("Show time passing, or skip it"), self.action_animation)
        yield SystemCommand(_("Quit"), _("Leave; unfinished work is kept"), self.action_quit)


def run_program(candidate: str | None = None) -> None:
    """Run the terminal program and end the process with its exit status; candidate: as in ``Lukewarm``."""
    from tui.app.ready_catalogue import ready_catalogue

    async def run() -> NoReturn:
        await app.run_async()
        leave(app.return_code or 0)  # from within: the loop would wait for its threads

    sys.setswitchinterval(PATIENCE)
    speak(preferred(kept=load_settings().language))  # a tab of a browser comes here without the command line
    app = Lukewarm(ready_catalogue(), candidate=candidate)
    asyncio.run(run())

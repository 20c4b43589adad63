"""Drawing a vehicle beside the screen: simulated first so that it is fair, with how long that takes and a way out."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from scenarios.files.data_error import DataError
from scenarios.language import N_, _, chosen, say
from scenarios.wrong_use import WrongUse
from tui.app.program import program
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints

if TYPE_CHECKING:  # else only once one is drawn
    from grading.marks.rubric import Rubric
    from scenarios.model import Catalogue
    from tui.app.app import Lukewarm

WAITS = 0.2
"""How often it is looked whether the laws are compiled [s]."""
Draw = Callable[["Catalogue", "Rubric"], str]
"""Draws a vehicle and gives the id of its job. Raises WrongUse, DataError and OSError."""


def by_number(number: str) -> Draw:
    """Draws the vehicle of a number."""

    def draw(catalogue: Catalogue, rubric: Rubric) -> str:
        from grading.drawing.by_number import drawn_by_number

        return drawn_by_number(catalogue, number, rubric, chosen())[0]

    return draw


class Drawing(Slip[str | None]):
    """A slip that draws; gives the id of the job, None where the person would rather not. It has a Static ``state``."""

    DEFAULT_CSS = """
    Drawing #state { height: auto; min-height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave it")]

    def __init__(self) -> None:
        super().__init__()
        self.busy = False
        self._begun = 0.0
        self._left = threading.Event()

    def begin(self, draw: Draw) -> None:
        """Draw, unless it is at that already."""
        if not self.busy:
            self.busy, self._begun = True, time.monotonic()
            self._tell_time()
            self.set_interval(1.0, self._tell_time)
            self._draw(draw)

    def _tell_time(self) -> None:
        """Say that it works, and for how long."""
        if self.busy and program(self).physics.compiled.is_set():
            seconds = int(time.monotonic() - self._begun)
            self.tell(say("Drawing a vehicle and simulating it, {seconds} s so far; 5 to 20 in all.", seconds=seconds))

    def action_leave(self) -> None:
        """Go without one."""
        self._left.set()
        self.dismiss(None)

    def tell(self, text: str, style: str = "$secondary") -> None:
        """Say how far it is."""
        self.query_one("#state", Static).update(words(text, style=style))

    @work(thread=True, exclusive=True)
    def _draw(self, draw: Draw) -> None:
        from grading.marks.rubric import load_rubric

        app, physics = program(self), program(self).physics
        while not physics.compiled.wait(WAITS):
            if self._left.is_set():
                return
            self.app.call_from_thread(self.tell, physics.compiling)
        try:
            name = draw(app.catalogue, load_rubric())
        except (WrongUse, DataError, OSError) as error:
            if not self._left.is_set():
                self.app.call_from_thread(self._fail, str(error))
            return
        if not self._left.is_set():
            self.app.call_from_thread(self.dismiss, name)

    def _fail(self, text: str) -> None:
        self.busy = False
        self.tell(text, "$error")


class DrawVehicle(Drawing):
    """Draws one vehicle at once."""

    HELP = N_("""A vehicle is drawn and simulated first, so that its fault can be found and its repair proven. Escape
leaves it; what was drawn by then is there the next time.""")

    def __init__(self, draw: Draw) -> None:
        super().__init__()
        self._what = draw

    def compose(self) -> ComposeResult:
        """What goes on, and the way out."""
        with Vertical(classes="slip"):
            yield Static(Content(_("A vehicle is drawn")), classes="slip-title", markup=False)
            yield Static("", id="state", classes="slip-text", markup=False)
            yield KeyHints(("Escape", N_("leave it"), "leave"), classes="slip-keys")

    def on_mount(self) -> None:
        """Begin."""
        if not self.ending:
            self.begin(self._what)


def draw_and_open(app: Lukewarm, draw: Draw) -> None:
    """Draw a vehicle and take its key, the board being below whatever is on the screen."""
    from tui.app.screens.board import Board

    board = next(screen for screen in app.screen_stack if isinstance(screen, Board))

    def take(name: str | None) -> None:
        if name is not None:
            while app.screen is not board:
                app.pop_screen()
            board.take_drawn(name)

    app.push_screen(DrawVehicle(draw), take)

"""Another vehicle: drawn by a number, simulated first so that it is fair."""

from __future__ import annotations

import threading
from collections.abc import Collection
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import HorizontalGroup, Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from scenarios.language import N_, _, chosen, say
from scenarios.model import SYSTEMS
from scenarios.wrong_use import WrongUse
from tui.app.program import program
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.presentation.another_vehicle import random_number, unused_number, with_system

WAITS = 0.2
"""How often it is looked whether the laws are compiled [s]."""


class AnotherVehicle(Slip[str | None]):
    """Gives the id of a job that was drawn, None where the person would rather not."""

    HELP = N_("""Enter draws a vehicle at random, with a fault and a complaint as customers bring them. The arrow keys
choose a system that the fault is to be in. The number stands for the vehicle: who types the same number, with the same
version of the program, gets the same vehicle. Each is simulated first, so that its fault can be found and its repair
proven.""")

    DEFAULT_CSS = """
    AnotherVehicle HorizontalGroup { height: 1; margin-bottom: 1; }
    AnotherVehicle Input { width: 30; height: 1; border: none; padding: 0 1; background: $background; }
    AnotherVehicle Input:focus { background: $surface; text-style: bold; }
    AnotherVehicle Label { margin-right: 1; }
    AnotherVehicle #state { height: auto; min-height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave it"),
        Binding("down", "system(1)", "Next system", show=False),
        Binding("up", "system(-1)", "System before", show=False),
    ]

    def __init__(self, opened: Collection[str]) -> None:
        """opened: ids of jobs that have records: a vehicle that was drawn ahead and is none of them comes first."""
        super().__init__()
        self.number, self.system, self.busy = unused_number(opened) or random_number(), 0, False
        self._left = threading.Event()

    def compose(self) -> ComposeResult:
        """One line and the keys."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Another vehicle")), classes="slip-title", markup=False)
            yield Static(words(self._about()), classes="slip-text", id="about", markup=False)
            with HorizontalGroup():
                yield Label(_("number"))
                yield Field(self.number, id="number", compact=True, max_length=40)
            yield Static("", id="state", markup=False)
            yield KeyHints(
                ("Enter", N_("draw it"), "draw"),
                ("↑ ↓", N_("a system"), "system(1)"),
                ("Escape", N_("leave it"), "leave"),
                classes="slip-keys",
            )

    def _about(self) -> str:
        if not self.system:
            return _("The fault may be in any system.")
        return say("The fault is in this system: {system}.", system=_(SYSTEMS[self.system - 1]))

    def action_system(self, direction: int) -> None:
        """Choose the next system, or any."""
        if not self.busy:
            self.system = (self.system + direction) % len(SYSTEMS)  # the last of them is that nothing is wrong
            field = self.query_one(Input)
            field.value = with_system(field.value, SYSTEMS[self.system - 1] if self.system else "")
            self.query_one("#about", Static).update(words(self._about()))

    @on(Input.Submitted)
    def action_draw(self) -> None:
        """Draw it beside the screen."""
        if not self.busy:
            self.busy = True
            self._say(_("Drawing a vehicle and simulating it: some seconds …"))
            self._draw(self.query_one(Input).value)

    def action_leave(self) -> None:
        """Go without one."""
        self._left.set()
        self.dismiss(None)

    def _say(self, text: str, style: str = "$secondary") -> None:
        self.query_one("#state", Static).update(words(text, style=style))

    @work(thread=True, exclusive=True)
    def _draw(self, typed: str) -> None:
        from grading.drawing.by_number import drawn_by_number
        from grading.marks.rubric import load_rubric

        app, physics = program(self), program(self).physics
        while not physics.compiled.wait(WAITS):
            if self._left.is_set():
                return
            self.app.call_from_thread(self._say, physics.compiling)
        try:
            name = drawn_by_number(app.catalogue, typed, load_rubric(), chosen())[0]
        except (WrongUse, OSError) as error:
            self.app.call_from_thread(self._fail, str(error))
            return
        if not self._left.is_set():
            self.app.call_from_thread(self.dismiss, name)

    def _fail(self, text: str) -> None:
        self.busy = False
        self._say(text, "$error")

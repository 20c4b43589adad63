"""Another vehicle: drawn by a number, for a system, a difficulty, or what the learner confuses."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import HorizontalGroup, Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from scenarios.language import N_, _
from tui.app.program import program
from tui.app.screens.draw_vehicle import Drawing, by_number
from tui.app.show import lines
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.app.widgets.paper import Paper
from tui.presentation.between_jobs.another_vehicle import Choice, number_for


class AnotherVehicle(Drawing):
    """Asks what a vehicle is drawn for; a number that is typed says it all."""

    HELP = N_("""The arrow keys choose what the vehicle is drawn for, Enter draws it. Surprise me takes faults as often
as they occur. What I confuse takes one of two faults that you took for each other in a marked job. The number stands
for the vehicle: who types the same number, with the same version of the program, gets the same vehicle. Each is
simulated first, so that its fault can be found and its repair proven; one that is ready was drawn while you worked.""")

    DEFAULT_CSS = """
    AnotherVehicle HorizontalGroup { height: 1; margin-top: 1; }
    AnotherVehicle Input { width: 36; height: 1; border: none; padding: 0 1; background: $background; }
    AnotherVehicle Input:focus { background: $surface; text-style: bold; }
    AnotherVehicle Label { margin-right: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "choose(1)", "Next choice", show=False),
        Binding("up", "choose(-1)", "Choice before", show=False),
    ]

    def __init__(self, choices: Sequence[Choice], opened: Collection[str]) -> None:
        """opened: ids of jobs that have records: a vehicle that was drawn ahead and is none of them comes first."""
        super().__init__()
        self.choices, self.opened, self.chosen = choices, opened, 0

    def compose(self) -> ComposeResult:
        """The choices, the number, the keys."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Another vehicle")), classes="slip-title", markup=False)
            yield Paper(self._listed(), id="choices")
            with HorizontalGroup():
                yield Label(_("number"))
                yield Field(self._number(), id="number", compact=True, max_length=40)
            yield Static("", id="state", markup=False)
            yield KeyHints(
                ("Enter", N_("draw it"), "draw"),
                ("↑ ↓", N_("choose"), "choose(1)"),
                ("Escape", N_("leave it"), "leave"),
                classes="slip-keys",
            )

    def _number(self) -> str:
        return number_for(program(self).catalogue, self.choices[self.chosen], self.opened)

    def _listed(self) -> Content:
        """A line for each choice, the chosen one with a sign before it."""
        wide = max(Content(one.told).cell_length for one in self.choices) + 2
        told = []
        for k, one in enumerate(self.choices):
            name = Content.styled(one.told, "bold" if k == self.chosen else "").pad_right(
                wide - Content(one.told).cell_length
            )
            sign = ("▸ ", "$primary") if k == self.chosen else "  "
            told.append(Content.assemble(sign, name, (_("ready") if one.ready else "", "$secondary")))
        return lines(*told)

    def action_choose(self, direction: int) -> None:
        """Move the choice by a step."""
        if not self.busy:
            self.chosen = (self.chosen + direction) % len(self.choices)
            self.query_one(Input).value = self._number()
            self.query_one("#choices", Paper).write(self._listed())

    @on(Input.Submitted)
    def action_draw(self) -> None:
        """Draw the vehicle whose number is entered, in the background."""
        self.begin(by_number(self.query_one(Input).value))

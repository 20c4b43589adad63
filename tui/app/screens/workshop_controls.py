"""Actions of the workshop screen for looking at places and moving the vehicle's controls."""

from __future__ import annotations

from textual import on

from scenarios.actions import Action
from scenarios.language import N_
from scenarios.model import BENCH, PLACES
from tui.app.screens.workshop_view import SIDES, WorkshopView
from tui.app.show import words
from tui.app.widgets.notes import Notes
from tui.app.widgets.offers import Offers
from tui.app.widgets.paper import Paper
from tui.app.widgets.place_line import PlaceLine
from tui.app.widgets.stage_line import StageLine
from tui.presentation import situation
from tui.presentation.stages import COMPLAINT, DIAGNOSIS, KEYS, PROOF, READINGS, REPAIR, WRITE_UP

VENT_ORDER = ("floor", N_("face"), "screen")


class WorkshopControls(WorkshopView):
    """The workshop screen with the actions for places and controls."""

    def perform(self, action: Action) -> None:
        """Do an action; implemented by the screen."""
        raise NotImplementedError

    # -- looking round ----------------------------------------------------------------------------------------------

    @on(PlaceLine.Chosen)
    def _place_chosen(self, event: PlaceLine.Chosen) -> None:
        self.action_look_at(event.index)

    @on(StageLine.Chosen)
    async def _stage_chosen(self, event: StageLine.Chosen) -> None:
        """Open the part of the screen where a stage of the job is done."""
        action = {
            COMPLAINT: "side('card')",
            READINGS: "side('notebook')",
            DIAGNOSIS: "side('suspects')",
            REPAIR: f"look_at({PLACES.index(BENCH)})",
            PROOF: "side('card')",
            WRITE_UP: "write_up",
            KEYS: "hand_back",
        }[event.name]
        await self.app.run_action(action, self)

    def action_look_at(self, index: int) -> None:
        """Look at another place, without walking there."""
        self.looked_at = index
        self.redraw()
        offers = self.query_one(Offers)
        offers.focus()
        offers.action_first()

    def action_column(self, by: int) -> None:
        """The next column, or the one before."""
        self.focus_next() if by > 0 else self.focus_previous()

    def action_side(self, name: str) -> None:
        """Go to a column."""
        if name in SIDES:
            self.side = name
            self.fit_columns()
        inside = {"here": "#offers", "notebook": "#notes", "suspects": "#suspect-list", "card": "#card-scroll"}
        self.query_one(inside[name]).focus()

    @on(Notes.Compared)
    def _compared(self, event: Notes.Compared) -> None:
        self.query_one("#compared", Paper).write(words(event.text))
        self.fit_columns()

    # -- controls ---------------------------------------------------------------------------------------------------

    def action_ignition(self) -> None:
        """Turn the ignition."""
        on_now = self.session.workshop.control("ignition") > 0.5
        self.perform(Action("ignition", ("off" if on_now else "on",)))

    def action_engine(self) -> None:
        """Start or stop the engine."""
        running = self.session.workshop.control("engine") > 0.5
        self.perform(Action("engine", ("stop" if running else "start",)))

    def action_heater(self, by: int) -> None:
        """Turn the temperature control."""
        now = situation.controls(self.session).heater
        self.perform(Action("set", ("heater", float(min(max(now + by, 0), 100)))))

    def action_blower(self, by: int) -> None:
        """Turn the blower, round from 4 to 0."""
        now = situation.controls(self.session).blower
        self.perform(Action("set", ("blower", float((now + by) % 5))))

    def action_vents(self) -> None:
        """Turn the vents to the next place."""
        now = situation.controls(self.session).vents
        self.perform(Action("set", ("vents", VENT_ORDER[(VENT_ORDER.index(now) + 1) % 3])))

    def action_air(self) -> None:
        """Fresh or recirculated air."""
        now = situation.controls(self.session).recirculation
        self.perform(Action("set", ("recirculation", "off" if now == "on" else "on")))

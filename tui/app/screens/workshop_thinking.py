"""The workshop with what a person thinks: marks on suspects and readings, predictions, the diagnosis."""

from __future__ import annotations

import asyncio

from textual import on
from textual.content import Content

from grading.sessions.session import Session
from scenarios.actions import ALSO, Action
from scenarios.language import _, say
from tui.app.program import program
from tui.app.screens.diagnose import Diagnose
from tui.app.screens.workshop_controls import WorkshopControls
from tui.app.show import words
from tui.app.widgets.notes import Notes
from tui.app.widgets.offers import Offers
from tui.app.widgets.suspects import Suspects
from tui.presentation.clean import clean
from tui.presentation.desk import Desk
from tui.presentation.sound import Sound


class WorkshopThinking(WorkshopControls):
    """The workshop as far as the vehicle feels nothing of it."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.desk = Desk(session)
        self.sound = Sound(session)
        self.busy = False
        """Whether an action is under way, from the key that asks for it until all that came of it is shown."""

    @on(Suspects.Marked)
    def _suspect_marked(self, event: Suspects.Marked) -> None:
        if not self.busy:
            self.desk.suspect(event.fault, event.mark)
            self.redraw()

    @on(Suspects.OptionSelected, "#suspect-list")
    def _declare(self, event: Suspects.OptionSelected) -> None:
        if self.busy:
            return
        fault, held = self.session.catalogue.faults[event.option_id or ""], self.session.diagnoses
        confidence = held[fault.id] * 100.0 if fault.id in held else None

        def declare(chosen: tuple[float, bool] | None) -> None:
            if chosen is not None:
                self.perform(Action("diagnose", (fault.id, chosen[0], *((ALSO,) if chosen[1] else ()))))

        others = tuple(self.session.catalogue.faults[name] for name in held if name != fault.id)
        self.app.push_screen(Diagnose(fault, confidence, others), declare)

    @on(Notes.Marked)
    def _reading_marked(self, event: Notes.Marked) -> None:
        if not self.busy:
            self.desk.mark_reading(event.number, event.mark)
            self.redraw()

    def action_predict(self, expects: str) -> None:
        """Put down what is expected of the check at the cursor."""
        name = self.query_one(Offers).current or ""
        if self.busy or self.session.mode.exam or name not in self.session.catalogue.checks:
            return
        if not program(self).physics.compiled.is_set():
            self.tell(Content(program(self).physics.compiling))
            return
        self.busy = True
        self.run_worker(self._predict(name, expects), group="act")

    async def _predict(self, name: str, expects: str) -> None:
        try:
            await asyncio.to_thread(self.sound.predict, name, expects)
        except OSError as error:
            self.notify(clean(say("The prediction cannot be kept ({reason}).", reason=error)), severity="error")
        else:
            check = self.session.catalogue.checks[name]
            self.tell(words(say("{check}: you expect it {expects}.", check=_(check.name), expects=_(expects))))
        finally:
            self.busy = False

    def action_notes(self, what: str) -> None:
        """Order, mark or hold in the notebook."""
        notes = self.query_one(Notes)
        {"order": notes.action_order, "mark": notes.action_mark, "hold": notes.action_hold}[what]()

    def action_suspect(self, by: int) -> None:
        """Move the mark of the suspect at the cursor."""
        self.query_one(Suspects).action_move(by)

    def action_declare(self) -> None:
        """Declare the suspect at the cursor."""
        self.query_one(Suspects).action_select()

    def action_undo(self) -> None:
        """Take back a mark."""
        if self.busy:
            return
        undone = self.desk.undo()
        self.tell(Content(_("The last mark is taken back.") if undone else _("There is no mark to take back.")))
        self.redraw()

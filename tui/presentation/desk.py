"""A job as the terminal program handles it: actions with their films, marks that can be undone."""

from __future__ import annotations

from dataclasses import dataclass

from grading.sessions.outcome import Outcome
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import speak_of
from scenarios.vehicle_words import own_words
from tui.presentation.curves.film import Film
from tui.presentation.notebook import notebook
from tui.presentation.process.leaving import unbroken


@dataclass(frozen=True, slots=True)
class Done:
    """An outcome and, where time passed, the film of it."""

    outcome: Outcome
    film: Film | None


class Desk:
    """One session, told in its vehicle's own words; the record keeps every mark, an undo is a mark set back."""

    def __init__(self, session: Session) -> None:
        self.session = session
        speak_of(own_words(session.vehicle))
        self._undo: list[Action] = []

    def do(self, action: Action) -> Done:
        """Do an action; also one that is at work when the program is left comes into the record."""
        samples, start = len(self.session.workshop.world.samples), self.session.minute
        with unbroken():
            outcome = self.session.do(action)
        film = Film(self.session.workshop, samples, start) if outcome.minutes > 0.0 else None
        return Done(outcome, film if film and len(film) else None)

    def draft(self, what: str, text: str) -> None:
        """Keep a text as far as it is typed; what: as the note it is to become. Raises OSError."""
        with unbroken():
            self.session.draft(what, text)

    def suspect(self, fault: str, mark: str) -> Outcome:
        """Mark a suspect."""
        before = self.session.suspects.get(fault, "maybe")
        outcome = self.session.do(Action("suspect", (fault, mark)))
        if outcome.refused is None:
            self._undo.append(Action("suspect", (fault, before)))
        return outcome

    def mark_reading(self, number: int, mark: str) -> Outcome:
        """Mark a reading in the notebook; an empty mark takes it off."""
        before = next((note.mark for note in notebook(self.session) if note.reading.number == number), "")
        outcome = self.session.do(Action("note", ("mark", float(number), mark or "none")))
        if outcome.refused is None:
            self._undo.append(Action("note", ("mark", float(number), before or "none")))
        return outcome

    def undo(self) -> Action | None:
        """Take back the last mark. Nothing that the vehicle felt is ever taken back. None where there is no mark."""
        if not self._undo:
            return None
        action = self._undo.pop()
        self.session.do(action)
        return action

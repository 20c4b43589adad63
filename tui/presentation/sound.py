"""Sound vehicles beside the job that is open: what they show as readings are taken, and what a learner predicts."""

from __future__ import annotations

from grading.report.predictions import Prediction, predictions, to_record
from grading.report.sound_band import Band, SoundVehicles
from grading.sessions.modes import GUIDED
from grading.sessions.outcome import Outcome
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import _
from tui.presentation.first_step import first_steps
from tui.presentation.process.leaving import unbroken


class Sound:
    """Sound vehicles that follow a session. They take a while to come up to it: not for the thread of a screen."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._vehicles: SoundVehicles | None = None

    def _up_to_now(self) -> SoundVehicles:
        session = self.session
        self._vehicles = self._vehicles or SoundVehicles(session.catalogue, session.job, session.seed)
        self._vehicles.follow(list(session.recorder.entries))
        return self._vehicles

    def bands(self, outcome: Outcome) -> list[Band]:
        """What sound vehicles showed in the check that was done last; none outside guided mode and of other actions."""
        if self.session.mode.name != GUIDED or outcome.action.verb != "check" or not outcome.readings:
            return []
        found = self._up_to_now().bands
        return found[max(found)] if found else []

    def predict(self, check: str, expects: str) -> None:
        """Put down what is expected of a check, were it taken now. Raises OSError."""
        action = Action("check", (check,))
        bands = self._up_to_now().foresee([*first_steps(self.session, action), action])
        with unbroken():
            self.session.predict(check, expects, to_record(bands))


def last_prediction(session: Session, outcome: Outcome) -> Prediction | None:
    """The prediction of the check that was done last, None where there was none."""
    entries = session.recorder.entries
    last = next((int(entry.data["n"]) for entry in reversed(entries) if entry.kind == "action"), -1)
    if outcome.action.verb != "check" or outcome.refused is not None:
        return None
    return next((one for one in predictions(entries) if one.number == last), None)


def what_came_of_it(session: Session, outcome: Outcome) -> list[str]:
    """What to say of a prediction once its check is done; nothing where there was none."""
    made = last_prediction(session, outcome)
    if made is None:
        return []
    return [made.told] if session.mode.name == GUIDED else [_("Your prediction is noted; the debrief tells.")]


def normal(session: Session, outcome: Outcome) -> str:
    """What is normal of the check that was done last, in guided mode; empty elsewhere."""
    if session.mode.name != GUIDED or outcome.action.verb != "check" or not outcome.readings:
        return ""
    check = session.catalogue.checks.get(outcome.action.text(0))
    return _(check.normal) if check is not None and check.normal else ""


def first_sentences(text: str, most: int) -> str:
    """As many sentences of a text from its beginning as have room in so many characters, at least the first.

    >>> first_sentences("One. Two three. Four.", 16)
    'One. Two three.'
    """
    told = ""
    for sentence in text.replace(". ", ".\n").splitlines():
        if told and len(told) + 1 + len(sentence) > most:
            break
        told = f"{told} {sentence}".strip()
    return told

"""The last question before the keys go back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from grading.marks.criteria import WRITTEN, written
from grading.marks.what_counts import read_since_work
from grading.sessions.modes import NOT_DRIVEN, TEMPORARY
from grading.sessions.record import RecordEntry
from grading.sessions.session import Session
from scenarios.language import N_, _, say, shown
from tui.app.screens.slip import Slip
from tui.app.show import lines, words
from tui.app.widgets.key_hints import KeyHints
from tui.presentation.notebook import drafts, kept_as_drafts
from tui.presentation.units import Units


def _state(done: bool, text: Content) -> Content:
    return Content.assemble(("✓ " if done else "– ", "bold $success" if done else "bold $warning"), text)


def summary(session: Session, units: Units) -> Content:
    """What is declared, repaired and proven."""
    faults, repairs = session.catalogue.faults, session.catalogue.repairs
    if session.diagnosis is None:
        diagnosis = _state(False, Content(_("No diagnosis is declared.")))
    else:
        declared = (
            words(say("Diagnosis: {fault}, {sure:.0%} sure.", fault=_(faults[fault].name), sure=confidence))
            for fault, confidence in session.diagnoses.items()
        )
        diagnosis = lines(*(_state(True, one) for one in declared))
    if session.repairs:
        names = ", ".join(_(repairs[name].name) for name in session.repairs)
        repaired = _state(True, words(say("Done: {repairs}.", repairs=names)))
    else:
        repaired = _state(False, Content(_("Nothing is repaired.")))
    missing = [kind for kind in WRITTEN if kind not in written(_actions(session))]
    text = (
        say("Not written up: {missing}; T in the workshop.", missing=", ".join(map(_, missing)))
        if missing
        else _("The job is written up.")
    )
    left = drafts(session)
    typed = [_state(False, words(kept_as_drafts(left)))] if left else []
    return lines(diagnosis, repaired, _proof(session, units), _state(not missing, Content(text)), *typed)


def _actions(session: Session) -> list[RecordEntry]:
    return [entry for entry in session.recorder.entries if entry.kind == "action"]


def _proof(session: Session, units: Units) -> Content:
    """What was read last that may count; whether it proves the repair is told by the marks alone."""
    reads = read_since_work(session.catalogue, session.job, _actions(session))
    if not reads:
        return _state(False, Content(_("Nothing that counts as proof was read since the last work.")))
    last = {read.kind: read for read in reads}.values()
    told = ", ".join(dict.fromkeys(f"{_(read.label)}: {shown(read.shown)}" for read in last))
    return _state(True, words(say("Read since the last work: {readings}.", readings=told), units))


class HandBack(Slip[tuple[str, ...]]):
    """Gives the arguments of the handback where the keys go back."""

    HELP = N_("""Handing back the keys ends the job. It is then marked against what could be known from your readings,
and against the way of a reference diagnostician on the same vehicle. A vehicle that is not fit for the road goes back
with N: the job card then says that it is not to be driven. Where you only relieved the fault, such as by topping up a
loop that leaks, hand it over with T: the customer is told that it is a temporary repair.""")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "hand_back('')", "Hand back the keys"),
        Binding("t", f"hand_back('{TEMPORARY}')", "Hand back as a temporary repair"),
        Binding("n", f"hand_back('{NOT_DRIVEN}')", "Hand back, not to be driven"),
        Binding("escape", "dismiss()", "Go on working"),
    ]

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__()
        self.session = session
        self.units: Units = units

    def compose(self) -> ComposeResult:
        """The summary and the keys."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Hand back the keys?")), classes="slip-title", markup=False)
            yield Static(summary(self.session, self.units), classes="slip-text", markup=False)
            yield KeyHints(
                ("Enter", N_("hand back"), "hand_back('')"),
                ("T", N_("temporary repair"), f"hand_back('{TEMPORARY}')"),
                ("N", N_("not to be driven"), f"hand_back('{NOT_DRIVEN}')"),
                ("Escape", N_("not yet"), "dismiss()"),
                classes="slip-keys",
            )

    def action_hand_back(self, card: str) -> None:
        """Give the keys back; card: what the job card says of it, empty for nothing."""
        self.dismiss((card,) if card else ())

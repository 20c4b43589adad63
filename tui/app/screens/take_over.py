"""A record that is open in another program: go on here, or leave it there."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from grading.sessions.record_lock import Holder
from scenarios.language import N_, _, say
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints


class TakeOver(Slip[bool]):
    """Gives True where the job is to go on here."""

    HELP = N_("""A job can be worked on in one place at a time. If you go on here, the other program keeps what was done
so far and records nothing more.""")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "dismiss(True)", "Go on here"),
        Binding("escape", "dismiss(False)", "Leave it there"),
    ]

    def __init__(self, holder: Holder) -> None:
        super().__init__()
        self.holder = holder

    def compose(self) -> ComposeResult:
        """Who has it, and the keys."""
        told = {"process": self.holder.process or "?", "since": self.holder.since or "?"}
        text = say("It is open elsewhere (process {process}, since {since}).", **told)
        with Vertical(classes="slip"):
            yield Static(Content(_("Go on with this job here?")), classes="slip-title", markup=False)
            yield Static(words(text), classes="slip-text", markup=False)
            yield KeyHints(
                ("Enter", N_("go on here"), "dismiss(True)"),
                ("Escape", N_("leave it there"), "dismiss(False)"),
                classes="slip-keys",
            )

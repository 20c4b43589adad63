"""A question to which the answer is yes or no."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from scenarios.language import N_
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints


class Confirm(Slip[bool]):
    """Gives whether to go on. asks, why: in the language chosen; goes_on, leaves: what the keys do, in English."""

    HELP = N_("Enter goes on, Escape leaves everything as it is.")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "dismiss(True)", "Go on"),
        Binding("escape", "dismiss(False)", "Leave it"),
    ]

    def __init__(self, asks: str, why: str, goes_on: str, leaves: str) -> None:
        super().__init__()
        self.asks, self.why, self.goes_on, self.leaves = asks, why, goes_on, leaves

    def compose(self) -> ComposeResult:
        """The question, the reason for it, the keys."""
        with Vertical(classes="slip"):
            yield Static(words(self.asks), classes="slip-title", markup=False)
            yield Static(words(self.why), classes="slip-text", markup=False)
            yield KeyHints(
                ("Enter", self.goes_on, "dismiss(True)"),
                ("Escape", self.leaves, "dismiss(False)"),
                classes="slip-keys",
            )

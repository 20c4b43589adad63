"""What a good foreman says before an act, once."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from scenarios.language import N_, _
from scenarios.model import Caution
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints


class CautionSlip(Slip[str]):
    """Gives ``go`` (read, go on), ``skip`` (go on unread) or ``back`` (leave it)."""

    HELP = N_("""A caution is given once in a job. Read it and go on with Enter, leave the act with Escape,
or pass over it with S. Which of these you chose is kept in the record.""")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "dismiss('go')", "I have read it: go on"),
        Binding("s", "dismiss('skip')", "Skip"),
        Binding("escape", "dismiss('back')", "Step back"),
    ]

    def __init__(self, act: str, cautions: list[Caution]) -> None:
        super().__init__()
        self.act, self.cautions = act, cautions

    def compose(self) -> ComposeResult:
        """The act, what can happen, the keys."""
        with VerticalScroll(classes="slip"):
            yield Static(
                Content.assemble("⚠ ", _("Before you start: "), words(_(self.act))), classes="slip-title", markup=False
            )
            for caution in self.cautions:
                yield Static(words(_(caution.text)), classes="slip-text", markup=False)
            yield KeyHints(
                ("Enter", N_("I have read it, go on"), "dismiss('go')"),
                ("Escape", N_("step back"), "dismiss('back')"),
                ("S", N_("skip"), "dismiss('skip')"),
                classes="slip-keys",
            )

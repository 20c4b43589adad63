"""What a person does for safety before an act, confirmed once in a job."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from scenarios.language import N_, FirstSentence, _
from scenarios.model import Caution
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.key_hints import KeyHints

SKIP = "u"
"""The key that goes on without what is asked. It means nothing anywhere else, so that nobody presses it by habit."""


def _as_act(caution: Caution) -> Content:
    """The act, to be confirmed, and why."""
    act = FirstSentence(caution.text).spoken()
    why = _(caution.text).removeprefix(act).lstrip(". ")
    return Content.assemble("▢ ", words(act, style="bold"), ". ", words(why))


class CautionSlip(Slip[str]):
    """Gives ``go`` (done, go on), ``skip`` (go on without) or ``back`` (leave it)."""

    HELP = N_("""Each line is something that you do, asked once in a job where its hazard exists.
Enter confirms that it is done, Escape leaves the act, U goes on without; U does nothing anywhere else. Your choice is
kept in the record.""")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "dismiss('go')", "Done: go on"),
        Binding(SKIP, "dismiss('skip')", "Go on without"),
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
                yield Static(_as_act(caution), classes="slip-text", markup=False)
            yield KeyHints(
                ("Enter", N_("done, go on"), "dismiss('go')"),
                ("Escape", N_("step back"), "dismiss('back')"),
                (SKIP.upper(), N_("go on without"), "dismiss('skip')"),
                classes="slip-keys",
            )

"""Writing up the job: complaint, cause, correction, as a repair order asks for them."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from grading.marks.criteria import WRITTEN
from scenarios.language import N_, _
from tui.app.screens.slip import Slip
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.presentation.clean import clean

LONGEST = 300
_ASKS = {
    "complaint": N_("what was found to be wrong, as you could verify it"),
    "cause": N_("which part, and how it failed"),
    "correction": N_("what was done, and how it was proven"),
}


class WriteUp(Slip[dict[str, str] | None]):
    """Gives what is written now, by kind; None where it is left as it was."""

    HELP = N_("""Complaint, cause and correction stand on every repair order. Each takes at least three words.
Enter goes to the next line, and on the last one writes all of them down.""")

    DEFAULT_CSS = """
    WriteUp Input { height: 1; border: none; padding: 0 1; background: $background; margin-bottom: 1; }
    WriteUp Input:focus { background: $surface; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss(None)", "Leave it as it was")]

    def __init__(self, before: dict[str, str]) -> None:
        super().__init__()
        self.before = before

    def compose(self) -> ComposeResult:
        """One line each."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Write up the job")), classes="slip-title", markup=False)
            for kind in WRITTEN:
                yield Label(Content.assemble((_(kind), "bold"), f": {_(_ASKS[kind])}"), markup=False)
                yield Field(clean(self.before.get(kind, "")), id=kind, max_length=LONGEST, compact=True)
            yield KeyHints(
                ("Enter", N_("next line, write down"), "next"),
                ("Tab", N_("next line"), "app.focus_next"),
                ("Escape", N_("leave it as it was"), "dismiss(None)"),
                classes="slip-keys",
            )

    @on(Input.Submitted)
    def action_next(self) -> None:
        """The next line; after the last, done."""
        fields = list(self.query(Input))
        at = next((k for k, field in enumerate(fields) if field.has_focus), len(fields) - 1)
        if at + 1 < len(fields):
            fields[at + 1].focus()
        else:
            self.dismiss({kind: clean(field.value) for kind, field in zip(WRITTEN, fields, strict=True)})

"""The suspects: every fault the vehicle can have, each with what the learner holds of it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message

from scenarios.language import N_, _
from scenarios.model import SYSTEMS, Fault
from tui.app.widgets.rows import Row, Rows
from tui.presentation.clean import clean

SCALE = ("out", "unlikely", "maybe", "likely")
"""From left to right, as the arrow keys move."""
_SIGNS = {
    "likely": ("▲", "bold $accent"),
    "maybe": ("◇", ""),
    "unlikely": ("▽", "$secondary"),
    "out": ("✕", "strike $secondary"),
}


class Suspects(Rows):
    """Faults by system; left and right move a mark along the scale, Enter goes on to a diagnosis."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "select", "Declare", key_display="Enter"),
        Binding("left", "move(-1)", "Less likely", show=False),
        Binding("right", "move(1)", "More likely", show=False),
    ]

    HELP = N_("Left and right move what you hold of a fault: out, unlikely, maybe, likely. Enter declares it.")

    class Marked(Message):
        """A suspect is to be marked."""

        def __init__(self, fault: str, mark: str) -> None:
            super().__init__()
            self.fault, self.mark = fault, mark

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._marks: dict[str, str] = {}

    def show_suspects(self, faults: list[Fault], marks: dict[str, str], declared: str | None) -> None:
        """Show the faults, system by system."""
        self._marks = dict(marks)
        rows: list[Row] = []
        for system in SYSTEMS:
            mine = [fault for fault in faults if fault.system == system]
            rows += [Row(None, Content(_(system)))] if mine else []
            rows += [self._row(fault, marks.get(fault.id), declared == fault.id) for fault in mine]
        self.show_rows(rows)

    @staticmethod
    def _row(fault: Fault, mark: str | None, declared: bool) -> Row:
        sign, style = _SIGNS.get(mark or "", ("·", ""))
        name = Content.assemble((f"{'=' if declared else ' '}{sign} ", style), (clean(_(fault.name)), style))
        return Row(fault.id, name, Content.styled(_(mark) if mark else "", style), indent=3)

    def action_move(self, by: int) -> None:
        """Move the mark of the suspect with the cursor along the scale."""
        if self.current is not None:
            held = SCALE.index(self._marks.get(self.current, "maybe"))
            moved = SCALE[min(max(held + by, 0), len(SCALE) - 1)]
            self.post_message(self.Marked(self.current, moved))

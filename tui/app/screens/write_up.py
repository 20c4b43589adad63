"""Writing up the job: complaint, cause, correction, as a repair order asks for them."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Input, Label, Static

from grading.marks.criteria import SHORTEST_TEXT, WRITTEN
from scenarios.language import N_, _, plural, say
from tui.app.screens.slip import Slip
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.app.widgets.paper import Paper
from tui.presentation.clean import clean

LONGEST = 300
KEPT_AFTER = 1.0
"""Seconds after which what is being typed is kept."""
_ASKS = {
    "complaint": N_("what was found to be wrong, as you could verify it"),
    "cause": N_("which part, and how it failed"),
    "correction": N_("what was done, and how it was proven"),
}


class WriteUp(Slip[dict[str, str] | None]):
    """Gives what is to be written down, by kind; None where it is left. What is typed is kept as a draft meanwhile."""

    HELP = N_("""Complaint, cause and correction stand on every repair order. Each takes at least three words.
Enter goes to the next line, and on the last one writes all of them down. What you have typed is kept as a draft,
also when you leave with Escape.""")

    DEFAULT_CSS = """
    WriteUp Input { height: 1; border: none; padding: 0 1; background: $background; }
    WriteUp Input:focus { background: $surface; }
    WriteUp .count { height: 1; padding: 0 1; margin-bottom: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave it, kept as a draft")]

    def __init__(self, written: dict[str, str], drafts: dict[str, str], keep: Callable[[str, str], None]) -> None:
        """written: as it stands; drafts: what was typed and not written down; keep: called to keep a draft."""
        super().__init__()
        self.before = written | drafts
        self._kept = dict(self.before)
        self._keep = keep
        self._waiting: Timer | None = None

    def compose(self) -> ComposeResult:
        """One line each, with its count of words."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Write up the job")), classes="slip-title", markup=False)
            for kind in WRITTEN:
                yield Label(Content.assemble((_(kind), "bold"), f": {_(_ASKS[kind])}"), markup=False)
                text = clean(self.before.get(kind, ""))
                yield Field(text, id=kind, max_length=LONGEST, compact=True)
                yield Paper(_count(text), id=f"count-{kind}", classes="count")
            yield KeyHints(
                ("Enter", N_("next line, write down"), "next"),
                ("Tab", N_("next line"), "app.focus_next"),
                ("Escape", N_("leave it, kept as a draft"), "leave"),
                classes="slip-keys",
            )

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        """Count the words; keep the draft once the typing pauses."""
        self.query_one(f"#count-{event.input.id}", Paper).write(_count(event.value))
        if self._waiting is None:
            self._waiting = self.set_timer(KEPT_AFTER, self.keep_typed)

    def keep_typed(self) -> None:
        """Keep as drafts what has changed since they were kept last."""
        if self._waiting is not None:
            self._waiting.stop()
            self._waiting = None
        for kind, text in self._texts().items():
            if text != self._kept.get(kind, ""):
                self._keep(kind, text)
                self._kept[kind] = text

    def _texts(self) -> dict[str, str]:
        return {str(field.id): clean(field.value) for field in self.query(Input)}

    @on(Input.Submitted)
    def action_next(self) -> None:
        """The next line; after the last, done."""
        fields = list(self.query(Input))
        at = next((k for k, field in enumerate(fields) if field.has_focus), len(fields) - 1)
        if at + 1 < len(fields):
            fields[at + 1].focus()
        else:
            self.keep_typed()
            self.dismiss(self._texts())

    def action_leave(self) -> None:
        """Leave it; what was typed is kept as a draft."""
        self.keep_typed()
        self.dismiss(None)


def counts(text: str) -> bool:
    """Whether a line is long enough to count."""
    return len(text.split()) >= SHORTEST_TEXT


def _count(text: str) -> Content:
    """How many words a line has, and whether it counts."""
    number = len(text.split())
    said = plural(number, "{n} word", "{n} words")
    if counts(text):
        return Content.assemble(("✓ ", "bold $success"), (said, "$secondary"))
    least = say("{words}, {least} are needed", words=said, least=SHORTEST_TEXT)
    return Content.assemble(("– ", "bold $warning"), (least, "$secondary"))

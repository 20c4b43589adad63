"""How long an exam may last."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import HorizontalGroup, Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from grading.sessions.modes import EXAM_MINUTES, LONGEST_EXAM, SHORTEST_EXAM
from scenarios.language import N_, _, decimal, say
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.presentation.figures import TYPED, doubt, figure_of


class AskMinutes(Slip[float | None]):
    """Gives the wall-clock minutes of an exam, None where it is not begun."""

    HELP = N_("""The clock on the wall runs from the moment you take the key, also while the program is closed.
When it has run out the job is handed in as it stands. There are no hints, and nothing is explained before that.""")

    DEFAULT_CSS = """
    AskMinutes HorizontalGroup { height: 1; margin-bottom: 1; }
    AskMinutes Input { width: 10; height: 1; border: none; padding: 0 1; background: $background; }
    AskMinutes Input:focus { background: $surface; text-style: bold; }
    AskMinutes Label { margin-right: 1; }
    AskMinutes .wrong { color: $error; height: auto; min-height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss(None)", "Leave it")]

    def __init__(self) -> None:
        super().__init__()
        self._asked_back: float | None = None

    def compose(self) -> ComposeResult:
        """One line and the keys."""
        with Vertical(classes="slip"):
            yield Static(Content(_("Exam: the clock starts with the key")), classes="slip-title", markup=False)
            with HorizontalGroup():
                yield Label(_("for"))
                yield Field(decimal(f"{EXAM_MINUTES:g}"), restrict=TYPED, id="minutes", compact=True)
                yield Label(_("minutes on the wall clock"))
            yield Static("", classes="wrong", markup=False)
            yield KeyHints(
                ("Enter", N_("take the key"), "start"),
                ("Escape", N_("leave it"), "dismiss(None)"),
                classes="slip-keys",
            )

    @on(Input.Submitted)
    def action_start(self) -> None:
        """Take the figure, or say what is wrong with it; ask back once where it is hardly meant."""
        text = self.query_one(Input).value
        minutes = figure_of(text) or 0.0
        if SHORTEST_EXAM <= minutes <= LONGEST_EXAM:
            doubtful = doubt("exam", minutes)
            if doubtful is None or minutes == self._asked_back:
                self.dismiss(minutes)
                return
            self._asked_back = minutes
            self.query_one(".wrong", Static).update(words(f"{doubtful} " + _("Enter takes the key.")))
        else:
            told = {"figure": _("minutes"), "given": text, "low": SHORTEST_EXAM, "high": LONGEST_EXAM}
            wrong = say("{figure} cannot be '{given}', expected {low:g} to {high:g}", **told)
            self.query_one(".wrong", Static).update(words(wrong))

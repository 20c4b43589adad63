"""How long, and how fast."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import HorizontalGroup, Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from scenarios.actions import Action
from scenarios.language import N_, _, decimal, say
from tui.app.screens.slip import Slip
from tui.app.show import words
from tui.app.widgets.field import Field
from tui.app.widgets.key_hints import KeyHints
from tui.presentation.figures import QUESTIONS, TYPED, doubt_of, figure_of


class AskTime(Slip[Action | None]):
    """Asks the figures of an action that takes time."""

    HELP = N_("""Type the figures, Tab goes from one to the next, Enter starts. Up and down change a figure.
Time is then played many times faster than life; any key skips to its end.""")

    DEFAULT_CSS = """
    AskTime HorizontalGroup { height: 1; margin-bottom: 1; }
    AskTime Input { width: 10; height: 1; border: none; padding: 0 1; background: $background; }
    AskTime Input:focus { background: $surface; text-style: bold; }
    AskTime Label { margin-right: 1; }
    AskTime .wrong { color: $error; height: auto; min-height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss(None)", "Leave it"),
        Binding("up", "step(1)", "More", show=False),
        Binding("down", "step(-1)", "Less", show=False),
    ]

    def __init__(self, verb: str, earlier: tuple[float, ...] | None, first: str = "") -> None:
        """earlier: the figures given the last time; first: what is done before, in the language chosen."""
        super().__init__()
        self.first = first
        self.verb = verb
        self.title_text, self.figures = QUESTIONS[verb]
        self.values = earlier or tuple(figure.value for figure in self.figures)
        self._asked_back: Action | None = None
        """An action with a figure that is hardly meant, asked back and not yet confirmed."""

    def compose(self) -> ComposeResult:
        """One line of figures."""
        with Vertical(classes="slip"):
            yield Static(Content(_(self.title_text)), classes="slip-title", markup=False)
            if self.first:
                yield Static(words(self.first), classes="slip-text", markup=False)
            with HorizontalGroup():
                for figure, value in zip(self.figures, self.values, strict=True):
                    yield Label(_(figure.name))
                    field = f"figure-{figure.unit.replace('/', '-')}"
                    yield Field(decimal(f"{value:g}"), restrict=TYPED, id=field, compact=True)
                    yield Label(_(figure.unit))
            yield Static("", classes="wrong", markup=False)
            yield KeyHints(
                ("Enter", N_("start"), "start"),
                ("↑", N_("more"), "step(1)"),
                ("↓", N_("less"), "step(-1)"),
                ("Tab", N_("next figure"), "app.focus_next"),
                ("Escape", N_("leave it"), "dismiss(None)"),
                classes="slip-keys",
            )

    def action_step(self, direction: int) -> None:
        """Change the figure with the cursor by a sensible step."""
        fields = list(self.query(Input))
        chosen = next((field for field in fields if field.has_focus), fields[0])
        for figure, field in zip(self.figures, fields, strict=True):
            if field is chosen:
                step = {"rpm": 100.0, "km/h": 10.0}.get(figure.unit, 1.0)
                value = (figure_of(field.value) or 0.0) + direction * step
                field.value = decimal(f"{min(max(value, figure.low), figure.high):g}")
                field.cursor_position = len(field.value)

    @on(Input.Submitted)
    def action_start(self) -> None:
        """Take the figures, or say what is wrong with one; ask back once where one is hardly meant."""
        given = []
        for figure, field in zip(self.figures, self.query(Input), strict=True):
            value = figure_of(field.value)
            if value is None or not figure.low <= value <= figure.high:
                told = {"figure": _(figure.unit), "given": field.value, "low": figure.low, "high": figure.high}
                wrong = say("{figure} cannot be '{given}', expected {low:g} to {high:g}", **told)
                self.query_one(".wrong", Static).update(words(wrong))
                field.focus()
                return
            given.append(value)
        action = Action(self.verb, tuple(given))
        doubt = doubt_of(action)
        if doubt is None or action == self._asked_back:
            self.dismiss(action)
            return
        self._asked_back = action
        self.query_one(".wrong", Static).update(words(f"{doubt} " + _("Enter starts it.")))

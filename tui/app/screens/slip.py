"""A slip of paper pushed over the lower edge of the screen: what all questions look like."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from tui.app.screens.spoken import Spoken

Answered = TypeVar("Answered")


class Slip(Spoken, ModalScreen[Answered]):
    """A question with its answers by key. Escape always leaves it as if it had not been asked."""

    DEFAULT_CSS = """
    Slip { align: center bottom; background: $background 40%; }
    Slip > .slip {
        width: 100%; height: auto; max-height: 90%; padding: 1 2 0 2;
        background: $panel; border-top: heavy $primary;
    }
    Slip .slip-title { text-style: bold; color: $primary; height: auto; }
    Slip .slip-text { height: auto; max-width: 100; margin-bottom: 1; }
    Slip .slip-keys { margin-bottom: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark", "app.help", "Help", show=False)]

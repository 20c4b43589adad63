"""The strip over the lower edge of the screen in which every question is asked."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual import events
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from tui.app.program import program
from tui.app.screens.spoken import Spoken
from tui.app.widgets.field import Field

Answered = TypeVar("Answered")
LEAVES = "ctrl+q"
"""The key that leaves the program."""
DEAF_SECONDS = 0.3
"""Time after a question has come up in which no key answers it: who pressed it had not read the question."""


class Slip(Spoken, ModalScreen[Answered]):
    """A question with its answers by key. Escape always leaves it as if it had not been asked.

    Keys that come within DEAF_SECONDS are ignored, except what answers nothing by itself: text typed into a field, and
    the key that leaves the program.
    """

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
    _seen: float | None = None
    """When it was first drawn, by the program's clock [s]."""

    def on_mount(self) -> None:
        """Count from the first drawing."""
        self.call_after_refresh(self._note_seen)

    def _note_seen(self) -> None:
        self._seen = program(self).clock()

    def ignores(self, event: events.Key) -> bool:
        """Whether a key comes too early to be meant for this question."""
        if self._seen is not None and program(self).clock() - self._seen >= DEAF_SECONDS:
            return False
        typed = isinstance(self.focused, Field) and self.focused.takes(event)
        return not typed and event.key != LEAVES

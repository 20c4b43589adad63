"""What keys do, in the language chosen: on the footer, in the help, in the palette."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from textual.await_complete import AwaitComplete
from textual.binding import ActiveBinding
from textual.screen import Screen
from textual.widget import Widget

from scenarios.language import _
from tui.app.redrawn import Redrawn, Reworded


class Spoken(Screen):
    """Comes before Screen or ModalScreen among the bases of a screen of ours."""

    @property
    def active_bindings(self) -> dict[str, ActiveBinding]:
        """As Textual finds them; the English descriptions they are written with put into the language chosen."""
        return {
            key: active._replace(binding=replace(active.binding, description=_(active.binding.description)))
            for key, active in super().active_bindings.items()
        }

    @property
    def ending(self) -> bool:
        """Whether the program ends: a screen that comes up meanwhile is told that it is there before its parts are."""
        return not self.app.is_running

    def reword(self) -> None:
        """Everything on the screen in the language chosen."""
        for part in self.query(Widget):
            if isinstance(part, Reworded):
                part.reword()
        if isinstance(self, Redrawn):
            self.redraw()
        self.refresh_bindings()

    def dismiss(self, result: Any = None) -> AwaitComplete:
        """Only from the top: otherwise what has come over this screen would be taken away instead of it."""
        return super().dismiss(result) if self.app.screen is self else AwaitComplete()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """No key does anything before the screen has been laid out: who types ahead meant the one before. It is listed
        all the same.
        """
        return super().check_action(action, parameters) if self.is_mounted and self.is_running else None

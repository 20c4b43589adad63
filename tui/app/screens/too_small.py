"""What is shown while the terminal is too small to work in."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from scenarios.language import say

WIDTH, HEIGHT = 80, 24


class TooSmall(ModalScreen[None]):
    """Goes away by itself once there is room."""

    DEFAULT_CSS = """
    TooSmall { align: center middle; background: $background; }
    TooSmall Static { width: auto; }
    """

    def compose(self) -> ComposeResult:
        """The size that is needed."""
        yield Static(Content(say("needs {width} x {height}", width=WIDTH, height=HEIGHT)), markup=False)

    def on_screen_resume(self) -> None:
        """There may be room again by the time this comes back to the top."""
        if self.app.size.width >= WIDTH and self.app.size.height >= HEIGHT:
            self.dismiss(None)

"""Keys with what they do, in a row: to be read, and to be clicked by who would rather use the mouse."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import HorizontalGroup
from textual.content import Content

from scenarios.language import _
from tui.app.widgets.paper import Paper


class KeyHint(Paper):
    """One key. does: in English; action: of the screen or of the widget that has the focus, done on a click."""

    DEFAULT_CSS = """
    KeyHint { width: auto; height: 1; margin-right: 2; }
    KeyHint:hover { text-style: underline; }
    """

    def __init__(self, key: str, does: str, action: str) -> None:
        super().__init__()
        self.key, self.does, self.action, self.lit = key, does, action, False
        self.light(False)

    def light(self, lit: bool) -> None:
        """Show it lit, as what is on now, or not."""
        self.lit = lit
        self.write(Content.assemble((self.key, "bold $primary"), " ", (_(self.does), "bold" if lit else "$secondary")))

    def reword(self) -> None:
        """In the language chosen."""
        self.light(self.lit)

    async def on_click(self) -> None:
        """Do it."""
        await self.app.run_action(self.action, self.screen)


class KeyHints(HorizontalGroup):
    """Several keys. hints: key, what it does as marked for the translators, action."""

    DEFAULT_CSS = """
    KeyHints { height: 1; width: 1fr; }
    """

    def __init__(self, *hints: tuple[str, str, str], id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self.hints = hints

    def compose(self) -> ComposeResult:
        """Left to right."""
        for key, does, action in self.hints:
            yield KeyHint(key, does, action)

"""How the next job is sat, to be chosen: the modes in a line, the chosen one marked, what it means below."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import HorizontalGroup, VerticalGroup
from textual.content import Content
from textual.message import Message

from grading.modes import MODES
from scenarios.language import _
from tui.widgets.paper import Paper


class ModeChoice(Paper):
    """One mode."""

    DEFAULT_CSS = """
    ModeChoice { width: auto; height: 1; margin-right: 2; }
    ModeChoice:hover { text-style: underline; }
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self.mode = name

    def on_click(self) -> None:
        """Choose it."""
        self.post_message(ModeLine.Chosen(self.mode))


class ModeLine(VerticalGroup):
    """The modes."""

    DEFAULT_CSS = """
    ModeLine { height: auto; }
    ModeLine HorizontalGroup { height: 1; }
    ModeLine #mode-key { width: auto; margin-right: 2; }
    """

    class Chosen(Message):
        """A mode was chosen."""

        def __init__(self, mode: str) -> None:
            super().__init__()
            self.mode = mode

    def compose(self) -> ComposeResult:
        """Left to right, and what the chosen one means."""
        with HorizontalGroup():
            yield Paper(id="mode-key")
            for name in MODES:
                yield ModeChoice(name)
        yield Paper(id="mode-means")

    def show(self, chosen: str) -> None:
        """Mark the chosen mode."""
        key = Content.assemble(("m", "bold $primary"), (" " + _("mode"), "$secondary"))
        self.query_one("#mode-key", Paper).write(key)
        for choice in self.query(ModeChoice):
            lit = choice.mode == chosen
            choice.write(Content.styled(f"{'●' if lit else '○'} {_(choice.mode)}", "bold" if lit else "$secondary"))
        self.query_one("#mode-means", Paper).write(Content.styled(_(MODES[chosen]), "$secondary"))

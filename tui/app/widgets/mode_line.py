"""How the next job is sat, to be chosen: the modes in a line, the chosen one marked, what it means below."""

from __future__ import annotations

from textual.content import Content
from textual.message import Message
from textual.reactive import reactive

from grading.sessions.modes import MODES
from scenarios.language import _
from tui.app.widgets.pieces import Pieces

_BETWEEN = "  "


class ModeLine(Pieces):
    """The modes. ``chosen``: name of the one that is marked."""

    DEFAULT_CSS = """
    ModeLine { height: auto; }
    """

    chosen: reactive[str] = reactive("", layout=True)

    class Chosen(Message):
        """A mode was chosen."""

        def __init__(self, mode: str) -> None:
            super().__init__()
            self.mode = mode

    def pieces(self) -> list[Content]:
        """The key, then each mode."""
        found = [Content.assemble(("m", "bold $primary"), (" " + _("mode"), "$secondary"), _BETWEEN)]
        for index, name in enumerate(MODES, 1):
            lit = name == self.chosen
            style = ("bold" if lit else "$secondary") + (" underline" if index == self.pointed else "")
            found.append(Content.assemble((f"{'●' if lit else '○'} {_(name)}", style), _BETWEEN))
        return found

    def render(self) -> Content:
        """The modes, and what the chosen one means."""
        if not self.chosen:
            return Content()
        return Content.assemble(super().render().rstrip(), "\n", (_(MODES[self.chosen]), "$secondary"))

    def pick(self, index: int) -> None:
        """Choose a mode; a click on the key chooses none."""
        if index:
            self.post_message(self.Chosen(list(MODES)[index - 1]))

    def reword(self) -> None:
        """In the language chosen."""
        self.refresh(layout=True)

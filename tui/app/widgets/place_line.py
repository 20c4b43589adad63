"""Where one stands at the vehicle: the places in a line, the one looked at lit, the one stood at marked."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import HorizontalGroup
from textual.content import Content
from textual.message import Message

from scenarios.language import _
from scenarios.model import PLACES
from tui.app.widgets.paper import Paper


class PlaceTab(Paper):
    """One place."""

    DEFAULT_CSS = """
    PlaceTab { width: auto; height: 1; padding: 0 1; margin-right: 1; }
    PlaceTab.-looked-at { color: $primary; text-style: bold reverse; }
    PlaceTab:hover { text-style: underline; }
    """

    def __init__(self, index: int) -> None:
        super().__init__()
        self.index = index

    def on_click(self) -> None:
        """Look there."""
        self.post_message(PlaceLine.Chosen(self.index))


class PlaceLine(HorizontalGroup):
    """The line of places."""

    DEFAULT_CSS = """
    PlaceLine { height: 1; background: $panel; }
    """

    class Chosen(Message):
        """A place was clicked; index: in PLACES."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index

    def compose(self) -> ComposeResult:
        """All places."""
        for index in range(len(PLACES)):
            yield PlaceTab(index)

    def stand(self, place: str, looked_at: int) -> None:
        """Mark where one stands and what is looked at."""
        for tab in self.query(PlaceTab):
            name = PLACES[tab.index]
            here = "●" if name == place else " "
            tab.write(Content(f"{tab.index + 1}{here}{_(name)}"))
            tab.set_class(tab.index == looked_at, "-looked-at")

"""The vehicle from the side, where the screen is high enough: the places where they are, the one looked at lit."""

from __future__ import annotations

from textual import events
from textual.content import Content

from scenarios.language import _
from scenarios.model import PLACES
from tui.app.widgets.paper import Paper
from tui.app.widgets.place_line import PlaceLine

# Front to the left. A digit and the dots after it are where the label of that place goes.
_OUTLINE = (
    "                        ╭───────────────────────────────────╮",
    "  ╭─────────────────────╯┊                  ┊               ╰─────────╮",
    "  │  2...............   ┃ 3..................  1.................     │   4...............   5..............",
    "  ╰────◎────────────────┻─────────────────────────────────────◎───────╯   ──────────────────────────────",
)
_LABELS = 2
"""The row of the outline that holds the labels."""


class Vehicle(Paper):
    """Places as parts of a vehicle; a click looks there."""

    DEFAULT_CSS = """
    Vehicle { height: 4; padding: 0 1; background: $panel; color: $secondary; }
    """

    def __init__(self) -> None:
        super().__init__()

    def stand(self, place: str, looked_at: int) -> None:
        """Mark where one stands and what is looked at."""
        self.write(Content("\n").join(self._row(row, place, looked_at) for row in _OUTLINE))

    def on_click(self, event: events.Click) -> None:
        """Look at the place under the pointer."""
        offset = event.get_content_offset(self)
        row = _OUTLINE[_LABELS]
        if offset is not None and offset.y == _LABELS and offset.x < len(row):
            at = offset.x
            while at > 0 and row[at] == ".":
                at -= 1
            if row[at].isdigit():
                self.post_message(PlaceLine.Chosen(int(row[at]) - 1))

    @staticmethod
    def _row(row: str, place: str, looked_at: int) -> Content:
        parts: list[Content] = []
        at = 0
        while at < len(row):
            if row[at].isdigit():
                index = int(row[at]) - 1
                end = at + 1
                while end < len(row) and row[end] == ".":
                    end += 1
                here = "●" if PLACES[index] == place else " "
                label = f" {index + 1}{here}{_(PLACES[index])} ".ljust(end - at)[: end - at]
                lit = "bold reverse $primary" if index == looked_at else "$foreground"
                parts.append(Content.styled(label, lit))
                at = end
            else:
                end = at
                while end < len(row) and not row[end].isdigit():
                    end += 1
                parts.append(Content(row[at:end]))
                at = end
        return Content.assemble(*parts)

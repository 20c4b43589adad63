"""A line of text in pieces, each of which can be pointed at and clicked: one widget instead of one for each piece."""

from __future__ import annotations

from itertools import accumulate

from textual import events
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget


class Pieces(Widget):
    """The first line of a widget in pieces. Whoever derives from it says what they are and what a click does."""

    ALLOW_SELECT = False
    pointed: reactive[int | None] = reactive(None)
    """Which piece the mouse points at."""

    def pieces(self) -> list[Content]:
        """The pieces, left to right."""
        raise NotImplementedError

    def pick(self, index: int) -> None:
        """What a click on a piece does."""
        raise NotImplementedError

    def render(self) -> Content:
        """The pieces in a row."""
        return Content.assemble(*self.pieces())

    def _under(self, event: events.MouseEvent) -> int | None:
        offset = event.get_content_offset(self)
        if offset is None or offset.y:
            return None
        ends = accumulate(piece.cell_length for piece in self.pieces())
        return next((index for index, end in enumerate(ends) if offset.x < end), None)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Light the piece that the mouse points at."""
        self.pointed = self._under(event)

    def on_leave(self) -> None:
        """It points at none."""
        self.pointed = None

    def on_click(self, event: events.Click) -> None:
        """Do what the piece does."""
        index = self._under(event)
        if index is not None:
            self.pick(index)
